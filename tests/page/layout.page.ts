/**
 * The page holds at every size that a phone has, with a long stand, a plot, a tree and its species in hand: it is never
 * wider than the screen, plot and tree are never shortened, the newest answer's figure is in sight, and what is to be
 * touched is whole. Sizes are of phones in use: common practice, no source.
 */
import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, test } from 'vitest';
import { type } from './harness.ts';
import { oneForAll } from './own.ts';

/** Told so that everything is in hand and a question is open. */
const everything = [
  'my pace is five point two three feet',
  'eye height five foot four',
  'stand alder hollow beyond the old mill and the upper brook lot, twelve acres',
  'plot fourteen, tenth acre',
  'eastern hemlock eleven point four',
  'ten and a half paces',
];
const watched = oneForAll({ reducedMotion: 'reduce' }, async (page) => {
  for (const words of everything) await type(page, words);
});
let page: Page;
beforeAll(() => {
  page = watched().page;
});

const sizes = [
  { name: '320 wide', width: 320, height: 568 },
  { name: '360 wide', width: 360, height: 640 },
  { name: '390 wide', width: 390, height: 844 },
  { name: '412 wide', width: 412, height: 915 },
  { name: 'on its side', width: 844, height: 390 },
  { name: 'small and on its side', width: 568, height: 320 },
  { name: 'with the keyboard up', width: 390, height: 460, typing: true },
  { name: 'small with the keyboard up', width: 360, height: 330, typing: true },
  { name: 'on its side with the keyboard up', width: 844, height: 190, typing: true },
  // A phone of 390 points at 200 %: half as many to lay out in.
  { name: 'at 200 % zoom', width: 195, height: 422, zoomed: true },
] as const;

async function show(size: (typeof sizes)[number]): Promise<void> {
  await page.setViewportSize({ width: size.width, height: size.height });
  await page.evaluate(() => {
    (document.activeElement as HTMLElement | null)?.blur();
  });
  if ('typing' in size) await page.focus('#words');
  await page.waitForTimeout(150);
}

/** What is beyond the right edge, as it is written. */
const beyond = () =>
  page.evaluate(() =>
    document.documentElement.scrollWidth <= innerWidth
      ? []
      : [...document.querySelectorAll('body *')]
          .filter((one) => one.checkVisibility() && one.getBoundingClientRect().right > innerWidth + 1)
          .map((one) => one.outerHTML.slice(0, 90)),
  );

/** Texts of the strip that are not shown whole. */
const shortened = () =>
  page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('.inhand .plot, .inhand .number')]
      .filter((one) => {
        const box = one.getBoundingClientRect();
        const range = document.createRange();
        range.selectNodeContents(one);
        const whole = range.getBoundingClientRect();
        return (
          !one.checkVisibility() || whole.width > box.width + 1 || box.right > innerWidth || box.width === 0
        );
      })
      .map((one) => one.textContent),
  );

/** Points of the newest answer's first line (its figure, where it has one) that are in sight, and of how many. */
const inSight = () =>
  page.evaluate(() => {
    const reply = [...document.querySelectorAll('.exchange .reply')].at(-1)!;
    const range = document.createRange();
    range.selectNodeContents(reply.querySelector('strong') ?? reply);
    const line = range.getClientRects()[0]!;
    const pages = document.querySelector('.pages')!.getBoundingClientRect();
    const seen = Math.min(line.bottom, pages.bottom, innerHeight) - Math.max(line.top, pages.top, 0);
    return { seen: Math.round(seen), of: Math.round(line.height) };
  });

/** Buttons and lines of the dock that are too small for a glove, or whose words do not fit in them. */
const cramped = () =>
  page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>('.dock button, .dock input')]
      .filter((one) => one.checkVisibility())
      .filter((one) => {
        const box = one.getBoundingClientRect();
        return (
          box.height < 55.5 ||
          box.width < 55.5 ||
          one.scrollWidth > one.clientWidth ||
          one.scrollHeight > one.clientHeight + 1
        );
      })
      .map((one) => `${one.scrollWidth} in ${one.clientWidth}: ${one.outerHTML.slice(0, 60)}`),
  );

/** Width that the placeholder needs, and has. */
const placeholder = () =>
  page.evaluate(() => {
    const line = document.querySelector<HTMLInputElement>('#words')!;
    const look = getComputedStyle(line);
    const pen = document.createElement('canvas').getContext('2d')!;
    pen.font = `${look.fontWeight} ${look.fontSize} ${look.fontFamily}`;
    const room =
      line.clientWidth - Number.parseFloat(look.paddingLeft) - Number.parseFloat(look.paddingRight);
    return { needs: pen.measureText(line.placeholder).width, room };
  });

