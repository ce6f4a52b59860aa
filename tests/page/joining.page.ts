/**
 * A device that joins a large book: it says how far it is, answers meanwhile, and draws no row that nobody reads. JOINING
 * names another number of entries, to measure: `JOINING=10000 npm run test:page -- tests/page/joining.page.ts`.
 */
import { expect, test } from 'vitest';
import { entriesOf } from '../support/entries.ts';
import { openPage, phone } from './harness.ts';
import { ownForEach } from './own.ts';

const own = ownForEach();
const count = Number(process.env.JOINING ?? 3000);

test('a large book is taken in with its progress told, and notes are answered meanwhile', {
  timeout: 400_000,
}, async () => {
  const entries = entriesOf(count, 'd-robin');
  for (let at = 0; at < entries.length; at += 2000) {
    const response = await fetch(`${own.server.url}/api/entries`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ entries: entries.slice(at, at + 2000) }),
    });
    expect(response.status).toBe(200);
  }
  const browser = await own.browser();
  const context = await browser.newContext({ viewport: phone });
  await context.addInitScript(() => {
    const seen = { longest: 0, states: [] as string[] };
    Object.assign(globalThis, { seen });
    new PerformanceObserver((list) => {
      for (const task of list.getEntries()) seen.longest = Math.max(seen.longest, task.duration);
    }).observe({ entryTypes: ['longtask'] });
    setInterval(() => {
      const now = document.querySelector('.where')?.textContent ?? '';
      if (now !== seen.states.at(-1)) seen.states.push(now);
    }, 20);
  });
  const begun = performance.now();
  const { page, complaints } = await openPage(context, own.server.url);
  const answers: number[] = [];
  let starting = 0;
  while ((await page.locator('.where').textContent()) !== 'Kept here and on the server.') {
    const asked = performance.now();
    // Early rows go when there are many: a new reply is told by itself, not by their number.
    await page.evaluate(() => {
      for (const reply of document.querySelectorAll<HTMLElement>('.exchange .reply')) reply.dataset.old = '';
    });
    await page.fill('#words', 'eight paces, eye five and a half');
    await page.press('#words', 'Enter');
    await page.waitForFunction(
      () => document.querySelector('.exchange .reply:not([data-old])') !== null,
      undefined,
      { polling: 10, timeout: 60_000 },
    );
    answers.push(performance.now() - asked);
    // The start of the page is another matter: its language is unpacked then, joining or not.
    if (answers.length === 1)
      starting = await page.evaluate(() => {
        const { seen } = globalThis as unknown as { seen: { longest: number } };
        const { longest } = seen;
        seen.longest = 0;
        return longest;
      });
    if (performance.now() - begun > 300_000) throw new Error('it is not together');
  }
  const together = performance.now() - begun;
  const { longest, states } = await page.evaluate(
    () => (globalThis as unknown as { seen: { longest: number; states: string[] } }).seen,
  );
  const [first = 0, ...others] = answers;
  answers.splice(0, answers.length, ...others.sort((a, b) => a - b));
  const at = (share: number) =>
    answers[Math.min(answers.length - 1, Math.floor(share * answers.length))]?.toFixed(0);
  console.log(
    `${count} entries joined in ${(together / 1000).toFixed(1)} s; longest freeze ${longest.toFixed(0)} ms (${starting.toFixed(0)} ms while the page started, first answer after ${(first / 1000).toFixed(1)} s); ` +
      `${answers.length} notes answered meanwhile, p50 ${at(0.5)} ms, p95 ${at(0.95)} ms`,
  );
  expect(states.some((state) => /^Taking in the book: [\d\u202f]+ of [\d\u202f]+\.$/.test(state))).toBe(true);
  expect(first).toBeGreaterThan(0);
  // Sixty rows of what others said are kept at once, folded up: nobody reads ten thousand.
  expect(await page.locator('.exchange').count()).toBeLessThan(250);
  await expect
    .poll(() => page.locator('.others summary').first().textContent())
    .toMatch(/notes? from another device/);
  expect(complaints).toEqual([]);
});
