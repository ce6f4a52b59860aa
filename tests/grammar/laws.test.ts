/**
 * Laws of what is kept of typed words, over notes put together from parts of which it is known what they say: no number, name
 * or "not" that was said is left out, and sounds put inside change nothing. What is asked about may be anything.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Note } from '../../shared/note/note.ts';
import { notesKey } from '../../shared/note/note-key.ts';
import { keptOf } from '../support/typed.ts';

/** Numbers of a note by how they were typed; codes of species are none. */
function numbersIn(part: unknown, key = ''): number[] {
  if (typeof part === 'number') return key === 'species' ? [] : [Math.abs(part)];
  if (typeof part !== 'object' || part === null) return [];
  return Object.entries(part).flatMap(([name, each]) => numbersIn(each, Array.isArray(part) ? key : name));
}
const textIn = (notes: readonly Note[]): string => JSON.stringify(notes);

/** What is said, with the numbers in it. */
interface Part {
  readonly words: string;
  readonly numbers: readonly number[];
}
const part = (words: string, ...numbers: readonly number[]): Part => ({ words, numbers });

/** Numbers of three digits or with a point: none of them can be a count, a share or a part by chance. */
const odd = fc.integer({ min: 21, max: 97 }).map((one) => one + 0.3);
const whole = fc.integer({ min: 11, max: 59 });
const names = ['red oak', 'beech', 'sugar maple', 'white ash', 'hemlock'] as const;
const codes = [833, 531, 318, 541, 261] as const;

const measured = fc.oneof(
  odd.map((n) => part(`${n} inches`, n)),
  odd.map((n) => part(`${n} cm`, n)),
  odd.map((n) => part(`dbh ${n}`, n)),
  odd.map((n) => part(`${n} feet tall`, n)),
  odd.map((n) => part(`${n} m tall`, n)),
  odd.map((n) => part(`${n} ft away`, n)),
  odd.map((n) => part(`girth ${n} inches`, n)),
  whole.map((n) => part(`${n} paces`, n)),
  whole.map((n) => part(`top ${n} degrees`, n)),
  whole.map((n) => part(`base minus ${n} degrees`, n)),
  whole.map((n) => part(`up ${n} percent`, n)),
  // Not "21% cull": word for word that is twenty, and one percent, too.
  whole.map((n) => part(`defect ${n} percent`, n)),
  whole.map((n) => part(`plot ${n}`, n)),
  whole.map((n) => part(`tree ${n}`, n)),
  fc.integer({ min: 2, max: 5 }).map((n) => part(`${n} logs`, n)),
  odd.map((n) => part(`${n}`, n)),
  odd.map((n) => part(`slope ${n} percent`, n)),
  odd.map((n) => part(`pole ${n} feet`, n)),
  odd.map((n) => part(`shadow ${n} feet`, n)),
  odd.map((n) => part(`eye ${n} cm`, n)),
);
const unmeasured = fc
  .constantFrom(...names, 'dead', 'forked', 'leaning', 'next tree', 'it has', 'the big one', 'measured')
  .map((words) => part(words));
const joined = fc.constantFrom(' ', ', ', ' and ', '. ', ', then ');

const said = fc.tuple(
  fc.array(fc.oneof({ weight: 2, arbitrary: measured }, unmeasured), { minLength: 1, maxLength: 6 }),
  joined,
);

/** The same sentences every time, others by `STEMSAY_SEED`. */
const runs = {
  numRuns: Number(process.env.STEMSAY_RUNS ?? 600),
  seed: Number(process.env.STEMSAY_SEED ?? 14),
};

/** Whatever is kept of what was said. */
const whereKept = (law: (parts: readonly Part[], text: string, notes: readonly Note[]) => void) =>
  fc.property(said, ([parts, border]) => {
    const text = parts.map(({ words }) => words).join(border);
    const notes = keptOf(text);
    if (notes !== undefined) law(parts, text, notes);
  });