describe.each(sizes)('$name, $width x $height', (size) => {
  test.each(['paper', 'sun'])('Talk holds with everything in hand, on %s', async (theme) => {
    await page.evaluate((to) => {
      document.documentElement.dataset.theme = to;
    }, theme);
    await show(size);
    expect(await beyond()).toEqual([]);
    expect(await shortened()).toEqual([]);
    expect(await cramped()).toEqual([]);
    if (!('zoomed' in size)) {
      const { seen, of } = await inSight();
      expect(seen).toBeGreaterThanOrEqual(of - 1);
      // The line for notes is on the screen, not below it.
      const line = (await page.locator('#words').boundingBox())!;
      expect(line.y + line.height).toBeLessThanOrEqual(size.height);
    }
    const { needs, room } = await placeholder();
    expect(room).toBeGreaterThanOrEqual(needs);
  });
});

describe('with a doubt open', () => {
  beforeAll(async () => {
    await page.setViewportSize({ width: 390, height: 844 });
    await type(page, 'red oak sixteen inches');
    await type(page, 'eighty paces');
  });
  test.each(sizes)('$name the question and its answers are there, $width x $height', async (size) => {
    await show(size);
    expect(await beyond()).toEqual([]);
    expect(await shortened()).toEqual([]);
    expect(await cramped()).toEqual([]);
    if (!('zoomed' in size)) {
      const { seen, of } = await inSight();
      expect(seen).toBeGreaterThanOrEqual(of - 1);
    }
    await page.getByRole('button', { name: 'Keep it' }).scrollIntoViewIfNeeded();
  });
});

describe('in the sun', () => {
  const screens = ['talk', 'book', 'totals', 'doubts', 'charts', 'setup', 'help'];
  test.each(screens)('%s is in heavy strokes and upright', async (screen) => {
    await page.setViewportSize({ width: 390, height: 844 });
    await page.evaluate((to) => {
      document.documentElement.dataset.theme = 'sun';
      location.hash = to;
    }, screen);
    if (screen !== 'talk') await page.locator('.leaf h1').waitFor();
    const thin = await page.evaluate(() =>
      [...document.querySelectorAll('#page *')]
        .filter((one) => one.checkVisibility() && [...one.childNodes].some((node) => node.nodeType === 3))
        .filter((one) => {
          const { fontWeight, fontStyle } = getComputedStyle(one);
          return Number(fontWeight) < 600 || fontStyle !== 'normal';
        })
        .map((one) => one.outerHTML.slice(0, 80)),
    );
    expect(thin).toEqual([]);
  });
});

test('a reply is at least 1.4 rem, and no label of a sketch is under 14 points', async () => {
  await page.evaluate(() => {
    document.documentElement.dataset.theme = 'paper';
    location.hash = 'talk';
  });
  for (const size of sizes) {
    await show(size);
    const { replies, labels } = await page.evaluate(() => {
      const rem = Number.parseFloat(getComputedStyle(document.documentElement).fontSize);
      return {
        replies: [...document.querySelectorAll('.exchange .reply')].map(
          (one) => Number.parseFloat(getComputedStyle(one).fontSize) / rem,
        ),
        labels: [...document.querySelectorAll<SVGTextElement>('.sketch text')]
          .filter((one) => one.checkVisibility())
          .map((one) => {
            const drawn = one.ownerSVGElement!;
            const scale = drawn.getBoundingClientRect().width / drawn.viewBox.baseVal.width;
            return Number.parseFloat(getComputedStyle(one).fontSize) * scale;
          }),
      };
    });
    expect(Math.min(...replies)).toBeGreaterThanOrEqual(1.4);
    if (labels.length > 0) expect(Math.min(...labels)).toBeGreaterThanOrEqual(13.99);
  }
});

test("the device's darkness is followed, and the colour of the browser's frame with it", async () => {
  const frame = () => page.locator('meta[name="theme-color"]').getAttribute('content');
  await page.reload();
  await page.locator('#words').waitFor();
  await page.emulateMedia({ colorScheme: 'light' });
  await expect.poll(() => page.locator('html').getAttribute('data-theme')).toBe('paper');
  expect(await frame()).toBe('#f4efe1');
  await page.emulateMedia({ colorScheme: 'dark' });
  await expect.poll(() => page.locator('html').getAttribute('data-theme')).toBe('night');
  expect(await frame()).toBe('#14181d');
  await page.emulateMedia({ colorScheme: 'light' });
});
