/** Without a network, with two devices, and when things go wrong: a sentence on the page, and nothing lost. */
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { alone, stored } from './alone.ts';
import { hold, lead, openPage, phone, type } from './harness.ts';
import { ownForEach } from './own.ts';

const own = ownForEach();

const kept = (page: Page) => expect.poll(() => page.locator('.where').textContent(), { timeout: 60_000 });

test('with the server gone, the page starts again, answers, and sends what it kept when the server is back', async () => {
  const { page } = await own.open();
  // The line says the same before the note: it counts once the server has it and the page has heard so.
  const taken = page.waitForResponse((response) => response.request().method() === 'POST' && response.ok());
  await type(page, 'my pace is five point two feet');
  await (await taken).finished();
  await page.waitForTimeout(500);
  await kept(page).toBe('Kept here and on the server.');
  await stored(page);
  await own.server.stop();
  await page.reload();
  await page.locator('#words').waitFor();
  // 8 x 5.2 + 5.5 = 47.1 ft
  expect(await type(page, 'eight paces, eye five and a half')).toMatch(/^47 feet/);
  await kept(page).toBe('Kept here; 1 not yet on the server.');
  await own.server.start();
  await kept(page).toBe('Kept here and on the server.');
  const entries = await page.evaluate(() => fetch('/api/entries').then((response) => response.json()));
  expect(entries.entries.map((entry: { words: string }) => entry.words)).toEqual([
    'my pace is five point two feet',
    'eight paces, eye five and a half',
  ]);
});

test('two devices that measured apart come to the same book', async () => {
  const one = await own.open();
  const two = await openPage(one.context.browser()!, own.server.url);
  await type(one.page, 'red maple eleven point four');
  await type(two.page, 'red oak sixteen two');
  await kept(one.page).toBe('Kept here and on the server.');
  await kept(two.page).toBe('Kept here and on the server.');
  const lines = (page: Page) => expect.poll(() => page.locator('.exchange').count(), { timeout: 60_000 });
  // A look at the page is a look at the server.
  const look = (page: Page) => page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
  await look(one.page);
  await lines(one.page).toBe(2);
  expect(await type(one.page, 'how many trees')).toBe('2 trees.');
  await kept(one.page).toBe('Kept here and on the server.');
  await look(two.page);
  // Its own note, and what the other said, folded up.
  await lines(two.page).toBe(2);
  expect(await two.page.locator('.others summary').textContent()).toBe('2 notes from another device');
  expect(await type(two.page, 'how many trees')).toBe('2 trees.');
});

test('a stand that another phone named is said to be theirs, until one is named here', async () => {
  const one = await own.open();
  await type(one.page, 'i am linnet');
  await type(one.page, 'stand alder hollow, twelve acres');
  await kept(one.page).toBe('Kept here and on the server.');
  const two = await openPage(one.context.browser()!, own.server.url);
  const stand = (page: Page) =>
    expect.poll(() => page.locator('.inhand .stand').textContent(), { timeout: 60_000 });
  await stand(one.page).toBe('alder hollow');
  await stand(two.page).toBe('With linnet: alder hollow');
  await type(two.page, 'stand mill lot, forty acres');
  await stand(two.page).toBe('mill lot');
});

test('what is said while nothing can hear is kept, and answered when there is an ear again', {
  timeout: 90_000,
}, async () => {
  const { page } = await own.open({ microphone: 'plot-one-tenth-acre' });
  await kept(page).toBe('Kept here and on the server.');
  await stored(page);
  await own.server.stop();
  expect(await hold(page, lead + 3)).toMatch(/The sound is kept and will be answered/);
  await own.server.start();
  await expect
    .poll(
      () =>
        page
          .locator('.reply')
          .last()
          .textContent({ timeout: 1000 })
          .catch(() => ''),
      { timeout: 60_000 },
    )
    .toMatch(/^Plot 1, a tenth of an acre/);
});

test('a server of another version is left alone, and said so', async () => {
  const browser = await own.browser();
  const context = await browser.newContext({ viewport: phone, serviceWorkers: 'block' });
  await context.route('**/api/state', async (route) => {
    const response = await route.fetch();
    await route.fulfill({ response, json: { ...(await response.json()), protocol: 99 } });
  });
  const { page } = await openPage(context, own.server.url);
  await kept(page).toMatch(/server is of another version: reload/);
  expect(await type(page, 'eye height five foot four')).toBe('Eye height 5 feet 4.');
  await kept(page).toMatch(/server is of another version/);
  // A look at the server may be on its way: it is waited for before the browser goes.
  await context.unrouteAll({ behavior: 'wait' });
});

test('fetched once, the ear of the page hears with the server gone', { timeout: 120_000 }, async () => {
  const { page, complaints, strangers } = await own.open({ microphone: 'plot-one-tenth-acre' });
  await stored(page);
  await page.evaluate(() => {
    location.hash = 'setup/hearing';
  });
  await page.getByRole('switch', { name: 'Hear in this browser' }).click();
  await page.getByText('This browser hears by itself now').waitFor({ timeout: 60_000 });
  await own.server.stop();
  await page.evaluate(() => {
    location.hash = 'talk';
  });
  await page.reload();
  await page.locator('#words').waitFor();
  // Radius of a tenth of an acre: sqrt(43560 / 10 / pi) = 37.24 ft.
  expect(await hold(page, lead + 3)).toMatch(/^Plot 1, a tenth of an acre\. Radius 37\.2 feet/);
  expect(complaints).toEqual([]);
  expect(strangers).toEqual([]);
});

describe('wherever the page came from: our server', () => alone(own));
