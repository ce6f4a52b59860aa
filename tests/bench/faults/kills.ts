/** The program is killed while it works: over HTTP, while it listens, at the command line, in the middle of appends. */
import { spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { WebSocket } from 'ws';
import { readWav } from '../../../server/speech/audio.ts';
import { listenPath, listenReplySchema, protocolVersion } from '../../../shared/wire.ts';
import { killRounds } from '../../server/kill.ts';
import { Client, ServerProcess } from '../../support/server-process.ts';
import { countIn, folder, type Row } from './row.ts';

const root = fileURLToPath(new URL('../../..', import.meta.url));
const clip = join(root, 'tests', 'clips', 'eight-paces-eye-five-and-a-half.wav');

async function overHttp(rounds: number): Promise<Row> {
  const book = join(folder, 'http.book');
  let acknowledged = 0;
  let lost = 0;
  let told = '';
  for (let round = 0; round < rounds; round++) {
    const server = await ServerProcess.start(book);
    let working = true;
    const done = Promise.all(
      Array.from({ length: 4 }, async (_, n) => {
        const client = new Client(server.port);
        while (working) {
          try {
            const { status } = await client.note(`${8 + n} paces, eye five and a half`);
            if (status === 200) acknowledged++;
          } catch (cause) {
            told = `the connection breaks (${(cause as NodeJS.ErrnoException).code})`;
            break;
          }
        }
        client.close();
      }),
    );
    await wait(300 + 137 * (round % 5));
    await server.stop('SIGKILL');
    working = false;
    await done;
    lost = Math.max(lost, acknowledged - (await countIn(book)));
  }
  return {
    fault: 'killed (-9) while four clients tell it notes over HTTP',
    rounds,
    acknowledged,
    lost,
    told: `${told}; a page keeps the note and says "Kept here; 1 not yet on the server."`,
  };
}

/** Hands-free: what was heard is told as a note and acknowledged; then the program is killed in the middle of the next. */
async function listening(rounds: number): Promise<Row> {
  const book = join(folder, 'listening.book');
  const wav = readWav(new Uint8Array(readFileSync(clip)));
  if (!wav.ok) throw new Error(wav.error.message);
  const pcm = Buffer.alloc(2 * wav.value.samples.length);
  wav.value.samples.forEach((sample, i) => {
    pcm.writeInt16LE(Math.round(sample * 32_767), 2 * i);
  });
  let acknowledged = 0;
  let lost = 0;
  let told = '';
  for (let round = 0; round < rounds; round++) {
    const server = await ServerProcess.start(book, { hears: true });
    const socket = new WebSocket(`ws://127.0.0.1:${server.port}${listenPath}`);
    const heard = new Promise<string>((resolve, reject) => {
      socket.on('error', reject);
      socket.on('message', (data, binary) => {
        if (binary) return;
        const reply = listenReplySchema.parse(JSON.parse(String(data)));
        if (reply.type === 'heard') resolve(reply.candidates[0]!.words);
        if (reply.type === 'refused') reject(new Error(reply.refused));
        if (reply.type === 'ready') speak();
      });
    });
    const speak = () => {
      for (const part of [pcm, Buffer.alloc(64_000)])
        for (let at = 0; at < part.length; at += 32_000) socket.send(part.subarray(at, at + 32_000));
    };
    socket.on('open', () =>
      socket.send(JSON.stringify({ type: 'begin', protocol: protocolVersion, wakeWord: null })),
    );
    const words = await heard;
    const client = new Client(server.port);
    if ((await client.note(words)).status === 200) acknowledged++;
    client.close();
    const closed = new Promise<number>((resolve) => socket.on('close', resolve));
    speak();
    await wait(20 * round);
    await server.stop('SIGKILL');
    told = `the socket closes (${await closed}); the page has the sound still and gives it to the next ear`;
    lost = Math.max(lost, acknowledged - (await countIn(book)));
  }
  return { fault: 'killed (-9) while it listens over a WebSocket', rounds, acknowledged, lost, told };
}

async function commandLine(rounds: number): Promise<Row> {
  const book = join(folder, 'command.book');
  let acknowledged = 0;
  let lost = 0;
  for (let round = 0; round < rounds; round++) {
    const child = spawn(
      process.execPath,
      ['--import', 'tsx', 'server/stemsay.mjs', 'note', '--json', '--book', book],
      { cwd: root, stdio: ['pipe', 'pipe', 'ignore'] },
    );
    let text = '';
    child.stdin!.on('error', () => {});
    child.stdin!.write('9 paces, eye five and a half\n'.repeat(4000));
    const ended = new Promise((resolve) => child.once('close', resolve));
    await new Promise<void>((resolve) => {
      child.stdout!.on('data', (part) => {
        text += part;
        resolve();
      });
    });
    await wait(40 + 61 * (round % 4));
    child.kill('SIGKILL');
    await ended;
    acknowledged += text
      .split('\n')
      .slice(0, -1)
      .filter((line) => (JSON.parse(line) as { state: string }).state === 'kept').length;
    lost = Math.max(lost, acknowledged - (await countIn(book)));
  }
  return {
    fault: 'killed (-9) at the command line, a list of notes half taken',
    rounds,
    acknowledged,
    lost,
    told: 'an answer a line, as far as it came',
  };
}

export async function kills(): Promise<Row[]> {
  const appends = await killRounds(30, 2026);
  return [
    await overHttp(10),
    await listening(10),
    await commandLine(10),
    {
      fault: 'killed (-9) in the middle of appends of three entries',
      rounds: 30,
      acknowledged: appends.acknowledged,
      lost: appends.lost + appends.torn + appends.damaged,
      told: `no book damaged (${appends.damaged}), no batch torn (${appends.torn})`,
    },
  ];
}
