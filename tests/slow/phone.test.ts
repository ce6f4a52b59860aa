/**
 * From the screen of the computer to a height on the phone, on a wire that leads nowhere else: install, pair, speak,
 * the woods, another address, back home, put out. A real browser that trusts only the authority of the server.
 * Taps in the browser are made; those in a phone's own camera and settings are counted from the page that names them.
 */
import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import jsQr from 'jsqr';
import { type BrowserContext, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { writeWav } from '../../server/speech/audio.ts';
import { hold, lead, phone as phoneSize, soundOf, type } from '../page/harness.ts';
import { canMakeNamespaces, Wire } from './namespaces.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const there = (program: string) => spawnSync(program, ['--version']).error === undefined;
const possible = canMakeNamespaces && there('certutil') && there(process.env.CHROMIUM ?? 'chromium');

const home = '10.77.0.1';
const port = 8417;
const folder = mkdtempSync(join(tmpdir(), 'phone-'));
const book = join(folder, 'wood.book');
const phoneHome = join(folder, 'phone');
const screenHome = join(folder, 'screen');
let wire: Wire;
let server: ChildProcess;
let said = '';
const open: BrowserContext[] = [];

function start(): Promise<void> {
  said = '';
  server = spawn(
    'ip',
    [
      ...['netns', 'exec', wire.computer, process.execPath, '--import', 'tsx', 'server/main.ts'],
      ...['--lan', '--book', book],
    ],
    { cwd: root, env: { ...process.env, PORT: String(port) }, stdio: ['ignore', 'pipe', 'pipe'] },
  );
  return new Promise((resolve, reject) => {
    const listen = (part: Buffer) => {
      said += part;
      if (said.includes('pictures to scan')) resolve();
    };
    server.stdout!.on('data', listen);
    server.stderr!.on('data', listen);
    server.once('exit', (code) => reject(new Error(`the server ended with ${code}: ${said}`)));
  });
}

async function browserIn(space: string, at: string, flags: string[] = []): Promise<BrowserContext> {
  mkdirSync(at, { recursive: true });
  const context = await chromium.launchPersistentContext(join(at, 'profile'), {
    executablePath: wire.chromium(space, at),
    args: ['--no-sandbox', '--disable-dev-shm-usage', ...flags],
    viewport: phoneSize,
    acceptDownloads: true,
  });
  open.push(context);
  return context;
}

/** What a camera reads of a picture on a page. */
async function scan(page: Page, at: number): Promise<string> {
  const png = await page.locator('.qr').nth(at).screenshot();
  const { data, width, height } = await page.evaluate(async (base64) => {
    const bitmap = await createImageBitmap(
      new Blob([Uint8Array.from(atob(base64), (char) => char.charCodeAt(0))], { type: 'image/png' }),
    );
    const canvas = new OffscreenCanvas(bitmap.width, bitmap.height);
    const context = canvas.getContext('2d')!;
    context.drawImage(bitmap, 0, 0);
    const image = context.getImageData(0, 0, bitmap.width, bitmap.height);
    return { data: [...image.data], width: image.width, height: image.height };
  }, png.toString('base64'));
  return jsQr(Uint8ClampedArray.from(data), width, height)?.data ?? '';
}

const entries = (): { words: string }[] =>
  (
    JSON.parse(wire.in(wire.computer, 'curl', '-s', `http://127.0.0.1:${port}/api/entries`)) as {
      entries: { words: string }[];
    }
  ).entries;
const state = (page: Page, timeout = 90_000) =>
  expect.poll(() => page.locator('.where').textContent(), { timeout });

beforeAll(async () => {
  if (!possible) return;
  wire = new Wire(home, '10.77.0.2');
  await start();
}, 120_000);
afterAll(async () => {
  for (const context of open) await context.close().catch(() => undefined);
  server?.kill('SIGKILL');
  wire?.close();
  rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
});

test.skipIf(!possible)(
  'a phone comes in, measures in the woods, and meets the book again; put out, it stays out',
  async () => {
    const clip = 'stick-spans-seventy-feet';
    const wav = join(folder, 'microphone.wav');
    const samples = await soundOf(clip);
    const silence = 16_000 * lead;
    const whole = new Float32Array(silence + samples.length + 60 * 16_000);
    whole.set(samples, silence);
    writeFileSync(wav, writeWav(whole));
    const microphone = [
      '--use-fake-device-for-media-stream',
      '--use-fake-ui-for-media-stream',
      `--use-file-for-fake-audio-capture=${wav}%noloop`,
    ];
    const taps: string[] = [];
    const tap = async (page: Page, name: string) => {
      taps.push(name);
      await page.getByRole('button', { name }).or(page.getByRole('link', { name })).first().click();
    };

    // The computer's screen.
    const screen = await browserIn(wire.computer, screenHome);
    const shown = await screen.newPage();
    await shown.goto(`http://localhost:${port}/phones`);
    const began = Date.now();
    const [certificateAt, bookAt] = [await scan(shown, 0), await scan(shown, 1)];
    expect(certificateAt).toBe(`http://${home}:${port + 2}`);
    expect(bookAt).toMatch(new RegExp(`^https://${home}:${port + 1}/pair\\?code=\\d{8}$`));

    // The phone, before it trusts anything: it does not open the book.
    const stranger = await browserIn(wire.phone, phoneHome, microphone);
    const first = await stranger.newPage();
    await expect(first.goto(bookAt)).rejects.toThrow(/ERR_CERT_AUTHORITY_INVALID/);
    // The page that tells the refusal comes a moment later, and would break off what is opened meanwhile.
    await expect.poll(() => first.url()).toMatch(/^chrome-error:/);
    taps.push('the camera', 'the first address');
    await first.goto(certificateAt);
    const steps = await first.locator('section:has(h2:text("On Android")) li').count();
    const coming = first.waitForEvent('download');
    await tap(first, 'Get the certificate');
    const file = join(folder, 'authority.crt');
    await (await coming).saveAs(file);
    // The fingerprint on the phone is the one on the screen.
    const print = (page: Page) => page.locator('.print').textContent();
    expect(await print(first)).toBe(await print(shown));
    await stranger.close();
    const store = `sql:${join(phoneHome, '.pki', 'nssdb')}`;
    mkdirSync(join(phoneHome, '.pki', 'nssdb'), { recursive: true });
    for (const args of [
      ['-N', '--empty-password'],
      ['-A', '-t', 'C,,', '-n', 'stemsay', '-i', file],
    ])
      expect(spawnSync('certutil', ['-d', store, ...args]).status).toBe(0);

    // Now it does, without a warning, and asks for the code.
    const phone = await browserIn(wire.phone, phoneHome, microphone);
    const page = await phone.newPage();
    const asked = new Set<string>();
    phone.on('request', (request) => asked.add(new URL(request.url()).origin));
    taps.push('the camera', 'the second address');
    await page.goto(bookAt);
    await tap(page, 'Let this phone in');
    await page.locator('#words').waitFor({ timeout: 60_000 });
    taps.push('Hold to talk');
    // One span of the stick is as far as it is high: 70 feet.
    expect(await hold(page, lead + samples.length / 16_000 + 0.5)).toMatch(/^70 feet/);
    const minutes = (Date.now() - began) / 60_000;
    await state(page).toBe('Kept here and on the server.');
    expect(entries()).toHaveLength(1);
    await shown.reload();
    expect(await shown.locator('.phones').textContent()).toMatch(/phone/i);

    // Out of reach, once the ear is here.
    await expect
      .poll(() => page.evaluate(async () => (await caches.keys()).includes('transformers-cache')), {
        timeout: 90_000,
      })
      .toBe(true);
    await expect
      .poll(
        () =>
          page.evaluate(async () => {
            const cache = await caches.open('transformers-cache');
            return (await cache.keys()).some(({ url }) => url.includes('silero'));
          }),
        { timeout: 90_000 },
      )
      .toBe(true);
    await page.waitForTimeout(3000);
    wire.reach(false);
    await page.reload();
    await page.locator('#words').waitFor({ timeout: 60_000 });
    expect(await hold(page, lead + samples.length / 16_000 + 0.5)).toMatch(/^70 feet/);
    expect(await type(page, 'red maple eleven point four')).toMatch(/^Tree 1, red maple/);
    await state(page).toBe('Kept here; 2 not yet on the server.');
    expect(entries()).toHaveLength(1);

    // While it is away the server is started again and the router gives the computer another address, then the old one.
    server.kill('SIGTERM');
    await new Promise((resolve) => server.once('exit', resolve));
    await start();
    wire.move('10.77.0.9');
    await expect.poll(() => said, { timeout: 20_000 }).toContain('https://10.77.0.9:');
    wire.reach(true);
    await type(page, 'red oak sixteen two');
    await state(page).toBe('Kept here; 3 not yet on the server.');
    wire.move(home);
    await expect
      .poll(() => said, { timeout: 20_000 })
      .toContain(`The address for phones is now https://${home}:`);
    // No second pairing: the phone is known.
    await state(page).toBe('Kept here and on the server.');
    expect(entries().map(({ words }) => words)).toEqual([
      'stick spans seventy feet',
      'stick spans seventy feet',
      'red maple eleven point four',
      'red oak sixteen two',
    ]);

    // Put out from the command line while the server runs.
    const { phones } = JSON.parse(stemsay('phones', '--json')) as { phones: { name: string }[] };
    expect(phones).toHaveLength(1);
    expect(stemsay('phones', 'out', phones[0]!.name)).toMatch(/is put out/);
    await type(page, 'beech nine inches');
    await state(page).toMatch(/This phone is not let in any more\. What it holds stays on it/);
    expect(entries()).toHaveLength(4);
    expect(await type(page, 'how many trees')).toBe('3 trees.');

    expect([...asked]).toEqual([`https://${home}:${port + 1}`]);
    // Nothing that was said is in what the server printed.
    expect(said).not.toMatch(/maple|seventy|oak|beech/);
    console.log(
      [
        `taps_in_the_browser ${taps.length} (${taps.join(', ')})`,
        `steps_in_the_phones_settings ${steps - 1}`,
        `minutes_from_screen_to_first_height ${minutes.toFixed(2)} (without a person's own time)`,
      ].join('\n'),
    );
  },
  600_000,
);

function stemsay(...args: string[]): string {
  const { stdout, stderr } = spawnSync(process.execPath, ['server/stemsay.mjs', ...args, '--book', book], {
    cwd: root,
    encoding: 'utf8',
  });
  return stdout + stderr;
}

test.skipIf(!possible)('the authority that the phone installed is the one in the folder of the book', () => {
  expect(readFileSync(join(folder, 'access', 'authority.crt'), 'utf8')).toContain('BEGIN CERTIFICATE');
});
