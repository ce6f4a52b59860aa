/**
 * A server with a book of its own and a browser with a microphone that plays a clip. Chromium is not brought by npm:
 * the environment variable CHROMIUM names it, else the usual place is tried.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import { readWav, writeWav } from '../../server/speech/audio.ts';
import type { Entry } from '../../shared/note/journal.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));

export interface Server {
  readonly url: string;
  readonly port: number;
  readonly folder: string;
  /** Ends it as a power cut would. */
  stop(): Promise<void>;
  /** Starts it again on the same port and book. */
  start(): Promise<void>;
  /** Stops it and removes its book. */
  close(): Promise<void>;
}

/** A free port: asked of the system, then let go. */
async function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const probe = createServer();
    probe.once('error', reject);
    probe.listen(0, '127.0.0.1', () => {
      const address = probe.address();
      probe.close(() => (typeof address === 'object' && address ? resolve(address.port) : reject(address)));
    });
  });
}

/** `fill` may write the book before it is served. */
export async function startServer(fill: (book: string) => void = () => {}): Promise<Server> {
  const folder = await mkdtemp(join(tmpdir(), 'page-'));
  fill(join(folder, 'test.book'));
  const port = await freePort();
  let child: ChildProcess | null = null;
  const start = () =>
    new Promise<void>((resolve, reject) => {
      child = spawn(
        process.execPath,
        ['--import', 'tsx', 'server/main.ts', '--book', join(folder, 'test.book')],
        {
          cwd: root,
          env: { ...process.env, PORT: String(port) },
          stdio: ['ignore', 'pipe', 'pipe'],
        },
      );
      let said = '';
      const listen = (data: Buffer) => {
        said += data;
        if (said.includes('stemsay is at')) resolve();
      };
      child.stdout!.on('data', listen);
      child.stderr!.on('data', listen);
      child.once('exit', (code) => reject(new Error(`the server ended with ${code}: ${said}`)));
    });
  const stop = async () => {
    const ending = child;
    child = null;
    if (!ending || ending.exitCode !== null) return;
    await new Promise<void>((resolve) => {
      ending.once('exit', () => resolve());
      ending.kill('SIGKILL');
    });
  };
  await start();
  return {
    url: `http://localhost:${port}`,
    port,
    folder,
    start,
    stop,
    async close() {
      await stop();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/** Gives a server a whole book, as another device would; and has the page packed, which a server does at its first start. */
export async function giveBook(url: string, entries: readonly Entry[]): Promise<void> {
  for (let at = 0; at < entries.length; at += 2000) {
    const response = await fetch(`${url}/api/entries`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ entries: entries.slice(at, at + 2000) }),
    });
    if (!response.ok) throw new Error(`The book was not taken: ${await response.text()}`);
  }
  for (const file of ['', 'main.js', 'language.bin']) await (await fetch(`${url}/${file}`)).blob();
}

export interface BrowserOptions {
  /**
   * What the microphone plays from when it is opened: the name of a clip in tests/clips without `.wav`, or several,
   * each after so many seconds of silence, or with a sound of its own.
   */
  readonly microphone?: string | readonly (string | Float32Array | number)[];
  /** True: there is no microphone at all. */
  readonly deaf?: boolean;
  /** Trust a server by the SHA-256 of its public key. */
  readonly trust?: string;
  /** False: the person refuses the microphone. */
  readonly allow?: boolean;
}

/** Seconds of silence before and after a clip, so that opening the microphone cuts nothing. */
export const lead = 1;
const tail = 2;

export async function startBrowser(options: BrowserOptions = {}): Promise<Browser> {
  const flags = ['--no-sandbox', '--disable-dev-shm-usage'];
  if (options.trust) flags.push(`--ignore-certificate-errors-spki-list=${options.trust}`);
  if (!options.deaf) flags.push('--use-fake-device-for-media-stream');
  if (options.allow !== false) flags.push('--use-fake-ui-for-media-stream');
  if (options.microphone) {
    const given = options.microphone;
    const parts = typeof given === 'string' ? [lead, given, tail] : given;
    const samples = joined(await Promise.all(parts.map(soundOf)));
    const file = join(await mkdtemp(join(tmpdir(), 'clip-')), 'microphone.wav');
    await writeFile(file, writeWav(samples));
    flags.push(`--use-file-for-fake-audio-capture=${file}%noloop`);
  }
  return chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: flags });
}

/** A clip by its name, silence by its seconds; 16 kHz. */
export async function soundOf(part: string | Float32Array | number): Promise<Float32Array> {
  if (typeof part === 'number') return new Float32Array(Math.round(part * 16_000));
  if (typeof part !== 'string') return part;
  const clip = readWav(new Uint8Array(await readFile(join(root, 'tests', 'clips', `${part}.wav`))));
  if (!clip.ok) throw new Error(clip.error.message);
  return clip.value.samples;
}

function joined(parts: readonly Float32Array[]): Float32Array {
  const all = new Float32Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}

/** What a page wrote to its console as a warning or an error, and what it asked of other hosts. */
export interface Watched {
  readonly page: Page;
  readonly context: BrowserContext;
  readonly complaints: string[];
  readonly strangers: string[];
}

export const phone = { width: 390, height: 844 };
export const desk = { width: 1360, height: 860 };

/** Opens the page, in a window of its own or in the given one, and waits until it can answer. */
export async function openPage(
  where: Browser | BrowserContext,
  url: string,
  size: { width: number; height: number } = phone,
): Promise<Watched> {
  const context = 'newContext' in where ? await where.newContext({ viewport: size }) : where;
  const page = await context.newPage();
  const complaints: string[] = [];
  const strangers: string[] = [];
  page.on('console', (message) => {
    // A server that is away is part of some tests; the browser notes each failed request.
    if (['warning', 'error'].includes(message.type()) && !/Failed to load resource/.test(message.text()))
      complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(String(error)));
  page.on('request', (request) => {
    if (!request.url().startsWith(url) && !/^(blob|data):/.test(request.url())) strangers.push(request.url());
  });
  await page.goto(url);
  await page.locator('#words').waitFor({ timeout: 60_000 });
  return { page, context, complaints, strangers };
}

/** Types a note and gives the reply that the page shows for it. */
export async function type(page: Page, words: string): Promise<string> {
  const before = await page.locator('.exchange').count();
  await page.fill('#words', words);
  await page.press('#words', 'Enter');
  const answer = page.locator('.exchange').nth(before).locator('.reply');
  await answer.waitFor({ timeout: 60_000 });
  return ((await answer.textContent()) ?? '').replace(/\s+/g, ' ').trim();
}

/** Holds the talk button for as long as a clip lasts. */
export async function hold(page: Page, seconds: number): Promise<string> {
  const before = await page.locator('.exchange').count();
  const box = (await page.locator('.hold').boundingBox())!;
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.locator('.speak.talking').waitFor({ timeout: 60_000 });
  await page.waitForTimeout(seconds * 1000);
  await page.mouse.up();
  const answer = page.locator('.exchange').nth(before).locator('.reply, p.trouble');
  await answer.waitFor({ timeout: 60_000 });
  return ((await answer.textContent()) ?? '').replace(/\s+/g, ' ').trim();
}
