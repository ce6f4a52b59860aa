/**
 * Ears that listen without a button: sound goes in as it is recorded, what was heard comes back with its place in the
 * sound. One in the page's worker, one at the server's end of a socket. Fetched when hands-free is first turned on.
 */
import type { Listened } from '../../grammar/decoding/listener.ts';
import type { ListeningGate } from '../../shared/sound/endpointing.ts';
import {
  type ListenRequest,
  listenLimits,
  listenPath,
  listenReplySchema,
  protocolVersion,
  wireLimits,
} from '../../shared/wire.ts';
import { pcmRate } from '../conversation/ear.ts';
import type { Messenger } from '../conversation/messenger.ts';
import { hasServer } from '../device/home.ts';
import { toPcm } from './recorder.ts';

export interface ListeningClient {
  readonly kind: 'page' | 'server' | 'none';
  /** More sound: 16 kHz, mono, -1 to 1. */
  push(samples: Float32Array<ArrayBuffer>): void;
  attend(gate: ListeningGate): void;
  close(): void;
}

export interface EarParts {
  /** Words before every note; null for none. */
  readonly wakeWord: string | null;
  readonly tell: (event: Listened) => void;
  /** The ear is gone: what it was not yet told of is for another one. */
  readonly lost: (sentence: string) => void;
}

/** Sound that may wait for an ear, samples: what a clip may last, and some; one that falls further behind is given up. */
const mostWaiting = (wireLimits.soundSeconds + 15) * pcmRate;
/** Samples of one message to the server. */
const message = listenLimits.frameBytes / 4;

/** Listens in the page's worker, whose ear is open already. Rejects with a sentence when it cannot. */
export async function openPageEar(
  worker: Messenger,
  { wakeWord, tell, lost }: EarParts,
): Promise<ListeningClient> {
  let waiting = 0;
  let open = true;
  const fail = (cause: unknown) => {
    if (!open) return;
    open = false;
    worker.onEvent = () => {};
    lost(cause instanceof Error ? cause.message : 'The ear of this page stopped.');
  };
  worker.onEvent = (event) => {
    if (open) tell(event);
  };
  const sentence = await worker.call('follow', { wakeWord });
  if (sentence !== null) throw new Error(sentence);
  return {
    kind: 'page',
    push(samples) {
      if (!open) return;
      waiting += samples.length;
      if (waiting > mostWaiting) return fail(new Error('This device is too slow to listen by itself.'));
      worker.call('sound', samples).then(() => {
        waiting -= samples.length;
      }, fail);
    },
    attend: (way) => void worker.call('attend', way).catch(fail),
    close() {
      open = false;
      worker.onEvent = () => {};
      void worker.call('leave', null).catch(() => undefined);
    },
  };
}

/** Milliseconds in which the server must be ready to listen. */
const patienceMs = 5000;

/** Listens through the server. Rejects with a sentence when it cannot. */
export function openServerEar(
  { wakeWord, tell, lost }: EarParts,
  connect: () => WebSocket = () =>
    new WebSocket(listenPath.replace(/^/, location.origin.replace(/^http/, 'ws'))),
): Promise<ListeningClient> {
  if (!hasServer) return Promise.reject(new Error('This browser does not hear yet: see Setup.'));
  return new Promise((resolve, reject) => {
    let ready = false;
    let open = true;
    const socket = connect();
    socket.binaryType = 'arraybuffer';
    const end = (sentence: string) => {
      if (!open) return;
      open = false;
      clearTimeout(timer);
      socket.close();
      if (ready) lost(sentence);
      else reject(new Error(sentence));
    };
    const timer = setTimeout(() => end('The server does not listen just now.'), patienceMs);
    const send = (request: ListenRequest) => socket.send(JSON.stringify(request));
    socket.onopen = () => send({ type: 'begin', protocol: protocolVersion, wakeWord });
    socket.onerror = () => end('The server is away, and with it its ear.');
    socket.onclose = () => end('The server is away, and with it its ear.');
    socket.onmessage = ({ data }) => {
      const read = listenReplySchema.safeParse(typeof data === 'string' ? parsed(data) : null);
      if (!read.success)
        return end('The server said something that this page does not know. Reload the page.');
      const event = read.data;
      switch (event.type) {
        case 'ready':
          ready = true;
          clearTimeout(timer);
          resolve({
            kind: 'server',
            push(samples) {
              if (!open) return;
              if (socket.bufferedAmount > 2 * mostWaiting) return end('The server cannot follow.');
              for (let at = 0; at < samples.length; at += message)
                socket.send(toPcm(samples.subarray(at, at + message)));
            },
            attend: (way) => open && send({ type: 'attend', gate: way }),
            close() {
              open = false;
              socket.close();
            },
          });
          return;
        case 'refused':
          return end(event.refused);
        default: {
          const { type: kind, ...rest } = event;
          return tell({ kind, ...rest } as Listened);
        }
      }
    };
  });
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
