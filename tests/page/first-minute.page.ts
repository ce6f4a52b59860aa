/**
 * The first minute: eleven people who have never seen the page come to a first height, each in another way, with nobody
 * to help. Heights: paces times pace plus eye, stick as long as the reach (equal triangles). Each way is printed with
 * its taps, its keys and its seconds: those of the machine, and those that hand and mind take, by the keystroke-level
 * model (Card, Moran, Newell 1980; its times from memory); walking and speaking are not in them.
 */
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { hold, lead, openPage, phone, type } from './harness.ts';
import { ownForEach } from './own.ts';

const own = ownForEach();

/** Seconds of the keystroke-level model: a key of an average typist, reaching for a place, making up one's mind. */
const model = { key: 0.28, reach: 1.1, mind: 1.35 };

interface Effort {
  /** Buttons pressed and fields entered. */
  taps: number;
  keys: number;
}
declare const effort: Effort;

/** Counts what a person would have to do from here on; the function it gives prints it. */
async function counting(page: Page): Promise<(way: string) => Promise<Effort>> {
  await page.evaluate(() => {
    const effort: Effort = { taps: 0, keys: 0 };
    Object.assign(globalThis, { effort });
    const typed = new WeakMap<EventTarget, number>();
    const field = (target: EventTarget | null): target is HTMLInputElement =>
      target instanceof HTMLInputElement && ['text', 'search'].includes(target.type);
    // A field that is entered by a touch is one tap, its words are its keys, however a test brings them there.
    addEventListener('focusin', ({ target }) => field(target) && effort.taps++, { capture: true });
    addEventListener(
      'input',
      ({ target }) => {
        if (!field(target)) return;
        const before = typed.get(target) ?? 0;
        effort.keys += Math.max(0, target.value.length - before);
        typed.set(target, target.value.length);
      },
      { capture: true },
    );
    addEventListener('submit', ({ target }) => {
      for (const input of (target as HTMLFormElement).querySelectorAll('input')) typed.set(input, 0);
    });
    addEventListener(
      'click',
      ({ target, detail }) => {
        // Enter in a field clicks its button: that is a key.
        if (!(target instanceof Element) || field(target)) return;
        if (detail === 0) effort.keys++;
        else effort.taps++;
      },
      { capture: true },
    );
  });
  const begun = performance.now();
  return async (way) => {
    const done = await page.evaluate(() => effort);
    const person = done.taps * (model.reach + model.mind) + done.keys * model.key;
    const machine = (performance.now() - begun) / 1000;
    console.log(
      `first height ${way}: ${done.taps} taps, ${done.keys} keys, ${machine.toFixed(1)} s of the machine, about ${person.toFixed(0)} s of a person's hands`,
    );
    return done;
  };
}

const step = (page: Page) => page.locator('.steps [aria-current="step"] .name').textContent();
const newest = async (page: Page) =>
  ((await page.locator('.reply').last().textContent()) ?? '').replace(/\s+/g, ' ').trim();
const answered = (page: Page, count: number) =>
  expect.poll(() => page.locator('.exchange .reply').count(), { timeout: 15_000 }).toBe(count);

async function walked(page: Page, count: string): Promise<void> {
  await page.getByLabel('Counted in 100 feet').fill(count);
  await page.getByRole('button', { name: 'That was it' }).click();
}
async function eye(page: Page, feet: string, inches: string): Promise<void> {
  await page.getByLabel('Feet', { exact: true }).fill(feet);
  await page.getByLabel('Inches').fill(inches);
  await page.getByRole('button', { name: 'Set', exact: true }).click();
}
async function tree(page: Page, kind: string, thick: string, paces: string): Promise<void> {
  await page.getByLabel(/^What tree/).fill(kind);
  await page.getByLabel(/^Diameter/).fill(thick);
  await page.getByLabel(/^Counted (paces|steps)/).fill(paces);
  await page.getByRole('button', { name: 'Height', exact: true }).click();
}

