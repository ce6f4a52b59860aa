/** Days in several stands: numbers that begin again, plans, and the smallest tree that is measured. Worked by hand. */
import { beforeEach, describe, expect, it } from 'vitest';
import { type Conversation, converse } from '../support/conversation.ts';
import { understandTyped } from '../support/typed.ts';

let one: Conversation;
beforeEach(async () => {
  one = await converse({ understand: understandTyped });
});
const tell = (...lines: string[]): Promise<string> => one.say(...lines);
const plots = () =>
  [...one.session.book.plots()].map(({ number, stand, size }) => [
    one.session.book.stands.get(stand ?? '')?.name ?? null,
    number,
    size?.by ?? null,
  ]);

describe('from one stand to the next and back', () => {
  it('numbers of plots begin again, and go on where they were', async () => {
    await tell('stand 3, upland oak hickory, 42 acres', 'factor ten', 'point one', 'beech 14', 'point two');
    expect(await tell('new stand, number 4, young ash and lime, eleven acres')).toMatch(
      /^Stand 4, 11 acres\./,
    );
    await tell('tenth acre plots');
    expect(await tell('plot 1')).toMatch(/^Plot 1, a tenth of an acre\./);
    await tell('beech 6');
    expect(await tell('done with stand 4, back to 3')).toBe(
      'Stand 4 is done: 1 plot. Stand 3 again: 2 plots.',
    );
    // As it was there, nobody says it again.
    expect(await tell('next point')).toBe('Plot 3, factor 10.');
    expect(plots()).toEqual([
      ['3', 1, 'factor'],
      ['3', 2, 'factor'],
      ['4', 1, 'area'],
      ['3', 3, 'factor'],
    ]);
  });

  it('a part of its name is enough, where it is of one', async () => {
    await tell("we're in Tarn Wood, compartment 9c", "we're in Mill Wood, compartment 10a");
    expect(await tell('back to Tarn Wood')).toBe('Tarn Wood 9c again: no plots.');
    expect(await tell('back to 10a')).toBe('Mill Wood 10a again: no plots.');
    await tell("we're in Tarn Wood, compartment 9d");
    expect(await tell('back to Tarn Wood')).toBe(
      'That may be Tarn Wood 9c or Tarn Wood 9d. Say its whole name.',
    );
  });

  it('one that nobody named is asked about', async () => {
    expect(await tell('back to stand 9')).toBe('There is no stand 9 here. Is it a new stand?');
    expect(await tell('yes')).toMatch(/^Stand 9\./);
  });

  it('by figures and by words it is the same one', async () => {
    await tell('stand 3', 'stand four');
    await tell('stand three');
    expect([...one.session.book.stands.values()].map(({ name }) => name)).toEqual(['3', '4']);
  });

  it('a size that was never said there is not taken from elsewhere', async () => {
    await tell('stand 3', 'plot one', 'beech 12', 'stand 4', 'factor ten', 'plot one', 'beech 14');
    expect(await tell('back to stand 3', 'plot two')).toMatch(/^Plot 2\. How large\?/);
  });

  it('the one in hand keeps its plot', async () => {
    await tell('stand 3', 'tenth acre plots', 'plot one');
    expect(await tell('back to stand 3')).toBe('Stand 3 is in hand: 1 plot.');
    expect(await tell('beech 12', 'what is on this plot')).toContain('1 tree');
  });
});

describe('a plan of the stand in hand', () => {
  it('tells how many are left, and is changed', async () => {
    await tell('stand 3', 'factor ten');
    expect(await tell('planning 4 points here')).toBe('4 points planned in stand 3.');
    await tell('point one', 'beech 12');
    expect(await tell('how many points left')).toBe('3 of 4 left after plot 1.');
    await tell('next point', 'next point', 'next point');
    expect(await tell('how many points left')).toBe('Plot 4 is the last of the 4.');
    expect(await tell('make it 6 points then')).toBe(
      '6 points planned in stand 3. 2 of 6 left after plot 4.',
    );
    await tell('stand 4');
    expect(await tell('how many points left')).not.toContain('of 6');
    await tell('back to stand 3');
    expect(await tell('how many points left')).toBe('2 of 6 left.');
    expect(await tell('undo', 'undo', 'undo', 'undo')).toBeDefined();
  });

  it('closing it and asking are two things of one breath', async () => {
    await tell('factor ten', 'planning 3 points', 'point one', 'beech 12');
    expect(await tell('done here, how many points left')).toBe(
      'Plot 1 closed: 1 tree. Next is plot 2. 2 of 3 left.',
    );
  });

  it('is taken back', async () => {
    await tell('planning 4 points here');
    expect(await tell('scratch that')).toContain('Scratched: the plan of 4 plots.');
    expect(await tell('which plots are left')).toBe(
      'No plots are planned here. Say, for one, twelve plots planned.',
    );
  });
});

describe('the smallest tree that is measured', () => {
  beforeEach(async () => {
    await tell('stand 4', 'tenth acre plots', 'nothing under 5 inches', 'plot 1');
  });
  const sizes = () => [...one.session.book.trees()].map(({ diameterIn }) => diameterIn);

  it('one below it is kept with a yes alone', async () => {
    expect(await tell('beech 4')).toBe('4 inches is below the 5 inches you measure from. Keep it?');
    expect(sizes()).toEqual([]);
    expect(await tell('yes')).toBe('Tree 1, American beech, 4 inches.');
    expect(await tell('beech 5')).toBe('Tree 2, American beech, 5 inches.');
    expect(sizes()).toEqual([4, 5]);
  });

  it.each(['no', 'leave it out', 'forget that one, too small', 'skip it'])(
    '%s drops it, and nothing else',
    async (said) => {
      await tell('beech 9', 'beech 4');
      await tell(said);
      expect(sizes()).toEqual([9]);
    },
  );

  it('the next note leaves it out, and says so', async () => {
    await tell('beech 4');
    expect(await tell('beech 9')).toContain('Not kept');
    expect(sizes()).toEqual([9]);
  });

  it('in a list what follows waits for the answer', async () => {
    await tell('beech 9, 4, 10');
    expect(sizes()).toEqual([9]);
    await tell('no');
    expect(sizes()).toEqual([9, 10]);
  });

  it('holds in its stand, and is lifted', async () => {
    await tell('stand 5');
    expect(await tell('beech 4')).toBe('Tree 1, American beech, 4 inches.');
    await tell('back to stand 4', 'measure every tree');
    expect(await tell('beech 3')).toBe('Tree 2, American beech, 3 inches.');
  });
});
