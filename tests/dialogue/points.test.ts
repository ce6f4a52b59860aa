/**
 * A day of plots and points: trees that are counted only, those on the border, numbers that begin again with the gauge, and
 * what it comes to an acre at any moment. Sums are worked by hand: by a gauge each tree that is in stands for its factor.
 */
import { beforeEach, describe, expect, it } from 'vitest';
import { fromCsv } from '../../shared/report/files/read-tables.ts';
import { toCsv } from '../../shared/report/files/tables.ts';
import { woodOf } from '../../shared/report/files/wood.ts';
import { type Conversation, converse } from '../support/conversation.ts';
import { understandTyped } from '../support/typed.ts';

let one: Conversation;
beforeEach(async () => {
  one = await converse({ understand: understandTyped });
});
const tell = (...lines: string[]): Promise<string> => one.say(...lines);
const book = () => one.session.book;

describe('points after plots', () => {
  beforeEach(async () => {
    await tell('tenth acre plots', 'plot one', 'beech 12, beech 14', 'close plot', 'plot two is empty');
    await tell('plot three', 'five spruces, 11 inches', 'hemlock 13');
  });

  it('a gauge from here on leaves the plot in hand as it is', async () => {
    expect(await tell("switching to the prism, it's a ten")).toBe(
      'Plots from here on: factor 10. Plot 3 stays a tenth of an acre.',
    );
    expect(book().plotNumbered(3, null)?.size).toMatchObject({ by: 'area', value: 0.1 });
  });

  it('a factor alone is asked about where trees were told by an area', async () => {
    expect(await tell('factor ten')).toMatch(
      /^Plot 3, a tenth of an acre, has 6 trees\. Is factor 10 for the plots from here on, or for plot 3\?$/,
    );
    expect(await tell('from here on')).toMatch(/^Plots from here on: factor 10\./);
    expect(book().plotNumbered(3, null)?.size).toMatchObject({ by: 'area' });
  });

  it('numbers begin again with the points, and mean them from then on', async () => {
    await tell('from here on factor ten');
    expect(await tell('point one, six in')).toMatch(
      /Plot 1, factor 10\. Plot 1, a tenth of an acre, stays\. Counted 6 on plot 1: 6 trees\.$/,
    );
    expect(await tell('point one, four in')).toMatch(/^Plot 1 was already taken\. Next is plot 2\./);
    await tell('point two, nine in');
    expect(await tell('scratch point two')).toMatch(/^Scratched: plot 2, factor 10, with its 9 trees\./);
    expect([...book().plots()].map(({ number, size }) => [number, size?.by])).toEqual([
      [1, 'area'],
      [2, 'area'],
      [3, 'area'],
      [1, 'factor'],
    ]);
    expect(await tell('what is doubtful')).not.toContain('twice');
  });

  it('each kind has its own mean, and one of both is given of neither', async () => {
    await tell('from here on factor ten', 'point one, six in', 'point two, 8 in');
    // (6 + 8) / 2 trees of factor 10; eight live trees on three tenths of an acre.
    expect(await tell("what's the average so far")).toMatch(/^2 points of a gauge, 14 trees: 70 square feet/);
    const all = await tell('give me the lot for today');
    expect(all).toMatch(/^22 trees today\. 3 plots, 8 trees: 27 trees an acre/);
    expect(all).toMatch(/2 points of a gauge, 14 trees: 70 square feet an acre/);
  });

  it('one of several told together is told apart, and the number of trees stays', async () => {
    expect(await tell('oh and one of those spruces is dead')).toMatch(
      /^Tree 3, 4 alike, spruce, 11 inches\. Tree 5, spruce, 11 inches, dead\./,
    );
    expect(await tell('how many trees on plot three')).toBe('6 trees on plot 3, one of them dead.');
    // 7 live trees on 0.3 acres, 8 with the dead.
    expect(await tell("so what's that to the acre over all three")).toMatch(
      /^3 plots, 8 trees: 23 trees an acre alive, 27 with the dead/,
    );
    await tell('undo');
    expect(book().treeNumbered(3)?.count).toBe(5);
    expect(book().treeNumbered(5)).toBeNull();
  });
});

