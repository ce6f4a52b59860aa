/**
 * The page without a server, from a plain host at a path of its own: the first visit, the wood, a new build, and the
 * book on its way to another device. Nothing that is said leaves the browser.
 */
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { type BrowserOptions, hold, lead, openPage, startBrowser, type } from './harness.ts';
import { buildSite, type StaticHost, serveFolder } from './static.ts';

let host: StaticHost;
let folder: string;
let browsers: Browser[] = [];
beforeAll(async () => {
  folder = await buildSite();
  host = await serveFolder(folder);
}, 300_000);
afterAll(() => host?.close());
afterEach(async () => {
  for (const browser of browsers) await browser.close();
  browsers = [];
  await host.stop();
  await host.start();
});

async function open(options: BrowserOptions = {}) {
  const browser = await startBrowser({ ...options, trust: host.spki });
  browsers.push(browser);
  return openPage(browser, host.url);
}
const go = (page: Page, screen: string) =>
  page.evaluate((to) => {
    location.hash = to;
  }, screen);
/** Waits until the page and its ear are kept. */
async function readyForWoods(page: Page): Promise<void> {
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
  await expect
    .poll(
      () =>
        page.evaluate(async () => {
          const names = await caches.keys();
          const held = await Promise.all(
            names.map(async (name) => (await (await caches.open(name)).keys()).map(({ url }) => url)),
          );
          const all = held.flat();
          return ['.onnx', 'silero', '.wasm', '.bin'].filter(
            (part) => !all.some((url) => url.includes(part)),
          );
        }),
      { timeout: 60_000 },
    )
    .toEqual([]);
}

test('after one visit it starts, hears, answers and makes its files with the host gone', {
  timeout: 240_000,
}, async () => {
  const { page, complaints, strangers } = await open({ microphone: [lead, 'plot-one-tenth-acre', 60] });
  expect(await page.locator('.where').textContent()).toBe('Kept here.');
  await readyForWoods(page);
  await host.stop();
  await page.reload();
  await page.locator('#words').waitFor();
  // Radius of a tenth of an acre: sqrt(43560 / 10 / pi) = 37.24 ft.
  expect(await hold(page, lead + 3)).toMatch(/^Plot 1, a tenth of an acre\. Radius 37\.2 feet/);
  expect(await type(page, 'red maple eleven point four')).toMatch(/^Tree 1, red maple/);
  expect(await page.locator('.where').textContent()).toBe('Kept here.');
  await go(page, 'charts');
  await page.locator('.chart svg').first().waitFor();
  await go(page, 'book');
  for (const [button, name, content] of [
    ['Report', 'report.html', /red maple/i],
    ['Table (CSV)', 'trees.csv', /red maple/i],
    ['Map (GeoJSON)', 'trees.geojson', /FeatureCollection/],
    ['Whole book (JSON)', 'book.json', /plot one tenth acre/],
  ] as const) {
    const coming = page.waitForEvent('download');
    await page.getByRole('button', { name: button, exact: true }).click();
    const download = await coming;
    expect(download.suggestedFilename()).toBe(name);
    expect(await readFile(await download.path(), 'utf8')).toMatch(content);
  }
  expect(complaints).toEqual([]);
  expect(strangers).toEqual([]);
});

test('what the host is asked for is its own files, never a word that was said', async () => {
  host.asked.length = 0;
  const { page } = await open({ microphone: [lead, 'plot-one-tenth-acre', 60] });
  await readyForWoods(page);
  await hold(page, lead + 3);
  await type(page, 'remark, fork at twenty feet');
  await go(page, 'book');
  await page.waitForTimeout(1500);
  const known =
    /^(GET|HEAD) \/woods\/book\/((main|worker|sw|capture\.worklet|piece-\w+)\.js|(language|piece-\w+)\.bin|styles\.css|document\.css|document-[\w-]+\.html|icon[\w-]*\.(svg|png)|manifest\.webmanifest|index\.html|model\/[\w/.]+|runtime\/ort-wasm(-simd)?\.wasm|voice-activity\/silero_vad\.onnx)?$/;
  expect(host.asked.filter((asked) => !known.test(asked))).toEqual([]);
  expect(host.asked.length).toBeGreaterThan(10);
});

test('sounds are deleted or not kept at all, and every entry stays', { timeout: 180_000 }, async () => {
  const { page } = await open({ microphone: [lead, 'plot-one-tenth-acre', 60] });
  await readyForWoods(page);
  expect(await hold(page, lead + 3)).toMatch(/^Plot 1/);
  await go(page, 'setup/storage');
  await page.getByText('The sound of one note is kept in this browser').waitFor();
  await page.getByRole('button', { name: 'Delete all sounds, keep the entries' }).click();
  await page.getByText('One sound is deleted. Every entry is still there.').waitFor();
  await page.getByText('No sound of a note is kept here.').waitFor();
  await go(page, 'book');
  // The book is drawn when its part of the page is there.
  await page.locator('.entries > li').first().waitFor();
  expect(await page.locator('.entries > li').count()).toBe(1);
  await go(page, 'setup/storage');
  await page.getByRole('switch', { name: 'Keep the sound with each note' }).click();
  await page.reload();
  await page.locator('.leaf h1').waitFor();
  await go(page, 'talk');
  expect(await hold(page, lead + 3)).toMatch(/^Plot/);
  await go(page, 'setup/storage');
  await page.getByText('No sound of a note is kept here.').waitFor();
});

