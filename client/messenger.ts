/** Calls across to the page's worker: a request with a number, a promise for the reply of that number. */
import type { UserWord } from '../grammar/grammar.ts';
import type { Listened } from '../grammar/listener.ts';
import type { Understanding } from '../grammar/understand.ts';
import type { Attention } from '../shared/sound/listening.ts';
import type { HeardSound } from './hearing.ts';

/** What the worker does, as the page calls it. */
export interface WorkerTasks {
  /** What written words may mean. */
  read(words: string): Understanding;
  /** Compiles the language with words of the user; later reading and hearing knows them. */
  teach(words: readonly UserWord[]): null;
  /** Loads the acoustic model; null, or the sentence why it cannot be had. */
  listen(where: { readonly model: string; readonly runtime: string }): string | null;
  /** Hears samples of 16 kHz, mono, -1 to 1. */
  hear(samples: Float32Array): HeardSound;
  /** Begins to listen without a button, with these words before every note; null, or the sentence why it cannot. */
  follow(how: { readonly attention: string | null }): string | null;
  /** More sound to listen to; answered when it was listened to. */
  sound(samples: Float32Array): null;
  attend(attention: Attention): null;
  leave(nothing: null): null;
}

export type Task = keyof WorkerTasks;

export interface WorkerRequest {
  readonly id: number;
  readonly task: Task;
  readonly given: unknown;
}
export type WorkerReply =
  | { readonly id: number; readonly ok: true; readonly value: unknown }
  | { readonly id: number; readonly ok: false; readonly sentence: string };
/** Told without being asked. */
export interface WorkerEvent {
  readonly event: Listened;
}

export class Messenger {
  #id = 0;
  /** Told what listening brings. */
  onEvent: (event: Listened) => void = () => {};
  readonly #waiting = new Map<number, { done: (value: unknown) => void; fail: (cause: Error) => void }>();

  constructor(private readonly worker: Pick<Worker, 'postMessage' | 'addEventListener'>) {
    worker.addEventListener('message', (event) => {
      const reply = (event as MessageEvent<WorkerReply | WorkerEvent>).data;
      if ('event' in reply) return this.onEvent(reply.event);
      const waiting = this.#waiting.get(reply.id);
      this.#waiting.delete(reply.id);
      if (reply.ok) waiting?.done(reply.value);
      else waiting?.fail(new Error(reply.sentence));
    });
    // A worker that could not even be loaded answers nothing: all that wait are told.
    worker.addEventListener('error', () => {
      for (const { fail } of this.#waiting.values()) fail(new Error('The language could not be loaded.'));
      this.#waiting.clear();
    });
  }

  /** Rejects with a sentence when the worker could not do it. */
  call<T extends Task>(task: T, given: Parameters<WorkerTasks[T]>[0]): Promise<ReturnType<WorkerTasks[T]>> {
    const id = ++this.#id;
    return new Promise((resolve, reject) => {
      this.#waiting.set(id, { done: resolve as (value: unknown) => void, fail: reject });
      this.worker.postMessage({ id, task, given } satisfies WorkerRequest);
    });
  }
}
