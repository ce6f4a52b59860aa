/** What holds without a network wherever the page came from: our server, or its folder on a plain host. */
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { openPage, type } from './harness.ts';
import type { Host, Own } from './own.ts';

const notice = (page: Page) => page.locator('.notice').first().textContent();

/** Waits until the service worker has the whole page. */
export async function stored(page: Page): Promise<void> {
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
}

/** Tests of two tabs, the microphone, the clock and a full browser, for the page of one host. */
export function alone(own: Own<Host>): void {
  test('two tabs of one browser share one book and number its entries without a gap', async () => {
    const one = await own.open();
    const two = await openPage(one.context, own.server.url);
    await Promise.all(
      [
        [one.page, 'red maple eleven point four'],
        [two.page, 'red oak sixteen two'],
      ].map(async ([page, words]) => {
        await (page as Page).fill('#words', words as string);
        await (page as Page).press('#words', 'Enter');
      }),
    );
    // Each tab shows its own line and the other's.
    await expect.poll(() => one.page.locator('.exchange').count()).toBe(2);
    await one.page.waitForTimeout(300);
    expect(await type(one.page, 'how many trees')).toBe('2 trees.');
    const numbers = await one.page.evaluate(
      () =>
        new Promise<number[]>((resolve) => {
          const opening = indexedDB.open('stemsay');
          opening.onsuccess = () => {
            const all = opening.result.transaction('entries').objectStore('entries').getAll();
            all.onsuccess = () => resolve(all.result.map((row: { entry: { seq: number } }) => row.entry.seq));
          };
        }),
    );
    expect(numbers).toEqual([1, 2, 3]);
  });
  test('a refused microphone is said in a sentence that tells what to do', async () => {
    const { page } = await own.open({ allow: false });
    await page.keyboard.press('Tab');
    await page.locator('.hold').dispatchEvent('pointerdown', { pointerId: 1 });
    await page.locator('.notice').first().waitFor();
    expect(await notice(page)).toMatch(/not allowed to use the microphone.*or type the note/);
    expect(await type(page, 'eye height five foot four')).toBe('Eye height 5 feet 4.');
  });
  test('a clock that was set back is told, and notes stay in their order', async () => {
    const { page, context } = await own.open();
    await type(page, 'eye height five foot four');
    await page.close();
    const later = await context.newPage();
    await later.clock.install({ time: Date.now() - 3 * 86_400_000 });
    await later.goto(own.server.url);
    await later.clock.resume();
    await later.locator('.notice').first().waitFor();
    expect(await notice(later)).toMatch(/clock of this device stands before the last note/);
    await type(later, 'my pace is five point two feet');
    expect(await later.locator('.said').last().textContent()).toContain('my pace');
  });
  test('a browser without room says that the note is not kept, and gives its words back', async () => {
    const { page } = await own.open();
    await page.evaluate(() => {
      IDBObjectStore.prototype.add = () => {
        throw new DOMException('full', 'QuotaExceededError');
      };
    });
    await page.fill('#words', 'eye height five foot four');
    await page.press('#words', 'Enter');
    await page.locator('p.trouble').waitFor();
    expect(await page.locator('p.trouble').textContent()).toMatch(/no room left\. The note is not kept/);
    await expect.poll(() => page.inputValue('#words')).toBe('eye height five foot four');
  });
}