describe('counts', () => {
  beforeEach(async () => {
    await tell('factor ten');
  });

  it('those on the border are whole trees until it is said how they count, and by that from then on', async () => {
    expect(await tell('point two, nine in, two of them borderline')).toMatch(/9 trees\.$/);
    expect(await tell('basal area')).toMatch(/^90 square feet/);
    expect(await tell('count borderlines as half')).toBe(
      '2 trees on the border, counted half: plot 2 has 8 trees.',
    );
    expect(await tell('basal area')).toMatch(/^80 square feet/);
    expect(await tell('point three, 4 in and 2 borderline')).toMatch(/on plot 3: 5 trees\.$/);
    expect(await tell('count borderlines out')).toMatch(/plot 2 has 7 trees and plot 3 has 4 trees\.$/);
    await tell('undo');
    expect(await tell('how many trees on plot three')).toBe('5 trees on plot 3.');
  });

  it('a count said again is that one put right, and begins a point that is not there', async () => {
    await tell('point one, five in');
    expect(await tell('point one was six')).toBe('Plot 1: 6 trees.');
    expect(await tell('point four was five, no, seven')).toMatch(
      /Plot 4, factor 10\. Counted 7 on plot 4: 7 trees\.$/,
    );
    expect(await tell("what's it come to now")).toMatch(/^2 points of a gauge, 13 trees: 65 square feet/);
    await tell('beech 12');
    expect(await tell('point four was nine')).toMatch(/^Plot 4 has 7 trees and 1 American beech\. Say which/);
  });

  it('a plot that is named again before anything stands on it is the one in hand', async () => {
    await tell('plot one');
    expect(await tell('plot one has 12 trees')).toMatch(/Counted 12 on plot 1: 12 trees\.$/);
    await tell('three of them are dead');
    expect(await tell('how many trees on plot one')).toBe('12 trees on plot 1, 3 of them dead.');
    expect(await tell('plot one has 9 trees')).toMatch(/^Plot 1 was already taken\./);
  });

  it('on one line with its decision a tree is told apart from what is taken back', async () => {
    await tell('plot one', 'beech 10', 'hemlock 12');
    await tell("the ten inch beech's right on the line, keep it in");
    expect(book().treeNumbered(1)).toMatchObject({ counted: true, marks: [] });
    await tell('the hemlock is on the line, leave it out');
    expect(book().treeNumbered(2)).toMatchObject({ counted: false });
  });

  it('what is told behind a count is another tree', async () => {
    await tell('point one, six in', 'beech 12');
    expect(book().treeNumbered(1)).toMatchObject({ count: 6, species: null });
    expect(book().treeNumbered(2)).toMatchObject({ count: 1, species: 531, diameterIn: 12 });
  });

  it('diameters are put on trees that were counted; one too many is refused', async () => {
    await tell('point three, four hemlock three beech');
    await tell('those beeches at point 3 were 12, 15 and 18');
    const sizes = [...book().trees()]
      .filter(({ species }) => species === 531)
      .map(({ diameterIn }) => diameterIn);
    expect(sizes.toSorted()).toEqual([12, 15, 18]);
    expect(await tell('how many trees')).toBe('7 trees.');
    expect(await tell('those beeches at point 3 were 12 and 15')).toMatch(/^There are no beech on plot 3/);
  });

  it('a point by somebody else is theirs, with its trees, and nobody else measures from then on', async () => {
    await tell('crew Wren', 'point one, six in');
    expect(await tell('Jonah did point five and got 7')).toMatch(
      /By Jonah\. Counted 7 on plot 5: 7 trees\.$/,
    );
    expect(await tell('how many points has Jonah done')).toBe('1 plot by Jonah.');
    expect(await tell('how many trees by Jonah')).toBe('7 trees by Jonah.');
    expect(await tell('who is measuring')).toBe('Wren.');
    await tell('next point', 'tally three');
    expect(await tell('how many trees by Jonah')).toBe('7 trees by Jonah.');
  });

  it('come back from a file as they were', async () => {
    await tell('point two, nine in, two of them borderline', 'count borderlines as half');
    const read = fromCsv(toCsv(woodOf(book())));
    expect(
      read.ok && read.value.trees.map(({ count, half, marks }) => [count, half ?? false, marks]),
    ).toEqual([
      [7, false, []],
      [2, true, ['borderline']],
    ]);
  });
});

describe('asked on the way', () => {
  // 2.75 feet for an inch at factor ten: University of Kentucky, point-sampling notes.
  it('how far a tree may stand, with no plot open yet', async () => {
    expect(await tell('factor ten', 'how far off can a 14 inch tree be and still be in')).toMatch(
      /^14 inches: up to 38\.5 feet/,
    );
    expect([...book().trees()]).toEqual([]);
  });

  it('whether one of a size counts at a distance', async () => {
    expect(await tell('plot one, factor ten', "there's a sixteen incher 45 feet off, does it count")).toBe(
      'Out, by 12 inches. Not counted.',
    );
  });

  // A circle of a tenth of an acre: sqrt(4356 / pi) = 37.2 feet.
  it('how large a circle is, and the plots stay as they are', async () => {
    await tell('fifth acre plots');
    expect(await tell("how big's the circle for a tenth acre")).toBe('A tenth of an acre: radius 37.2 feet.');
    expect(await tell('plot one')).toMatch(/^Plot 1, a fifth of an acre/);
    expect(await tell('how big is the circle for factor ten')).toBe(
      'Factor 10: 2.75 feet for each inch of diameter.',
    );
  });

  it('the thickest of the week is found in whatever stand', async () => {
    await tell('stand Mill Lot', 'beech 24', 'stand Alder Hollow', 'hemlock 13');
    expect(await tell('thickest tree')).toMatch(/^13 inches/);
    expect(await tell("what's the fattest tree we've had all week")).toMatch(/^24 inches: tree 1/);
    expect(await tell('thickest tree in the whole book')).toMatch(/^24 inches: tree 1/);
  });
});

it('an offer that nobody answered leaves the next notes as if they were alone', async () => {
  await tell('tenth acre plots', 'plot one', 'eleven trees');
  expect(await tell('plot two, nothing in it')).toMatch(/^Plot 2 is empty\. It counts\. Not kept: /);
  expect([...book().trees()]).toEqual([]);
});
