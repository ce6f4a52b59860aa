/**
 * The first minute as a film strip: a picture of the page after every step of a newcomer, written with its second into
 * `shots/first-minute`, which git ignores, and all of them side by side in `strip.png`; to be looked at by a person. Held
 * here: each step changes what is seen, and what it asks next, or answers, is in sight.
 */
import { createHash } from 'node:crypto';
import { mkdir, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Locator } from 'playwright-core';
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { phone } from './harness.ts';
import { ownForEach } from './own.ts';

const own = ownForEach();
const folder = fileURLToPath(new URL('../../shots/first-minute', import.meta.url));

test('the first minute, picture by picture', async () => {
  await rm(folder, { recursive: true, force: true });
  await mkdir(folder, { recursive: true });
  const { page, complaints } = await own.open();
  const begun = performance.now();
  const frames: Buffer[] = [];
  const frame = async (name: string, inSight: Locator): Promise<void> => {
    await inSight.waitFor();
    await page.waitForTimeout(200);
    // Within the conversation: what is beyond its edge is there, but not seen.
    const cut = await inSight.evaluate((one) => {
      const box = one.getBoundingClientRect();
      const pages = (one.closest('.pages') ?? document.body).getBoundingClientRect();
      return Math.max(pages.top - box.top, box.bottom - pages.bottom, 0);
    });
    expect(cut, `points of what counts that are out of sight: ${name}`).toBeLessThan(1);
    const picture = await page.screenshot();
    frames.push(picture);
    const second = ((performance.now() - begun) / 1000).toFixed(1).padStart(4, '0');
    await writeFile(
      join(folder, `${String(frames.length).padStart(2, '0')}-${second}s-${name}.png`),
      picture,
    );
  };
  const reply = page.locator('.exchange .reply').last();
  const count = page.getByLabel('Counted in 100 feet');

  await frame('opened', count);
  await count.fill('19');
  await frame('pace-counted', page.getByRole('button', { name: 'That was it' }));
  await page.getByRole('button', { name: 'That was it' }).click();
  const feet = page.getByLabel('Feet', { exact: true });
  await feet.waitFor();
  await frame('pace-known', reply);
  await feet.fill('5');
  await page.getByLabel('Inches').fill('4');
  await frame('eye-typed', page.getByRole('button', { name: 'Set', exact: true }));
  await page.getByRole('button', { name: 'Set', exact: true }).click();
  const kind = page.getByLabel(/^What tree/);
  await kind.waitFor();
  await frame('eye-known', page.getByRole('button', { name: 'Height', exact: true }));
  await kind.fill('red oak');
  await page.getByLabel(/^Diameter/).fill('16');
  await page.getByLabel(/^Counted paces/).fill('13');
  await frame('tree-typed', page.getByRole('button', { name: 'Height', exact: true }));
  await page.getByRole('button', { name: 'Height', exact: true }).click();
  await page.locator('.steps').waitFor({ state: 'detached' });
  // 13 x 100 / 19 + 5 1/3 = 73.8
  await expect.poll(() => reply.textContent()).toMatch(/74 feet/);
  await frame('first-height', reply.locator('strong'));

  expect(new Set(frames.map((one) => createHash('sha256').update(one).digest('hex'))).size).toBe(
    frames.length,
  );
  const [width, height, gap] = [phone.width / 2, phone.height / 2, 8];
  const small = await Promise.all(frames.map((one) => sharp(one).resize(width, height).toBuffer()));
  await sharp({
    create: { width: frames.length * (width + gap) - gap, height, channels: 3, background: '#ffffff' },
  })
    .composite(small.map((input, at) => ({ input, left: at * (width + gap), top: 0 })))
    .png({ compressionLevel: 9, palette: true, colours: 32 })
    .toFile(join(folder, 'strip.png'));
  console.log(
    `the first minute: ${frames.length} pictures, ${((performance.now() - begun) / 1000).toFixed(1)} s of the machine`,
  );
  expect(complaints).toEqual([]);
});
