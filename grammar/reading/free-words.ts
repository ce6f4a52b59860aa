/**
 * Words that tell nothing which a note has a place for: what is seen on a tree, where it stands, words that nobody here
 * knows. They go into remarks; a slip of a word that tells something else does not.
 */
import { speciesNames } from '../../shared/note/species.ts';
import { ones, teens, tens } from '../description/numbers.ts';
import { type Concept, conceptPhrases } from '../description/other-words/concepts.ts';
import { isCommonWord } from '../pronunciation/unigrams.ts';
import type { SaidPiece } from './pieces.ts';
import { keySlips } from './typed-input.ts';

/** They tell where on a tree something is, or nothing of a measure. */
const harmless: ReadonlySet<Concept> = new Set<Concept>([
  'condition',
  'top',
  'base',
  'off',
  'laid',
  'walk',
  'meets',
  'lean',
  'here',
  'that',
  'one',
  'has',
  'goes',
  'guess',
  'tree',
  'again',
  'each',
  'next',
  'rot',
  'inRow',
  'hill',
]);

const told: readonly Concept[] = [
  'dead',
  'live',
  'cull',
  'log',
  'noLogs',
  'defect',
  'dbh',
  'girth',
  'tall',
  'each',
];
/** Words that a slip of the keyboard makes unknown ones of, and that tell something else than a remark. */
const telling: readonly string[] = [
  ...new Set([
    ...ones,
    ...teens,
    ...tens,
    'hundred',
    'inches',
    'feet',
    'foot',
    'metres',
    'paces',
    'percent',
    'degrees',
    'outside',
    ...conceptPhrases.flatMap(([concept, phrases]) => (told.includes(concept) ? phrases : [])),
    ...speciesNames.flatMap((name) => name.split(' ').filter((word) => word.length > 4)),
  ]),
].filter((word) => word.length > 2 && !word.includes(' '));

/** A telling word with a slip in it: "deid", "fourten"; "love" and "root" are words that people say. */
export const isSlipped = (word: string): boolean =>
  word.length < 3 ||
  (!(word.length > 3 && isCommonWord(word)) &&
    telling.some((one) => keySlips(word, one, slipsOf(word)) <= slipsOf(word)));
const slipsOf = (word: string): number => (word.length < 8 ? 1 : 2);

export const isCondition = ({ concepts }: SaidPiece): boolean => concepts.has('condition');
/** Before a number that belongs to a remark: "pruned to six metres". */
const reaching =
  /^(?:to|until|till|up|at|from|above|below|about|past|over|under|near|around|roughly|say|maybe|the|a)$/;

/** Words that tell nothing of what a tree measures. */
export const isPlain = ({ is, concepts, unknown, light, text }: SaidPiece): boolean =>
  is === 'words' &&
  (unknown || light || reaching.test(text) || [...concepts].every((concept) => harmless.has(concept)));
/** It can carry a remark: nobody here knows what it tells, or it is known to be no measure. */
export const isFree = (piece: SaidPiece): boolean =>
  isCondition(piece) ||
  (piece.is === 'words' &&
    piece.concepts.size === 0 &&
    !piece.light &&
    !/^(?:not|twice|thrice|half|double)$/.test(piece.text));
/** Free, and no slip of something that tells. */
export const isSureWord = (piece: SaidPiece): boolean =>
  isCondition(piece) || (isFree(piece) && !piece.capital && !(piece.unknown && isSlipped(piece.text)));

/**
 * True where the length at a place tells how far something goes that was seen on the tree: a mark, a condition or an
 * unknown word before it in its clause, and only words of place between.
 */
export function isReach(pieces: readonly SaidPiece[], at: number): boolean {
  const { number } = pieces[at]!;
  if (isOfBark(pieces, at) || isGrade(pieces, at) || isShare(pieces, at)) return true;
  if (number?.unit !== 'm' && number?.unit !== 'ft' && number?.unit !== undefined) return false;
  if (number === undefined || number.sign !== undefined) return false;
  let before = at - 1;
  while (before >= 0 && pieces[before]!.is === 'words' && reaching.test(pieces[before]!.text)) before--;
  if (before === at - 1 || before < 0) return false;
  let from = before;
  while (from >= 0 && pieces[from]!.is === 'words' && !isFree(pieces[from]!) && isPlain(pieces[from]!))
    from--;
  const carrier = pieces[from];
  if (carrier === undefined || !(carrier.is === 'mark' || isFree(carrier))) return false;
  const sighted = pieces.some(({ concepts }) => sighting.some((one) => concepts.has(one)));
  return carrier.is === 'mark' || isCondition(carrier) || !sighted;
}
/** "Bark 2 cm", "a scar 10 inches": so much of it, which is no diameter; "12 over bark" is one. */
function isOfBark(pieces: readonly SaidPiece[], at: number): boolean {
  const { number } = pieces[at]!;
  if (!/^(?:cm|in)$/.test(number?.unit ?? '')) return false;
  let before = at - 1;
  while (before >= 0 && (pieces[before]!.light || /^(?:thickness|thick|is|of)$/.test(pieces[before]!.text)))
    before--;
  const own = /^(?:bark|scar|wound|crack|conk|burr|gall)$/.test(pieces[before]?.text ?? '');
  return own && !/^(?:over|under|outside|inside|below|above)$/.test(pieces[before - 1]?.text ?? '');
}

/** "Dieback in the crown, maybe half": how much of it, behind what was seen. */
function isShare(pieces: readonly SaidPiece[], at: number): boolean {
  const { number } = pieces[at]!;
  if (number === undefined) return false;
  const { value, unit, sign } = number;
  if (unit !== undefined || sign !== undefined || value >= 1 || value <= 0) return false;
  if (
    pieces.some(({ concepts }) =>
      ['defect', 'cull', 'log', 'factor'].some((one) => concepts.has(one as Concept)),
    )
  )
    return false;
  let before = at - 1;
  while (before >= 0 && (pieces[before]!.light || pieces[before]!.is === 'break')) before--;
  const seen = pieces.slice(Math.max(0, before - 4), before + 1);
  return before >= 0 && seen.some(isCondition) && seen.at(-1)?.is === 'words';
}

/** "Grade two", "a number one butt": how good a log is, no measure. */
function isGrade(pieces: readonly SaidPiece[], at: number): boolean {
  const { number } = pieces[at]!;
  if (number === undefined) return false;
  const { value, unit, sign } = number;
  if (unit !== undefined || sign !== undefined || !Number.isInteger(value) || value > 5) return false;
  const behind = pieces[at + 1]?.text ?? '';
  const before = pieces[at - 1]?.text ?? '';
  return (
    before === 'grade' ||
    behind === 'grade' ||
    (before === 'number' && /^(?:butt|log|sawlog|grade)$/.test(behind))
  );
}

const sighting: readonly Concept[] = [
  'stick',
  'tape',
  'device',
  'angle',
  'arm',
  'pole',
  'shadow',
  'eye',
  'laid',
  'pace',
];
