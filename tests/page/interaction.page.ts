/**
 * Interaction to next paint with a large book: real taps and keys through every screen, filter, search, chart, leaf and
 * note, each timed by the browser itself from the finger to the next frame (W3C Event Timing; an interaction is its
 * longest event). BOOK names another number of entries: `BOOK=10000 npm run test:page -- tests/page/interaction.page.ts`.
 */
import type { Locator, Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { madeBook } from '../bench/large/made-book.ts';
import { giveBook, openPage, phone } from './harness.ts';
import { ownForEach } from './own.ts';
import { shareOf } from './timing.ts';

const own = ownForEach();
const count = Number(process.env.BOOK ?? 3000);

interface Interaction {
  readonly id: number;
  readonly start: number;
  readonly duration: number;
}
declare const seen: { readonly events: Interaction[]; readonly steps: [number, string][] };

/** Short events are told from this many milliseconds on; what is not told was shorter. */
const least = 16;

test('every tap and key is answered by the next frame but one', { timeout: 600_000 }, async () => {
  await giveBook(own.server.url, [...madeBook(count)]);
  const browser = await own.browser();
  const context = await browser.newContext({ viewport: phone, hasTouch: true, isMobile: true });
  await context.addInitScript((threshold) => {
    const seen = { events: [] as Interaction[], steps: [] as [number, string][] };
    Object.assign(globalThis, { seen });
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries() as PerformanceEventTiming[])
        if (entry.interactionId > 0)
          seen.events.push({ id: entry.interactionId, start: entry.startTime, duration: entry.duration });
    }).observe({ type: 'event', durationThreshold: threshold, buffered: true } as PerformanceObserverInit);
  }, least);
  const { page, complaints } = await openPage(context, own.server.url);
  await expect.poll(() => page.locator('.where').textContent()).toBe('Kept here and on the server.');
  await through(page);
  await through(page);
  await page.waitForTimeout(500);
  const { events, steps, all } = await page.evaluate(() => ({
    ...seen,
    all: (performance as Performance & { interactionCount: number }).interactionCount,
  }));
  const longest = new Map<number, Interaction>();
  for (const event of events) {
    const known = longest.get(event.id);
    if (known === undefined || known.duration < event.duration) longest.set(event.id, event);
  }
  const told = [...longest.values()];
  const durations = [
    ...told.map(({ duration }) => duration),
    ...Array.from({ length: Math.max(0, all - told.length) }, () => least),
  ];
  const p95 = shareOf(durations, 0.95);
  console.log(
    `interaction to next paint with ${count} entries: ${durations.length} interactions, p50 ${shareOf(durations, 0.5)} ms, p95 ${p95} ms, longest ${Math.max(...durations)} ms`,
  );
  const stepOf = ({ start }: Interaction) => steps.findLast(([at]) => at <= start)?.[1] ?? 'start';
  for (const event of told.sort((a, b) => b.duration - a.duration).slice(0, 12))
    console.log(`  ${event.duration} ms: ${stepOf(event)}`);
  expect(durations.length).toBeGreaterThan(150);
  // Far above the figure, for a machine that does other things beside: what is slow by its shape is still found.
  expect(p95).toBeLessThanOrEqual(400);
  expect(complaints).toEqual([]);
});

