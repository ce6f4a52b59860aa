/**
 * The law of what is kept of words in no known sentence, judged from the words and the notes alone: the numbers that were
 * said and no others, the names that were said and no others, and every mark and every "not". Order is not judged.
 */
import { grammar } from '../../grammar/description/grammar.ts';
import { normalise } from '../../grammar/description/normalise.ts';
import { fractions, ones, plotFractions, teens, tens } from '../../grammar/description/numbers.ts';
import { conceptPhrases, shortSpecies } from '../../grammar/description/other-words/concepts.ts';
import { otherWords } from '../../grammar/description/other-words/index.ts';
import { namesOf } from '../../grammar/description/spelled-names.ts';
import { parseDescription } from '../../grammar/description/syntax.ts';
import { createTongue } from '../../grammar/writing/tongue.ts';
import type { Notes } from '../../shared/note/note.ts';
import { borderMark } from '../../shared/totals/types.ts';

type Value = string | number;
type Names = ReadonlyMap<string, Value>;

const { tree } = parseDescription(grammar);
const namesOfRule = (rule: string): Map<string, Value> =>
  new Map(namesOf(tree.get(rule)).map(({ words, value }) => [words.join(' '), value]));
const marks = namesOfRule('mark');
for (const [mark, value] of [...marks]) marks.set(`${mark}s`, value);
for (const [word, value] of [
  ['rough', 'limby'],
  ['leans', 'leaning'],
  ['lean', 'leaning'],
  ['topped', 'dead top'],
] as const)
  marks.set(word, value);
