/** By keyboard alone, by ear alone and by place: a whole note without a pointer, what a screen reader is told, the map. */
import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, test } from 'vitest';
import { type } from './harness.ts';
import { oneForAll } from './own.ts';

const watched = oneForAll({
  reducedMotion: 'reduce',
  permissions: ['geolocation'],
  geolocation: { latitude: 44.2, longitude: -71.3, accuracy: 6 },
});
let page: Page;
beforeAll(() => {
  page = watched().page;
});

const focused = () =>
  page.evaluate(() => {
    const at = document.activeElement;
    if (at?.id === 'words') return 'the line';
    const label = at instanceof HTMLInputElement || at instanceof HTMLSelectElement ? at.labels?.[0] : null;
    return (at?.getAttribute('aria-label') ?? label?.textContent ?? at?.textContent ?? '').trim();
  });

/** Goes on with a key until what has the focus begins so; the ways there, for order. */
async function until(key: string, begins: string, most = 40): Promise<string[]> {
  const passed: string[] = [];
  for (let presses = 0; presses < most; presses++) {
    await page.keyboard.press(key);
    const at = await focused();
    passed.push(at);
    if (at.startsWith(begins)) return passed;
  }
  throw new Error(`"${begins}" was not reached by ${key}: ${passed.join(' | ')}`);
}

async function typed(words: string): Promise<string> {
  const before = await page.locator('.exchange .reply').count();
  await page.keyboard.type(words);
  await page.keyboard.press('Enter');
  await expect.poll(() => page.locator('.exchange .reply').count(), { timeout: 60_000 }).toBe(before + 1);
  return ((await page.locator('.exchange .reply').last().textContent()) ?? '').replace(/\s+/g, ' ').trim();
}

describe('with keys alone', () => {
  test('the first stop leads past everything to the line for notes', async () => {
    await page.locator('body').press('Tab');
    expect(await focused()).toBe('To the line for notes');
    const skip = await page.locator('.skip').boundingBox();
    expect(skip!.y).toBeGreaterThanOrEqual(0);
    await page.keyboard.press('Enter');
    expect(await focused()).toBe('the line');
  });

  test('a note is typed, doubted, answered and corrected', async () => {
    await typed('my pace is five point two three feet');
    await typed('eye height five foot four');
    await typed('red oak sixteen two');
    expect(await typed('thirty paces')).toMatch(/thirteen\?/);
    expect(await focused()).toBe('the line');
    // The answers stand above the line: back, not forward.
    await until('Shift+Tab', 'thirteen paces');
    await page.keyboard.press('Enter');
    // 13 x 5.23 + 5.333 = 73.3
    await expect.poll(() => page.locator('.reply').last().textContent()).toMatch(/^73 feet/);
    // The button is gone; the focus is not lost with it.
    await expect.poll(focused).toBe('Conversation');
    await until('Shift+Tab', 'Book');
    await page.keyboard.press('Enter');
    await page.locator('.leaf h1').waitFor();
    const way = await until('Tab', 'Tree 1');
    expect(way.filter((stop) => stop === '')).toEqual([]);
    await page.keyboard.press('Enter');
    // Its line comes right after the button, with its beginning written.
    await page.keyboard.press('Tab');
    await page.keyboard.press('End');
    await page.keyboard.type('seventeen inches');
    await page.keyboard.press('Enter');
    await expect
      .poll(() => page.locator('.entries > li .answered').first().textContent())
      .toMatch(/^Tree 1 is now northern red oak, 17 inches/);
  });

  test('every stop of every screen shows that it has the focus', async () => {
    for (const screen of ['talk', 'book', 'totals', 'doubts', 'charts', 'setup', 'help']) {
      await page.evaluate((to) => {
        location.hash = to;
        (document.activeElement as HTMLElement | null)?.blur();
      }, screen);
      await page.waitForTimeout(200);
      for (let stop = 0; stop < 12; stop++) {
        await page.keyboard.press('Tab');
        const outline = await page.evaluate(() => {
          const at = document.activeElement;
          if (!at || at === document.body) return 'none of the page';
          const { outlineStyle, outlineWidth } = getComputedStyle(at);
          return outlineStyle !== 'none' && Number.parseFloat(outlineWidth) >= 2
            ? 'seen'
            : at.outerHTML.slice(0, 80);
        });
        expect(['seen', 'none of the page']).toContain(outline);
      }
    }
  });
});

describe('for who hears the page', () => {
  test('a reply comes in a polite region, a trouble in an alert, the place of the notes in a status', async () => {
    await page.evaluate(() => {
      location.hash = 'talk';
    });
    const reply = await type(page, 'how many trees');
    const polite = await page.locator('[aria-live="polite"]').first().textContent();
    expect(polite).toContain(reply);
    expect(await page.locator('[role="status"]').first().textContent()).toMatch(/^Kept here/);
    expect(await page.locator('[role="alert"]').count()).toBe(1);
  });

  test('the sketch is told in words', async () => {
    const said = await page.locator('.sketch').first().getAttribute('aria-label');
    expect(said).toMatch(
      /^Sketch to scale: a tree of \d+ feet, uncertain by \d+ feet, seen from \d+ feet away/,
    );
  });
});

test('with less motion asked for, nothing moves by itself', async () => {
  const moving = await page.evaluate(() =>
    [...document.querySelectorAll('*')]
      .filter((element) => {
        const { animationName, transitionDuration } = getComputedStyle(element);
        return (
          animationName !== 'none' ||
          transitionDuration.split(', ').some((time) => Number.parseFloat(time) > 0)
        );
      })
      .map((element) => element.outerHTML.slice(0, 80)),
  );
  expect(moving).toEqual([]);
  expect(await page.evaluate(() => document.getAnimations().length)).toBe(0);
});

test('with the position kept, plots are on the map with their distance; without it, none is asked for', async () => {
  await type(page, 'plot one, tenth acre');
  await page.evaluate(() => {
    location.hash = 'charts';
  });
  await page.locator('.chart').first().waitFor();
  expect(await page.getByRole('img', { name: /^Where the plots are/ }).count()).toBe(0);
  await page.evaluate(() => {
    location.hash = 'setup/look';
  });
  await page.getByRole('switch', { name: 'Keep the position with each note' }).click();
  // 0.0009 degrees of latitude at 44.2 north are 100.0 m, 328 feet.
  for (const [words, latitude] of [
    ['plot two, tenth acre', 44.2],
    ['plot three, tenth acre', 44.2009],
  ] as const) {
    await watched().context.setGeolocation({ latitude, longitude: -71.3, accuracy: 6 });
    await page.waitForTimeout(600);
    await page.evaluate(() => {
      location.hash = 'talk';
    });
    await type(page, words);
  }
  await page.evaluate(() => {
    location.hash = 'charts';
  });
  await page.getByRole('img', { name: /^Where the plots are. 2 plots/ }).waitFor();
  await page.getByText('From plot to plot').click();
  const cells = await page.locator('details tr', { hasText: '2 to 3' }).locator('td').allTextContents();
  // Both to 6 m with 95 percent: together 8.5 m, 28 feet.
  expect(cells).toEqual(['330 ft', '28 ft', '0°']);
});

test('nothing was complained of in the console and nothing asked of another host', () => {
  expect(watched().complaints).toEqual([]);
  expect(watched().strangers).toEqual([]);
});
