/**
 * Hearing as a service: a process of its own holds the recognizer, clips are heard one after another, a process that
 * dies is replaced and the clip in hand tried once more. When hearing is impossible every clip is refused with the
 * reason, and the rest of the program goes on.
 *
 * A process and not a worker thread: with onnxruntime-node 1.14 the end of a thread that ran a session damages the
 * memory of the whole program (7 of 12 test programs aborted or crashed, whether the thread was terminated or ended by itself).
 */
import type { ChildProcess } from 'node:child_process';
import type { ClipResult, Unheard } from '../../grammar/decoding/clip-result.ts';
import { nothingTaught, type Taught } from '../../shared/book/taught.ts';
import { err, type Result } from '../../shared/core/result.ts';
import { places } from '../program/places.ts';
import { startProcess } from '../program/processes.ts';
import { type Stream, type StreamParts, Streams } from './streams.ts';
import type { FromWorker, SpeakerKnown, ToWorker } from './worker-messages.ts';

export interface Hearing {
  /**
   * Hears one clip: 16 kHz, mono, -1 to 1, at most 30 s; as anybody's unless it is told who speaks. Never rejects.
   */
  hear(samples: Float32Array, speaker?: SpeakerKnown): Promise<ClipResult>;
  /** What the book taught, all that holds now: known from the next clip on. The same again costs nothing. */
  teach(taught: Taught): void;
  /** Listens to a stream of sound without a button, until it is closed or lost. */
  follow(parts: StreamParts): Stream;
  /** Resolves when the first clip can be heard, or with the sentence why none ever will be. */
  readonly ready: Promise<Result<void, string>>;
  /** Why nothing can be heard, or null. */
  readonly deaf: string | null;
  close(): Promise<void>;
}

interface HearingOptions {
  /** Folder of the acoustic model; the one that comes with the program unless given. */
  readonly model?: string;
  /** Told when a process died and was replaced, or gave up: one sentence. */
  readonly onTrouble?: (sentence: string) => void;
  /** Milliseconds after which a clip counts as hung; `patience` unless given. */
  readonly patience?: number;
  /** Starts the process; another one in tests. */
  readonly spawn?: (model: string) => ChildProcess;
}

/** Clips that may wait; more means that something is wrong with whoever sends them. */
const mostWaiting = 8;
/** A clip that takes longer, milliseconds, has hung: 30 s of sound take under one second. */
const patienceMs = 15_000;
/** Deaths in a row, none of them after a clip that was heard, before hearing gives up. */
const mostDeaths = 3;

interface Job {
  readonly samples: Float32Array;
  readonly speaker: SpeakerKnown | undefined;
  readonly done: (result: ClipResult) => void;
  tries: number;
}

/** Starts the process that hears with the model of a folder. */
export function spawnWorker(model: string): ChildProcess {
  return startProcess('hearing', [model]);
}

