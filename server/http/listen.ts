/**
 * The socket that listens without hands: sound comes in from the page, what was heard goes back. It keeps nothing:
 * the page holds the sound until it was told what became of it. A page that sends faster than can be listened to is
 * read more slowly; one that says something unexpected is told so and let go.
 */
import type { IncomingMessage, Server } from 'node:http';
import type { Duplex } from 'node:stream';
import { type RawData, type WebSocket, WebSocketServer } from 'ws';
import type { Listened } from '../../grammar/decoding/listener.ts';
import { sampleRate } from '../../shared/sound/log-mel.ts';
import {
  type ListenReply,
  type ListenRequest,
  listenLimits,
  listenPath,
  listenRequestSchema,
  protocolVersion,
} from '../../shared/wire.ts';
import { type Asked, type Door, ownDoor } from '../access/door.ts';
import type { Hearing } from '../speech/hear.ts';
import type { Stream } from '../speech/streams.ts';

/** The side of hearing that listens to streams. */
export type Listening = Pick<Hearing, 'follow'>;

/** Bytes of events that may wait for a page before it counts as gone. */
const mostUnread = 1024 * 1024;
const mostWaiting = listenLimits.waitingSeconds * sampleRate;
/** Codes of RFC 6455, section 7.4.1. */
const policy = 1008;
const away = 1001;
/** Milliseconds between looks whether who listens may still do so. */
const lookEveryMs = 2000;

/**
 * Adds the socket to a server, behind its door. `listening` gives what listens, or the sentence why nothing does.
 * Returns what ends it.
 */
export function addListening(
  server: Server,
  listening: () => Promise<Listening | string>,
  door: Door = ownDoor,
): () => void {
  const sockets = new WebSocketServer({
    noServer: true,
    maxPayload: listenLimits.frameBytes,
    perMessageDeflate: false,
  });
  const upgrade = (request: IncomingMessage, socket: Duplex, head: Buffer) => {
    const sentence = refusalOf(request, sockets.clients.size, door);
    if (sentence !== null) return refuse(socket, sentence);
    // A socket outlives the moment in which it was let in: a phone that is put out meanwhile hears nothing more.
    const shut = () => door.shutTo(askedBy(request))?.sentence ?? null;
    sockets.handleUpgrade(request, socket, head, (made) => void serve(made, listening, shut));
  };
  server.on('upgrade', upgrade);
  return () => {
    server.off('upgrade', upgrade);
    for (const socket of sockets.clients) socket.close(away);
    sockets.close();
  };
}

const askedBy = ({ headers }: IncomingMessage): Asked => ({
  host: headers.host ?? '',
  origin: headers.origin,
  site: headers['sec-fetch-site'] as string | undefined,
  cookie: headers.cookie,
});

function refusalOf(request: IncomingMessage, open: number, door: Door): [number, string] | null {
  const { url = '/' } = request;
  const refusal = door.strangerTo(askedBy(request)) ?? door.shutTo(askedBy(request));
  if (refusal !== null) return [refusal.status, refusal.sentence];
  if (url.split('?')[0] !== listenPath) return [404, `There is no socket at ${url}.`];
  if (open >= listenLimits.sockets) return [503, 'Too many pages listen already: close one.'];
  return null;
}

function refuse(socket: Duplex, [status, sentence]: [number, string]): void {
  const body = JSON.stringify({ refused: sentence });
  socket.end(
    `HTTP/1.1 ${status} Refused\r\nConnection: close\r\nContent-Type: application/json\r\nContent-Length: ${Buffer.byteLength(body)}\r\n\r\n${body}`,
  );
}

async function serve(
  socket: WebSocket,
  listening: () => Promise<Listening | string>,
  shut: () => string | null,
): Promise<void> {
  let stream: Stream | null = null;
  let begun = false;
  const say = (reply: ListenReply) => {
    if (socket.readyState !== socket.OPEN) return;
    // Who does not read his events does not listen to them either.
    if (socket.bufferedAmount > mostUnread) return socket.terminate();
    socket.send(JSON.stringify(reply));
  };
  const end = (refused: string, code = policy) => {
    say({ type: 'refused', refused });
    stream?.close();
    stream = null;
    socket.close(code);
  };
  const late = setTimeout(
    () => end(`Expected {"type":"begin",...} within ${listenLimits.beginWithin / 1000} seconds.`),
    listenLimits.beginWithin,
  );
  const looking = setInterval(() => {
    const sentence = shut();
    if (sentence !== null) end(sentence);
  }, lookEveryMs);
  const hold = () => {
    if (!stream) return;
    if (stream.waiting > mostWaiting) socket.pause();
    else if (socket.isPaused) socket.resume();
  };

  const begin = async ({ wakeWord }: Extract<ListenRequest, { type: 'begin' }>): Promise<void> => {
    begun = true;
    clearTimeout(late);
    const found = await listening();
    if (socket.readyState !== socket.OPEN) return;
    if (typeof found === 'string') return end(found, away);
    stream = found.follow({
      wakeWord,
      ready: (voice) => say({ type: 'ready', protocol: protocolVersion, voice }),
      tell: (event) => say(replyOf(event)),
      taken: hold,
      lost: (sentence) => {
        stream = null;
        end(sentence, away);
      },
    });
  };

  const takeSound = (bytes: Buffer): void => {
    if (!stream) end('Expected {"type":"begin",...} and "ready" before any sound.');
    else if (bytes.length % 2 === 1)
      end(`Expected 16-bit samples, found an odd number of bytes (${bytes.length}).`);
    else {
      stream.push(samplesOf(bytes));
      hold();
    }
  };
  const takeRequest = (text: string): void => {
    const read = requestOf(text);
    if (typeof read === 'string') end(read);
    else if (read.type === 'attend') stream?.attend(read.gate);
    else if (begun) end('Expected one {"type":"begin",...}, found a second.');
    else void begin(read);
  };

  socket.on('message', (data: RawData, binary: boolean) =>
    binary ? takeSound(data as Buffer) : takeRequest(String(data)),
  );
  // Messages larger than they may be, broken frames: the library closes the socket and says why.
  socket.on('error', () => undefined);
  socket.on('close', () => {
    clearTimeout(late);
    clearInterval(looking);
    stream?.close();
    stream = null;
  });
}

/** A request of the page, or the sentence what was wrong with it. */
function requestOf(text: string): ListenRequest | string {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return 'Expected JSON or sound; the message is neither.';
  }
  const { protocol, type } = (value ?? {}) as { protocol?: unknown; type?: unknown };
  if (type === 'begin' && typeof protocol === 'number' && protocol !== protocolVersion)
    return `This server speaks version ${protocolVersion}, the page version ${protocol}. Reload the page.`;
  const read = listenRequestSchema.safeParse(value);
  if (read.success) return read.data;
  const issue = read.error.issues[0]!;
  return `The message is not as expected: ${issue.path.join('.') || 'as a whole'}: ${issue.message}.`;
}

function replyOf(event: Listened): ListenReply {
  if (event.kind === 'heard') {
    const { from, to, candidates, facts } = event;
    return { type: 'heard', from, to, candidates: [...candidates], facts };
  }
  const { kind: type, ...rest } = event;
  return { type, ...rest } as ListenReply;
}

/** Bytes may lie at an odd address, where no typed array can begin. */
function samplesOf(bytes: Buffer): Float32Array {
  const samples = new Float32Array(bytes.length / 2);
  for (let i = 0; i < samples.length; i++) samples[i] = bytes.readInt16LE(2 * i) / 32_768;
  return samples;
}
