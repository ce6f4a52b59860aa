/**
 * Reports and files of a book for whoever asks the server. Of a small book they are written at once; of a large one by a
 * thread, which reads the book for itself, while everybody else is answered. One after another, so that no crowd of them
 * fills the memory; who stops reading is waited for no longer.
 */
import type { Worker } from 'node:worker_threads';
import type { Entry } from '../../shared/note/journal.ts';
import { startThread } from '../program/processes.ts';
import { BusyError } from './busy.ts';
import type { Desk } from './desk.ts';
import { piecesOf, type Written } from './written.ts';

/** What the thread begins with: the book's file, or null where its entries come in messages. */
export interface Print {
  readonly what: Written;
  readonly file: string | null;
}

export type ToPrinter =
  | { readonly kind: 'entries'; readonly entries: readonly Entry[] }
  /** The next piece, please. */
  | { readonly kind: 'more' };

export interface Piece {
  /** Text as UTF-8; handed over, not copied. */
  readonly bytes: Uint8Array<ArrayBuffer>;
  readonly last: boolean;
}

/** Books of fewer entries are written at once: in less time than a thread takes to begin. */
const fewEntries = 2000;
const entriesAtOnce = 1000;
/** Milliseconds after which a reader who takes nothing is waited for no longer. */
const patienceMs = 30_000;
/** Texts that wait for their turn. */
const mostWaiting = 8;

export class Printing {
  #turn: Promise<void> = Promise.resolve();
  #waiting = 0;

  /** The text, or a stream of it as UTF-8. Rejects when it cannot be begun. */
  async print(desk: Desk, what: Written): Promise<string | ReadableStream<Uint8Array>> {
    if (desk.session.book.entries.length < fewEntries) return [...piecesOf(desk.session, what)].join('');
    if (this.#waiting >= mostWaiting)
      throw new BusyError('Others wait for their reports of this book. Ask again in a minute.');
    this.#waiting++;
    const before = this.#turn;
    let done = () => {};
    this.#turn = new Promise((resolve) => {
      done = () => {
        this.#waiting--;
        resolve();
      };
    });
    await before;
    try {
      return await streamed(desk, what, done);
    } catch (cause) {
      done();
      throw cause;
    }
  }
}

async function streamed(desk: Desk, what: Written, done: () => void): Promise<ReadableStream<Uint8Array>> {
  const file = desk.store.path ?? null;
  const thread = startThread('printing', { what, file } satisfies Print);
  const pieces = new Pieces(thread);
  const end = () => {
    clearTimeout(idle);
    void thread.terminate();
    done();
  };
  let idle = setTimeout(() => {}, 0);
  try {
    if (file === null) await bring(desk, thread);
    const first = await pieces.next();
    let ready: Piece | null = first;
    return new ReadableStream<Uint8Array>(
      {
        async pull(controller) {
          clearTimeout(idle);
          try {
            const { bytes, last } = ready ?? (await pieces.next());
            ready = null;
            controller.enqueue(bytes);
            if (last) {
              controller.close();
              end();
              return;
            }
            idle = setTimeout(() => {
              controller.error(new Error('nobody reads any more'));
              end();
            }, patienceMs);
            idle.unref();
          } catch (cause) {
            controller.error(cause);
            end();
          }
        },
        cancel: end,
      },
      { highWaterMark: 0 },
    );
  } catch (cause) {
    void thread.terminate();
    throw cause;
  }
}

/** Hands the entries over in small parts; between two the desk answers. */
async function bring({ store }: Desk, thread: Worker): Promise<void> {
  for (let cursor = 0; ; ) {
    const page = await store.since(cursor, entriesAtOnce);
    if (page.entries.length === 0) return;
    thread.postMessage({ kind: 'entries', entries: page.entries } satisfies ToPrinter);
    cursor = page.cursor;
    await new Promise((resolve) => setImmediate(resolve));
  }
}

/** What the thread gives, one piece for each time it is asked. It makes one while the one before is on its way to who reads. */
class Pieces {
  readonly #thread: Worker;
  #ahead: Promise<Piece> | null = null;

  constructor(thread: Worker) {
    this.#thread = thread;
  }

  async next(): Promise<Piece> {
    const piece = await (this.#ahead ?? this.#ask());
    this.#ahead = piece.last ? null : this.#ask();
    // Whoever takes it hears of its failure; nobody may.
    this.#ahead?.catch(() => {});
    return piece;
  }

  #ask(): Promise<Piece> {
    return new Promise((resolve, reject) => {
      const settle = () => {
        this.#thread.off('message', onPiece).off('error', onError).off('exit', onExit);
      };
      const onPiece = (piece: Piece) => {
        settle();
        resolve(piece);
      };
      const onError = (cause: Error) => {
        settle();
        reject(cause);
      };
      const onExit = (code: number) => {
        settle();
        reject(new Error(`the thread that prints ended with ${code}`));
      };
      this.#thread.on('message', onPiece).on('error', onError).on('exit', onExit);
      this.#thread.postMessage({ kind: 'more' } satisfies ToPrinter);
    });
  }
}