const species = namesOfRule('species');
for (const [name, value] of [...species]) if (!species.has(`${name}s`)) species.set(`${name}s`, value);
for (const [short, name] of shortSpecies) {
  const value = species.get(name);
  if (value !== undefined && !species.has(short)) species.set(short, value);
}
for (const [phrase, instead] of otherWords) {
  if (!/^[a-z' ]+$/.test(phrase)) continue;
  const [mark, name] = [marks.get(instead), species.get(instead)];
  if (mark !== undefined) marks.set(phrase, mark);
  if (name !== undefined) species.set(phrase, name);
}
/** Words of other meaning too: "as long as", "so fourteen", "pitch", "in a line". */
const otherwise: ReadonlySet<string> = new Set(conceptPhrases.flatMap(([, phrases]) => phrases));

/** Values of the names in a text, longest first; `sure` without those that are other words too. */
function namesIn(
  words: readonly string[],
  names: Names,
): { readonly all: Set<Value>; readonly sure: Set<Value> } {
  const all = new Set<Value>();
  const sure = new Set<Value>();
  for (let from = 0; from < words.length; from++)
    for (let to = Math.min(words.length, from + 5); to > from; to--) {
      const phrase = words.slice(from, to).join(' ');
      const value = names.get(phrase);
      if (value === undefined) continue;
      all.add(value);
      if (!otherwise.has(phrase) && phrase.length > 4 && !/^(?:sound|short|dominant)$/.test(phrase))
        sure.add(value);
    }
  return { all, sure };
}

const tongue = createTongue(grammar);
const digits: ReadonlySet<string> = new Set([...ones.slice(1), ...teens, ...tens]);
const parts = new Set([...fractions, ...plotFractions].flatMap(({ one, many }) => [one, many]));

/** All values of a key, at every depth. */
function valuesOf(part: unknown, key: string): Value[] {
  if (Array.isArray(part)) return part.flatMap((each) => valuesOf(each, key));
  if (typeof part !== 'object' || part === null) return [];
  return Object.entries(part).flatMap(([name, value]) =>
    name === key ? ([value].flat() as Value[]) : valuesOf(value, key),
  );
}

const wordsOf = (text: string): string[] => normalise(text).replaceAll(',', '').split(' ');

/** Every number of the notes but codes of species, as its words. */
function valuesIn(part: unknown, key = ''): string[] {
  if (typeof part === 'number') return key === 'species' ? [] : wordsOf(String(Math.abs(part)));
  if (typeof part !== 'object' || part === null) return [];
  return Object.entries(part).flatMap(([name, each]) => valuesIn(each, Array.isArray(part) ? key : name));
}

/** What is said of numbers in other words, so that their words are not those of the note. */
const reckoned =
  /^(?:feet|foot|hundred|point|double|twice|thrice|dozen|couple|pair|stems|trunks|second|third|first|ninth|eighth)$/;

/**
 * Why the notes are not what was said; undefined where they may be. Numbers are compared as sets of words: one that is said
 * twice and kept once is not found, nor are "one" and "hundred".
 *
 * `againstSense('two dead oaks', [{ kind: 'tree', facts: { species: 'oak' } }])` is "numbers left out: two".
 */
export function againstSense(text: string, notes: Notes): string | undefined {
  const texts = [...valuesOf(notes, 'text'), ...valuesOf(notes, 'word')].map(String);
  const named = valuesOf(notes, 'name').length > 0;
  // Of square and cubic metres the figure is no number, nor is "these two".
  let said = ` ${wordsOf(text).join(' ')} `.replace(
    / (?:m|metres?) (?:two|three) | (?:these|those) two /g,
    ' ',
  );
  for (const own of texts) said = said.replace(` ${wordsOf(own).join(' ')} `, ' ');
  const words = said.trim().split(' ');
  const spoken = wordsOf(notes.map((note) => tongue.speak(note)).join(' '));
  const kept = new Set([...spoken, ...valuesIn(notes)]);
  const out = words.filter((word) => digits.has(word) && !kept.has(word));
  const other =
    words.some((word) => parts.has(word) || reckoned.test(word)) || /[-/x'"]|met(?:re|er)s? [a-z]/.test(text);
  if (out.length > 0 && !other) return `numbers left out: ${out.join(' ')}`;
  // The words of a question may hold numbers of its own.
  const asks = notes.some(({ kind }) => kind === 'ask');
  // Of "nine in, two of them borderline" seven are told apart.
  const among = [...valuesOf(notes, 'marks')].includes(borderMark) && / of (?:them|those|which) /.test(said);
  const invented = (asks ? valuesIn(notes) : spoken).filter(
    (word) => digits.has(word) && !said.includes(` ${word} `) && !among,
  );
  if (invented.length > 0 && !other && texts.length === 0)
    return `numbers that nobody said: ${invented.join(' ')}`;
  const names = namesIn(words, species);
  const told = new Set(valuesOf(notes, 'species'));
  for (const name of told) if (!names.all.has(name)) return `a name that nobody said: ${name}`;
  if (names.sure.size > 0 && told.size === 0 && texts.length === 0 && !named)
    return `no name: ${[...names.sure].join()}`;
  const marked = namesIn(words, marks);
  const noted = new Set(valuesOf(notes, 'marks'));
  const anywhere = namesIn(wordsOf(text), marks).all;
  for (const mark of noted)
    if (!anywhere.has(mark) && !(mark === borderMark && onBorder.test(text)))
      return `a mark that nobody said: ${mark}`;
  if (marked.sure.size > 0 && noted.size === 0 && texts.length === 0)
    return `no mark: ${[...marked.sure].join()}`;
  const denies = / (?:not|never|except|without(?! (?:a )?(?:height|diameter))) /.test(said);
  return denies && !saysNot(notes) ? 'a "not" is gone' : undefined;
}

/** Words that put a tree on the border of its plot. */
const onBorder =
  /\b(?:borderlines?|border tree|(?:on|at|near) the (?:line|edge|border|boundary)|questionable|doubtful|iffy|marginal|undecided)\b/i;

/** Whether something of the notes may be what a "not" says. */
const saysNot = (notes: Notes): boolean =>
  notes.some(
    (note) =>
      /^(?:change|scratch|undo|ask|answer|remark|control|number)$/.test(note.kind) ||
      /"(?:out|dead|live|empty|none)"|"logs":0|"not"/.test(JSON.stringify(note)),
  );
