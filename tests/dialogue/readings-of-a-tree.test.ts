/** Several readings of one tree: told by a bare number, taken back one by one, put back; the last tree; marks taken off. */
import fc from 'fast-check';
import { beforeEach, describe, expect, it } from 'vitest';
import type { Note } from '../../shared/note/note.ts';
import { type Conversation, converse } from '../support/conversation.ts';
import { picture } from './book-picture.ts';

const set = ['my pace is five feet', 'eye height five feet'] as const;

let one: Conversation;
beforeEach(async () => {
  one = await converse();
  await one.say(...set);
});

const tellNote = async (...notes: [Note, ...Note[]]): Promise<string> => {
  const candidates = [{ notes, words: 'as typed', posterior: 1 }];
  return (await one.session.tell({ words: 'as typed', candidates })).answer.reply;
};
const heightsOf = (number: number): readonly number[] => {
  const { book } = one.session;
  return (book.treeNumbered(number)?.heights ?? []).flatMap((id) => {
    const feet = book.height(id)?.value?.feet;
    return feet === undefined ? [] : [Math.round(feet * 10) / 10];
  });
};

describe('a number behind "same tree"', () => {
  it('is one more reading by the way of the one before', async () => {
    await one.say(
      'red oak',
      'taped seventy one feet',
      'same tree, seventy four',
      'same tree, sixty nine point five',
    );
    expect(heightsOf(1)).toEqual([76, 79, 74.5]);
    // 71, 74, 69.5 and the eye: (76 + 79 + 74.5) / 3, weighed by how sure each is.
    expect(one.session.book.treeNumbered(1)?.heightFt).toBeCloseTo(76.5, 0);
    expect(one.session.book.treeNumbered(1)?.diameterIn).toBeNull();
  });

  it('counts paces where these were counted, and takes what a device shows', async () => {
    await one.say('red oak', 'ten paces', 'same tree', 'eleven');
    expect(heightsOf(1)).toEqual([55, 60]);
    await one.say('beech', 'laser sixty two feet', 'same tree, sixty four feet');
    expect(heightsOf(2)).toEqual([62, 64]);
  });

  it('is the diameter where no height is there', async () => {
    await one.say('red oak', 'same tree', 'fourteen');
    expect(one.session.book.treeNumbered(1)?.diameterIn).toBe(14);
  });

  it('is asked for with its unit where it may be the diameter', async () => {
    await one.say('red oak fourteen', 'taped seventy one feet');
    expect(await one.say('same tree, fourteen point two')).toBe(
      'Tree 1, northern red oak, 14 inches. 14.2 of what? Say it with inches, paces or feet.',
    );
    expect(heightsOf(1)).toEqual([76]);
  });

  it('says which number is wanted where the way has several', async () => {
    await one.say('red oak', 'top fifty two degrees base minus four at sixty six feet');
    expect(await one.say('same tree, forty')).toMatch(/This height has several numbers/);
  });
});

describe('one of several readings taken back', () => {
  beforeEach(async () => {
    await one.say('red oak', 'ten paces', 'eleven paces', 'ten point five paces');
    expect(heightsOf(1)).toEqual([55, 60, 57.5]);
  });

  it('the middle one, by its place', async () => {
    expect(await tellNote({ kind: 'scratch', what: 'height', nth: 'middle' })).toBe(
      'Scratched: the height of tree 1, 60 feet. In hand: tree 1, northern red oak. That leaves 56 feet, give or take 3.',
    );
    expect(heightsOf(1)).toEqual([55, 57.5]);
    await one.say('undo');
    expect(heightsOf(1)).toEqual([55, 60, 57.5]);
  });

  it('by a number', async () => {
    await tellNote({ kind: 'scratch', what: 'height', nth: 1 });
    expect(heightsOf(1)).toEqual([60, 57.5]);
    await tellNote({ kind: 'scratch', what: 'height', nth: 2 });
    expect(heightsOf(1)).toEqual([60]);
  });

  it('by what was counted, or by what it came to', async () => {
    await tellNote({ kind: 'scratch', of: { diameter: 11 } });
    expect(heightsOf(1)).toEqual([55, 57.5]);
    await tellNote({ kind: 'scratch', of: { diameter: 55 } });
    expect(heightsOf(1)).toEqual([57.5]);
  });

  it('is refused where there are not so many, and no middle', async () => {
    expect(await tellNote({ kind: 'scratch', what: 'height', nth: 4 })).toMatch(/^Tree 1 has 3 readings\./);
    await one.say('ten paces');
    expect(await tellNote({ kind: 'scratch', what: 'height', nth: 'middle' })).toMatch(
      /^Tree 1 has 4 readings\./,
    );
    expect(heightsOf(1)).toEqual([55, 60, 57.5, 55]);
  });
});

describe('"the last one"', () => {
  const last: Note = { kind: 'scratch', back: 1 };

  it('is the last tree where trees are told, also behind a change of another', async () => {
    await one.say(
      'red maple nine',
      'red maple twelve',
      'black cherry sixteen',
      'change the red maple to silver maple',
    );
    expect(await tellNote(last)).toMatch(/^Scratched: tree 3, black cherry, 16 inches\./);
    expect(one.session.book.treeNumbered(2)?.species).toBe(317);
  });

  it('is the last of several readings, and of one height is asked', async () => {
    await one.say('red oak fourteen', 'ten paces', 'eleven paces');
    await tellNote(last);
    expect(heightsOf(1)).toEqual([55]);
    expect(await tellNote(last)).toBe('The height, or tree 1?');
    await one.say('the height');
    expect(heightsOf(1)).toEqual([]);
  });

  it('is what was said last where no tree is told', async () => {
    expect(await tellNote(last)).toMatch(/^Scratched: the eye height/);
  });
});

