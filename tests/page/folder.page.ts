/**
 * The offline suite against the page as a folder on a plain TLS server, below a path and at the root of the host. What
 * `offline.page.ts` asks of our server (sending, another version) such a host cannot do: `static.page.ts` has the file
 * that goes to another device, and the new build.
 */
import { describe, expect, test } from 'vitest';
import { alone, stored } from './alone.ts';
import { hold, lead, type } from './harness.ts';
import { ownFolderForEach } from './own.ts';

describe.each(['/woods/book/', '/'])('at %s', (path) => {
  const own = ownFolderForEach(path);
  alone(own);

  test('with the host gone, the page starts again, answers, and has all its notes', async () => {
    const { page, complaints, strangers } = await own.open();
    await type(page, 'my pace is five point two feet');
    await stored(page);
    await own.server.stop();
    await page.reload();
    await page.locator('#words').waitFor();
    // 8 x 5.2 + 5.5 = 47.1 ft
    expect(await type(page, 'eight paces, eye five and a half')).toMatch(/^47 feet/);
    expect(await page.locator('.where').textContent()).toBe('Kept here.');
    await own.server.start();
    await page.reload();
    await page.locator('#words').waitFor();
    expect(await page.locator('.said').allTextContents()).toEqual([
      expect.stringContaining('my pace is five point two feet'),
      expect.stringContaining('eight paces, eye five and a half'),
    ]);
    expect([complaints, strangers]).toEqual([[], []]);
  });

  test('what is said before its ear is there is kept, and answered when it is', async () => {
    own.server.hide(/\.onnx$/);
    const { page } = await own.open({ microphone: 'plot-one-tenth-acre' });
    await stored(page);
    expect(await hold(page, lead + 3)).toMatch(/The sound is kept and will be answered/);
    own.server.hide(null);
    await page.reload();
    await expect
      .poll(() =>
        page
          .locator('.reply')
          .last()
          .textContent({ timeout: 1000 })
          .catch(() => ''),
      )
      .toMatch(/^Plot 1, a tenth of an acre/);
  });

  test('its ear hears with the host gone', async () => {
    const { page, complaints, strangers } = await own.open({ microphone: 'plot-one-tenth-acre' });
    await stored(page);
    await expect
      .poll(() =>
        page.evaluate(async () => {
          const held = await Promise.all(
            (await caches.keys()).map(async (name) =>
              (await (await caches.open(name)).keys()).map(({ url }) => url),
            ),
          );
          return ['.onnx', 'silero', '.wasm', '.bin'].filter(
            (part) => !held.flat().some((url) => url.includes(part)),
          );
        }),
      )
      .toEqual([]);
    await own.server.stop();
    await page.reload();
    await page.locator('#words').waitFor();
    // Radius of a tenth of an acre: sqrt(43560 / 10 / pi) = 37.24 ft.
    expect(await hold(page, lead + 3)).toMatch(/^Plot 1, a tenth of an acre\. Radius 37\.2 feet/);
    expect([complaints, strangers]).toEqual([[], []]);
  });
});
