/**
 * What a screen reader says of every screen, from the browser's own accessibility tree, and the way of the keys through
 * it. The transcripts are written into `shots/transcripts`, which git ignores, to be read by a person; here they are
 * checked for what nobody should hear: a control without a name, a name without a word, the same said twice in a row.
 */
import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { CDPSession, Page } from 'playwright-core';
import { beforeAll, describe, expect, test } from 'vitest';
import { type } from './harness.ts';
import { oneForAll } from './own.ts';

const folder = fileURLToPath(new URL('../../shots/transcripts', import.meta.url));

/** Told so that everything is in hand, something is doubted and a plot lies behind. */
const told = [
  'my pace is five point two three feet',
  'eye height five foot four',
  'stand alder hollow, twelve acres',
  'plot one, tenth acre',
  'red maple eleven point four',
  'ten and a half paces',
  'sugar maple fourteen inches, two logs',
  'close plot',
  'plot two, tenth acre',
  'red oak sixteen two',
  'thirty paces',
];
const watched = oneForAll({ reducedMotion: 'reduce' });
let page: Page;
let session: CDPSession;
beforeAll(async () => {
  page = watched().page;
  session = await watched().context.newCDPSession(page);
  await mkdir(folder, { recursive: true });
});

interface AxValue {
  readonly value?: unknown;
}
interface AxNode {
  readonly nodeId: string;
  readonly ignored: boolean;
  readonly role?: AxValue;
  readonly name?: AxValue;
  readonly value?: AxValue;
  readonly properties?: readonly { readonly name: string; readonly value: AxValue }[];
  readonly childIds?: readonly string[];
}
interface Line {
  readonly role: string;
  readonly name: string;
  readonly states: string;
}

const controls = new Set([
  'button',
  'link',
  'textbox',
  'searchbox',
  'combobox',
  'switch',
  'checkbox',
  'radio',
  'DisclosureTriangle',
  'spinbutton',
  'slider',
]);
/** Said with their name, and nothing of what is in them again. */
const whole = new Set([...controls, 'image', 'img', 'heading', 'MenuListPopup']);
/** Said when they are entered, where they have a name. */
const places = new Set(['main', 'navigation', 'region', 'complementary', 'banner', 'group', 'form', 'table']);
const stateNames = ['pressed', 'checked', 'expanded', 'disabled', 'invalid', 'level'];

async function transcript(): Promise<Line[]> {
  const { nodes } = (await session.send('Accessibility.getFullAXTree')) as unknown as {
    nodes: readonly AxNode[];
  };
  const byId = new Map(nodes.map((node) => [node.nodeId, node]));
  const lines: Line[] = [];
  const visit = (node: AxNode | undefined): void => {
    if (node === undefined) return;
    const role = String(node.role?.value ?? '');
    const name = String(node.name?.value ?? '')
      .replace(/\s+/g, ' ')
      .trim();
    if (!node.ignored) {
      const states = (node.properties ?? [])
        .filter(
          (one) => stateNames.includes(one.name) && one.value.value !== 'false' && one.value.value !== false,
        )
        .map((one) => (one.name === 'level' ? String(one.value.value) : one.name))
        .join(' ');
      if (whole.has(role)) {
        lines.push({ role, name, states });
        return;
      }
      if (places.has(role) && name !== '') lines.push({ role, name, states });
      if (role === 'StaticText') {
        lines.push({ role: 'text', name, states: '' });
        return;
      }
    }
    for (const id of node.childIds ?? []) visit(byId.get(id));
  };
  visit(nodes[0]);
  return lines;
}

/** Words that stand twice in a row in one name: "Find Find"; numbers may ("two two"). */
const stammers = (name: string): boolean => /\b([a-z]{4,}(?: [a-z]+){0,3})[ ,.]+\1\b/i.test(name);

async function check(name: string): Promise<void> {
  const lines = await transcript();
  const text = lines
    .map((line) =>
      line.role === 'text'
        ? line.name
        : `[${[line.role, line.states].filter(Boolean).join(', ')}] ${line.name}`,
    )
    .join('\n');
  await writeFile(join(folder, `${name}.txt`), `${text}\n`);
  const said = lines.filter(({ role }) => role !== 'text');
  expect(
    said.filter((line) => whole.has(line.role) && line.role !== 'MenuListPopup' && line.name === ''),
  ).toEqual([]);
  expect(said.filter((line) => line.name !== '' && !/[a-z0-9]/i.test(line.name))).toEqual([]);
  expect(said.filter((line) => stammers(line.name))).toEqual([]);
  const twice = said.filter((line, at) => {
    const before = said[at - 1];
    return controls.has(line.role) && before?.role === line.role && before.name === line.name;
  });
  expect(twice).toEqual([]);
  expect(said.filter(({ role }) => controls.has(role)).length).toBeGreaterThan(3);
}

async function show(hash: string): Promise<void> {
  await page.evaluate((to) => {
    location.hash = to;
  }, hash);
  if (hash !== 'talk') await page.locator('.leaf h1').waitFor();
  await page.waitForTimeout(150);
}

/** Goes by the Tab key from the top of the page to its end; what can be worked and was never reached. */
async function unreached(): Promise<string[]> {
  await page.evaluate(() => {
    const reached = new Set<EventTarget>();
    Object.assign(globalThis, { reached });
    addEventListener('focusin', ({ target }) => target && reached.add(target), { capture: true });
    (document.activeElement as HTMLElement | null)?.blur();
    // From the beginning, wherever the focus was before.
    document.body.tabIndex = -1;
    document.body.focus();
    document.body.removeAttribute('tabindex');
  });
  for (let presses = 0; presses < 900; presses++) {
    await page.keyboard.press('Tab');
    if (await page.evaluate(() => document.activeElement === document.body)) break;
  }
  return page.evaluate(() => {
    const { reached } = globalThis as unknown as { reached: ReadonlySet<EventTarget> };
    return [...document.querySelectorAll<HTMLElement>('a[href], button, input, select, textarea, summary')]
      .filter((one) => one.checkVisibility() && !one.matches(':disabled') && !reached.has(one))
      .map((one) => one.outerHTML.slice(0, 100));
  });
}

const leaves = [
  'person',
  'pace',
  'voice',
  'units',
  'species',
  'hearing',
  'ownVoice',
  'devices',
  'look',
  'storage',
  'safety',
];
const screens = ['talk', 'book', 'totals', 'doubts', 'charts', 'setup', 'help'];

test('an empty book reads as its first steps', async () => {
  await check('first-steps');
  expect(await unreached()).toEqual([]);
});

describe('with a book', () => {
  beforeAll(async () => {
    for (const words of told) await type(page, words);
  });

  test.each(screens)(
    '%s reads as a transcript and is walked by the keys',
    { timeout: 120_000 },
    async (screen) => {
      await show(screen);
      await check(screen);
      expect(await unreached()).toEqual([]);
    },
  );

  test('an open entry, and the trees of the book', async () => {
    await show('book');
    await page.locator('.entries button.stands').first().click();
    await check('book-entry');
    await page.getByRole('button', { name: 'trees', exact: true }).click();
    await check('book-trees');
    expect(await unreached()).toEqual([]);
  });

  test.each(leaves)('the leaf %s of Setup', async (leaf) => {
    await show(`setup/${leaf}`);
    await check(`setup-${leaf}`);
    expect(await unreached()).toEqual([]);
  });

  test('nothing jumps the queue of the keys', async () => {
    expect(
      await page.evaluate(
        () => document.querySelectorAll('[tabindex]:not([tabindex="0"]):not([tabindex="-1"])').length,
      ),
    ).toBe(0);
  });
});
