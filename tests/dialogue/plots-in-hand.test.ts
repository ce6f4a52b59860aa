/** Plots that lean on the one before, and gauges that change; stories of our own wood, worked by hand. */
import { beforeEach, describe, expect, it } from 'vitest';
import { type Conversation, converse } from '../support/conversation.ts';
import { keptOf, understandTyped } from '../support/typed.ts';

let one: Conversation;
beforeEach(async () => {
  one = await converse({ understand: understandTyped });
});
const tell = (...lines: string[]): Promise<string> => one.say(...lines);
const book = () => one.session.book;

describe('a slope as on the plot before', () => {
  it('is that of the last plot that has one', async () => {
    await tell('factor ten', 'plot 1, slope 20 percent', 'beech 12');
    expect(await tell('plot 2, same slope')).toBe(
      'Plot 1 closed: 1 tree. Plot 2, factor 10. Slope 20 percent.',
    );
    await tell('point 3', 'same slope as before');
    expect(book().plotNumbered(3, null)?.slopePct).toBe(20);
  });

  it('without one before nothing is made up', async () => {
    await tell('factor ten', 'plot 1, same slope');
    expect(book().plotNumbered(1, null)?.slopePct).toBeNull();
    expect(await tell('same slope')).toMatch(/^No slope was told here yet\./);
  });
});

describe('which way the ground faces is kept with the plot', () => {
  it.each([
    ['point 3, slope about 30 percent, northeast aspect', 'northeast aspect'],
    ['point 3, slope 10 degrees, facing west', 'facing west'],
    ['point 3, aspect NW', 'aspect nw'],
  ])('%s', (said, text) => {
    expect(keptOf(said)?.at(0)).toMatchObject({ kind: 'plot', op: 'open', number: 3 });
    expect(keptOf(said)?.at(-1)).toEqual({ kind: 'remark', text });
  });
});

describe('a gauge that changes', () => {
  beforeEach(async () => {
    await tell('factor ten', 'point one');
  });

  it('where trees were told, it is asked whether it is of this point', async () => {
    await tell('beech 12');
    expect(await tell("change the factor to twenty, it's getting thick")).toMatch(
      /^Plot 1, factor 10, has 1 tree\. Is factor 20 for the plots from here on, or for plot 1\?/,
    );
    await tell('from here on');
    expect(book().plotNumbered(1, null)?.size).toMatchObject({ value: 10 });
  });

  it('where none was told, it is of this point', async () => {
    await tell('change the factor to twenty');
    expect(book().plotNumbered(1, null)?.size).toMatchObject({ value: 20 });
  });
});

describe('so many plots are no number of one', () => {
  it.each([
    'only doing five plots today',
    'we did 9 points',
    'I figure ten points will do',
    'nine stops so far',
  ])('%s', (said) => {
    expect((keptOf(said) ?? []).some((note) => note.kind === 'plot' && note.number !== undefined)).toBe(
      false,
    );
  });
});

it('the last one is begun by its number', () => {
  expect(keptOf('last one, point 8')).toEqual([{ kind: 'plot', op: 'open', number: 8 }]);
});

it('a radius in metres is offered with its hundredths', () => {
  const read = understandTyped('plots of radius seven ninety eight');
  expect(read.ok && read.value.map(({ notes }) => notes)).toEqual([
    [{ kind: 'plot', op: 'size', size: { by: 'radius', length: { value: 7.98 } } }],
  ]);
});

describe('what two readings make of one plot', () => {
  const both = (number: number) =>
    [
      {
        notes: [{ kind: 'plot', op: 'open', number, size: { by: 'factor', value: 10 } }],
        words: '',
        posterior: 0.42,
      },
      {
        notes: [{ kind: 'plot', op: 'size', number, size: { by: 'factor', value: 10 } }],
        words: '',
        posterior: 0.28,
      },
    ] as const;

  it('is what the book allows: it is begun, or put right', async () => {
    await tell('factor twenty', 'point one');
    await one.session.tell({ words: 'point two is the ten', candidates: both(2) });
    expect(book().plotNumbered(2, null)?.size).toMatchObject({ value: 10 });
    await one.session.tell({ words: 'point one is the ten', candidates: both(1) });
    expect(book().plotNumbered(1, null)?.size).toMatchObject({ value: 10 });
    expect(one.session.question).toBeNull();
  });
});
