/**
 * Streams of sound that the process of the hearing listens to without a button: which there are, what each is told,
 * and how much of it still waits there. When the process dies every stream is lost and told so; whoever sent the
 * sound has it still.
 */
import type { Listened } from '../../grammar/decoding/listener.ts';
import type { ListeningGate } from '../../shared/sound/endpointing.ts';
import type { FromWorker, ToWorker } from './worker-messages.ts';

export interface StreamParts {
  /** Word or words before every note; null for none. */
  readonly wakeWord: string | null;
  /** Listening has begun; how voices are told from other sounds. */
  ready(voice: 'network' | 'energy'): void;
  tell(event: Listened): void;
  /** Some sound was listened to: less of it waits now. */
  taken(): void;
  /** The stream is over: what was not told is unheard. */
  lost(sentence: string): void;
}

export interface Stream {
  /** Samples that were pushed and not listened to yet. */
  readonly waiting: number;
  /** More sound: 16 kHz, mono, -1 to 1. */
  push(samples: Float32Array): void;
  attend(gate: ListeningGate): void;
  close(): void;
}

interface Open {
  readonly parts: StreamParts;
  waiting: number;
  /** What came before there was a process to send it to. */
  early: ToWorker[];
}

export class Streams {
  #send: ((message: ToWorker) => void) | null = null;
  #last = 0;
  readonly #open = new Map<number, Open>();

  /** The process is ready: streams that waited for it begin. */
  begin(send: (message: ToWorker) => void): void {
    this.#send = send;
    for (const [stream, open] of this.#open) {
      send({ type: 'follow', stream, wakeWord: open.parts.wakeWord });
      for (const message of open.early) send(message);
      open.early = [];
    }
  }

  /** The process is gone. */
  end(sentence: string): void {
    this.#send = null;
    const lost = [...this.#open.values()];
    this.#open.clear();
    for (const { parts } of lost) parts.lost(sentence);
  }

  follow(parts: StreamParts): Stream {
    const stream = ++this.#last;
    const open: Open = { parts, waiting: 0, early: [] };
    this.#open.set(stream, open);
    this.#send?.({ type: 'follow', stream, wakeWord: parts.wakeWord });
    const send = (message: ToWorker) => {
      if (!this.#open.has(stream)) return;
      if (this.#send) this.#send(message);
      else open.early.push(message);
    };
    return {
      get waiting() {
        return open.waiting;
      },
      push: (samples) => {
        open.waiting += samples.length;
        send({ type: 'sound', stream, samples });
      },
      attend: (gate) => send({ type: 'attend', stream, gate }),
      close: () => {
        send({ type: 'leave', stream });
        this.#open.delete(stream);
      },
    };
  }

  /** Takes what the process says of streams; false for anything else. */
  receive(message: FromWorker): boolean {
    switch (message.type) {
      case 'following':
        this.#open.get(message.stream)?.parts.ready(message.voice);
        return true;
      case 'listened':
        this.#open.get(message.stream)?.parts.tell(message.event);
        return true;
      case 'taken': {
        const open = this.#open.get(message.stream);
        if (open) {
          open.waiting -= message.samples;
          open.parts.taken();
        }
        return true;
      }
      default:
        return false;
    }
  }
}
