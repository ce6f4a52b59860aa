/**
 * A device that joins a large book: it says how far it is, answers meanwhile, and draws no row that nobody reads. The
 * book is as a crew of three leaves it. JOINING names another number of entries, to measure:
 * `JOINING=10000 npm run test:page -- tests/page/joining.page.ts`. Notes are timed inside the page, from Enter to the
 * frame that shows the reply.
 */
import { expect, test } from 'vitest';
import { madeBook } from '../bench/large/made-book.ts';
import { giveBook, openPage, phone } from './harness.ts';
import { ownForEach } from './own.ts';
import { shareOf } from './timing.ts';

const own = ownForEach();
const count = Number(process.env.JOINING ?? 3000);

interface Seen {
  /** Longest tasks, milliseconds: until the page could answer, and since. */
  starting: number;
  longest: number;
  readonly states: string[];
  readonly answers: number[];
  /** True once the state line says that everything is here. */
  together: boolean;
}
declare const seen: Seen;

test('a large book is taken in with its progress told, and notes are answered meanwhile', {
  timeout: 900_000,
}, async () => {
  await giveBook(own.server.url, [...madeBook(count)]);
  const browser = await own.browser();
  const context = await browser.newContext({ viewport: phone });
  await context.addInitScript(() => {
    const seen: Seen = { starting: 0, longest: 0, states: [], answers: [], together: false };
    Object.assign(globalThis, { seen });
    new PerformanceObserver((list) => {
      for (const { duration } of list.getEntries()) {
        if (seen.answers.length === 0) seen.starting = Math.max(seen.starting, duration);
        else seen.longest = Math.max(seen.longest, duration);
      }
    }).observe({ entryTypes: ['longtask'] });
    setInterval(() => {
      const now = document.querySelector('.where')?.textContent ?? '';
      if (now !== seen.states.at(-1)) seen.states.push(now);
      seen.together ||= now === 'Kept here and on the server.';
    }, 20);
  });
  const { page, complaints } = await openPage(context, own.server.url);
  const first = await page.evaluate(async () => {
    const input = document.querySelector<HTMLInputElement>('#words')!;
    const setValue = Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value')!.set!;
    const frame = () => new Promise((resolve) => requestAnimationFrame(resolve));
    const replies = () => [...document.querySelectorAll<HTMLElement>('.exchange .reply')];
    let first = 0;
    while (!seen.together) {
      // Early rows go when there are many: a new reply is told by itself, not by their number.
      for (const reply of replies()) reply.dataset.old = '';
      setValue.call(input, 'eight paces, eye five and a half');
      input.dispatchEvent(new Event('input', { bubbles: true }));
      await frame();
      const asked = performance.now();
      input.form!.requestSubmit();
      while (replies().every(({ dataset }) => 'old' in dataset)) await frame();
      seen.answers.push(performance.now() - asked);
      if (first === 0) first = performance.now();
      // A person who speaks and walks says a note every few seconds; this one is four times as quick.
      await new Promise((resolve) => setTimeout(resolve, 500));
    }
    return first;
  });
  const together = await page.evaluate(() => performance.now());
  const { longest, starting, states, answers } = await page.evaluate(() => seen);
  const [, ...meanwhile] = answers;
  console.log(
    `${count} entries joined ${(together / 1000).toFixed(1)} s after the page was asked for; longest freeze ${longest.toFixed(0)} ms (${starting.toFixed(0)} ms while the page started, first answer after ${(first / 1000).toFixed(1)} s); ` +
      `${meanwhile.length} notes answered meanwhile, p50 ${shareOf(meanwhile, 0.5).toFixed(0)} ms, p95 ${shareOf(meanwhile, 0.95).toFixed(0)} ms`,
  );
  expect(states.some((state) => /^Taking in the book: [\d\u202f]+ of [\d\u202f]+\.$/.test(state))).toBe(true);
  expect(first).toBeGreaterThan(0);
  // Sixty rows of what others said are kept at once, folded up: nobody reads ten thousand.
  expect(await page.locator('.exchange').count()).toBeLessThan(250);
  await expect
    .poll(() => page.locator('.others summary').first().textContent())
    .toMatch(/\d notes? from (robin|wren|jay)/i);
  expect(complaints).toEqual([]);
});