describe('a first height', () => {
  test('by walking a hundred feet and filling in what is asked: the steps stay until each is done', async () => {
    const { page, complaints } = await own.open();
    const done = await counting(page);
    expect(await step(page)).toBe('1. Your pace');
    await walked(page, '19');
    await answered(page, 1);
    expect(await step(page)).toBe('2. The height of your eye');
    expect(await page.locator('.steps').textContent()).toContain('Your pace done: 5.26 feet.');
    await eye(page, '5', '4');
    await answered(page, 2);
    expect(await step(page)).toBe('3. A first tree');
    await tree(page, 'red oak', '16', '13');
    await answered(page, 4);
    // 13 x 100 / 19 + 5 1/3 = 73.8
    expect(await newest(page)).toMatch(/74 feet/);
    await page.locator('.steps').waitFor({ state: 'detached' });
    expect((await done('walked, in fields')).taps).toBeLessThanOrEqual(10);
    expect(complaints).toEqual([]);
  });

  test('by saying everything: the first with the button held, the rest without hands', async () => {
    const browser = await own.browser({
      microphone: [
        lead,
        'nineteen-paces-in-one-hundred-feet',
        14,
        'eye-height-five-foot-four',
        3,
        'red-maple-eleven-point-four',
        3,
        'ten-and-a-half-paces',
        4,
      ],
    });
    const context = await browser.newContext({ viewport: phone });
    const { page } = await openPage(context, own.server.url);
    const done = await counting(page);
    expect(await hold(page, lead + 3)).toMatch(/^Pace 5\.26 feet/);
    expect(await step(page)).toBe('2. The height of your eye');
    // A reply that is spoken into the next sentence would keep it from being heard.
    await page.getByRole('button', { name: 'Voice on' }).click();
    await page.getByRole('button', { name: 'Hands-free off' }).click();
    // 10.5 x 100 / 19 + 5 1/3 = 60.6
    await expect.poll(() => newest(page), { timeout: 60_000 }).toMatch(/6[01] feet/);
    await page.locator('.steps').waitFor({ state: 'detached' });
    expect((await done('said, 19 s of it sound')).taps).toBeLessThanOrEqual(3);
  });

  test('by typing notes, all three', async () => {
    const { page } = await own.open();
    const done = await counting(page);
    await type(page, 'my pace is five point two feet');
    await type(page, 'eye height five foot six');
    // 8 x 5.2 + 5.5 = 47.1
    expect(await type(page, 'red maple ten inches, eight paces')).toMatch(/47 feet/);
    await page.locator('.steps').waitFor({ state: 'detached' });
    await done('typed as notes');
  });

  test('with the pace as a number, not walked', async () => {
    const { page } = await own.open();
    const done = await counting(page);
    await page.getByLabel('Or your pace, feet').fill('5,2');
    await page.getByRole('button', { name: 'Set', exact: true }).click();
    await answered(page, 1);
    expect(await newest(page)).toMatch(/^Pace 5\.2 feet/);
    expect(await step(page)).toBe('2. The height of your eye');
    await eye(page, '5', '6');
    await answered(page, 2);
    await tree(page, '', '', '8');
    // 8 x 5.2 + 5.5 = 47.1
    await expect.poll(() => newest(page), { timeout: 15_000 }).toMatch(/47 feet/);
    await done('with the pace as a number');
  });

  test('in metres', async () => {
    const { page } = await own.open();
    const done = await counting(page);
    await page.getByRole('button', { name: 'metres' }).click();
    await page.getByLabel('Counted in 30 metres').fill('20');
    await page.getByRole('button', { name: 'That was it' }).click();
    await page.getByLabel('Eye height, metres').fill('1.65');
    await page.getByRole('button', { name: 'Set', exact: true }).click();
    await page.getByLabel(/^What tree/).waitFor();
    await tree(page, 'red oak', '40', '14');
    // 14 x 1.5 + 1.65 = 22.65
    await expect.poll(() => newest(page), { timeout: 15_000 }).toMatch(/22\.\d metres/);
    await done('in metres');
  });

  test('with the tree first: it is told what is missing, and the step is there', async () => {
    const { page } = await own.open();
    const done = await counting(page);
    await type(page, 'red oak sixteen inches');
    const reply = await type(page, 'thirteen paces');
    expect(reply).toMatch(/pace/i);
    expect(await step(page)).toBe('1. Your pace');
    await walked(page, '20');
    await expect.poll(() => step(page)).toBe('2. The height of your eye');
    await eye(page, '5', '6');
    // 13 x 5 + 5.5 = 70.5: the height that waited is there now.
    await expect.poll(() => page.locator('.steps').count()).toBe(0);
    await done('with the tree first');
    expect(await type(page, 'mean height')).toMatch(/^7[01](\.\d)? feet/);
  });

  test('after words that mean nothing: they come back, and the steps still stand', async () => {
    const { page } = await own.open();
    const done = await counting(page);
    await page.fill('#words', 'is the weather lovely today?');
    await page.press('#words', 'Enter');
    await page.locator('.exchange.refused').waitFor();
    expect(await step(page)).toBe('1. Your pace');
    await walked(page, '19');
    await expect.poll(() => step(page)).toBe('2. The height of your eye');
    await eye(page, '5', '4');
    await expect.poll(() => step(page)).toBe('3. A first tree');
    await tree(page, 'sugar maple', '12', '11');
    // 11 x 100 / 19 + 5 1/3 = 63.2
    await expect.poll(() => newest(page), { timeout: 15_000 }).toMatch(/63 feet/);
    await done('after words that mean nothing');
  });

  test('by the keys alone', async () => {
    const { page } = await own.open();
    const done = await counting(page);
    const fill = async (label: string | RegExp, value: string) => {
      const field = page.getByLabel(label, { exact: true });
      for (let presses = 0; presses < 30; presses++) {
        if (await field.evaluate((one) => one === document.activeElement)) break;
        await page.keyboard.press('Tab');
      }
      await page.keyboard.type(value);
    };
    await fill('Counted in 100 feet', '19');
    await page.keyboard.press('Enter');
    await answered(page, 1);
    expect(await newest(page)).toMatch(/^Pace 5\.26 feet/);
    await fill('Feet', '5');
    await fill('Inches', '4');
    await page.keyboard.press('Enter');
    await answered(page, 2);
    await fill('What tree (or leave it)', 'red oak');
    await fill('Counted paces', '13');
    await page.keyboard.press('Enter');
    // 13 x 100 / 19 + 5 1/3 = 73.8
    await expect.poll(() => newest(page), { timeout: 15_000 }).toMatch(/74 feet/);
    await done('by the keys alone');
  });

  test('tried out before: nothing of the practice book is in the real one, or at the server', async () => {
    const { page } = await own.open();
    await page.getByRole('link', { name: 'Try it in a practice book' }).click();
    await page.getByText('Nothing here counts.').waitFor();
    const done = await counting(page);
    for (let count = 0; count < 3; count++) {
      const before = await page.locator('.exchange .reply').count();
      await page.getByRole('button', { name: /^Say it for me/ }).click();
      await expect
        .poll(() => page.locator('.exchange .reply').count(), { timeout: 15_000 })
        .toBeGreaterThan(before);
      await page.waitForTimeout(300);
    }
    // 8 x 5.2 + 5 1/3 = 46.9
    await expect.poll(() => newest(page)).toMatch(/47 feet/);
    await done('in the practice book');
    await page.getByRole('link', { name: 'Your book' }).click();
    await page.locator('.steps').waitFor();
    expect(await page.locator('.exchange').count()).toBe(0);
    expect(await step(page)).toBe('1. Your pace');
    await type(page, 'how many trees');
    await expect.poll(() => page.locator('.where').textContent()).toBe('Kept here and on the server.');
    const { entries } = (await (await fetch(`${own.server.url}/api/entries`)).json()) as {
      entries: { words: string }[];
    };
    expect(entries.map((entry) => entry.words)).toEqual(['how many trees']);
  });

  test('in two sittings: the steps that are left are there after a reload, and can be put away', async () => {
    const { page } = await own.open();
    await walked(page, '19');
    await answered(page, 1);
    await page.reload();
    await page.locator('.steps').waitFor();
    expect(await step(page)).toBe('2. The height of your eye');
    await page.getByRole('button', { name: 'Put these away' }).click();
    await page.getByRole('button', { name: 'First steps: 2 left' }).click();
    expect(await step(page)).toBe('2. The height of your eye');
    await eye(page, '5', '4');
    await expect.poll(() => step(page)).toBe('3. A first tree');
    await tree(page, 'hemlock', '', '9');
    // 9 x 100 / 19 + 5 1/3 = 52.7
    await expect.poll(() => newest(page), { timeout: 15_000 }).toMatch(/53 feet/);
  });

  test('without a microphone: it is said, and the fields do it', async () => {
    const browser = await own.browser({ deaf: true });
    const context = await browser.newContext({ viewport: phone, permissions: ['microphone'] });
    const { page } = await openPage(context, own.server.url);
    await page.locator('.hold').click();
    await page.locator('.notice', { hasText: 'No microphone was found' }).waitFor();
    const done = await counting(page);
    await walked(page, '19');
    await answered(page, 1);
    await eye(page, '5', '4');
    await answered(page, 2);
    await tree(page, '', '', '10');
    await answered(page, 3);
    // 10 x 100 / 19 + 5 1/3 = 58.0
    expect(await newest(page)).toMatch(/58 feet/);
    await done('without a microphone');
  });
});
