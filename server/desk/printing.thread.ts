/**
 * The thread that reads a whole book and writes a report or a file of it, piece by piece as they are asked for. Started by
 * `printing.ts` only; ends with its last piece.
 */

import { parentPort, workerData } from 'node:worker_threads';
import { required } from '../../shared/core/required.ts';
import { Session } from '../../shared/dialogue/session.ts';
import type { Tongue } from '../../shared/dialogue/types.ts';
import { deviceId, type Entry, type Journal, MemoryJournal } from '../../shared/note/journal.ts';
import { openStore } from '../journal/sqlite.ts';
import { StoreError } from '../journal/store.ts';
import type { Piece, Print, ToPrinter } from './printing.ts';
import { piecesOf } from './written.ts';

const port = required(parentPort, 'the thread that started this one');
const { what, file } = workerData as Print;

/** Nothing is said here: a report asks for totals only. */
const mute: Tongue = { version: '', speak: () => '', hints: () => [], help: () => '' };

/** As much text is handed over at once, characters. */
const piece = 2 ** 17;

const asked: ToPrinter[] = [];
let wake = () => {};
port.on('message', (message: ToPrinter) => {
  asked.push(message);
  wake();
});

async function next(): Promise<ToPrinter> {
  for (;;) {
    const first = asked.shift();
    if (first !== undefined) return first;
    await new Promise<void>((resolve) => {
      wake = resolve;
    });
  }
}

/** The entries that come in messages, where the book is in no file. */
async function brought(): Promise<Journal> {
  const journal = new BroughtJournal();
  for (;;) {
    const message = await next();
    if (message.kind === 'more') return journal;
    if (message.kind === 'entries') journal.bring(message.entries);
  }
}

/** What another journal has checked already. */
class BroughtJournal extends MemoryJournal {
  readonly #brought: Entry[] = [];

  bring(entries: readonly Entry[]): void {
    for (const entry of entries) this.#brought.push(entry);
  }

  override async since(cursor: number, limit = this.#brought.length) {
    const entries = this.#brought.slice(cursor, cursor + limit);
    return { entries, cursor: cursor + entries.length };
  }
}

async function journal(): Promise<Journal> {
  if (file === null) return brought();
  const store = openStore(file, 'read');
  if (!store.ok) throw new StoreError(store.error);
  return store.value;
}

const from = await journal();
// It is over in seconds: what is read once is held.
const held: Journal = {
  append: (entries) => from.append(entries),
  since: (cursor, limit) => from.since(cursor, limit),
  close: () => from.close(),
};
const session = await Session.open(held, mute, {
  device: deviceId('printer'),
  now: () => what.made,
  id: () => '',
});
const encoder = new TextEncoder();
let text = '';
const hand = (last: boolean): void => {
  const bytes = encoder.encode(text);
  port.postMessage({ bytes, last } satisfies Piece, [bytes.buffer]);
  text = '';
};
if (file !== null) await next();
for (const part of piecesOf(session, what)) {
  text += part;
  if (text.length < piece) continue;
  hand(false);
  await next();
}
hand(true);
await from.close();
port.close();
