/** Calls across to the page's worker: a request with a number, a promise for the reply of that number. */
import type { SaidNote } from '../../grammar/decoding/cache-model.ts';
import type { ClipResult } from '../../grammar/decoding/clip-result.ts';
import type { Listened } from '../../grammar/decoding/listener.ts';
import type { VoiceLearnt, VoiceMaterial } from '../../grammar/learning/voice-lesson.ts';
import type { Understanding } from '../../grammar/reading/understand.ts';
import type { Taught } from '../../shared/book/taught.ts';
import type { ToldBefore } from '../../shared/dialogue/told-before.ts';
import type { ListeningGate } from '../../shared/sound/endpointing.ts';
import type { VoiceProfile } from '../../shared/sound/voice-profile.ts';
import type { EarFiles } from './ear.ts';

/** Words as typed, and what this device told just now. */
export interface TypedNote {
  readonly words: string;
  readonly before: ToldBefore;
}

/** What the worker does, as the page calls it. */
export interface WorkerTasks {
  /** What written words may mean; null where that takes what must be fetched first. */
  read(note: TypedNote): Understanding | null;
  /** The same, however long the fetching takes: a note that comes early is read by no poorer reader. */
  fetchAndRead(note: TypedNote): Understanding;
  /** Compiles the language with what the book taught; later reading and hearing knows it. */
  teach(taught: Taught): null;
  /** Loads the acoustic model; null, or the sentence why it cannot be had. */
  listen(where: EarFiles): string | null;
  /** Hears samples of 16 kHz, mono, -1 to 1. */
  hear(samples: Float32Array): ClipResult;
  /** Begins to listen without a button, with these words before every note; null, or the sentence why it cannot. */
  follow(how: { readonly wakeWord: string | null }): string | null;
  /** More sound to listen to; answered when it was listened to. */
  sound(samples: Float32Array): null;
  attend(gate: ListeningGate): null;
  leave(nothing: null): null;
  /** Who speaks from now on; false where the profile of the voice was learnt with another model, and is not used. */
  adapt(person: { readonly voice: VoiceProfile | null; readonly said: readonly SaidNote[] }): boolean;
  /** Learns a voice from clips; the ear must be open. The sentence where it could not. */
  learnVoice(material: VoiceMaterial): VoiceLearnt | string;
}

type Task = keyof WorkerTasks;

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

/** Milliseconds in which a task is done at the latest; a worker that takes longer hangs, or is dead. */
const patience: Readonly<Record<Task, number>> = {
  read: 15_000,
  // The readers of other words are some megabytes, and may come over a slow way.
  fetchAndRead: 300_000,
  teach: 30_000,
  // The model may come over a slow way.
  listen: 300_000,
  hear: 20_000,
  follow: 30_000,
  sound: 20_000,
  attend: 20_000,
  leave: 20_000,
  adapt: 30_000,
  learnVoice: 300_000,
};
/** Workers that are started, one after another's end, before it is given up; a task that is done counts anew. */
const mostDeaths = 3;

const gaveUp = 'The part of this page that reads and hears stopped again and again. Reload the page.';

interface Waiting {
  readonly done: (value: unknown) => void;
  readonly fail: (cause: Error) => void;
  readonly timer: ReturnType<typeof setTimeout>;
}

export class Messenger {
  #id = 0;
  #deaths = 0;
  #worker: Worker;
  readonly #waiting = new Map<number, Waiting>();
  /** Told what listening brings. */
  onEvent: (event: Listened) => void = () => {};
  /** Called when a new worker took the place of one that died: it has learnt nothing and has no ear yet. */
  readonly onRestart: (() => void)[] = [];

  constructor(private readonly start: () => Worker) {
    this.#worker = this.#begin();
  }

  /** Rejects with a sentence when the worker could not do it. */
  call<T extends Task>(task: T, given: Parameters<WorkerTasks[T]>[0]): Promise<ReturnType<WorkerTasks[T]>> {
    if (this.#deaths >= mostDeaths) return Promise.reject(new Error(gaveUp));
    const id = ++this.#id;
    return new Promise((resolve, reject) => {
      const timer = setTimeout(() => this.#restart(this.#worker, 'it did not answer'), patience[task]);
      this.#waiting.set(id, { done: resolve as (value: unknown) => void, fail: reject, timer });
      this.#worker.postMessage({ id, task, given } satisfies WorkerRequest);
    });
  }

  #begin(): Worker {
    const worker = this.start();
    worker.addEventListener('message', (event) => {
      const reply = (event as MessageEvent<WorkerReply | WorkerEvent>).data;
      if ('event' in reply) return this.onEvent(reply.event);
      const waiting = this.#waiting.get(reply.id);
      this.#waiting.delete(reply.id);
      clearTimeout(waiting?.timer);
      if (reply.ok) {
        this.#deaths = 0;
        waiting?.done(reply.value);
      } else waiting?.fail(new Error(reply.sentence));
    });
    // A worker that could not even be loaded answers nothing.
    worker.addEventListener('error', () => this.#restart(worker, 'it broke'));
    return worker;
  }

  /** All that wait are told; a new worker takes the place, unless that has been of no use before. */
  #restart(worker: Worker, why: string): void {
    if (worker !== this.#worker) return;
    worker.terminate();
    const waiting = [...this.#waiting.values()];
    this.#waiting.clear();
    if (++this.#deaths < mostDeaths) {
      this.#worker = this.#begin();
      for (const told of this.onRestart) told();
    }
    for (const { fail, timer } of waiting) {
      clearTimeout(timer);
      fail(
        new Error(
          this.#deaths >= mostDeaths
            ? gaveUp
            : `The part of this page that reads and hears was started again: ${why}.`,
        ),
      );
    }
  }
}