describe('putting back several', () => {
  it('one by one as they were taken back, a height among them', async () => {
    await one.say('red oak fourteen', 'beech nine', 'ten paces', 'scratch the height', 'scratch tree one');
    expect(await tellNote({ kind: 'restore', count: 2 })).toMatch(
      /^Back again: tree 1, northern red oak, 14 inches and the height of tree 2, 55 feet\./,
    );
    expect(heightsOf(2)).toEqual([55]);
    await one.say('undo');
    expect(one.session.book.treeNumbered(1)).toBeNull();
    expect(heightsOf(2)).toEqual([]);
  });

  it('says how many there were', async () => {
    await one.say('red oak fourteen', 'scratch that');
    expect(await tellNote({ kind: 'restore', count: 3 })).toMatch(/Only 1 could be put back\.$/);
    expect(await tellNote({ kind: 'restore', count: 3 })).toMatch(/^Nothing was scratched/);
  });
});

describe('a mark taken off', () => {
  it('leaves the others, and comes back with undo', async () => {
    await one.say('red oak fourteen, hollow, leaning');
    expect(await tellNote({ kind: 'change', facts: { unmarked: ['hollow'] } })).toBe(
      'Tree 1 is now northern red oak, 14 inches, leaning.',
    );
    await one.say('undo');
    expect(one.session.book.treeNumbered(1)?.marks).toEqual(['hollow', 'leaning']);
    await tellNote({ kind: 'change', facts: { unmarked: ['leaning'] } });
    await one.say('it is leaning');
    expect(one.session.book.treeNumbered(1)?.marks).toEqual(['hollow', 'leaning']);
  });
});

it('law: undo after any of these restores the book', async () => {
  const said: readonly Note[] = [
    { kind: 'scratch', back: 1 },
    { kind: 'scratch', what: 'height', nth: 1 },
    { kind: 'scratch', what: 'height', nth: 'middle' },
    { kind: 'scratch', of: { diameter: 11 } },
    { kind: 'restore', count: 2 },
    { kind: 'change', facts: { unmarked: ['hollow'] } },
  ];
  const words = [
    'red oak fourteen, hollow',
    'ten paces',
    'eleven paces',
    'same tree',
    'eleven',
    'scratch that',
    'undo',
  ] as const;
  const saying = fc.oneof(
    fc.constantFrom<(string | Note)[]>(...words),
    fc.constantFrom<(string | Note)[]>(...said),
  );
  await fc.assert(
    fc.asyncProperty(fc.array(saying, { maxLength: 9 }), fc.constantFrom(...said), async (before, note) => {
      one = await converse();
      await one.say(...set);
      for (const each of before) await (typeof each === 'string' ? one.say(each) : tellNote(each));
      const was = picture(one.session.book);
      const { entries } = one.session.book.deviceState(one.session.surroundings.device);
      await tellNote(note);
      const after = one.session.book.deviceState(one.session.surroundings.device).entries;
      if (after.length === entries.length) return;
      await one.say('undo');
      expect(picture(one.session.book)).toEqual(was);
    }),
    { numRuns: 80 },
  );
});

describe('angles behind a distance', () => {
  const angles: Note = {
    kind: 'change',
    top: { value: 52, unit: 'deg' },
    base: { by: 'angle', angle: { value: -4, unit: 'deg' } },
  };

  it('make a height by angles of what was a height by the stick', async () => {
    await one.say('red oak fourteen', 'sixty six feet');
    await tellNote(angles);
    // 66 (tan 52 + tan 4) = 89.09
    expect(heightsOf(1)).toEqual([89.1]);
    await one.say('undo');
    expect(heightsOf(1)).toEqual([71]);
  });

  it('change no height that has its angles: they may be of another tree, and the distance is asked for', async () => {
    await one.say('red oak fourteen', 'top fifty degrees base minus three at sixty feet', 'beech nine');
    expect(await tellNote(angles)).toMatch(/^How far from the tree is that\?/);
    await one.say('same tree, top fifty degrees base minus three at sixty feet');
    expect(await tellNote(angles)).toMatch(/^How far from the tree is that\?/);
  });
});

it('"the shorter one" answers which of two numbers is meant', async () => {
  await one.say('red oak fourteen');
  const read = (count: number) => ({
    notes: [{ kind: 'height', height: { method: 'stick', distance: { by: 'paces', count } } }] as [Note],
    words: `${count} paces`,
    posterior: 0.4,
  });
  for (const [words, feet] of [
    ['the shorter one', 70],
    ['the bigger one', 75],
  ] as const) {
    await one.session.tell({ words: 'so many paces', candidates: [read(13), read(14)] });
    expect(one.session.question?.about).toBe('reading');
    await one.session.tell({ words, candidates: [] });
    expect(heightsOf(1).at(-1)).toBe(feet);
  }
});
