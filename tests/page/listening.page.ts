/** Hands-free: notes that are spoken without a touch are answered, talk between them is not. */
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { openPage, type } from './harness.ts';
import { ownForEach } from './own.ts';

const own = ownForEach();

/** Two notes with talk before, between and after them. */
const morning = [
  1,
  'talk/did-you-bring-the-sandwiches-or-did-we-leave-them-in-the-car',
  1.2,
  'plot-one-tenth-acre',
  2.5,
  'talk/i-think-it-is-going-to-rain-before-we-get-to-the-road',
  1.2,
  'red-maple-eleven-point-four',
  3,
];

const replies = (page: Page) =>
  page
    .locator('.exchange .reply')
    .evaluateAll((all) => all.map((one) => one.textContent?.replace(/\s+/g, ' ').trim()));

async function listensThrough(page: Page): Promise<void> {
  // A reply that is spoken into the next sentence would keep it from being heard.
  await page.getByRole('button', { name: 'Voice on' }).click();
  await page.getByRole('button', { name: 'Hands-free off' }).click();
  await page.getByRole('button', { name: 'Hands-free on' }).waitFor();
  await page.locator('.partial').first().waitFor({ timeout: 60_000 });
  await expect.poll(() => replies(page).then((all) => all.length), { timeout: 60_000 }).toBe(2);
  // Radius of a tenth of an acre: sqrt(43560 / 10 / pi) = 37.24 ft.
  const [plot, tree] = await replies(page);
  expect(plot).toMatch(/^Plot 1, a tenth of an acre\. Radius 37\.2 feet/);
  expect(tree).toMatch(/^Tree 1, red maple, 11\.4 inches/);
  expect(await page.locator('.exchange').count()).toBe(2);
}

test('two notes and talk, heard by the server: the notes are answered, the talk keeps nothing', async () => {
  const { page, complaints, strangers } = await own.open({ microphone: morning });
  await listensThrough(page);
  // Both clips are kept with their entries; nothing else is in the book.
  await expect.poll(() => page.locator('.where').textContent()).toBe('Kept here and on the server.');
  const { entries } = (await (await fetch(`${own.server.url}/api/entries`)).json()) as {
    entries: { words: string; heard?: { clip?: string } }[];
  };
  expect(entries.map((entry) => entry.words)).toEqual(['plot one tenth acre', 'red maple eleven point four']);
  for (const { heard } of entries) expect(heard?.clip).toBeTruthy();
  expect(complaints).toEqual([]);
  expect(strangers).toEqual([]);
});

test('the same with the ear of the page, and no server', async () => {
  const { page, complaints } = await own.open({ microphone: morning });
  await page.evaluate(() => {
    location.hash = 'setup/hearing';
  });
  await page.getByRole('switch', { name: 'Hear in this browser' }).click();
  await page.getByText('This browser hears by itself now').waitFor({ timeout: 60_000 });
  // What tells a voice from other sounds came with the ear.
  expect(
    await page.evaluate(async () => (await caches.match('/voice-activity/silero_vad.onnx'))?.status),
  ).toBe(200);
  await own.server.stop();
  await page.evaluate(() => {
    location.hash = 'talk';
  });
  await listensThrough(page);
  expect(complaints.filter((text) => !/WebSocket|ERR_CONNECTION/.test(text))).toEqual([]);
});

test('"stop listening" said aloud turns it off', async () => {
  const { page } = await own.open({ microphone: [1, 'stop-listening', 2] });
  await page.getByRole('button', { name: 'Hands-free off' }).click();
  await page.getByRole('button', { name: 'Hands-free on' }).waitFor();
  await page.getByRole('button', { name: 'Hands-free off' }).waitFor({ timeout: 60_000 });
  await page.locator('.listening').waitFor({ state: 'detached' });
});

