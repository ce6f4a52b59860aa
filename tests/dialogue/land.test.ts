/**
 * Walking an edge, laying plots out and being led to them, as it is said. Expected figures are worked out here by plain
 * trigonometry (a pace of 5.23 ft, azimuth a: east = d sin a, north = d cos a), never by the code that is tested.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Book } from '../../shared/book/book.ts';
import { deviceId, MemoryJournal } from '../../shared/note/journal.ts';
import { type Conversation, clock, converse, ids } from '../support/conversation.ts';

const begun = ['my pace is five point two three feet', 'new stand alder hollow'] as const;
/** 140, 130, 141 and 129 paces round a rectangle. */
const edge = [
  'start a traverse',
  'bearing ninety, one hundred and forty paces',
  'due south, one hundred and thirty paces',
  'bearing two seventy, one hundred and forty one paces',
  'due north, one hundred and twenty nine paces',
] as const;

const radians = (degrees: number): number => (degrees * Math.PI) / 180;

/** Where bearings and distances lead. */
function walked(legs: readonly (readonly [azimuth: number, feet: number])[]) {
  let [east, north] = [0, 0];
  for (const [azimuth, feet] of legs) {
    east += feet * Math.sin(radians(azimuth));
    north += feet * Math.cos(radians(azimuth));
  }
  return { east, north };
}

const areaOf = ({ session }: Conversation, name = 'alder hollow') =>
  [...session.book.stands.values()].find((stand) => stand.name === name);

