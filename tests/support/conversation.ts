/** A conversation for tests: real grammar, journal in memory, counted clock and ids. */

import { grammar } from '../../grammar/description/grammar.ts';
import type { Understanding } from '../../grammar/reading/understand.ts';
import { Session } from '../../shared/dialogue/session.ts';
import type { PhoneKeeper, Told, Tongue } from '../../shared/dialogue/types.ts';
import { deviceId, type Journal, MemoryJournal } from '../../shared/note/journal.ts';
import { reader, speaker } from './language.ts';

export const tongue: Tongue = {
  version: grammar.version,
  speak: (note) => speaker.speak(note) ?? JSON.stringify(note),
  hints: () => ['eight paces, eye five and a half'],
  help: () => 'Say eight paces.',
};

/** Counts one second a call, from eight in the morning of an invented day. */
export function clock(start = Date.UTC(2026, 9, 1, 8)): () => number {
  let time = start;
  return () => {
    time += 1000;
    return time;
  };
}

export function ids(device = 1): () => string {
  let n = 0;
  return () => `01990000-0000-7000-8${String(device).padStart(3, '0')}-${String(++n).padStart(12, '0')}`;
}

export interface Conversation {
  readonly session: Session;
  /** Tells typed words and gives everything that came of it. */
  tell(words: string): Promise<Told>;
  /** Tells several and gives the last reply. */
  say(...lines: string[]): Promise<string>;
}

export async function converse(
  options: {
    readonly journal?: Journal;
    readonly device?: number;
    readonly now?: () => number;
    readonly id?: () => string;
    readonly phones?: PhoneKeeper;
    /** Words as somebody types them; else only what stands in a sentence of the description. */
    readonly understand?: (words: string) => Understanding;
  } = {},
): Promise<Conversation> {
  const device = options.device ?? 1;
  const session = await Session.open(options.journal ?? new MemoryJournal(), tongue, {
    device: deviceId(`device-${device}`),
    now: options.now ?? clock(),
    id: options.id ?? ids(device),
    ...(options.phones ? { phones: options.phones } : {}),
  });
  const tell = (words: string): Promise<Told> => {
    if (options.understand !== undefined) {
      const understood = options.understand(words);
      return session.tell(
        understood.ok
          ? { words, candidates: understood.value }
          : { words, candidates: [], refusal: understood.error },
      );
    }
    const read = reader.read(words);
    return session.tell(
      read.ok
        ? { words, candidates: read.value.map(({ notes, posterior }) => ({ notes, words, posterior })) }
        : { words, candidates: [], refusal: read.error.message },
    );
  };
  return {
    session,
    tell,
    async say(...lines) {
      let reply = '';
      for (const line of lines) reply = (await tell(line)).answer.reply;
      return reply;
    },
  };
}