describe('of what is kept', () => {
  test('no number that was said is left out', () => {
    fc.assert(
      whereKept((parts, text, notes) => {
        const numbers = numbersIn(notes);
        for (const number of parts.flatMap((one) => one.numbers)) {
          const there =
            numbers.some((one) => Math.abs(one - number) < 1e-6) || textIn(notes).includes(`${number}`);
          expect(there, `${number} of "${text}" in ${textIn(notes)}`).toBe(true);
        }
      }),
      runs,
    );
  });

  test('no name that was said is left out, and none is made up', () => {
    fc.assert(
      whereKept((parts, text, notes) => {
        names.forEach((name, at) => {
          const told = textIn(notes).includes(`"species":${codes[at]}`) || textIn(notes).includes(name);
          expect(told, `"${text}" as ${textIn(notes)}`).toBe(parts.some(({ words }) => words === name));
        });
      }),
      runs,
    );
  });
});

/** What is told, one by one: in which order, and whether a height stands in its tree's note, is the reader's affair. */
const toldBy = (notes: readonly Note[]): string => [...new Set(notes.flatMap(toldOne))].sort().join('; ');

function toldOne(note: Note): string[] {
  if (note.kind !== 'tree') return [notesKey([note])];
  const { facts, height } = note;
  return [
    ...Object.entries(facts).map(([fact, value]) => notesKey([{ kind: 'tree', facts: { [fact]: value } }])),
    ...(height === undefined ? [] : [notesKey([{ kind: 'height', height }])]),
  ];
}

const small = fc.constantFrom('um', 'uh', 'er', 'hmm', 'ah');

test('sounds put into a note change nothing of what is kept', () => {
  fc.assert(
    fc.property(said, small, fc.nat(30), ([parts, border], word, place) => {
      const words = parts
        .map((one) => one.words)
        .join(border)
        .split(' ');
      const notes = keptOf(words.join(' '));
      if (notes === undefined || notes.some(({ kind }) => kind === 'remark')) return;
      const at = place % (words.length + 1);
      const text = [...words.slice(0, at), word, ...words.slice(at)].join(' ');
      const again = keptOf(text);
      if (again === undefined) return;
      expect(`${text}: ${toldBy(again)}`).toBe(`${text}: ${toldBy(notes)}`);
    }),
    runs,
  );
});

/** What may be denied, and what it says where it is not. */
const deniable = [
  ['dead', /"dead"/],
  ['forked', /"forked"/],
  ['hollow', /"hollow"/],
  ['leaning', /"leaning"/],
  ['a red oak', /"species":833/],
  ['on the plot', /"in"/],
  ['broken', /"broken/],
] as const;

test('a "not" is never dropped', () => {
  const not = fc.constantFrom("it's not", 'is not', "isn't", 'not', 'it is not', "wasn't", 'never');
  fc.assert(
    fc.property(
      said,
      fc.constantFrom(...deniable),
      not,
      fc.boolean(),
      ([parts, border], [what, says], deny, first) => {
        const others = parts
          .filter(({ words }) => !/dead|forked|leaning|red oak/.test(words))
          .map(({ words }) => words);
        const text = (first ? [`${deny} ${what}`, ...others] : [...others, `${deny} ${what}`]).join(border);
        const notes = keptOf(text);
        if (notes === undefined) return;
        // What it is not may be changed, taken back or remarked on.
        const bare = notes.filter(({ kind }) => !/^(?:change|scratch|remark|pick|answer|ask)$/.test(kind));
        const remarked = notes.some((note) => note.kind === 'remark' && /\b(?:not|never)\b/.test(note.text));
        const changes = bare.length < notes.length;
        expect(says.test(textIn(bare)) && !remarked, `"${text}" as ${textIn(notes)}`).toBe(false);
        expect(changes || remarked || textIn(notes).includes('"live"'), `"${text}" as ${textIn(notes)}`).toBe(
          true,
        );
      },
    ),
    runs,
  );
});
