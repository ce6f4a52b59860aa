/** Talk: what is typed or spoken is answered on the page. Figures: 8 x 5.2 + 5.5 = 47.1 ft (equal stick, 45 degrees). */
import { expect, test } from 'vitest';
import { hold, lead, type } from './harness.ts';
import { ownForEach } from './own.ts';

const own = ownForEach();

test('a typed height is answered with its figure, its error and a sketch to scale', async () => {
  const { page, complaints, strangers } = await own.open();
  expect(await type(page, 'my pace is five point two feet')).toMatch(/^Pace 5\.2 feet/);
  // 8 x 5.2 + 5.5 = 47.1
  expect(await type(page, 'eight paces, eye five and a half')).toMatch(/^47 feet, give or take \d/);
  const sketch = page.getByRole('img', {
    name: /Sketch to scale: a tree of 47 feet.*seen from 42 feet away/,
  });
  await sketch.waitFor();
  // To scale: over the distance of 41.6 ft the tip stands 41.6 ft above the eye, so the line of sight has 45 degrees.
  const line = await sketch
    .locator('.sight')
    .first()
    .evaluate((element) => {
      const at = (name: string) => Number(element.getAttribute(name));
      return [at('x2') - at('x1'), at('y1') - at('y2')];
    });
  expect(line[1]! / line[0]!).toBeCloseTo(1, 2);
  expect(complaints).toEqual([]);
  expect(strangers).toEqual([]);
});

test('words that are no note come back to the line, with the sentence that says what was expected', async () => {
  const { page } = await own.open();
  await page.fill('#words', 'is the weather lovely today?');
  await page.press('#words', 'Enter');
  await page.locator('.exchange.refused').waitFor();
  await expect.poll(() => page.inputValue('#words')).toBe('is the weather lovely today?');
});

test('words that sound like a note are read as it', async () => {
  const { page } = await own.open();
  await type(page, 'my pace is five point two feet');
  expect(await type(page, 'ate paces i five and a half')).toMatch(/^47 feet/);
});

test('a word taught to the book is read from then on', async () => {
  const { page } = await own.open();
  await type(page, 'call sugar maple hard rock');
  expect(await type(page, 'hard rock fourteen inches')).toMatch(/^Tree 1, sugar maple, 14 inches/);
});

test('a doubt offers its answers as buttons; one touch settles it', async () => {
  const { page } = await own.open();
  await type(page, 'my pace is five point two three feet');
  await type(page, 'eye height five foot four');
  await type(page, 'red oak sixteen two');
  await type(page, 'thirty paces');
  const doubt = page.locator('.exchange.asking').last();
  expect(await doubt.locator('.state').textContent()).toBe('A doubt');
  await doubt.locator('.sketch .instead').waitFor();
  for (const name of ['Keep it', 'Measure again', 'Scratch that'])
    await page.getByRole('button', { name }).waitFor();
  await page.getByRole('button', { name: 'thirteen paces' }).click();
  // 13 x 5.23 + 5.333 = 73.3
  await expect.poll(() => page.locator('.reply').last().textContent()).toMatch(/^73 feet/);
  await page.locator('fieldset.answers').waitFor({ state: 'detached' });
});

test('hold, speak, let go: the reply is on the page and the clip is kept', async () => {
  const { page, complaints } = await own.open({ microphone: 'plot-one-tenth-acre' });
  // Radius of a tenth of an acre: sqrt(43560 / 10 / pi) = 37.24 ft.
  expect(await hold(page, lead + 3)).toMatch(/^Plot 1, a tenth of an acre\. Radius 37\.2 feet/);
  expect(await page.locator('.said').last().textContent()).toMatch(/^plot one.*tenth/);
  expect(complaints).toEqual([]);
});

test('a tap begins and the next tap ends; the phone may be turned meanwhile', async () => {
  const { page } = await own.open({ microphone: 'plot-one-tenth-acre' });
  await page.locator('.hold').click();
  await page.getByText('Tap to stop').waitFor();
  await page.setViewportSize({ width: 844, height: 390 });
  await page.waitForTimeout((lead + 3) * 1000);
  await page.getByText('Tap to stop').waitFor();
  await page.locator('.hold').click();
  await expect
    .poll(() => page.locator('.reply').last().textContent(), { timeout: 20_000 })
    .toMatch(/^Plot 1, a tenth of an acre/);
});

test('a hold that the system cancels counts as let go', async () => {
  const { page } = await own.open({ microphone: 'plot-one-tenth-acre' });
  const button = page.locator('.hold');
  await button.hover();
  await page.mouse.down();
  await page.waitForTimeout((lead + 3) * 1000);
  // What a call, a notification or a turned phone brings to the page.
  await button.dispatchEvent('pointercancel', { pointerId: 1 });
  await expect
    .poll(() => page.locator('.reply').last().textContent(), { timeout: 20_000 })
    .toMatch(/^Plot 1, a tenth of an acre/);
  await page.mouse.up();
});

test.each(['paper', 'night', 'sun'])(
  'on %s a note is held and another one heard hands-free, its state seen on every screen',
  {
    timeout: 90_000,
  },
  async (theme) => {
    const { page } = await own.open({
      microphone: [lead, 'plot-one-tenth-acre', 8, 'red-maple-eleven-point-four', 4],
    });
    await page.evaluate((to) => {
      document.documentElement.dataset.theme = to;
    }, theme);
    expect(await hold(page, lead + 2.5)).toMatch(/^Plot 1/);
    const heard = await page.evaluate(
      () => performance.getEntriesByName('released-answered').at(-1)?.duration ?? Number.NaN,
    );
    await page.getByRole('button', { name: 'Voice on' }).click();
    await page.getByRole('button', { name: 'Hands-free off' }).click();
    for (const screen of ['book', 'totals', 'doubts', 'charts', 'setup', 'help']) {
      await page.evaluate((to) => {
        location.hash = to;
      }, screen);
      await page
        .locator('.listening')
        .getByText(/Listening|Hearing you/)
        .waitFor();
      await page.locator('.listening .stop').waitFor();
    }
    await page
      .locator('.listening')
      .getByText(/^Tree 1, red maple/)
      .waitFor({ timeout: 30_000 });
    console.log(
      `on ${theme}: a note held, one touch, answered ${heard.toFixed(0)} ms after it was let go; another hands-free, no touch, its answer seen from Help`,
    );
    await page.locator('.listening .stop').click();
    await page.locator('.listening').waitFor({ state: 'detached' });
  },
);

test('the space bar holds as the button does', async () => {
  const { page } = await own.open({ microphone: 'eight-paces-eye-five-and-a-half' });
  await type(page, 'my pace is five point two feet');
  await page.locator('.pages').focus();
  await page.keyboard.down('Space');
  await page.locator('.speak.talking').waitFor();
  await page.waitForTimeout((lead + 3.5) * 1000);
  await page.keyboard.up('Space');
  await expect
    .poll(() => page.locator('.reply').last().textContent(), { timeout: 60_000 })
    .toMatch(/^47 feet/);
});

test('the conversation is there again after a reload', async () => {
  const { page } = await own.open();
  await type(page, 'eye height five foot four');
  await page.reload();
  await page.locator('.exchange').first().waitFor();
  expect(await page.locator('.reply').last().textContent()).toBe('Eye height 5 feet 4.');
  await expect.poll(() => page.locator('.where').textContent()).toBe('Kept here and on the server.');
});
