/**
 * Makes the pictures that the manifest shows to who installs the page: `node --import tsx tests/page/make-screens.ts`,
 * when the look has changed.
 */
import { spawnSync } from 'node:child_process';
import { writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { openPage, startBrowser, startServer, type } from './harness.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const told = [
  'my pace is five point two three feet',
  'eye height five foot four',
  'plot fourteen, tenth acre',
  'red oak sixteen two',
  'thirteen paces',
];
const pictures = [
  { name: 'talk', screen: 'talk', width: 390, height: 844 },
  { name: 'book', screen: 'book', width: 390, height: 844 },
  { name: 'desk', screen: 'charts', width: 1280, height: 800 },
] as const;

const server = await startServer((book) => {
  spawnSync(process.execPath, ['--import', 'tsx', 'server/commands/demo.ts', book], { cwd: root });
});
const browser = await startBrowser();
try {
  const { page } = await openPage(browser, server.url);
  await page.getByText('Kept here and on the server.').waitFor();
  for (const words of told) await type(page, words);
  await page.getByText('Kept here and on the server.').waitFor();
  for (const { name, screen, width, height } of pictures) {
    await page.setViewportSize({ width, height });
    await page.evaluate((to) => {
      location.hash = to;
    }, screen);
    if (screen === 'charts') await page.locator('.chart svg').first().waitFor();
    await page.waitForTimeout(500);
    const png = await sharp(await page.screenshot())
      .png({ compressionLevel: 9, palette: true, colours: 32 })
      .toBuffer();
    await writeFile(new URL(`../../client/screen-${name}.png`, import.meta.url), png);
  }
} finally {
  await browser.close();
  await server.close();
}
