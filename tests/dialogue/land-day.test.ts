/**
 * A day in Alder Hollow from the gate to the last plot, typed as it would be written and said as it would be heard, without
 * commas: the edge walked, twelve plots laid out, led to each, one obstacle, totals with the area's error. Invented wood.
 */

import { describe, expect, it } from 'vitest';
import { normalise } from '../../grammar/description/normalise.ts';
import { ones, teens } from '../../grammar/description/numbers.ts';
import { totalsOf } from '../../shared/book/totals-of.ts';
import { type Conversation, converse } from '../support/conversation.ts';

const spelled = [...ones, ...teens].slice(0, 12);

const morning: readonly (readonly [said: string, answered: RegExp])[] = [
  ['nineteen paces in one hundred feet', /^Pace 5\.26 feet/],
  ['twenty paces in one hundred and four feet', /^Pace 5\.23 feet from 2 walks/],
  ['stand alder hollow, ten acres', /^Alder Hollow, 10 acres\./],
  ['declination twelve west', /^Declination 12 degrees west\.$/],
  [
    'start a traverse',
    /^The walk round Alder Hollow begins here\. .*declination 12 degrees west\. .*cliffs, water and traffic/,
  ],
  // 140 x 204 / 39 = 732.3
  ['bearing ninety, one hundred and forty paces', /^Leg 1, bearing 90, 140 paces: 732 feet\.$/],
  ['due south, one hundred and thirty paces', /^Leg 2, due south, 130 paces: 680 feet\.$/],
  ['bearing two seventy, one hundred and forty one paces', /^Leg 3, bearing 270, 141 paces: 738 feet\.$/],
  ['due south, one hundred and twenty nine paces', /^Leg 4, due south/],
  ['what is the closure', /^Still open: the end of 4 legs is 1355 feet at bearing 180 from the start/],
  ['leg four the other way', /^Leg 4 is due north, 129 paces now\.$/],
  [
    'back at the start',
    /^Closed\. It misses by 7 feet.* 11\.4 acres, give or take 0\.\d.*no legal survey.*10 acres were said before, far from it\. Take 11\.4 acres/,
  ],
  ['yes', /^Alder Hollow: 11\.4 acres, give or take 0\.\d, from the walk\./],
  ['lay out twelve plots on a grid', /^12 plots on a square grid, \d+ feet apart, the start by chance\./],
  ['red oak is 450 dollars a thousand', /^Northern red oak: 450 dollars a thousand board feet\.$/],
];

/** From plot to plot: the way, an obstacle at the fifth, two oaks on odd plots and none on the others. */
async function ledThrough(one: Conversation, say: (words: string) => Promise<string>): Promise<void> {
  for (const [i, name] of spelled.entries()) {
    expect(await say('way to the next plot')).toMatch(
      new RegExp(`^Bearing \\d+, \\d+ feet: \\d+ paces; \\d+ uphill\\. Plot ${i + 1}\\.`),
    );
    if (i === 4)
      expect(await say('go around to the right, twenty paces')).toMatch(/^Right, bearing \d+, 20 paces\./);
    expect(await say(`plot ${name}, tenth acre`)).toMatch(new RegExp(`Plot ${i + 1}, a tenth of an acre`));
    if (i % 2 === 0) await say(`red oak ${i % 4 === 0 ? 'sixteen' : 'eighteen'} inches, two logs`);
    else await say('empty plot');
    expect(await say('which plots are left')).toMatch(
      i === 11 ? /^None left: all 12/ : new RegExp(`^${11 - i} left`),
    );
  }
  expect(totalsOf(one.session.book).plots().value).toBe(12);
}

const ways = {
  typed: (words: string) => words,
  spoken: (words: string) => normalise(words).replaceAll(',', ''),
} as const;

describe.each(Object.entries(ways))('a day from the gate to the last plot, %s', (_, as) => {
  it('walks the edge, lays plots out, is led to each, and totals with the error of the area', async () => {
    const one = await converse();
    const say = (words: string) => one.say(as(words));
    for (const [said, answered] of morning) expect(await say(said), said).toMatch(answered);
    await ledThrough(one, say);
    expect(await say('way back to the start')).toMatch(
      /^Bearing \d+, \d+ feet: \d+ paces; \d+ uphill\. The start\./,
    );
    const { book } = one.session;
    // Six oaks on twelve plots of a tenth of an acre: 5 an acre, 57 in all; the area's error is in that of the whole.
    const volume = totalsOf(book).volume('international');
    const perAcre = totalsOf(book).volumePerAcre('international');
    const { acres, sdAcres } = [...book.stands.values()][0]!;
    expect(volume.value! / perAcre.value!).toBeCloseTo(acres!, 6);
    const part = Math.hypot(perAcre.se! / perAcre.value!, sdAcres! / acres!);
    expect(volume.se! / volume.value!).toBeCloseTo(part, 2);
    expect(volume.se! / volume.value!).toBeGreaterThan(perAcre.se! / perAcre.value!);
    expect(await say('what is it worth')).toMatch(
      /^About [\d,]+ dollars, give or take \d+ percent\. An estimate, not an appraisal\.$/,
    );
    expect(await say('any doubts')).not.toMatch(/^\d+ open/);
  });
});
