/**
 * The page in Chromium, as a person meets it: bytes of the first load, start without a network to the first answer,
 * note to answer, the ear of the page. Browser and server share two cores here; a phone is slower.
 */
import { get } from 'node:http';
import type { Page, Request } from 'playwright-core';
import { hold, lead, startBrowser, startServer, type } from '../page/harness.ts';

export const name = 'page';

type Print = (name: string, value: number | string, unit: string) => void;

export async function run(print: Print): Promise<void> {
  const server = await startServer();
  const browser = await startBrowser({ microphone: 'plot-one-tenth-acre' });
  try {
    const context = await browser.newContext({ viewport: { width: 390, height: 844 } });
    const page = await context.newPage();
    // Each address once: what the worker asks for again comes from the browser's cache. The browser tells no sizes of a
    // worker's requests, so they are weighed by asking for them anew.
    const asked = new Set<string>();
    const count = (request: Request) => {
      // A sound in the page's own memory (blob:) is no load.
      if (
        request.serviceWorker() === null &&
        request.url().startsWith(server.url) &&
        !request.url().includes('/api/')
      )
        asked.add(new URL(request.url()).pathname);
    };
    context.on('request', count);
    await page.goto(server.url);
    await page.locator('#words').waitFor();
    await type(page, 'my pace is five point two feet');
    context.off('request', count);
    const weighed = async (paths: Iterable<string>): Promise<string> => {
      let sum = 0;
      for (const path of paths) sum += await bytesOf(server.url + path);
      return (sum / 1000).toFixed(1);
    };
    print('first load until the first answer', await weighed(asked), 'kB');
    print('first load, files', asked.size, '');
    const service = await (await fetch(`${server.url}/sw.js`)).text();
    const shell = JSON.parse(/\["[^\]]*"language\.bin"[^\]]*\]/.exec(service)![0]) as string[];
    print(
      'everything kept for starts without a network',
      await weighed(['/sw.js', ...shell.map((name) => `/${name}`)]),
      'kB',
    );

    await type(page, 'eye height five foot four');
    const times: number[] = [];
    for (let count = 0; count < 120; count++) times.push(await timed(page, `${8 + (count % 5)} paces`));
    times.sort((a, b) => a - b);
    print('note to answer on the page, p50', times[60]!.toFixed(1), 'ms');
    print('note to answer on the page, p95', times[114]!.toFixed(1), 'ms');

    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    await server.stop();
    const starts: number[] = [];
    for (let count = 0; count < 5; count++) {
      const begun = performance.now();
      await page.reload({ waitUntil: 'commit' });
      await page.locator('#words').waitFor();
      await type(page, 'how many trees');
      starts.push(performance.now() - begun);
    }
    print(
      'start without a network to the first answer, median',
      starts.sort((a, b) => a - b)[2]!.toFixed(0),
      'ms',
    );
    print('start without a network to the first answer, slowest of five', starts[4]!.toFixed(0), 'ms');
    await server.start();

    await page.evaluate(() => {
      location.hash = 'setup/hearing';
    });
    const begun = performance.now();
    await page.getByRole('switch', { name: 'Hear in this browser' }).click();
    await page.getByText('This browser hears by itself now').waitFor({ timeout: 60_000 });
    print('ear of the page fetched and ready', (performance.now() - begun).toFixed(0), 'ms');
    await server.stop();
    await page.evaluate(() => {
      location.hash = 'talk';
    });
    await page.reload();
    await page.locator('#words').waitFor();
    await page.waitForTimeout(2000);
    await hold(page, lead + 3);
    const heard = await page.evaluate(
      () => performance.getEntriesByName('released-answered').at(-1)?.duration ?? Number.NaN,
    );
    print('released to answered, ear of the page, 4 s of sound', heard.toFixed(0), 'ms');
  } finally {
    await browser.close();
    await server.close();
  }
}

/** Bytes of an address as they come over the way to a browser: compressed, headers included. */
function bytesOf(address: string): Promise<number> {
  return new Promise((resolve, reject) => {
    get(address, { headers: { 'accept-encoding': 'gzip, deflate, br' } }, (response) => {
      let bytes = response.rawHeaders.join(': ').length;
      response.on('data', (part: Buffer) => {
        bytes += part.length;
      });
      response.on('end', () => resolve(bytes));
    }).on('error', reject);
  });
}

/** Milliseconds from Enter to the reply in the document, measured inside the page. */
function timed(page: Page, words: string): Promise<number> {
  return page.evaluate(
    (said) =>
      new Promise<number>((resolve) => {
        const input = document.querySelector<HTMLInputElement>('#words')!;
        Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value')!.set!.call(input, said);
        input.dispatchEvent(new Event('input', { bubbles: true }));
        requestAnimationFrame(() =>
          requestAnimationFrame(() => {
            const before = document.querySelectorAll('.exchange .reply').length;
            const begun = performance.now();
            const observer = new MutationObserver(() => {
              if (document.querySelectorAll('.exchange .reply').length <= before) return;
              observer.disconnect();
              resolve(performance.now() - begun);
            });
            observer.observe(document.querySelector('.lines')!, { childList: true, subtree: true });
            input.form!.requestSubmit();
          }),
        );
      }),
    words,
  );
}