test('with an attention word only what begins with it is taken', async () => {
  const { page } = await own.open({
    microphone: [5, 'plot-one-tenth-acre', 2, 'stick-spans-seventy-feet', 3],
  });
  // While it speaks it does not listen.
  await page.getByRole('button', { name: 'Voice on' }).click();
  await type(page, 'attention word stick');
  await page.getByRole('button', { name: 'Hands-free off' }).click();
  await page.locator('.listening').getByText('Begin with stick.').waitFor();
  await page
    .locator('.listening')
    .getByText(/nothing kept/)
    .waitFor({ timeout: 60_000 });
  // "Stick" is the attention word here; what is left of the second is "spans seventy feet".
  await expect
    .poll(() => page.locator('.reply').last().textContent(), { timeout: 60_000 })
    .toMatch(/^70 feet/);
  expect(await page.locator('.said').last().textContent()).toMatch(/^spans seventy feet/);
  expect(await page.locator('.exchange').count()).toBe(2);
});

test('what is said while the server is away is kept, and answered when it is back', async () => {
  const { page } = await own.open({
    microphone: [8, 'plot-one-tenth-acre', 3, 'red-maple-eleven-point-four', 3],
  });
  await page.getByRole('button', { name: 'Hands-free off' }).click();
  await page.locator('.listening').getByText('Listening.').waitFor();
  await own.server.stop();
  await page
    .getByText(/kept and answered when there is an ear again/)
    .first()
    .waitFor({ timeout: 60_000 });
  await page.getByText(/^2 sounds are kept/).waitFor({ timeout: 60_000 });
  expect(await page.locator('.exchange').count()).toBe(0);
  await own.server.start();
  await expect.poll(() => replies(page).then((all) => all.length), { timeout: 60_000 }).toBe(2);
  expect((await replies(page))[1]).toMatch(/^Tree 1, red maple, 11\.4 inches/);
  await page.getByText(/sounds are kept/).waitFor({ state: 'detached' });
});

test('where the browser has no voice of its own, the server speaks the reply', async () => {
  const { page, complaints } = await own.open();
  // Chromium without a desktop names no voice.
  expect(await page.evaluate(() => speechSynthesis.getVoices().length)).toBe(0);
  const spoken = page.waitForResponse((response) => response.url().includes('/api/voice'));
  await type(page, 'my pace is five point two feet');
  const response = await spoken;
  expect(new URL(response.url()).searchParams.get('say')).toMatch(/^Pace 5\.2 feet/);
  expect(response.headers()['content-type']).toBe('audio/wav');
  expect(complaints).toEqual([]);
});

test('the button of a headset holds and lets go while hands-free is on', async () => {
  const browser = await own.browser({ microphone: [6, 'plot-one-tenth-acre', 4] });
  const context = await browser.newContext();
  // No browser test can press a headset: what the page gave the browser to call is called.
  await context.addInitScript(() => {
    const handlers: Record<string, (() => void) | null> = {};
    Object.assign(globalThis, { pressed: handlers });
    navigator.mediaSession.setActionHandler = (action, handler) => {
      handlers[action] = handler as (() => void) | null;
    };
  });
  const { page } = await openPage(context, own.server.url);
  const press = (action: 'play' | 'pause') =>
    page.evaluate(
      (name) => (globalThis as unknown as { pressed: Record<string, () => void> }).pressed[name]!(),
      action,
    );
  await page.getByRole('button', { name: 'Hands-free off' }).click();
  await page.locator('.listening').getByText('Listening.').waitFor();
  await press('pause');
  await page.locator('.speak.talking').waitFor();
  await page.getByText('The button is down.').waitFor();
  await page.waitForTimeout(9500);
  await press('play');
  await expect.poll(() => replies(page).then((all) => all[0]), { timeout: 60_000 }).toMatch(/^Plot 1/);
  // Heard once: while the button is down nobody else listens.
  expect(await page.locator('.exchange').count()).toBe(1);
  await page.locator('.listening').getByText('Listening.').waitFor();
  await page.getByRole('button', { name: 'Hands-free on' }).click();
  expect(
    await page.evaluate(() => (globalThis as unknown as { pressed: Record<string, unknown> }).pressed.play),
  ).toBeNull();
});