describe('an edge walked by compass and pace', () => {
  it('repeats each leg with its feet', async () => {
    const one = await converse();
    await one.say(...begun, 'start a traverse');
    // 62 x 5.23 = 324.26
    expect(await one.say('bearing eighty five, sixty two paces')).toBe(
      'Leg 1, bearing 85, 62 paces: 324 feet.',
    );
    expect(await one.say('north forty east, three chains')).toBe('Leg 2, north 40 east, 3 chains: 198 feet.');
    // 140 cos(atan 0.12) = 139.0
    expect(await one.say('azimuth 212, 140 feet, slope twelve percent')).toBe(
      'Leg 3, bearing 212, 140 feet, slope 12 percent: 139 feet.',
    );
  });

  it('closes, tells the misclosure, and takes the area only after a yes', async () => {
    const one = await converse();
    await one.say(...begun, ...edge);
    const reply = await one.say('back at the start');
    // One pace short to the west and to the north: it ends (-1, -1) paces away, 7.4 ft at 225 degrees of 2824 ft round.
    const { east, north } = walked([
      [90, 140 * 5.23],
      [180, 130 * 5.23],
      [270, 141 * 5.23],
      [0, 129 * 5.23],
    ]);
    expect(Math.hypot(east, north)).toBeCloseTo(7.396, 2);
    expect(reply).toMatch(
      /^Closed\. It misses by 7 feet at bearing 225, 1 in 380, round 2824 feet\. 11\.4 acres, give or take 0\.\d/,
    );
    expect(reply).toMatch(/no legal survey.*licensed surveyor.*Take 11\.4 acres as the stand's area\?$/);
    expect(areaOf(one)?.acres).toBeNull();
    expect(await one.say('yes')).toMatch(/^Alder Hollow: 11\.4 acres, give or take 0\.\d, from the walk\./);
    // By the compass rule the sides are the means: 140.5 x 129.5 paces.
    expect(areaOf(one)?.acres).toBeCloseTo((140.5 * 129.5 * 5.23 ** 2) / 43560, 2);
    expect(areaOf(one)?.sdAcres).toBeGreaterThan(0.3);
  });

  it('keeps the area that was said after a no, and takes the walked one when it is asked to', async () => {
    const one = await converse();
    await one.say(
      'my pace is five point two three feet',
      'stand alder hollow, twelve acres',
      ...edge,
      'back at the start',
    );
    expect(await one.say('no')).toBe('Then the area stays as it was.');
    expect(areaOf(one)?.acres).toBe(12);
    await one.say('use that area');
    expect(areaOf(one)?.acres).toBeCloseTo(11.42, 1);
    await one.say('undo');
    expect(areaOf(one)?.acres).toBe(12);
  });

  it('gives the area to the stratum that the walk went round', async () => {
    const one = await converse();
    await one.say(
      ...begun,
      'stratum ridge',
      'start a traverse of stratum ridge',
      ...edge.slice(1),
      'back at the start',
    );
    expect(await one.say('yes')).toMatch(/^Ridge: 11\.4 acres/);
    expect([...one.session.book.strata.values()][0]?.acres).toBeCloseTo(11.42, 1);
    expect(areaOf(one)?.acres).toBeNull();
  });

  it('waits with the legs for a pace, and closes with it', async () => {
    const one = await converse();
    await one.say('new stand alder hollow', ...edge.slice(0, 1));
    expect(await one.say(edge[1])).toBe(
      'Leg 1, bearing 90, 140 paces. How long is your pace? Say a length, or so many paces in a known distance.',
    );
    await one.say(...edge.slice(2));
    expect(await one.say('back at the start')).toMatch(/wait for the pace/);
    await one.say('my pace is five point two three feet');
    expect(await one.say('area so far')).toMatch(/11\.4 acres/);
  });

  it('takes bearings by the needle with the declination, and from true north without', async () => {
    const one = await converse();
    await one.say(...begun, 'declination twelve east', 'start a traverse');
    await one.say('bearing ninety, one hundred paces', 'bearing 102 true, one hundred paces');
    const legs = [...one.session.book.land.walks.values()][0]!.legs.map(({ said }) => said.north);
    expect(legs).toEqual(['magnetic', 'true']);
    // Both lead to 102 from true north: as seen by the needle the start lies 90 behind.
    expect(await one.say('what is the closure')).toMatch(
      /the end of 2 legs is 1046 feet at bearing 90 from the start/,
    );
  });

  it('speaks metric to metric people', async () => {
    const one = await converse();
    await one.say('metric', ...begun, 'start a traverse');
    expect(await one.say('bearing ninety, sixty metres')).toBe('Leg 1, bearing 90, 60 metres: 60 metres.');
    await one.say('due south, 50 metres', 'due west, 60 metres', 'due north, 50 metres');
    expect(await one.say('back at the start')).toMatch(
      /0\.3 hectares, give or take 0\.0\d.*as the stand's area/,
    );
  });
});

describe('legs said right', () => {
  const closed = [...begun, ...edge, 'back at the start', 'yes'];

  it('by number, with the closure told anew', async () => {
    const one = await converse();
    await one.say(...closed);
    expect(await one.say('leg three was one hundred and forty paces')).toMatch(
      /^Leg 3 is bearing 270, 140 paces now\. It misses by 5 feet at bearing 180/,
    );
  });

  it('the other way, in the form in which it was said', async () => {
    const one = await converse();
    await one.say(...begun, ...edge, 'north forty east, twenty paces');
    expect(await one.say('leg five the other way')).toBe('Leg 5 is south 40 west, 20 paces now.');
    expect(await one.say('leg two was the other way')).toBe('Leg 2 is due north, 130 paces now.');
  });

  it('the last one by its bearing or its distance alone', async () => {
    const one = await converse();
    await one.say(...begun, ...edge.slice(0, 2));
    expect(await one.say('no, bearing ninety five')).toBe('Leg 1 is bearing 95, 140 paces now.');
    expect(await one.say('make that one hundred and fifty paces')).toBe(
      'Leg 1 is bearing 95, 150 paces now.',
    );
    expect(await one.say('no, nine')).toBe('The bearing or the distance of it? Say bearing 9, or 9 paces.');
    expect(await one.say('not ninety five, eighty five')).toBe('Leg 1 is bearing 85, 150 paces now.');
    expect(await one.say('scratch that', 'scratch that', 'scratch that')).toMatch(
      /^Scratched: the change of leg 1 to bearing 95, 140 paces/,
    );
    expect(await one.say('which legs')).toBe('Leg 1, bearing 90, 140 paces.');
  });

  it('a slope after it', async () => {
    const one = await converse();
    await one.say(...begun, ...edge.slice(0, 2));
    expect(await one.say('slope twelve percent')).toBe(
      'Leg 1 is bearing 90, 140 paces, slope 12 percent now.',
    );
  });

  it('deleted and put back, by number', async () => {
    const one = await converse();
    await one.say(...begun, ...edge);
    expect(await one.say('delete leg three')).toBe(
      'Scratched: leg 3, bearing 270, 141 paces. The walk has 3 legs.',
    );
    expect(await one.say('leg three was sixty paces')).toMatch(/^Leg 3 was scratched\. Say restore leg 3/);
    expect(await one.say('due east, twenty paces')).toMatch(/^Leg 5, due east/);
    await one.say('undo');
    expect(await one.say('restore leg three')).toBe(
      'Back again: leg 3, bearing 270, 141 paces. The walk has 4 legs.',
    );
    await one.say('delete leg three');
    expect(await one.say('leg three was bearing 270, 140 paces')).toBe(
      'Leg 3 is bearing 270, 140 paces now.',
    );
  });
});

describe('what cannot be is told in a sentence, and nothing is lost', () => {
  it('a bearing over 360: the paces are kept until the bearing is said', async () => {
    const one = await converse();
    await one.say(...begun, 'start a traverse');
    const { answer } = await one.tell('bearing 385, twenty paces');
    expect(answer.state).toBe('asking');
    expect(answer.reply).toMatch(/from 0 to 360 degrees; found 385.*The 20 paces are kept until then\.$/);
    expect(await one.say('two eighty five')).toBe('Leg 1, bearing 285, 20 paces: 105 feet.');
    expect(await one.say('north 95 east, twenty paces')).toMatch(/from 0 to 90 degrees/);
    expect(await one.say('north 59 east')).toBe('Leg 2, north 59 east, 20 paces: 105 feet.');
  });

  it('a bearing without a distance: it is asked for, and paces alone are enough', async () => {
    const one = await converse();
    await one.say(...begun, 'start a traverse');
    expect(await one.say('bearing eighty five')).toBe('Bearing 85. How far?');
    expect(await one.say('sixty two paces')).toBe('Leg 1, bearing 85, 62 paces: 324 feet.');
    await one.say('bearing eighty five');
    expect(await one.say('sixty two')).toBe('Leg 2, bearing 85, 62 paces: 324 feet.');
    await one.say('bearing eighty five');
    expect(await one.say('undo')).toMatch(/^Scratched: bearing eighty five, not counted yet\./);
  });

  it('fewer than three legs', async () => {
    const one = await converse();
    await one.say(...begun, ...edge.slice(0, 3));
    const { answer } = await one.tell('back at the start');
    expect(answer.reply).toBe(
      'An area needs at least three legs round it; there are 2 legs. The walk goes on.',
    );
    expect(await one.say(...edge.slice(3), 'back at the start')).toMatch(/11\.4 acres/);
  });

  it('legs that cross', async () => {
    const one = await converse();
    await one.say(...begun, 'start a traverse');
    // A figure of eight: across, back over the first leg, and home.
    await one.say(
      'bearing 45, 141 feet',
      'due south, 100 feet',
      'bearing 315, 141 feet',
      'due south, 100 feet',
    );
    const reply = await one.say('back at the start');
    expect(reply).toMatch(
      /^Closed, but look\. .*Legs 1 and 3 cross, so there is no area in it\. Which leg was said wrong\?$/,
    );
    expect(await one.say('use that area')).toMatch(/cross/);
    expect(await one.say('lay out four plots')).toMatch(/cross/);
  });

  it('a misclosure that paces do not explain: the slip is named, and yes puts it right', async () => {
    const one = await converse();
    await one.say(...begun, ...edge.slice(0, 4), 'due south, one hundred and twenty nine paces');
    const reply = await one.say('back at the start');
    expect(reply).toMatch(
      /Paces and bearings explain about \d+ feet\. Leg \d the other way would close to 7 feet\. Was it that/,
    );
    expect(areaOf(one)?.acres).toBeNull();
    expect(await one.say('yes')).toMatch(
      /^Leg \d is due north, \d+ paces now\. It misses by 7 feet.*Take 11\.4 acres as the stand's area\?$/,
    );
    await one.say('yes');
    expect(areaOf(one)?.acres).toBeCloseTo(11.42, 1);
  });

  it('a misclosure without a likely slip: it is asked which leg to walk again, and keep it takes it as it is', async () => {
    const one = await converse();
    await one.say(
      ...begun,
      'start a traverse',
      'bearing 90, 700 feet',
      'due south, 680 feet',
      'bearing 277, 640 feet',
      'bearing 9, 537 feet',
    );
    expect(await one.say('back at the start')).toMatch(/explain about \d+ feet\..*(walked again)\?$/);
    expect(await one.say('keep it')).toMatch(
      /^Kept as it is\. .* acres, give or take .* as the stand's area\?$/,
    );
  });

  it('an area far from what was said before', async () => {
    const one = await converse();
    await one.say('my pace is five point two three feet', 'stand alder hollow, forty acres', ...edge);
    expect(await one.say('back at the start')).toMatch(
      /40 acres were said before, far from it\. Take 11\.4 acres as the stand's area\?$/,
    );
  });

  it('a declination of the wrong sign: both closures are shown', async () => {
    const one = await converse();
    await one.say(...begun, 'declination twelve west', 'start a traverse');
    // True bearings round a square; one of them was read by a needle that points 12 degrees east.
    await one.say(
      'bearing 90 true, 700 feet',
      'bearing 168, 700 feet',
      'bearing 270 true, 700 feet',
      'bearing 0 true, 700 feet',
    );
    const reply = await one.say('back at the start');
    // 168 - 12 = 156: 700 (sin 156, 1 + cos 156) = (284.7, 60.5), 291 ft away; 168 + 12 = 180 closes.
    expect(reply).toMatch(/With the declination 12 degrees west it misses by 291 feet/);
    expect(reply).toMatch(/with 12 degrees east by 0 feet/);
  });

  it('an area for a stand that is not there', async () => {
    const one = await converse();
    expect(await one.say('use that area')).toBe(
      'No area was walked yet. Say start a traverse, then each leg.',
    );
    expect(await one.say('start a traverse of stand mill lot')).toBe(
      'There is no stand Mill Lot yet. Say new stand mill lot first.',
    );
    await one.say('my pace is five point two three feet', ...edge);
    expect(await one.say('back at the start')).toMatch(
      /No stand is in hand: say its name, then use that area\.$/,
    );
  });

  it('a way from nowhere, to a plot that is not planned, round nothing', async () => {
    const one = await converse();
    await one.say(...begun);
    expect(await one.say('way to the next plot')).toMatch(/^I do not know where you are\./);
    await one.say(...edge, 'back at the start', 'yes');
    expect(await one.say('way to the next plot')).toMatch(/^No plots were laid out here yet\./);
    expect(await one.say('go around to the right, twenty paces')).toMatch(/^Round what\?/);
    await one.say('lay out four plots');
    expect(await one.say('way to plot nine')).toBe('The plan has no plot 9. It has 4 plots.');
    expect(await one.say('i am at corner nine')).toMatch(/^There is no corner 9: the edge has 4\./);
  });
});

/** The way of a reply, its bearing as it is told, and its feet. */
function toldWay(reply: string): [azimuth: number, feet: number] {
  const found = /^Bearing (\d+), (\d+) feet/.exec(reply);
  if (found === null) throw new Error(`no way in "${reply}"`);
  return [Number(found[1]), Number(found[2])];
}

describe('plots laid out and the way to them', () => {
  const ready = [...begun, ...edge, 'back at the start', 'yes'];

  it('twelve plots by chance, all inside, kept with their seed', async () => {
    const one = await converse();
    await one.say(...ready);
    expect(await one.say('lay out twelve plots')).toMatch(
      /^12 plots on a square grid, \d+ feet apart, the start by chance\. The walk is \d+ feet\./,
    );
    const [plan] = one.session.book.land.plans;
    expect(plan?.plots.map(({ number }) => number)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]);
    for (const { at } of plan!.plots) {
      expect(at.eastFt).toBeGreaterThan(-1);
      expect(at.eastFt).toBeLessThan(735);
      expect(at.northFt).toBeLessThan(1);
      expect(at.northFt).toBeGreaterThan(-680);
    }
    expect(plan?.seed).toBeGreaterThanOrEqual(0);
  });

  it('on lines at a bearing; drawn again with a warning', async () => {
    const one = await converse();
    await one.say(...ready);
    expect(await one.say('lay out ten plots on lines bearing thirty')).toMatch(
      /^10 plots on lines, \d+ feet apart, lines \d+ feet apart/,
    );
    expect(await one.say('lay out ten plots')).toMatch(
      /drawing until one suits is choosing by hand, and biases/,
    );
  });

  it('bearing, feet and paces lead to the plot, and from plot to plot', async () => {
    const one = await converse();
    await one.say(...ready, 'lay out twelve plots');
    const plots = one.session.book.land.plans[0]!.plots;
    let from = { eastFt: 0, northFt: 0 };
    for (const { number, at } of plots) {
      const reply = await one.say('way to the next plot');
      expect(reply).toMatch(
        new RegExp(`^Bearing \\d+, \\d+ feet: \\d+ paces; \\d+ uphill\\. Plot ${number}\\.`),
      );
      const [azimuth, feet] = toldWay(reply);
      const { east, north } = walked([[azimuth, feet]]);
      // A whole degree and a whole foot: within half of each.
      expect(Math.hypot(from.eastFt + east - at.eastFt, from.northFt + north - at.northFt)).toBeLessThan(
        0.5 + feet * radians(0.51),
      );
      const paces = Number(/: (\d+) paces/.exec(reply)![1]);
      expect(Math.abs(paces * 5.23 - feet)).toBeLessThan(5.23 / 2 + 0.6);
      await one.say(number === 1 ? 'plot one, tenth acre' : 'next plot');
      from = at;
    }
    expect(await one.say('which plots are left')).toBe('None left: all 12 are taken.');
    expect(await one.say('way to the next plot')).toMatch(/^None left/);
    const [azimuth, feet] = toldWay(await one.say('way back to the start'));
    const { east, north } = walked([[azimuth, feet]]);
    expect(Math.hypot(from.eastFt + east, from.northFt + north)).toBeLessThan(0.5 + feet * radians(0.51));
  });

  it('grows less sure with every way, and is sure again at a known place', async () => {
    const one = await converse();
    await one.say(...ready, 'lay out twelve plots');
    const give = async () =>
      Number(/Give or take (\d+) feet/.exec(await one.say('way to plot twelve'))?.[1] ?? 0);
    await one.say('way to the next plot', 'plot one, tenth acre');
    for (const _ of [2, 3, 4, 5, 6, 7, 8]) await one.say('way to the next plot', 'next plot');
    const far = await give();
    expect(far).toBeGreaterThan(15);
    await one.say('i am at corner one');
    expect(await give()).toBeLessThan(far + 25);
    await one.say('i am at corner four');
    const [, feet] = toldWay(await one.say('way to plot twelve'));
    expect(feet).toBeGreaterThan(0);
  });

  it('round an obstacle square off the line, and back on it', async () => {
    const one = await converse();
    await one.say(...ready, 'lay out twelve plots');
    const [azimuth] = toldWay(await one.say('way to the next plot'));
    const reply = await one.say('go around to the right, twenty paces');
    const right = (azimuth + 90) % 360;
    const left = (azimuth + 270) % 360;
    expect(reply).toBe(
      `Right, bearing ${right}, 20 paces. Then bearing ${azimuth} past it, and count on. Then left, bearing ${left}, 20 paces, and you are on the line: bearing ${azimuth}.`,
    );
    // The line is the same after it.
    expect(toldWay(await one.say('way to the next plot'))[0]).toBe(azimuth);
  });

  it('turns the plan with the edge when the declination is said late', async () => {
    const one = await converse();
    await one.say(...ready, 'lay out twelve plots');
    const before = toldWay(await one.say('way to plot seven'));
    await one.say('declination twelve east');
    // The needle is the same needle: its bearing to the plot does not change.
    expect(toldWay(await one.say('way to plot seven'))).toEqual(before);
    await one.say('bearings are true');
    expect(toldWay(await one.say('way to plot seven'))[0]).toBe((before[0] + 12) % 360);
  });

  it('a plot that the plan has not was put by hand: that biases, and is said', async () => {
    const one = await converse();
    await one.say(...begun, ...edge, 'back at the start', 'yes');
    expect(await one.say('plot one, tenth acre')).not.toContain('not of the plan');
    await one.say('close plot', 'lay out four plots');
    expect(await one.say('plot two, tenth acre')).not.toContain('not of the plan');
    await one.say('close plot');
    expect(await one.say('plot nine, tenth acre')).toContain(
      'Plot 9 is not of the plan. Plots put where it suits are not a sample: they bias every total',
    );
  });

  it('numbers go on behind plots that were taken before', async () => {
    const one = await converse();
    await one.say(...ready, 'plot one, tenth acre', 'next plot', 'close plot');
    expect(await one.say('lay out four plots')).toMatch(
      /^4 plots, numbers 3 to 6, on a square grid|^4 plots, numbers 3 to 6 on a square grid/,
    );
  });
});