/** Starts hearing; the model loads in the background. Call `close` to end the process. */
export function createHearing(options: HearingOptions = {}): Hearing {
  const model = options.model ?? places.model;
  const spawn = options.spawn ?? spawnWorker;
  const waiting: Job[] = [];
  let inHand: Job | null = null;
  let id = 0;
  let worker: ChildProcess | null = null;
  let running = false;
  let closed = false;
  let deaths = 0;
  let deaf: string | null = null;
  let timer: NodeJS.Timeout | undefined;
  let taught = nothingTaught;
  const streams = new Streams();
  let settleReady: (result: Result<void, string>) => void;
  const ready = new Promise<Result<void, string>>((resolve) => {
    settleReady = resolve;
  });

  function giveUp(sentence: string): void {
    deaf = sentence;
    running = false;
    worker?.kill('SIGKILL');
    options.onTrouble?.(sentence);
    settleReady(err(sentence));
    if (inHand) finish(refusal('deaf', sentence));
    for (const job of waiting.splice(0)) job.done(refusal('deaf', sentence));
    streams.end(sentence);
  }

  function finish(result: ClipResult): void {
    clearTimeout(timer);
    const job = inHand;
    inHand = null;
    job?.done(result);
    next();
  }

  function next(): void {
    if (inHand || !running || !worker) return;
    const job = waiting.shift();
    if (!job) return;
    inHand = job;
    job.tries++;
    id++;
    timer = setTimeout(() => worker?.kill('SIGKILL'), options.patience ?? patienceMs);
    const { samples, speaker } = job;
    worker.send({ type: 'hear', id, samples, ...(speaker ? { speaker } : {}) } satisfies ToWorker);
  }

  function begin(): void {
    const mine = spawn(model);
    worker = mine;
    let crash = '';
    mine.on('message', (message: FromWorker) => take(message, mine));
    mine.on('error', (problem) => {
      crash = `: ${problem instanceof Error ? problem.message : String(problem)}`;
    });
    // 'close' comes after 'exit', and also when the process could not be started at all.
    mine.on('close', () => replace(crash));
  }

  function take(message: FromWorker, from: ChildProcess): void {
    if (message.type === 'ready') {
      running = true;
      // A process that takes the place of a dead one has learnt nothing yet.
      if (taught.words.length > 0 || taught.names.length > 0)
        from.send({ type: 'teach', taught } satisfies ToWorker);
      settleReady({ ok: true, value: undefined });
      streams.begin((sent) => from.send(sent));
      next();
    } else if (message.type === 'failed') {
      giveUp(message.message);
    } else if (streams.receive(message)) {
      if (message.type === 'listened' && message.event.kind === 'heard') deaths = 0;
    } else if (inHand && 'id' in message && message.id === id) {
      if (message.type === 'heard') deaths = 0;
      finish(
        message.type === 'heard' ? message.result : refusal('deaf', `Hearing failed: ${message.message}`),
      );
    }
  }

  /** The process ended: another one takes its place, and the clip in hand is tried once more. */
  function replace(crash: string): void {
    worker = null;
    running = false;
    clearTimeout(timer);
    if (closed || deaf !== null) return;
    deaths++;
    if (deaths >= mostDeaths) {
      giveUp(`Hearing stopped ${deaths} times${crash}. Typed notes still work.`);
      return;
    }
    streams.end('Hearing stopped and is started again.');
    const job = inHand;
    inHand = null;
    if (job && job.tries >= 2)
      job.done(refusal('deaf', 'Hearing stopped twice on this clip. Say it again or type it.'));
    else if (job) waiting.unshift(job);
    options.onTrouble?.(`Hearing stopped and was started again${crash}.`);
    begin();
  }
  begin();

  return {
    ready,
    get deaf() {
      return deaf;
    },
    hear(samples, speaker) {
      if (closed) return Promise.resolve(refusal('deaf', 'Hearing was closed.'));
      if (deaf !== null) return Promise.resolve(refusal('deaf', deaf));
      if (waiting.length >= mostWaiting) {
        return Promise.resolve(refusal('busy', 'Too many sounds at once: wait for the answers.'));
      }
      return new Promise((done) => {
        waiting.push({ samples, speaker, done, tries: 0 });
        next();
      });
    },
    follow(parts) {
      const stream = streams.follow(parts);
      const reason = closed ? 'Hearing was closed.' : deaf;
      if (reason !== null) queueMicrotask(() => streams.end(reason));
      return stream;
    },
    teach(now) {
      if (JSON.stringify(now) === JSON.stringify(taught)) return;
      taught = now;
      if (running) worker?.send({ type: 'teach', taught } satisfies ToWorker);
    },
    async close() {
      closed = true;
      running = false;
      settleReady(err('Hearing was closed.'));
      streams.end('Hearing was closed.');
      if (inHand) finish(refusal('deaf', 'Hearing was closed.'));
      for (const job of waiting.splice(0)) job.done(refusal('deaf', 'Hearing was closed.'));
      const last = worker;
      if (!last) return;
      await new Promise<void>((resolve) => {
        last.once('close', () => resolve());
        last.kill('SIGKILL');
      });
    },
  };
}

const refusal = (kind: Unheard['kind'], message: string): ClipResult => err({ kind, message });
