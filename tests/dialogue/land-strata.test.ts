/**
 * Plots laid out over several strata at once: each by its share, with a grid and a start of its own, numbers through all of
 * them, and what is said at the border between two. Areas are geometry (paces of 5 ft): 100 x 80 paces are 4.59 acres,
 * 100 x 40 paces 2.30.
 */

import { describe, expect, it } from 'vitest';
import { groundOf } from '../../shared/dialogue/land/ground.ts';
import { plansInForce } from '../../shared/dialogue/land/plans.ts';
import { isInside } from '../../shared/land/polygon.ts';
import { deviceId } from '../../shared/note/journal.ts';
import { type Conversation, converse } from '../support/conversation.ts';

const round = (wide: number, long: number): readonly string[] => [
  `due north, ${long} paces`,
  `due east, ${wide} paces`,
  `due south, ${long} paces`,
  `due west, ${wide} paces`,
  'back at the start',
  'yes',
];
const walked = [
  'my pace is five feet',
  'new stand alder hollow',
  'stratum ridge',
  'start a traverse of stratum ridge',
  ...round(100, 80),
  'stratum bottom',
  'start a traverse of stratum bottom',
  ...round(100, 40),
] as const;

const plansOf = ({ session }: Conversation) => plansInForce(session.book, deviceId('device-1'));
const numbersOf = (one: Conversation): number[][] =>
  plansOf(one).map(({ plots }) => plots.map(({ number }) => number));

describe('plots over all strata', () => {
  it('are shared by area, each stratum with its own grid and start kept in the journal', async () => {
    const one = await converse();
    await one.say(...walked);
    const reply = await one.say('lay out twelve plots over the strata');
    // 12 x 2/3 and 12 x 1/3.
    expect(reply).toMatch(
      /^12 plots over 2 strata by area, on a square grid in each, each start by chance: Ridge 8, numbers 1 to 8, \d+ feet apart; Bottom 4, numbers 9 to 12, \d+ feet apart\. The walk within them is \d+ feet\./,
    );
    expect(numbersOf(one)).toEqual([
      [1, 2, 3, 4, 5, 6, 7, 8],
      [9, 10, 11, 12],
    ]);
    const [ridge, bottom] = plansOf(one);
    expect(ridge!.seed).not.toBe(bottom!.seed);
    expect(ridge!.ground).not.toBe(bottom!.ground);
    for (const { ground, plots } of [ridge!, bottom!]) {
      const made = groundOf(one.session.book, ground);
      for (const { at } of plots) expect(made.ok && isInside(made.value.outline, at)).toBe(true);
    }
  });

  it('at the border of a stratum no tree of the other counts, and the edge rule holds there', async () => {
    const one = await converse();
    await one.say(...walked, 'edge method mirage', 'plot one, fifth acre', 'close plot');
    const reply = await one.say('lay out twelve plots over the strata');
    expect(reply).toMatch(
      /\d plots? cross(es)? the edge of (Ridge|Bottom): no tree beyond it counts, also where another stratum begins; count by the mirage there\./,
    );
  });

  it('by area times spread once every stratum has shown one', async () => {
    const one = await converse();
    await one.say(...walked, 'stratum ridge');
    // The ridge hardly differs from plot to plot; the bottom does.
    for (const [number, stratum, trees] of [
      [1, 'ridge', ['red oak 14', 'red oak 14']],
      [2, 'ridge', ['red oak 14', 'red oak 15']],
      [3, 'bottom', ['red oak 24', 'red oak 24', 'red oak 24']],
      [4, 'bottom', ['red oak 6']],
    ] as const) {
      await one.say(`stratum ${stratum}`, `plot ${number}, tenth acre`, ...trees, 'close plot');
    }
    const reply = await one.say('lay out twelve plots over the strata');
    expect(reply).toMatch(
      /^12 plots over 2 strata by area and spread.*Ridge 2, numbers 5 to 6.*Bottom 10, numbers 7 to 16/,
    );
  });

  it('refuses with what is missing, and keeps everything', async () => {
    const one = await converse();
    await one.say('new stand alder hollow');
    expect(await one.say('lay out twelve plots over the strata')).toBe(
      'There are no strata here. Say, for one, stratum ridge, then walk its edge.',
    );
    await one.say(...walked.filter((line) => line !== 'new stand alder hollow'), 'stratum knoll');
    expect(await one.say('lay out twelve plots over the strata')).toBe(
      'No edge of Knoll yet, and strata that get no plots bias the whole. Walk round it first, or bring it in as a file.',
    );
    expect(plansOf(one)).toEqual([]);
  });

  it('says that it takes the place of the plan before; of one stratum alone it leaves the other as it was', async () => {
    const one = await converse();
    await one.say(...walked, 'lay out twelve plots over the strata');
    expect(await one.say('lay out nine plots over the strata')).toContain(
      'This takes the place of the plan before; drawing until one suits is choosing by hand',
    );
    expect(numbersOf(one)).toEqual([
      [1, 2, 3, 4, 5, 6],
      [7, 8, 9],
    ]);
    await one.say('stratum ridge', 'lay out six plots');
    // Numbers are never given twice in a stand: the ridge's go on behind those of the bottom.
    expect(numbersOf(one)).toEqual([
      [7, 8, 9],
      [10, 11, 12, 13, 14, 15],
    ]);
    await one.say('undo');
    expect(numbersOf(one)).toEqual([
      [1, 2, 3, 4, 5, 6],
      [7, 8, 9],
    ]);
  });

  it('leads through the strata, and says how to come by a place in the next one', async () => {
    const one = await converse();
    await one.say(...walked, 'lay out six plots over the strata', 'stratum ridge', 'at the start');
    expect(await one.say('way to the next plot')).toMatch(
      /^Bearing \d+, \d+ feet: \d+ paces; \d+ uphill\. Plot 1\./,
    );
    for (const number of [1, 2, 3, 4])
      await one.say(`plot ${number}, tenth acre`, 'red oak 14', 'close plot');
    expect(await one.say('how many plots are left')).toBe('2 left: plots 5 and 6.');
    expect(await one.say('way to the next plot')).toBe(
      'Plot 5 is by another walk than your place. Go to a corner of Bottom, say stratum bottom, and at which corner you are.',
    );
    await one.say('stratum bottom');
    expect(await one.say('i am at corner one')).toMatch(/^At corner 1\./);
    expect(await one.say('way to the next plot')).toMatch(/^Bearing \d+, .* Plot 5\./);
  });

  it('a stand whose strata alone have edges is told of', async () => {
    const one = await converse();
    await one.say(
      ...walked,
      'new stand fern gully',
      'stratum knoll',
      'start a traverse of stratum knoll',
      ...round(60, 60),
    );
    await one.say('stand fern gully');
    const reply = await one.say('lay out six plots');
    expect(reply).toMatch(
      /6 plots|only strata of it have\. Say lay out plots over the strata, or stratum knoll first/,
    );
  });
});