describe('two people, one walk', () => {
  it('who comes to help goes on with the walk of the stand, with a pace of their own', async () => {
    const journal = new MemoryJournal();
    const now = clock();
    const wren = await converse({ journal, now });
    const linnet = await converse({ journal, now, device: 2 });
    await wren.say(...begun, ...edge.slice(0, 3));
    await linnet.session.refresh();
    await linnet.say('my pace is five feet');
    expect(await linnet.say('bearing two seventy, one hundred paces')).toBe(
      'Leg 3, bearing 270, 100 paces: 500 feet. In the walk that the crew began.',
    );
  });

  it('legs of one number from two who had not met are a doubt that names both', async () => {
    const one = new MemoryJournal();
    const two = new MemoryJournal();
    const now = clock();
    const wren = await converse({ journal: one, now });
    await wren.say(...begun, ...edge.slice(0, 2));
    await two.append((await one.since(0)).entries);
    const linnet = await converse({ journal: two, now, device: 2 });
    await wren.say('due south, sixty paces');
    await linnet.say('due south, seventy feet');
    await one.append((await two.since(0)).entries);
    await wren.session.refresh();
    const [doubt] = wren.session.book.doubts;
    expect(doubt?.doubt.sentence).toBe(
      'The leg 2 of "start a traverse" was said on two devices that had not met: due south, 60 paces, then due south, 70 feet. The later one holds.',
    );
    expect([...wren.session.book.land.walks.values()][0]?.legs.map(({ number }) => number)).toEqual([1, 2]);
  });
});

