/**
 * What the page fetches after its first screen: a note that needs it waits for it, and is answered as ever; where it cannot
 * be had there is a sentence, and the next try begins anew. No service worker here, which would bring it at once.
 */
import type { BrowserContext, Page, Route } from 'playwright-core';
import { expect, test } from 'vitest';
import { openPage, phone, type } from './harness.ts';
import { ownForEach } from './own.ts';

const own = ownForEach();

interface Way {
  /** Resolves when a piece was asked for that is held back. */
  readonly asked: Promise<void>;
  /** Lets through what is held, and all that comes. */
  open(): Promise<void>;
}

/** The page with its first screen. */
async function opened(): Promise<{ page: Page; context: BrowserContext }> {
  const browser = await own.browser();
  const context = await browser.newContext({ viewport: phone, serviceWorkers: 'block' });
  return openPage(context, own.server.url);
}

/** From now on pieces that are asked for are held back, or `cut` off, until the way is opened. */
async function holdBack(context: BrowserContext, { cut = false } = {}): Promise<Way> {
  const held: Route[] = [];
  let isOpen = false;
  let tell = () => {};
  const asked = new Promise<void>((resolve) => {
    tell = resolve;
  });
  await context.route('**/piece-*', async (route) => {
    if (isOpen) return route.continue();
    tell();
    if (cut) return route.abort();
    held.push(route);
  });
  return {
    asked,
    async open() {
      isOpen = true;
      for (const route of held.splice(0)) await route.continue();
    },
  };
}

/** Types a note and does not wait for its answer. */
async function send(page: Page, words: string): Promise<void> {
  await page.fill('#words', words);
  await page.press('#words', 'Enter');
}

const replies = (page: Page) => page.locator('.exchange .reply').allTextContents();

test('a question typed before what answers it is here waits for it, and the notes behind it wait their turn', async () => {
  const { page, context } = await opened();
  expect(await type(page, 'red maple eleven point four')).toMatch(/^Tree 1, red maple, 11.4 inches/);
  const { asked, open } = await holdBack(context);
  await send(page, 'how many trees');
  await send(page, 'red oak sixteen two');
  await asked;
  expect(await replies(page)).toHaveLength(1);
  await open();
  await expect.poll(() => replies(page)).toHaveLength(3);
  const [, count, next] = await replies(page);
  // It was asked when there was one.
  expect(count).toBe('1 tree.');
  expect(next).toMatch(/^Tree 2, northern red oak\b.* 16.2 inches\.$/);
  await context.unrouteAll({ behavior: 'wait' });
});

test('a first note in other words waits for its reader, and is read by no poorer one', async () => {
  const { page, context } = await opened();
  const { asked, open } = await holdBack(context);
  // Told by the pieces of a note alone: word for word it is none.
  await send(page, 'that red oak over there has a dbh of 16.2 inches');
  await asked;
  expect(await replies(page)).toHaveLength(0);
  await open();
  await expect.poll(() => replies(page)).toHaveLength(1);
  expect((await replies(page))[0]).toMatch(/^Tree 1, northern red oak\b.* 16.2 inches\.$/);
  await context.unrouteAll({ behavior: 'wait' });
});

test('what is typed or pressed behind a note that waits for its reader comes after it', async () => {
  const { page, context } = await opened();
  expect(await type(page, 'red maple sixteen, two logs')).toMatch(/^Tree 1/);
  const { asked, open } = await holdBack(context);
  await send(page, 'the mill goes by doyle');
  await asked;
  // Read word for word: it would be told at once.
  await send(page, 'log rule scribner');
  await send(page, 'what is the log rule');
  expect(await replies(page)).toHaveLength(1);
  await open();
  await expect.poll(() => replies(page)).toHaveLength(4);
  const [, first, second, asks] = await replies(page);
  expect(first).toMatch(/\bDoyle\b/);
  expect(second).toMatch(/\bScribner\b/);
  expect(asks).toMatch(/\bScribner\b/);
  await context.unrouteAll({ behavior: 'wait' });
});

test('what cannot be fetched is said, nothing is kept of it, and it is fetched once there is a way', async () => {
  const { page, context } = await opened();
  expect(await type(page, 'red maple eleven point four')).toMatch(/^Tree 1, red maple, 11.4 inches/);
  const { open } = await holdBack(context, { cut: true });
  expect(await type(page, 'how many trees')).toMatch(
    /not in this browser yet, and it cannot be fetched now\. Say it again where there is a network\.$/,
  );
  // Other words still are: the note is not read by what happens to be here.
  await send(page, 'that red oak over there has a dbh of 16.2 inches');
  const trouble = page.locator('.exchange').nth(2);
  await expect
    .poll(() => trouble.textContent())
    .toMatch(/not in this browser yet, and it cannot be fetched now\. Type it again\./);
  await open();
  expect(await type(page, 'how many trees')).toBe('1 tree.');
  expect(await type(page, 'that red oak over there has a dbh of 16.2 inches')).toMatch(
    /^Tree 2, northern red oak\b.* 16.2 inches\.$/,
  );
  await context.unrouteAll({ behavior: 'wait' });
});