test('it can be installed: the manifest stays within its folder and its icons are there', async () => {
  const { page } = await open();
  const debug = await page.context().newCDPSession(page);
  const { errors } = (await debug.send('Page.getAppManifest')) as { errors: unknown[] };
  expect(errors).toEqual([]);
  const manifest = await page.evaluate(async () => {
    const at = (document.querySelector('link[rel=manifest]') as HTMLLinkElement).href;
    const read = await (await fetch(at)).json();
    const icons = await Promise.all(
      read.icons.map(async ({ src }: { src: string }) => (await fetch(new URL(src, at))).status),
    );
    const pictures = await Promise.all(
      read.screenshots.map(async ({ src }: { src: string }) => (await fetch(new URL(src, at))).status),
    );
    const shortcuts = read.shortcuts.map(({ url }: { url: string }) => new URL(url, at).href);
    return {
      id: read.id,
      scope: new URL(read.scope, at).href,
      start: new URL(read.start_url, at).href,
      icons,
      pictures,
      shortcuts,
    };
  });
  expect(manifest).toEqual({
    id: 'stemsay',
    scope: host.url,
    start: host.url,
    icons: [200, 200, 200, 200],
    pictures: [200, 200, 200],
    shortcuts: [`${host.url}#talk`, `${host.url}#book`],
  });
});

test('the policy in its head holds: no code of others, no frame of others, no way out', async () => {
  const { page } = await open();
  const tried = await page.evaluate(async () => {
    const out: string[] = [];
    document.addEventListener('securitypolicyviolation', (event) => out.push(event.effectiveDirective));
    await fetch('https://wood.example/').catch(() => undefined);
    const script = document.createElement('script');
    script.textContent = 'globalThis.broken = true';
    document.head.append(script);
    const picture = new Image();
    picture.src = 'https://wood.example/x.png';
    await new Promise((resolve) => setTimeout(resolve, 500));
    return { out: [...new Set(out)].sort(), broken: 'broken' in globalThis };
  });
  expect(tried).toEqual({ out: ['connect-src', 'img-src', 'script-src-elem'], broken: false });
});

test('a book goes to another device by a file, and back, nothing twice', async () => {
  const one = await open();
  await type(one.page, 'plot one, tenth acre');
  await type(one.page, 'red maple eleven point four');
  await go(one.page, 'book');
  const coming = one.page.waitForEvent('download');
  await one.page.getByRole('button', { name: 'Whole book (JSON)' }).click();
  const file = await (await coming).path();

  const two = await open();
  await type(two.page, 'red oak sixteen two');
  await go(two.page, 'book');
  const bring = async (page: Page, path: string) => {
    const choosing = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: 'Bring in a book' }).click();
    await (await choosing).setFiles(path);
  };
  const said = two.page.locator('.answered[role=status]').last();
  await bring(two.page, file);
  await expect.poll(() => said.textContent()).toMatch(/2 entries taken in, 0 were here already\./);
  await bring(two.page, file);
  await expect.poll(() => said.textContent()).toMatch(/0 entries taken in, 2 were here already\./);
  await go(two.page, 'talk');
  expect(await type(two.page, 'how many trees')).toBe('2 trees.');

  const bad = join(folder, '..', `bad-${process.pid}.txt`);
  await writeFile(bad, 'red maple 11.4');
  await go(two.page, 'book');
  await bring(two.page, bad);
  await expect.poll(() => said.textContent()).toMatch(/this is not JSON\. Nothing was taken in\./);
});

test('an open page notices a new build, offers it, and loses nothing by taking it', {
  timeout: 180_000,
}, async () => {
  const { page } = await open();
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
  await type(page, 'red maple eleven point four');
  await page.fill('#words', 'half a no');
  const styles = join(folder, 'styles.css');
  const worker = join(folder, 'sw.js');
  const [oldStyles, oldWorker] = [await readFile(styles, 'utf8'), await readFile(worker, 'utf8')];
  try {
    await writeFile(styles, `${oldStyles}\nbody { --new-build: 1; }\n`);
    // The build puts the fingerprint of all files into the service worker.
    await writeFile(worker, oldWorker.replace(/[0-9a-f]{16}/, '0123456789abcdef'));
    await page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
    await page.getByRole('button', { name: 'Use it now' }).click({ timeout: 60_000 });
    await page.locator('#words').waitFor();
    await expect
      .poll(() => page.evaluate(() => getComputedStyle(document.body).getPropertyValue('--new-build')))
      .toBe('1');
    expect(await page.inputValue('#words')).toBe('half a no');
    expect(await type(page, 'how many trees')).toBe('1 tree.');
  } finally {
    await writeFile(styles, oldStyles);
    await writeFile(worker, oldWorker);
  }
});

test('the licences of everything in it are with it', async () => {
  const text = await readFile(join(folder, 'licences.txt'), 'utf8');
  for (const name of [
    'MIT',
    'Apache License',
    'preact',
    'zod',
    'idb',
    'onnxruntime-web',
    'Silero',
    'd3-scale',
    'Whisper',
  ])
    expect(text).toContain(name);
});
