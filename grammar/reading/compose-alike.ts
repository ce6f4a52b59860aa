/**
 * Trees that are told by the one before them, put in pieces that say so by themselves: "and one at twelve", "two stems, the
 * other one's eight", "there's two alike", "count it twice".
 */
import type { SaidPiece } from './pieces.ts';
import { clausesOf } from './scan.ts';

/** Pieces of a breath in which each tree has its kind, and what is counted its number. */
export const withAlike = (pieces: readonly SaidPiece[]): readonly SaidPiece[] =>
  withOther(withOneAt(withCounts(pieces)));

const textOf = (pieces: readonly SaidPiece[]): string =>
  pieces
    .map(({ text }) => text)
    .join(' ')
    .replaceAll(" 's", "'s");

const words = (text: string, concept: 'ofThem' | 'condition' | 'tree'): SaidPiece => ({
  is: 'words',
  text,
  concepts: new Set([concept]),
  light: false,
  capital: false,
  unknown: false,
});

/** A plain number that may be a diameter. */
const isSize = ({ is, number }: SaidPiece): boolean =>
  is === 'number' &&
  number !== undefined &&
  number.sign === undefined &&
  number.sides === undefined &&
  number.value >= 3 &&
  /^(?:in|cm|undefined)$/.test(String(number.unit));

/** The kind of the tree that was told last before a place, with a size; the name of one. */
function kindBefore(pieces: readonly SaidPiece[], to: number): SaidPiece | undefined {
  const at = pieces.slice(0, to).findLastIndex(({ is }) => is === 'species');
  const kind = pieces[at];
  if (kind === undefined || !pieces.slice(at + 1, to).some(isSize)) return undefined;
  const { many: _, ...single } = kind;
  return single;
}

const oneMore =
  /^(?:(?:and|plus|with|then|also) )*(?:(?:another|a second|one more|another) ?(?:one)?|one)(?: more)?(?: of them)?(?: (?:at|of|is)|'s|$)/;

/** "Red maple 11.4 and one at 12": one more of the kind before it. */
function withOneAt(pieces: readonly SaidPiece[]): readonly SaidPiece[] {
  let all = pieces;
  for (const [from, to] of clausesOf(pieces).toReversed()) {
    const clause = pieces.slice(from, to);
    const at = clause.findIndex(isSize);
    const kind = at < 1 ? undefined : kindBefore(pieces, from);
    if (kind === undefined || clause.some(({ is }) => is === 'species')) continue;
    if (!oneMore.test(textOf(clause.slice(0, at)))) continue;
    all = [...all.slice(0, from), kind, ...all.slice(from + at)];
  }
  return all;
}

const stemWords =
  /(?:^| )(?:(?:two|2|twin|double|paired|split into two|forks? into two|forked into two) ?(?:stems?|stemmed|trunks?|tops?|leaders?)?|twins|clump|pair|forked|forks)(?: |$)/;
const otherOne =
  /^(?:(?:the|its) )?(?:other|second)(?: (one|stem|trunk|leader|side|half|fork))?(?:'s| is| was| at)?$/;

/**
 * "Red maple 10, two stems, other one's 8". Common practice for a tree that forks below breast height, no source: two trees;
 * where the other is called a stem it is one tree of both.
 */
function withOther(pieces: readonly SaidPiece[]): readonly SaidPiece[] {
  for (const [from, to] of clausesOf(pieces)) {
    const at = pieces.slice(from, to).findIndex(isSize);
    const other = at < 1 ? null : otherOne.exec(textOf(pieces.slice(from, from + at)));
    const kind = other === null ? undefined : kindBefore(pieces, from);
    if (kind === undefined || other === null) continue;
    const named = pieces.slice(0, from).findLastIndex(({ is }) => is === 'species');
    const first = named + pieces.slice(named).findIndex(isSize);
    const between = pieces.slice(first + 1, from).filter(({ is }) => is !== 'break');
    if (!stemWords.test(textOf(between)) || between.some(isSize)) continue;
    const number = pieces.slice(from + at);
    const before = pieces.slice(0, first + 1);
    const comma = pieces[from - 1]!;
    return /^(?:stem|trunk|leader)$/.test(other[1] ?? '')
      ? [...before, comma, words('stems', 'tree'), ...number]
      : [...before, comma, kind, ...number, comma, words(textOf(between), 'condition')];
  }
  return pieces;
}

const alike =
  /^(?:(?:exactly |just |all )?(?:the )?same(?: size)?|alike|of the same(?: size)?|(?:just |exactly )?like (?:it|that|this|him|her)(?: one)?|identical)(?: here| there| side by side)?$/;
const twice =
  /^(.*?)(?:(?:count|put|take|log|tally|book) (?:it|that|him|her|this|that one|this one)(?: down| in)? )?(twice|three times)$/;

const twoOf = (text: string, value: number): SaidPiece => ({
  is: 'number',
  text,
  number: { value, length: 1 },
  concepts: new Set(),
  light: false,
  capital: false,
  unknown: false,
});

/** "Two alike", "count it twice": so many of them. What was said so already is not said again. */
function withCounts(pieces: readonly SaidPiece[]): readonly SaidPiece[] {
  let all = pieces;
  let counted: number | undefined;
  for (const [from, to] of clausesOf(pieces)) {
    const clause = pieces.slice(from, to);
    const found = kindBefore(pieces, to) === undefined ? undefined : countIn(clause);
    if (found === undefined) continue;
    const said = counted === found.value ? [] : [twoOf(found.text, found.value), words('of them', 'ofThem')];
    counted = found.value;
    const end = all.length - (pieces.length - to);
    const begins = end - clause.length;
    all = [...all.slice(0, begins), ...clause.slice(0, found.keeps), ...said, ...all.slice(end)];
  }
  while (all.at(-1)?.is === 'break') all = all.slice(0, -1);
  return all.filter(({ is }, at) => is !== 'break' || all[at - 1]?.is !== 'break');
}

/** How many of the tree a clause counts, as it was said, and how many of its pieces stand before that. */
function countIn(clause: readonly SaidPiece[]): { value: number; text: string; keeps: number } | undefined {
  const at = clause.findLastIndex(({ is }) => is === 'number');
  const number = clause[at]?.number;
  const whole =
    number !== undefined &&
    number.unit === undefined &&
    number.sign === undefined &&
    Number.isInteger(number.value) &&
    number.value > 1 &&
    number.value < 10;
  const lead = textOf(clause.slice(0, at));
  if (
    whole &&
    /^(?:(?:there (?:is|are)|there's|got|have|with|we have) )?$/.test(`${lead} `.trimStart()) &&
    alike.test(textOf(clause.slice(at + 1)))
  )
    return { value: number.value, text: clause[at]!.text, keeps: 0 };
  const last = twice.exec(textOf(clause));
  if (last === null) return undefined;
  let keeps = clause.length;
  while (keeps > 0 && textOf(clause.slice(0, keeps)).length > last[1]!.trim().length) keeps--;
  const before = clause.slice(0, keeps);
  // "Weeviled twice" is no count of trees.
  const plain = before.every((piece) => piece.is === 'species' || isSize(piece) || piece.light);
  return plain ? { value: last[2] === 'twice' ? 2 : 3, text: last[2]!, keeps } : undefined;
}
