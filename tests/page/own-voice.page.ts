/**
 * The page learns how a person sounds from notes that stood, keeps what it was not sure of before, and forgets at a word.
 *
 * Chromium's own fake microphone plays in real time, so that a busy machine cuts its clips anew in every run. Here the microphone's
 * samples are handed to the page where the audio thread hands them on, as fast as it takes them, and every step waits for what it
 * needs: what is heard is the same to the sample in every run, and no wait can be too short.
 */
import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { lessonLimits } from '../../grammar/learning/lesson-limits.ts';
import { seeded } from '../../shared/core/random.ts';
import { withPinkNoise } from '../../shared/sound/pink-noise.ts';
import { openPage, phone, soundOf, type } from './harness.ts';
import { ownForEach } from './own.ts';

const own = ownForEach();

/** Notes of one voice that the model was never trained on; and such as are hard to be sure of in it. */
const clipsIn = (folder: string) =>
  readdirSync(fileURLToPath(new URL(`../clips/${folder}`, import.meta.url)))
    .filter((file) => file.endsWith('.wav'))
    .sort()
    .map((file) => `${folder}/${file.slice(0, -4)}`);
/** One of them is doubtful without any wind. So few that no lesson begins by itself, which would be a matter of time. */
const notes = clipsIn('voice')
  .filter((clip) => !clip.endsWith('twenty-point-two-inches-nineteen-paces'))
  .slice(0, 19);
const doubtful = clipsIn('voice-doubtful').filter((clip) => clip.includes('basswood'));
/**
 * Decibels by which the doubtful notes are louder than the wind in them, and what drew the wind. They are believed by less than 0.5
 * before and by more than 0.99 after, far from the limit of 0.93; so they are with other winds from 10 to 16 dB.
 */
const wind = { decibels: 16, seed: 6 } as const;
/** Milliseconds after which a step is given up: nothing here is a matter of how fast a machine is. */
const patience = 600_000;
/** Milliseconds of a press that is no tap. */
const longerThanATap = 400;
const rate = 16_000;

/** Puts what is handed to `say` in the place of what the audio thread hands on; runs in the page before its own scripts. */
function microphoneByHand(samplesPerSecond: number): void {
  let port: { onmessage: ((event: { data: Float32Array }) => void) | null } | null = null;
  Object.assign(globalThis, {
    AudioContext: class extends AudioContext {
      constructor(options?: AudioContextOptions) {
        super({ ...options, sampleRate: samplesPerSecond });
      }
    },
    AudioWorkletNode: class extends AudioWorkletNode {
      constructor(context: BaseAudioContext, name: string, options?: AudioWorkletNodeOptions) {
        super(context, name, options);
        port = { onmessage: null };
        Object.defineProperty(this, 'port', { value: port });
      }
    },
    say: (samples: readonly number[]) => port?.onmessage?.({ data: Float32Array.from(samples) }),
  });
}

/** Holds the button, says it, lets go; the reply. */
async function say(page: Page, clip: string | Float32Array): Promise<string> {
  const before = await page.locator('.exchange').count();
  const box = (await page.locator('.hold').boundingBox())!;
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.locator('.speak.talking').waitFor();
  const silence = 0.3;
  for (const part of [silence, clip, silence]) {
    const samples = [...(await soundOf(part))];
    await page.evaluate((given) => {
      const there: unknown = Reflect.get(globalThis, 'say');
      if (typeof there === 'function') there(given);
    }, samples);
  }
  await page.waitForTimeout(longerThanATap);
  await page.mouse.up();
  const answer = page.locator('.exchange').nth(before).locator('.reply, p.trouble');
  await answer.waitFor();
  await page.locator('.speak.idle').waitFor();
  return ((await answer.textContent()) ?? '').replace(/\s+/g, ' ').trim();
}

const go = (page: Page, screen: string) =>
  page.evaluate((hash) => {
    location.hash = hash;
  }, screen);

test(
  'from notes of the morning both profiles are made, and a note that was asked about or passed over is kept; then it is forgotten',
  async () => {
    const windy = await Promise.all(
      doubtful.map(async (note) => withPinkNoise(await soundOf(note), wind.decibels, seeded(wind.seed))),
    );
    const browser = await own.browser();
    const context = await browser.newContext({ viewport: phone });
    await context.addInitScript(microphoneByHand, rate);
    context.setDefaultTimeout(patience);
    const { page, complaints, strangers } = await openPage(context, own.server.url);
    await go(page, 'setup/ownVoice');
    await page.getByRole('switch', { name: 'Learn how I speak' }).click();
    await page.getByText('Allowed. It stays on this device.').waitFor();
    await go(page, 'talk');
    await page.getByRole('button', { name: 'Voice on' }).click();
    await type(page, 'my pace is five feet');
    await type(page, 'eye height five foot six');
    for (const sound of windy) {
      // Asked about or refused; the no is to a question, or to nothing.
      const reply = await say(page, sound);
      console.log(reply);
      expect(reply).not.toMatch(/^Tree /);
      await type(page, 'no');
    }
    for (const note of notes) {
      // A height belongs to a tree of its own, or it is asked whose it is.
      if (/paces$/.test(note) && !/inches/.test(note)) await type(page, 'next tree');
      expect(await say(page, note)).toMatch(/^Tree \d+/);
    }
    await go(page, 'setup/ownVoice');
    await page.getByRole('button', { name: 'Learn now' }).click();
    const learnt = page.getByText(/^(Learnt\.|You are heard no better)/);
    await learnt.waitFor();
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
    await go(page, 'talk');
    for (const sound of windy) expect(await say(page, sound)).toMatch(/^Tree \d+, American basswood, /);
    // Typed or spoken, it is one word to the same tool.
    expect(await type(page, 'forget my voice')).toMatch(/^Forgotten/);
    await go(page, 'setup/ownVoice');
    await page.getByText('No voice is learnt yet.').waitFor();
    expect(complaints).toEqual([]);
    expect(strangers).toEqual([]);
    expect(notes.length).toBeGreaterThanOrEqual(lessonLimits.least);
  },
  3 * patience,
);
