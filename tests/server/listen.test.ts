/** The listening socket: who may open it, what it takes, what it does when one side is slow or goes away. */
import 'fake-indexeddb/auto';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterEach, describe, expect, test } from 'vitest';
import { WebSocket } from 'ws';
import { openBareEar } from '../../client/ear/bare-ear.ts';
import { HandsFree } from '../../client/ear/hands-free.ts';
import { type EarParts, type ListeningClient, openServerEar } from '../../client/ear/listening-client.ts';
import { toPcm } from '../../client/ear/recorder.ts';
import { SoundRing } from '../../client/ear/sound-ring.ts';
import type { Listened } from '../../grammar/decoding/listener.ts';
import { addListening, type Listening } from '../../server/http/listen.ts';
import type { StreamParts } from '../../server/speech/streams.ts';
import {
  type ListenReply,
  listenLimits,
  listenPath,
  listenReplySchema,
  protocolVersion,
} from '../../shared/wire.ts';

const open: (() => void)[] = [];
afterEach(() => {
  for (const close of open.splice(0)) close();
});

/** A stand-in for the hearing process: takes sound at once or holds it back, tells what it is made to tell. */
class FakeListening implements Listening {
  readonly streams: (StreamParts & {
    samples: number;
    waiting: number;
    attended: string[];
    closed: boolean;
  })[] = [];
  slow = false;
  follow(parts: StreamParts) {
    const made = Object.assign(Object.create(parts) as StreamParts, {
      samples: 0,
      waiting: 0,
      attended: [] as string[],
      closed: false,
    });
    this.streams.push(made);
    queueMicrotask(() => parts.ready('energy'));
    const { slow } = this;
    return {
      get waiting() {
        return made.waiting;
      },
      push(samples: Float32Array) {
        made.samples += samples.length;
        if (slow) made.waiting += samples.length;
        else parts.taken();
      },
      attend: (way: string) => void made.attended.push(way),
      close: () => {
        made.closed = true;
      },
    };
  }
}

async function serve(listening: Listening | string): Promise<{ server: Server; url: string }> {
  const server = createServer((_, response) => response.end());
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const end = addListening(server, async () => listening);
  open.push(() => {
    end();
    server.closeAllConnections();
    server.close();
  });
  return { server, url: `ws://localhost:${(server.address() as AddressInfo).port}` };
}

/** A socket as a page opens it, with everything that it was told. */
async function connect(url: string, headers: Record<string, string> = {}) {
  const socket = new WebSocket(url + listenPath, {
    headers: { origin: url.replace('ws', 'http'), ...headers },
  });
  const told: ListenReply[] = [];
  socket.on('message', (data) => told.push(listenReplySchema.parse(JSON.parse(String(data)))));
  const closed = new Promise<number>((resolve) => socket.on('close', resolve));
  await new Promise<void>((resolve, reject) => {
    socket.on('open', () => resolve());
    socket.on('error', reject);
  });
  open.push(() => socket.terminate());
  return {
    socket,
    told,
    closed,
    begin: () => socket.send(JSON.stringify({ type: 'begin', protocol: protocolVersion, wakeWord: null })),
  };
}
const until = (condition: () => boolean) => expect.poll(condition, { interval: 5 }).toBe(true);