const sayings = [
  ...edge,
  'back at the start',
  'yes',
  'no',
  'keep it',
  'use that area',
  'leg two was sixty paces',
  'leg two the other way',
  'delete leg three',
  'slope twelve percent',
  'declination twelve east',
  'lay out four plots',
  'way to the next plot',
  'i am at plot two',
  'go around to the left, ten paces',
  'plot one, tenth acre',
  'next plot',
  'close plot',
  'red oak is 450 dollars a thousand',
  'bearing eighty five',
  'forty paces',
] as const;

/** All that can be read off a book of walks and plans. */
function picture(book: Book): unknown {
  const { land } = book;
  return {
    walks: [...land.walks.values()],
    plans: land.plans,
    prices: land.prices,
    trail: land.trail(deviceId('device-1')).filter(({ act }) => act.act !== 'way'),
    stands: [...book.stands.values()],
    plots: [...book.plots()],
    settings: book.settingsOf(deviceId('device-1')),
  };
}

const lines = (maxLength: number) => fc.array(fc.constantFrom(...sayings), { minLength: 1, maxLength });

describe('law', () => {
  it('undo after anything said of the ground restores all of it exactly', async () => {
    await fc.assert(
      fc.asyncProperty(lines(20), fc.constantFrom(...sayings), async (before, last) => {
        const one = await converse();
        await one.say(...begun, ...before);
        const was = picture(one.session.book);
        const { entry } = await one.tell(last);
        const moved =
          entry?.acts.some(({ act }) => act !== 'way') ||
          entry?.asks !== undefined ||
          entry?.settles !== undefined;
        if (moved) await one.say('undo');
        expect(picture(one.session.book)).toEqual(was);
      }),
      { numRuns: 60 },
    );
  });

  it('entries in any order come to the same walks, plans and areas', async () => {
    await fc.assert(
      fc.asyncProperty(lines(20), fc.integer({ min: 0, max: 1000 }), async (said, seed) => {
        const one = await converse({ id: ids() });
        await one.say(...begun, ...said);
        const entries = [...one.session.book.entries];
        const mixed = entries
          .map((entry, i) => ({ entry, by: (i * 7919 + seed) % entries.length }))
          .sort((a, b) => a.by - b.by)
          .map(({ entry }) => entry);
        const other = new Book();
        for (const entry of mixed) other.apply(entry);
        expect(picture(other)).toEqual(picture(one.session.book));
      }),
      { numRuns: 40 },
    );
  });
});
