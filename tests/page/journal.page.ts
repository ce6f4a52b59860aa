/** The acceptance suite of the journal on the IndexedDB of a real Chromium, on its disk: the same suite as everywhere. */
import { fileURLToPath } from 'node:url';
import { build, type Plugin, stop } from 'esbuild';
import { expect, test } from 'vitest';
import { startBrowser, startServer } from './harness.ts';
import type { Ran } from './suite.browser.ts';

const here = fileURLToPath(new URL('.', import.meta.url));

/** In the page, `vitest` is the collector beside this file; its matchers are the real ones. */
const collector: Plugin = {
  name: 'collector',
  setup(plugin) {
    plugin.onResolve({ filter: /^vitest$/ }, () => ({ path: `${here}collector.browser.ts` }));
  },
};

test('the journal on IndexedDB passes the acceptance suite in the browser', {
  timeout: 180_000,
}, async () => {
  const bundle = await build({
    entryPoints: [`${here}suite.browser.ts`],
    bundle: true,
    write: false,
    format: 'iife',
    globalName: 'suite',
    target: 'es2022',
    plugins: [collector],
    logLevel: 'silent',
  });
  await stop();
  const server = await startServer();
  const browser = await startBrowser();
  try {
    const page = await browser.newPage();
    // A page of this address, so that there is a place to keep things; not the tool's own.
    await page.goto(`${server.url}/manifest.webmanifest`);
    await page.evaluate(`${bundle.outputFiles[0]!.text}; globalThis.suite = suite;`);
    const ran: readonly Ran[] = await page.evaluate('globalThis.suite.run()');
    expect(ran.filter((one) => one.failure !== null)).toEqual([]);
    // None was skipped: the suite has seventeen tests for a journal that can be opened again.
    expect(ran).toHaveLength(17);
  } finally {
    await browser.close();
    await server.close();
  }
});