/** Once through all there is to touch. */
async function through(page: Page): Promise<void> {
  /** What comes now, and time for what came before to be drawn. */
  const step = async (name: string): Promise<void> => {
    await page.waitForTimeout(120);
    await page.evaluate((now) => seen.steps.push([performance.now(), now]), name);
  };
  const tap = async (name: string, what: Locator): Promise<void> => {
    await what.scrollIntoViewIfNeeded();
    await step(name);
    await what.tap();
  };
  const write = async (name: string, where: Locator, words: string): Promise<void> => {
    await tap(`${name}: into the field`, where);
    for (const letter of words) {
      await step(`${name}: "${letter}" of "${words}"`);
      await page.keyboard.press(letter === ' ' ? 'Space' : letter);
    }
  };
  const clear = async (name: string, words: string): Promise<void> => {
    for (let left = words.length; left > 0; left--) {
      await step(`${name}: taken back`);
      await page.keyboard.press('Backspace');
    }
  };
  const list = (label: string): Locator =>
    page.locator('.leaf label', { hasText: new RegExp(`^${label}`) }).locator('select');
  const choose = async (name: string, label: string, downs: number): Promise<void> => {
    await list(label).focus();
    for (let press = 0; press < downs; press++) {
      await step(`${name}: one further`);
      await page.keyboard.press('ArrowDown');
    }
  };
  const go = async (screen: string): Promise<void> => {
    await tap(`to ${screen}`, page.locator(`a[href="#${screen}"]:visible`).first());
    await page.locator(screen === 'talk' ? '.on-talk .dock' : '.leaf h1').waitFor();
  };
  const send = async (words: string): Promise<void> => {
    const before = await page.locator('.exchange').count();
    await write('a note', page.locator('#words'), words);
    await step(`a note sent: ${words}`);
    await page.keyboard.press('Enter');
    await page.locator('.exchange').nth(before).locator('.reply').waitFor();
  };

  for (const screen of ['book', 'totals', 'doubts', 'charts', 'setup', 'help', 'talk']) await go(screen);

  await go('book');
  await write('find in the book', page.getByLabel('Find'), 'maple');
  await clear('find in the book', 'maple');
  await choose('plot of the book', 'Plot', 3);
  await list('Plot').selectOption('');
  await choose('species of the book', 'Species', 2);
  await list('Species').selectOption('');
  await tap('only in doubt', page.getByRole('button', { name: 'In doubt', exact: true }));
  await tap('not only in doubt', page.getByRole('button', { name: 'In doubt', exact: true }));
  await tap('an entry', page.locator('.entries button.stands').nth(2));
  await tap('earlier entries', page.getByRole('button', { name: 'Show earlier ones' }));
  await tap('trees of the book', page.getByRole('button', { name: 'trees', exact: true }));
  await write('find a tree', page.getByLabel('Find'), 'spruce');
  await clear('find a tree', 'spruce');
  await tap('entries of the book', page.getByRole('button', { name: 'what was said' }));

  await go('totals');
  await choose('species of the totals', 'Species', 2);
  await choose('part of the totals', 'Part', 2);
  await tap('sources', page.locator('.figures summary').first());

  await go('doubts');

  await go('charts');
  await choose('species of the charts', 'Species', 1);
  await list('Species').selectOption('');
  for (let turn = 0; turn < 4; turn++) await tap('tree by tree', page.locator('.onetree button'));
  await step('a touch on the chart');
  await page
    .locator('.chart svg')
    .first()
    .tap({ position: { x: 150, y: 120 } });

  await go('setup');
  await write('find in setup', page.getByRole('searchbox'), 'dark');
  await tap('a leaf of setup', page.locator('.leaves a').first());
  for (const theme of ['night', 'sun', 'paper'])
    await tap(`theme ${theme}`, page.getByRole('button', { name: new RegExp(theme, 'i') }).first());

  await go('help');
  await write('find in help', page.getByRole('searchbox'), 'shadow');
  await tap('an example', page.locator('.example button').first());
  await page.locator('.example .reply').first().waitFor();
  await clear('find in help', 'shadow');

  await go('talk');
  await send('my pace is 5.2 feet');
  await send('eye height 5.5 feet');
  await send('red oak 16');
  await send('13 paces');
  for (const button of ['Why', 'Say again', 'Scratch that']) {
    const before = await page.locator('.exchange').count();
    await tap(`the button ${button}`, page.locator('.answers').getByRole('button', { name: button }));
    await page.locator('.exchange').nth(before).locator('.reply').waitFor();
  }
  await send('30 paces');
  const before = await page.locator('.exchange').count();
  await tap('an answer', page.locator('.answers .option').first());
  await page.locator('.exchange').nth(before).locator('.reply').waitFor();
}
