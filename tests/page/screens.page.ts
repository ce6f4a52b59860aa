/**
 * Every screen in every theme: no violation of WCAG 2.2 A and AA that axe-core can find, nothing cut off at 200 % zoom,
 * nothing to touch that is smaller than a gloved thumb, and what the screens do.
 */
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import type { AxeResults } from 'axe-core';
import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, test } from 'vitest';
import { desk, phone, type } from './harness.ts';
import { oneForAll } from './own.ts';

const axe = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const screens = [
  'talk',
  'book',
  'totals',
  'doubts',
  'charts',
  'setup',
  'setup/safety',
  'setup/person',
  'setup/pace',
  'setup/units',
  'setup/species',
  'setup/voice',
  'setup/hearing',
  'setup/ownVoice',
  'setup/devices',
  'setup/look',
  'setup/storage',
  'help',
] as const;

/** Small, large, on its side, and an ordinary phone at 200 %. */
const smallSizes = [
  { width: 320, height: 568 },
  { width: 412, height: 915 },
  { width: 844, height: 390 },
  { width: 195, height: 422 },
] as const;

/** A made-up morning with a doubt that is settled, one that is open, a dead tree and an empty plot. */
const morning = [
  'my pace is five point two three feet',
  'eye height five foot four',
  'i am linnet',
  'stand alder hollow, twelve acres',
  'plot one, tenth acre',
  'red maple eleven point four',
  'ten and a half paces',
  'red oak sixteen two, two logs',
  'thirty paces',
  'thirteen',
  'sugar maple fourteen inches, dead',
  'close plot',
  'empty plot',
  'plot three, tenth acre',
  'red oak twelve inches',
  'twelve paces',
  'scratch that',
  'red oak fifteen inches',
  'thirty paces',
];

// Reduced motion and no service worker: what is looked at stands still and is the build of now.
const watched = oneForAll({ reducedMotion: 'reduce', bypassCSP: false }, async (page) => {
  for (const words of morning) await type(page, words);
});
let page: Page;
beforeAll(() => {
  page = watched().page;
});

async function go(screen: string): Promise<void> {
  await page.evaluate((to) => {
    location.hash = to;
  }, screen);
  if (screen !== 'talk') await page.locator(`.leaf h1`).waitFor();
  if (screen === 'charts') await page.locator('.chart svg').first().waitFor();
}

async function theme(name: string): Promise<void> {
  await page.evaluate((to) => {
    document.documentElement.dataset.theme = to;
  }, name);
}

/** Violations, as sentences. */
async function violations(): Promise<string[]> {
  // Handed in by the debugger, past the page's own policy that allows no foreign script.
  await page.evaluate(axe);
  const found = await page.evaluate(
    () =>
      (globalThis as unknown as { axe: { run(o: object): Promise<AxeResults> } }).axe.run({
        runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
      }) as Promise<AxeResults>,
  );
  return found.violations.flatMap((one) =>
    one.nodes.map((node) => `${one.id}: ${one.help}: ${node.html.slice(0, 120)}`),
  );
}