describe('the listening socket', () => {
  test("is opened by this server's own page on this machine, by nobody else", async () => {
    const { url } = await serve(new FakeListening());
    await connect(url);
    await expect(connect(url, { origin: 'http://elsewhere.example' })).rejects.toThrow(/403/);
    await expect(connect(url, { origin: 'http://localhost:1' })).rejects.toThrow(/403/);
    await expect(connect(url, { host: 'stemsay.example' })).rejects.toThrow(/403/);
    await expect(connect(url, { 'sec-fetch-site': 'cross-site' })).rejects.toThrow(/403/);
    await expect(connect(`${url}/api/elsewhere?`, { origin: url.replace('ws', 'http') })).rejects.toThrow(
      /404/,
    );
  });

  test.each([
    ['nonsense', /neither/],
    ['null', /not as expected/],
    ['{"type":"sing"}', /not as expected/],
    [`{"type":"begin","protocol":99,"wakeWord":null}`, /version \d+, the page version 99/],
    [`{"type":"begin","protocol":${protocolVersion},"wakeWord":7}`, /wakeWord/],
    [Buffer.alloc(64), /before any sound/],
  ])('answers %s with a sentence and lets go', async (message, sentence) => {
    const { url } = await serve(new FakeListening());
    const { socket, told, closed } = await connect(url);
    socket.send(message);
    expect(await closed).toBe(1008);
    expect(told).toEqual([{ type: 'refused', refused: expect.stringMatching(sentence) }]);
  });

  test('answers half a sample, and more sound at once than it takes', async () => {
    const listening = new FakeListening();
    const { url } = await serve(listening);
    const odd = await connect(url);
    odd.begin();
    await until(() => odd.told.length === 1);
    odd.socket.send(Buffer.alloc(33));
    expect(await odd.closed).toBe(1008);
    expect(odd.told.at(-1)).toMatchObject({ refused: expect.stringMatching(/16-bit samples.*33/) });
    expect(listening.streams[0]!.closed).toBe(true);
    const large = await connect(url);
    large.begin();
    await until(() => large.told.length === 1);
    large.socket.send(Buffer.alloc(listenLimits.frameBytes + 2));
    // RFC 6455, 7.4.1: 1009 is "too big to process".
    expect(await large.closed).toBe(1009);
  });

  test('says why when nothing can be heard here', async () => {
    const { url } = await serve('Hearing is switched off here. Type the note.');
    const { told, closed, begin } = await connect(url);
    begin();
    await closed;
    expect(told).toEqual([{ type: 'refused', refused: 'Hearing is switched off here. Type the note.' }]);
  });

  test('reads no more from a page that sends faster than can be listened to, and goes on when it can', async () => {
    const listening = new FakeListening();
    listening.slow = true;
    const { url } = await serve(listening);
    const { socket, told, begin } = await connect(url);
    begin();
    await until(() => told.length === 1);
    const seconds = 600;
    for (let i = 0; i < seconds; i++) socket.send(Buffer.alloc(32_000));
    const stream = listening.streams[0]!;
    await until(() => stream.samples > listenLimits.waitingSeconds * 16_000);
    // It would go on at once if it read more than that.
    await new Promise((resolve) => setTimeout(resolve, 300));
    const taken = stream.samples;
    expect(taken).toBeGreaterThan(listenLimits.waitingSeconds * 16_000);
    // What the sockets of the system hold comes on top of what may wait.
    expect(taken).toBeLessThan(60 * 16_000);
    expect(socket.bufferedAmount).toBeGreaterThan(0);
    listening.slow = false;
    await expect
      .poll(
        () => {
          stream.waiting = 0;
          stream.taken();
          return stream.samples;
        },
        { interval: 5 },
      )
      .toBe(seconds * 16_000);
  });

  test('nine pages are one too many', async () => {
    const { url } = await serve(new FakeListening());
    for (let i = 0; i < listenLimits.sockets; i++) await connect(url);
    await expect(connect(url)).rejects.toThrow(/503/);
  });
});

/** Hands-free on a microphone and a host that are made up; the socket and the server are real. */
async function handsFree(url: () => string) {
  let block: (samples: Float32Array, rate: number) => void = () => {};
  const heard: { words: string; samples: number }[] = [];
  const unheard: number[] = [];
  const notices: (string | null)[] = [];
  const free = new HandsFree({
    microphone: {
      listen: async (listener: { block: typeof block }) => {
        block = listener.block;
      },
      leave() {},
    } as never,
    conversation: {
      settings: { wakeWord: null } as never,
      hearFree: async (pcm, { candidates }) =>
        void heard.push({ words: candidates[0]!.words, samples: pcm.length }),
      hear: async (pcm) => void unheard.push(pcm.length),
      hearWaiting: async () => {},
      notice: (_, sentence) => void notices.push(sentence),
    },
    openEar: (parts: EarParts): Promise<ListeningClient> =>
      openServerEar(
        parts,
        () =>
          new WebSocket(url() + listenPath, { headers: { origin: url().replace('ws', 'http') } }) as never,
      ),
    openBare: openBareEar,
  });
  open.push(() => free.stop());
  /** Sound of the microphone; nothing of it waits anywhere when this resolves. */
  const speak = async (seconds: number, loud: boolean) => {
    for (let i = 0; i < seconds * 20; i++) {
      block(
        Float32Array.from(
          { length: 800 },
          (_, k) => (loud ? (i % 4 === 3 ? 0.004 : 0.3) : 0.0004) * Math.sin(k * 0.3 + i),
        ),
        16_000,
      );
      if (i % 20 === 0) await new Promise((resolve) => setTimeout(resolve, 1));
    }
  };
  return { free, speak, heard, unheard, notices };
}
const note = { kind: 'scratch' } as const;
const heardAt = (from: number, to: number): Listened => ({
  kind: 'heard',
  from,
  to,
  candidates: [{ notes: [note], words: 'scratch that', posterior: 1 }],
  facts: { margin: 0, posterior: 1 },
});

