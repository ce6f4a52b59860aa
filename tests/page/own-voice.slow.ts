/** The page learns how a person sounds from notes that stood, keeps what it was not sure of before, and forgets at a word. */
import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { seeded } from '../../shared/core/random.ts';
import { withPinkNoise } from '../../shared/sound/pink-noise.ts';
import { soundOf, type } from './harness.ts';
import { ownForEach } from './own.ts';

const own = ownForEach();

/** Notes of one voice that the model was never trained on; and such as are hard to be sure of in it. */
const clipsIn = (folder: string) =>
  readdirSync(fileURLToPath(new URL(`../clips/${folder}`, import.meta.url)))
    .filter((file) => file.endsWith('.wav'))
    .map((file) => `${folder}/${file.slice(0, -4)}`);
const notes = clipsIn('voice');
const doubtful = clipsIn('voice-doubtful');
/** Seconds between two notes, after the doubtful ones, and in which the page learns. */
const between = 2.4;
const pause = 9;
/**
 * Decibels by which the doubtful notes are louder than the wind in them: one of them is then refused before and believed by 0.99
 * after, far from either limit. At 8 it is believed by 0.92 after and the limit is 0.93: kept or not as the microphone cuts it.
 */
const loudWind = 12;
const whileLearning = 45;

test('from notes of the morning both profiles are made, and a note that was asked about or passed over is kept; then it is forgotten', async () => {
  const spoken = (list: readonly (string | Float32Array)[]) => list.flatMap((note) => [note, between]);
  const windy = await Promise.all(
    doubtful.map(async (note) => withPinkNoise(await soundOf(note), loudWind, seeded(5))),
  );
  const microphone = [1, ...spoken(windy), pause, ...spoken(notes), whileLearning, ...spoken(windy), 20];
  const lasts = async (list: readonly string[]) => {
    let seconds = 0;
    for (const note of list) seconds += (await soundOf(note)).length / 16_000 + between;
    return seconds;
  };
  const { page, complaints, strangers } = await own.open({ microphone });
  const replies = () =>
    page
      .locator('.exchange .reply')
      .evaluateAll((all) => all.map((one) => one.textContent?.replace(/\s+/g, ' ').trim() ?? ''));
  await page.evaluate(() => {
    location.hash = 'setup/ownVoice';
  });
  await page.getByRole('switch', { name: 'Learn how I speak' }).click();
  await page.getByText('Allowed. It stays on this device.').waitFor({ timeout: 60_000 });
  await page.evaluate(() => {
    location.hash = 'talk';
  });
  await page.getByRole('button', { name: 'Voice on' }).click();
  await type(page, 'my pace is five feet');
  await type(page, 'eye height five foot six');
  const before = (await replies()).length;
  await page.getByRole('button', { name: 'Hands-free off' }).click();
  await page.getByRole('button', { name: 'Hands-free on' }).waitFor();
  /** Of what was said since, what was taken for the tree that was said without a question what it was. */
  const keptSince = async (from: number) =>
    (await replies())
      .slice(from)
      .filter((reply) => /^Tree \d+, (American basswood|ponderosa pine), /.test(reply));
  await page.waitForTimeout(1000 * (1 + (await lasts(doubtful)) + pause / 2));
  const keptBefore = await keptSince(before);
  console.log('kept before:', keptBefore);
  expect(keptBefore.length).toBeLessThan(doubtful.length);
  // Everything else is said and heard; what was kept is learnt from.
  await page.waitForTimeout(1000 * ((await lasts(notes)) + pause / 2 + 4));
  await page.evaluate(() => {
    location.hash = 'setup/ownVoice';
  });
  await page.getByRole('button', { name: 'Learn now' }).click();
  const learnt = page.getByText(/^(Learnt\.|You are heard no better)/);
  await learnt.waitFor({ timeout: 60_000 });
  console.log(await learnt.textContent());
  expect(await learnt.textContent()).toMatch(/^Learnt\. Of \d+ tries with notes held out/);
  const kilobytes = await page.evaluate(
    () =>
      new Promise<number>((resolve) => {
        const opening = indexedDB.open('stemsay');
        opening.onsuccess = () => {
          const asking = opening.result.transaction('meta').objectStore('meta').getAll();
          asking.onsuccess = () => {
            const known = asking.result.find((value) => value?.profile?.steps) as
              | { profile: { steps: Int16Array } }
              | undefined;
            resolve((known?.profile.steps.byteLength ?? 0) / 1000);
          };
        };
      }),
  );
  console.log(`${kilobytes} kB`);
  expect(kilobytes).toBeGreaterThan(20);
  expect(kilobytes).toBeLessThan(60);
  await page.evaluate(() => {
    location.hash = 'talk';
  });
  const said = (await replies()).length;
  await expect
    .poll(async () => (await keptSince(said)).length, { timeout: 1000 * (whileLearning + 30) })
    .toBe(doubtful.length);
  // Typed or spoken, it is one word to the same tool.
  expect(await type(page, 'forget my voice')).toMatch(/^Forgotten/);
  await page.evaluate(() => {
    location.hash = 'setup/ownVoice';
  });
  await page.getByText('No voice is learnt yet.').waitFor({ timeout: 20_000 });
  expect(complaints).toEqual([]);
  expect(strangers).toEqual([]);
}, 400_000);