describe.each(screens)('%s', (screen) => {
  test.each(['paper', 'night', 'sun'])('on %s has no violation of WCAG 2.2 AA', async (name) => {
    await page.setViewportSize(phone);
    await go(screen);
    await theme(name);
    expect(await violations()).toEqual([]);
    // Leaves of Setup are laid out as Setup is.
    if (!screen.includes('/'))
      for (const size of smallSizes) {
        await page.setViewportSize(size);
        await go(screen);
        expect(await violations(), `${size.width} x ${size.height}`).toEqual([]);
      }
    await theme('paper');
  });

  test('beside the conversation on a wide page has none either', async () => {
    await page.setViewportSize(desk);
    await go(screen);
    expect(await violations()).toEqual([]);
  });

  test('at 200 % zoom needs no sideways scrolling', async () => {
    // A phone of 390 points at 200 %: half as many to lay out in.
    await page.setViewportSize({ width: 195, height: 422 });
    await go(screen);
    const beyond = () =>
      page.evaluate(() => {
        const leaf = document.querySelector('.leaf') ?? document.querySelector('.pages')!;
        const right = leaf.getBoundingClientRect().right + 1;
        const out = [...leaf.querySelectorAll('*')].filter(
          (element) =>
            element.checkVisibility() &&
            element.getBoundingClientRect().right > right &&
            !element.closest('.wide, .unseen'),
        );
        const sideways = Math.max(
          document.documentElement.scrollWidth - innerWidth,
          leaf.scrollWidth - leaf.clientWidth,
        );
        return sideways > 0
          ? [`${sideways} wide`, ...out.map((element) => element.outerHTML.slice(0, 100))]
          : [];
      });
    await expect.poll(beyond).toEqual([]);
    await page.setViewportSize(phone);
  });

  test('has nothing to touch that is smaller than a gloved thumb', async () => {
    await page.setViewportSize(phone);
    await go(screen);
    const small = await page.evaluate(() =>
      [...document.querySelectorAll('button, input, select, nav a, summary')]
        .filter((element) => element.checkVisibility())
        .map((element) => ({ box: element.getBoundingClientRect(), html: element.outerHTML.slice(0, 80) }))
        .filter(({ box }) => box.width > 0 && (box.height < 55.5 || box.width < 55.5))
        .map(({ box, html }) => `${box.width.toFixed(0)} x ${box.height.toFixed(0)}: ${html}`),
    );
    expect(small).toEqual([]);
  });
});

describe('the book', () => {
  test('is corrected in place by saying how it was', async () => {
    await go('book');
    const row = page.locator('.entries > li', { hasText: 'red maple eleven point four' });
    await row.getByRole('button', { name: /Correct/ }).click();
    await row.getByLabel('How tree 1 was').fill('tree one was twelve inches');
    await row.getByRole('button', { name: 'Enter' }).click();
    await expect.poll(() => row.locator('.stands').textContent()).toMatch(/Tree 1, red maple, 12 inches/);
  });

  test('has its days as headings, and is found by words, plot, species and doubt', async () => {
    await go('book');
    const rows = page.locator('.entries > li');
    expect(await page.locator('.day h2').allTextContents()).toEqual([
      new Date().toLocaleDateString('en-US', {
        weekday: 'long',
        day: 'numeric',
        month: 'long',
        year: 'numeric',
      }),
    ]);
    await page.getByLabel('Find').fill('thirty pac');
    await expect.poll(() => rows.count()).toBe(2);
    await page.getByLabel('Find').fill('');
    await page.getByRole('button', { name: 'In doubt' }).click();
    await expect.poll(() => rows.count()).toBe(1);
    expect(await rows.first().textContent()).toMatch(/thirty paces.*waits for an answer/);
    await page.getByRole('button', { name: 'In doubt' }).click();
    await page.getByLabel('Species').selectOption({ label: 'sugar maple' });
    await expect.poll(() => rows.count()).toBe(1);
    await page.getByLabel('Species').selectOption('');
    await page.getByLabel('Plot').selectOption({ label: 'plot 3' });
    await expect.poll(() => rows.count()).toBeGreaterThan(2);
    expect(await rows.allTextContents()).not.toContainEqual(expect.stringMatching(/Plot 1,/));
    await page.getByLabel('Plot').selectOption('');
  });

  test('is a table of trees as well; a touch on one shows what was said of it', async () => {
    await go('book');
    await page.getByRole('button', { name: 'trees', exact: true }).click();
    const rows = page.locator('.trees tbody tr');
    await expect.poll(() => rows.count()).toBeGreaterThanOrEqual(4);
    await rows.filter({ hasText: 'red maple' }).getByRole('link').click();
    await page.getByRole('button', { name: 'Tree 1 alone; show all' }).waitFor();
    const said = page.locator('.entries > li .said');
    await expect.poll(() => said.count()).toBeGreaterThanOrEqual(2);
    expect((await said.allTextContents()).at(-1)).toMatch(/^red maple eleven point four/);
    await page.getByRole('button', { name: 'Tree 1 alone; show all' }).click();
  });

  test('strikes through what was taken back and keeps it', async () => {
    await go('book');
    const back = page.locator('.entries > li.back');
    await expect.poll(() => back.count()).toBeGreaterThan(0);
    expect(await back.first().locator('.stands').textContent()).toContain('Taken back.');
  });

  test('gives its table to the downloads without a server', async () => {
    await go('book');
    const coming = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Table (CSV)' }).click();
    const download = await coming;
    expect(download.suggestedFilename()).toBe('trees.csv');
    expect(await readFile(await download.path(), 'utf8')).toMatch(/sugar maple/i);
  });
});

