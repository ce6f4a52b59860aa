/**
 * `npm run shots [-- FOLDER]`: every screen at every size in every theme as pictures to look at, with the demo's wood
 * in the book and a few notes told on the page. The folder is `shots`, which git ignores. SIZES, SCREENS and THEMES
 * name some of them, parted by commas.
 */
import { spawnSync } from 'node:child_process';
import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { openPage, startBrowser, startServer, type } from './harness.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const folder = process.argv[2] ?? join(root, 'shots');
const sizes = {
  phone: { width: 390, height: 844 },
  desk: { width: 1280, height: 900 },
  small: { width: 320, height: 568 },
  usual: { width: 360, height: 640 },
  large: { width: 412, height: 915 },
  side: { width: 844, height: 390 },
  /** A keyboard over the lower half, and over a phone on its side. */
  typing: { width: 390, height: 460 },
  sidetyping: { width: 844, height: 190 },
  zoomed: { width: 195, height: 422 },
};
const asked = (name: string, all: readonly string[]) => process.env[name]?.split(',') ?? all;
const screens = asked('SCREENS', ['talk', 'book', 'totals', 'doubts', 'charts', 'setup', 'help']);
const themes = asked('THEMES', ['paper', 'sun', 'night']);

/** Told on the page after the demo's wood came from the server; the last one leaves a doubt open. */
const told = [
  'stand alder hollow beyond the old mill and the upper brook lot, twelve acres',
  'my pace is five point two three feet',
  'eye height five foot four',
  'plot fourteen, tenth acre',
  'red maple eleven point four',
  'ten and a half paces',
  'top forty two degrees, base minus four, sixty six feet',
  'red oak sixteen inches',
  'eighty paces',
];

await mkdir(folder, { recursive: true });
const server = await startServer((book) => {
  spawnSync(process.execPath, ['--import', 'tsx', 'server/commands/demo.ts', book], {
    cwd: root,
    stdio: 'ignore',
  });
});
const browser = await startBrowser();
try {
  const context = await browser.newContext({
    viewport: sizes.phone,
    deviceScaleFactor: 2,
    reducedMotion: 'reduce',
    permissions: ['geolocation'],
    geolocation: { latitude: 44.0512, longitude: -71.2893, accuracy: 6 },
  });
  const { page } = await openPage(context, server.url);
  await page.getByText('Kept here and on the server.').waitFor();
  for (const words of told) await type(page, words);
  for (const [size, viewport] of Object.entries(sizes)) {
    if (!asked('SIZES', Object.keys(sizes)).includes(size)) continue;
    await page.setViewportSize(viewport);
    for (const theme of themes)
      for (const screen of screens) {
        await page.evaluate(
          ([to, look]) => {
            location.hash = to!;
            document.documentElement.dataset.theme = look;
          },
          [screen, theme],
        );
        if (screen === 'charts') await page.locator('.chart svg').first().waitFor();
        if (screen === 'talk' && size.endsWith('typing')) await page.focus('#words');
        await page.waitForTimeout(150);
        await page.screenshot({ path: join(folder, `${size}-${screen}-${theme}.png`) });
        if (theme !== themes[0] || screen === 'talk' || !['phone', 'desk'].includes(size)) continue;
        // The leaf in its whole length, to see what is further down.
        const long = await page.evaluate(() => document.querySelector('.leaf')!.scrollHeight);
        await page.setViewportSize({ width: viewport.width, height: Math.min(6000, long + 240) });
        await page.waitForTimeout(150);
        await page.screenshot({ path: join(folder, `${size}-${screen}-whole.png`) });
        await page.setViewportSize(viewport);
      }
  }
} finally {
  await browser.close();
  await server.close();
}
console.log(`The pictures are in ${folder}.`);
