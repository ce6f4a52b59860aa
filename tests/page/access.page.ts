/** The pages before the page: where phones are let in, on the computer and on the phone. */
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import type { AxeResults } from 'axe-core';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { certificatePage, pairingPage } from '../../server/access/phone-pages.ts';
import { addressesOf, startPage } from '../../server/access/start-page.ts';
import { desk, phone, startBrowser } from './harness.ts';

const axe = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
let browser: Browser;
beforeAll(async () => {
  browser = await startBrowser();
});
afterAll(() => browser?.close());

const fingerprint = Array.from({ length: 16 }, (_, at) =>
  (0xa1b2 + 977 * at).toString(16).toUpperCase(),
).join(' ');
const start = (code: Parameters<typeof startPage>[0]['code']) =>
  startPage({
    addresses: addressesOf({ addresses: ['192.168.1.5'], name: 'mill.local' }, 8418, 8419),
    code,
    fingerprint,
    phones: {
      phones: [{ id: '0123456789abcdef', name: "Linnet's phone", made: 0, seen: 5 * 86_400_000 }],
      damaged: ['fedcba9876543210'],
    },
    now: 7 * 86_400_000,
  });
const pages = [
  [
    'the start page',
    start({ kind: 'open', code: '40718236', until: 7 * 86_400_000 + 300_000, wrong: 3 }),
    desk,
  ],
  ['the start page with a used code', start({ kind: 'used' }), phone],
  ['the page of the certificate', certificatePage('https://192.168.1.5:8418', fingerprint), phone],
  [
    'the page that asks for the code',
    pairingPage({ code: '4071 8236', name: 'Android phone', trouble: 'That code is too old.', inAs: 'wren' }),
    phone,
  ],
] as const;

test.each(pages)(
  '%s has no violation of WCAG 2.2 AA, in light and dark, nothing cut off or too small',
  async (name, markup, size) => {
    for (const colorScheme of ['light', 'dark'] as const) {
      const context = await browser.newContext({ viewport: size, colorScheme });
      const page = await context.newPage();
      await page.setContent(String(markup));
      if (process.env.SHOTS)
        await page.screenshot({
          path: `${process.env.SHOTS}/${name.replaceAll(' ', '-')}-${colorScheme}.png`,
          fullPage: true,
        });
      await page.evaluate(axe);
      const found = await page.evaluate(
        () =>
          (globalThis as typeof globalThis & { axe: { run(o: object): Promise<AxeResults> } }).axe.run({
            runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
          }) as Promise<AxeResults>,
      );
      expect(found.violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)).toEqual([]);
      const beyond = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      expect(beyond).toBeLessThanOrEqual(0);
      const small = await page.evaluate(() =>
        [...document.querySelectorAll('button, .button, input:not([type=hidden])')]
          .map((element) => element.getBoundingClientRect())
          .filter(({ width, height }) => width < 55.5 || height < 55.5),
      );
      expect(small).toEqual([]);
      await context.close();
    }
  },
);