describe('a lost connection', () => {
  test('in the middle of a note loses nothing: the note is cut here and kept, exactly once', async () => {
    const listening = new FakeListening();
    const { url, server } = await serve(listening);
    const { free, speak, heard, unheard, notices } = await handsFree(() => url);
    await free.start();
    await until(() => free.ear === 'server');
    await speak(1, false);
    await speak(1, true);
    await until(() => listening.streams[0]!.samples >= 2 * 16_000);
    // The cable is pulled: the server never told of this note.
    server.closeAllConnections();
    listening.streams[0]!.lost('gone');
    await until(() => free.ear === 'none');
    await speak(0.5, true);
    await speak(3, false);
    await until(() => unheard.length === 1);
    // 1.5 s of sound, the pre-roll and the silence behind it; the second of quiet before is not part of it.
    expect(unheard[0]! / 16_000).toBeGreaterThan(1.5);
    expect(unheard[0]! / 16_000).toBeLessThan(3.2);
    expect(heard).toEqual([]);
    expect(notices.at(-1)).toMatch(/kept and answered when there is an ear again/);
  });

  test('after a note was answered does not answer it again', async () => {
    const listening = new FakeListening();
    const { url } = await serve(listening);
    const { free, speak, heard, unheard } = await handsFree(() => url);
    await free.start();
    await until(() => free.ear === 'server');
    await speak(1, true);
    await speak(1, false);
    await until(() => listening.streams[0]!.samples >= 2 * 16_000);
    listening.streams[0]!.tell(heardAt(0, 24_000));
    await until(() => heard.length === 1);
    expect(heard[0]).toEqual({ words: 'scratch that', samples: 24_000 });
    listening.streams[0]!.lost('gone');
    await until(() => free.ear === 'none');
    await speak(2, false);
    await new Promise((resolve) => setTimeout(resolve, 50));
    expect(unheard).toEqual([]);
    expect(heard.length).toBe(1);
  });

  test('is opened again, and the new ear hears what the old one never told of', async () => {
    const listening = new FakeListening();
    const { url } = await serve(listening);
    const { free, speak } = await handsFree(() => url);
    await free.start();
    await until(() => free.ear === 'server');
    await speak(8, true);
    await until(() => listening.streams[0]!.samples >= 8 * 16_000);
    listening.streams[0]!.lost('gone');
    await until(() => free.ear === 'none');
    await expect.poll(() => free.ear).toBe('server');
    await until(() => listening.streams[1]!.samples >= 8 * 16_000);
    expect(listening.streams[1]!.attended).toEqual(['open']);
  });

  test('a server that is not there is told, and what is said is kept', async () => {
    const { free, speak, unheard, notices } = await handsFree(() => 'ws://localhost:9');
    await free.start();
    await until(() => free.ear === 'none');
    await speak(0.5, false);
    await speak(1, true);
    await speak(2, false);
    await until(() => unheard.length === 1);
    expect(notices.at(-1)).toMatch(/server is away.*kept and answered/);
  });
});

describe('the sound that is kept', () => {
  test('is cut by its place, also when its beginning is gone', () => {
    const ring = new SoundRing(1000);
    for (let i = 0; i < 30; i++) ring.push(Float32Array.from({ length: 100 }, (_, k) => i * 100 + k));
    expect(ring.end).toBe(3000);
    expect([...ring.cut(2450, 2455)]).toEqual([2450, 2451, 2452, 2453, 2454]);
    expect(ring.cut(0).length).toBe(1000);
    ring.drop(2950);
    expect(ring.cut(0)[0]).toBe(2900);
    expect(ring.cut(2990, 5000).length).toBe(10);
  });

  test('travels as 16 bits', () => {
    expect([...new Int16Array(toPcm(Float32Array.of(-1, 0, 0.5)).buffer)]).toEqual([-32_767, 0, 16_384]);
  });
});