test('totals answer for a part of the book as well', async () => {
  await go('totals');
  const trees = page.locator('.figure', { hasText: 'Trees' }).first().locator('dd');
  expect(await trees.textContent()).toMatch(/^5\s+trees/);
  await page.getByLabel('Part').selectOption('1');
  await expect.poll(() => trees.textContent()).toMatch(/^3\s+trees/);
});

test('what the totals leave out is told once', async () => {
  await go('totals');
  const text = (await page.locator('.leaf').textContent())!;
  const sentences = text.match(/[^.]*left out\./g) ?? [];
  expect(sentences.length).toBeGreaterThan(0);
  expect(new Set(sentences).size).toBe(sentences.length);
  expect(await page.locator('.figures').textContent()).not.toMatch(/left out\./);
});

test('a doubt can be settled where it is listed', async () => {
  await go('doubts');
  const open = page.locator('.doubts > .open');
  await expect.poll(() => open.count()).toBe(1);
  await open.getByRole('button', { name: 'thirteen paces' }).click();
  await expect.poll(() => open.count()).toBe(0);
  expect(await page.locator('.doubts.settled .state').first().textContent()).toBe('Mended');
});

test('a chart is touched for its tree, or gone through by its button', async () => {
  await go('charts');
  const point = page.locator('.chart .point').first();
  const box = (await point.locator('circle, rect').first().boundingBox())!;
  await page.mouse.click(box.x + box.width / 2 + 9, box.y + box.height / 2 + 9);
  const tree = /\d+/.exec((await point.locator('title').textContent()) ?? '')![0];
  const says = page.locator('.onetree p');
  await expect.poll(() => says.textContent()).toMatch(new RegExp(`^Tree ${tree}, .*: `));
  await page.getByRole('button', { name: 'Next tree' }).click();
  await page.getByRole('link', { name: 'In the book' }).click();
  await page.getByRole('button', { name: /^Tree \d+ alone; show all$/ }).click();
});

test('Setup is found by what one wants to do', async () => {
  await go('setup');
  const leaves = page.locator('.leaves a');
  expect(await leaves.count()).toBe(11);
  for (const [wish, leaf] of [
    ['louder', 'Voice'],
    ['metric', 'Units'],
    ['dark', 'Look'],
    ['offline', 'Hearing'],
    ['boots', 'Pace and eye'],
  ] as const) {
    await page.getByLabel('What do you want to do?').fill(wish);
    await expect.poll(() => leaves.locator('b').allTextContents()).toEqual([leaf]);
  }
  await leaves.first().click();
  await expect.poll(() => page.locator('.leaf h1').textContent()).toBe('Pace and eye');
  await page.getByRole('link', { name: 'All of Setup' }).click();
  await leaves.first().waitFor();
});

test('a calibration walk in Setup sets the pace', async () => {
  await go('setup/pace');
  await page.getByLabel('Paces (two steps each)').fill('19');
  await page.getByLabel('over so many feet').fill('100');
  await page.getByRole('button', { name: 'Add this walk' }).click();
  // A stated pace and a walk: the pace comes of both, or of the walk; it must be near 100 / 19 = 5.26.
  await expect.poll(() => page.locator('.leaf .answered').first().textContent()).toMatch(/^Pace 5\.2\d feet/);
});

test('the chosen theme and key stay after a reload', async () => {
  await go('setup/look');
  await page.getByRole('button', { name: 'night' }).click();
  await go('setup/hearing');
  await page.getByRole('button', { name: 'Choose another key' }).click();
  await page.getByRole('button', { name: 'Press the key now' }).waitFor();
  await page.keyboard.press('KeyB');
  await page.reload();
  await page.locator('.leaf h1').waitFor();
  expect(await page.evaluate(() => document.documentElement.dataset.theme)).toBe('night');
  expect(await page.locator('.screen').textContent()).toContain('Hold the b to talk');
});

test('nothing was complained of in the console and nothing asked of another host', () => {
  expect(watched().complaints).toEqual([]);
  expect(watched().strangers).toEqual([]);
});
