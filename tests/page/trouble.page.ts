/** What goes wrong in a browser and a wood: each is a sentence on the page, and no entry is lost. More in `offline.page.ts`. */
import { spawnSync } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { openPage, phone, type } from './harness.ts';
import { ownForEach } from './own.ts';

const own = ownForEach();

const notice = (page: Page) => page.locator('.notice').first();
const state = (page: Page) => expect.poll(() => page.locator('.where').textContent(), { timeout: 60_000 });
const go = (page: Page, screen: string) =>
  page.evaluate((to) => {
    location.hash = to;
  }, screen);

test('a device without a microphone is told so, and its notes are typed', async () => {
  const browser = await own.browser({ deaf: true });
  const context = await browser.newContext({ viewport: phone, permissions: ['microphone'] });
  const { page } = await openPage(context, own.server.url);
  await page.locator('.hold').dispatchEvent('pointerdown', { pointerId: 1 });
  await notice(page).waitFor();
  expect(await notice(page).textContent()).toMatch(/No microphone was found.*or type the note/);
  expect(await type(page, 'eye height five foot four')).toBe('Eye height 5 feet 4.');
});

test('a browser that keeps nothing says so before a note is said, and names the way out', async () => {
  const browser = await own.browser();
  const context = await browser.newContext({ viewport: phone });
  // What browsers do whose private windows have no storage: opening fails.
  await context.addInitScript(() => {
    indexedDB.open = () => {
      throw new DOMException(
        'A mutation operation was attempted on a database that did not allow it.',
        'InvalidStateError',
      );
    };
  });
  const page = await context.newPage();
  await page.goto(own.server.url);
  await expect
    .poll(() => page.locator('#page').textContent(), { timeout: 60_000 })
    .toMatch(/keeps nothing for this page, as in a private window.*Open it in an ordinary window/);
});

test('the browser is asked never to clear the book at the first note that is kept, not before', async () => {
  const browser = await own.browser();
  const context = await browser.newContext({ viewport: phone });
  await context.addInitScript(() => {
    const asked: string[] = [];
    Object.assign(globalThis, { asked });
    navigator.storage.persisted = async () => false;
    navigator.storage.persist = async () => asked.push('persist') > 0;
  });
  const { page } = await openPage(context, own.server.url);
  const asked = () => page.evaluate(() => (globalThis as { asked?: string[] }).asked!.length);
  expect(await asked()).toBe(0);
  await type(page, 'red maple eleven point four');
  await expect.poll(asked).toBe(1);
  await type(page, 'red oak sixteen two');
  expect(await asked()).toBe(1);
});

test('a book that the browser clears while the page is open is written again whole', async () => {
  const { page, context } = await own.open();
  // The page itself must be kept for the reload, or it is not the book that is tested.
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
  await own.server.stop();
  await type(page, 'red maple eleven point four');
  await type(page, 'red oak sixteen two');
  const debug = await context.newCDPSession(page);
  await debug.send('Storage.clearDataForOrigin', { origin: own.server.url, storageTypes: 'indexeddb' });
  await notice(page).waitFor();
  expect(await notice(page).textContent()).toMatch(/All 2 entries were written again/);
  expect(await type(page, 'how many trees')).toBe('2 trees.');
  await page.reload();
  await page.locator('#words').waitFor();
  expect(await type(page, 'how many trees')).toBe('2 trees.');
  await own.server.start();
  await state(page).toBe('Kept here and on the server.');
});

test('a book that was cleared between two visits comes back from the server', async () => {
  const { page, context } = await own.open();
  await type(page, 'red maple eleven point four');
  await state(page).toBe('Kept here and on the server.');
  await page.close();
  const other = await context.newPage();
  await other.goto(`${own.server.url}/manifest.webmanifest`);
  const debug = await context.newCDPSession(other);
  await debug.send('Storage.clearDataForOrigin', { origin: own.server.url, storageTypes: 'all' });
  await other.goto(own.server.url);
  await other.locator('#words').waitFor();
  await expect.poll(() => other.locator('.exchange').count(), { timeout: 60_000 }).toBe(1);
  expect(await type(other, 'how many trees')).toBe('1 tree.');
});

test('what was answered is there after the browser is killed in the same moment', {
  timeout: 90_000,
}, async () => {
  const profile = await mkdtemp(join(tmpdir(), 'profile-'));
  const start = async () => {
    const context = await chromium.launchPersistentContext(profile, {
      executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
      args: ['--no-sandbox', '--disable-dev-shm-usage'],
      viewport: phone,
    });
    const { page } = await openPage(context, own.server.url);
    return { context, page };
  };
  /** Ends the processes of this profile as an empty battery would. */
  const kill = () => spawnSync('sh', ['-c', `kill -9 $(pgrep -f -- "--user-data-dir=${profile}")`]);
  try {
    const first = await start();
    await first.page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    // Nothing but this browser may hold the notes.
    await own.server.stop();
    for (const words of ['red maple eleven point four', 'red oak sixteen two', 'plot one, tenth acre'])
      await type(first.page, words);
    // One more is on its way when everything ends: it is there whole, or not at all.
    await first.page.fill('#words', 'beech nine inches');
    await first.page.press('#words', 'Enter');
    kill();
    await first.context.close().catch(() => undefined);
    const second = await start();
    expect(['2 trees.', '3 trees.']).toContain(await type(second.page, 'how many trees'));
    const lines = await second.page.locator('.exchange .said').allTextContents();
    expect(lines.filter((line) => /^(red maple|red oak|plot one)/.test(line))).toHaveLength(3);
    await second.context.close();
  } finally {
    kill();
    await rm(profile, { recursive: true, force: true, maxRetries: 5 });
  }
});

test('half a download of the ear is said, and the next try begins anew', { timeout: 120_000 }, async () => {
  const browser = await own.browser();
  const context = await browser.newContext({ viewport: phone, serviceWorkers: 'block' });
  let cuts = 1;
  await context.route('**/*.onnx', async (route) => {
    if (cuts-- <= 0) return route.continue();
    const response = await route.fetch();
    const whole = await response.body();
    await route.fulfill({
      response,
      body: whole.subarray(0, whole.length / 2),
      headers: { 'content-type': 'application/octet-stream' },
    });
  });
  const { page } = await openPage(context, own.server.url);
  await type(page, 'red maple eleven point four');
  await go(page, 'setup/hearing');
  await page.getByRole('switch', { name: 'Hear in this browser' }).click();
  const said = page.locator('.answered', { hasText: 'could not be opened' });
  await said.waitFor({ timeout: 60_000 });
  expect(await said.textContent()).toMatch(/Nothing is lost by it: try again where there is a network/);
  await page.getByRole('switch', { name: 'Hear in this browser' }).click();
  await page.getByText('This browser hears by itself now').waitFor({ timeout: 60_000 });
  await context.unrouteAll({ behavior: 'wait' });
});

test('a page that is closed with a note half typed has it again', async () => {
  const { page, context } = await own.open();
  await page.fill('#words', 'red maple eleven po');
  await page.reload();
  await page.locator('#words').waitFor();
  expect(await page.inputValue('#words')).toBe('red maple eleven po');
  await page.fill('#words', 'red maple eleven point four');
  await page.press('#words', 'Enter');
  await page.locator('.reply').first().waitFor();
  await page.close();
  const again = await context.newPage();
  await again.goto(own.server.url);
  await again.locator('#words').waitFor();
  expect(await again.inputValue('#words')).toBe('');
});
