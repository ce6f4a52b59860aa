/** Help: everything that can be said is there, from the language itself; found, tried without a trace, printed. */
import type { Page } from 'playwright-core';
import { beforeAll, expect, test } from 'vitest';
import { grammar } from '../../grammar/description/grammar.ts';
import { type } from './harness.ts';
import { oneForAll } from './own.ts';

const watched = oneForAll({ reducedMotion: 'reduce' });
let page: Page;
beforeAll(async () => {
  page = watched().page;
  await page.locator('.tohelp').click();
  await page.locator('.help h1').waitFor();
});

const rules = grammar.rules.filter((rule) => rule.family !== undefined);

test('every rule of the language is a thing that can be said, in its chapter, with an example', async () => {
  expect(await page.locator('.help [role="status"]').first().textContent()).toBe(
    `${rules.length} things can be said.`,
  );
  expect(await page.locator('.entry').count()).toBe(rules.length);
  const chapters = await page.locator('.guide section:not(.onpaper) h2').allTextContents();
  expect(chapters).toEqual([...new Set(rules.map((rule) => rule.family))]);
  const bare = await page
    .locator('.entry')
    .evaluateAll((all) => all.filter((one) => !one.querySelector('.example')).map((one) => one.textContent));
  expect(bare).toHaveLength(rules.filter((rule) => (rule.examples ?? []).length === 0).length);
});

test('it is searched by what one wants to do, and each word must be there', async () => {
  const field = page.getByRole('searchbox');
  await field.fill('shadow');
  // The way to a height by it, and how to ask for help with it.
  await expect
    .poll(() => page.locator('.entry .example q').allTextContents())
    .toEqual(expect.arrayContaining([expect.stringMatching(/^shadow eighty four/), 'help shadow']));
  expect(await page.locator('.entry').count()).toBe(2);
  await field.fill('shadow level');
  await expect.poll(() => page.locator('.entry').count()).toBe(1);
  await field.fill('shadow nonsense');
  await expect.poll(() => page.locator('.entry').count()).toBe(0);
  await field.fill('');
});

test('the first example of every rule is answered with a touch, and nothing is kept', {
  timeout: 180_000,
}, async () => {
  const examples = page.locator('.entry .example:first-of-type');
  const count = await examples.count();
  const silent: string[] = [];
  for (let at = 0; at < count; at++) {
    const example = examples.nth(at);
    await example.locator('button').evaluate((button) => (button as HTMLButtonElement).click());
    await example
      .locator('.reply')
      .waitFor({ timeout: 10_000 })
      .catch(async () => silent.push((await example.textContent()) ?? ''));
  }
  expect(silent).toEqual([]);
  const replies = await page.locator('.entry .example:first-of-type .reply').allTextContents();
  expect(replies.filter((reply) => /could not be tried/.test(reply))).toEqual([]);
  // Whoever tries a height is given one: 8 paces x 5.2 feet + 5.5 = 47.1 feet.
  await page.getByRole('searchbox').fill('eight paces');
  await page.getByRole('button', { name: 'Try: eight paces eye five and a half', exact: true }).click();
  await expect.poll(() => page.locator('.example .reply').first().textContent()).toMatch(/47\s+feet/);
  await page.getByRole('searchbox').fill('');
  await page.evaluate(() => {
    location.hash = 'talk';
  });
  expect(await page.locator('.exchange').count()).toBe(0);
  expect(await type(page, 'how many trees')).toMatch(/^(No|0) trees/);
});

test('it is printed as a guide of two pages', async () => {
  await page.evaluate(() => {
    location.hash = 'help';
  });
  await page.locator('.help h1').waitFor();
  for (const format of ['A4', 'Letter']) {
    const sheets = (await page.pdf({ format })).toString('latin1').match(/\/Type\s*\/Page\b/g);
    expect(sheets).toHaveLength(2);
  }
});

test('it is there without a network', async () => {
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
  await watched().context.setOffline(true);
  await page.reload();
  await page.locator('.entry').first().waitFor();
  expect(await page.locator('.entry').count()).toBe(rules.length);
  await watched().context.setOffline(false);
});

test('the documents are read beside the book, without a network too, and lead back to it', async () => {
  const links = page.locator('.documents a');
  expect(await links.count()).toBeGreaterThan(7);
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
  await page.context().setOffline(true);
  await links.filter({ hasText: 'Methods' }).click();
  await page.getByRole('heading', { name: 'Heights', exact: true }).waitFor();
  expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(
    await page.evaluate(() => innerWidth),
  );
  await page.getByRole('link', { name: 'Back to the book' }).click();
  await page.locator('#words').waitFor();
  await page.context().setOffline(false);
});
