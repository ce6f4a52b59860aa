/** What a person is told of a clock that is wrong: once, and no more when it is right again. */
import { expect, test } from 'vitest';
import { ClockWatch } from '../../client/conversation/clock.ts';

const day = 86_400_000;
const noon = Date.UTC(2026, 4, 1, 12);

function watched(): { readonly watch: ClockWatch; readonly said: (string | null)[] } {
  const said: (string | null)[] = [];
  return { watch: new ClockWatch((sentence) => said.push(sentence)), said };
}

test('a phone a year ahead of the server is told so once, however often they meet', () => {
  const { watch, said } = watched();
  for (let look = 0; look < 5; look++) watch.compare(noon + look * 1000, noon + 365 * day + look * 1000);
  expect(said).toEqual([
    "The clock of this device is 1 year ahead of the server's. Notes stay in their order, on the day that their clock showed; set the clock right when you can.",
  ]);
  watch.compare(noon, noon + 1000);
  expect(said.at(-1)).toBeNull();
  watch.compare(noon, noon - 2 * day);
  expect(said.at(-1)).toMatch(/^The clock of this device is 2 days behind the server's\./);
  expect(said).toHaveLength(3);
});

test('an answer that comes late, and a clock a little off, are no matter', () => {
  const { watch, said } = watched();
  watch.compare(noon, noon + 300_000);
  watch.note(noon);
  watch.note(noon - 30_000);
  expect(said).toEqual([]);
});

test('a clock that is set back in the middle of a day is told at the next note, once', () => {
  const { watch, said } = watched();
  watch.note(noon);
  watch.note(noon - 365 * day);
  watch.note(noon - 365 * day + 60_000);
  expect(said[0]).toMatch(/^The clock of this device stands before the last note\./);
  // It goes on from there: nothing is said a second time.
  expect(said.filter((one) => one !== null)).toHaveLength(1);
});
