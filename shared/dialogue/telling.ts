/** The shortest answer to a question: what tells one of the offered names from the others. "White" to "white or black ash?" */
import type { Question } from '../note/acts.ts';
import { nameOf } from '../note/limits.ts';
import type { Candidate, Note } from '../note/note.ts';
import { speciesOfNickname } from '../note/species.ts';

type Options = Question['options'];

const wordsOf = (text: string): string[] => text.toLowerCase().match(/[a-z0-9']+/g) ?? [];

/** Said around an answer, and telling nothing. */
const around = new Set([
  'the',
  'a',
  'an',
  'one',
  'it',
  'is',
  "it's",
  'its',
  'that',
  "that's",
  'was',
  'uh',
  'um',
  'well',
]);

/**
 * The one option that has all the words that were said, of which some are not in all of the options; undefined where there
 * is none, or more than one.
 */
export function toldApart(options: Options, words: string): Options[number] | undefined {
  const said = wordsOf(words).filter((word) => !around.has(word));
  if (said.length === 0 || options.length < 2) return undefined;
  const offered = options.map(({ say }) => wordsOf(say));
  const having = options.filter((_, at) => said.every((word) => offered[at]?.includes(word)));
  if (having.length < 2) return having[0];
  // "White" is white oak, and no Oregon white oak, where both are offered.
  const inAll = (word: string): boolean => offered.every((its) => its.includes(word));
  const whole = having.filter(({ say }) => wordsOf(say).every((word) => said.includes(word) || inAll(word)));
  return whole.length === 1 ? whole[0] : undefined;
}

/** All numbers of a note, at whatever depth. */
export function numbersOf(value: unknown): number[] {
  if (typeof value === 'number') return [value];
  if (value === null || typeof value !== 'object') return [];
  return Object.values(value).flatMap(numbersOf);
}

const lesser =
  /^(?:no,? |it's |it is )?(?:the )?(?:shorter|smaller|lower|lesser|thinner|nearer|first and smaller)(?: one)?$/;
const greater =
  /^(?:no,? |it's |it is )?(?:the )?(?:longer|bigger|larger|higher|taller|greater|thicker|further)(?: one)?$/;
const places = ['first', 'second', 'third'] as const;

/** "The shorter one": the option with the lesser of the numbers in which two differ; null where they differ in more. */
function comparedPick(options: Options, words: string): Note | null {
  const said = words.trim().toLowerCase();
  const less = lesser.test(said);
  const [one, other, ...more] = options.map(({ note }) => numbersOf(note));
  if ((!less && !greater.test(said)) || !one || !other || more.length > 0 || one.length !== other.length)
    return null;
  const differ = one.flatMap((value, at) => (value === other[at] ? [] : [value - (other[at] ?? 0)]));
  const [apart, ...others] = differ;
  if (apart === undefined || others.length > 0) return null;
  return { kind: 'pick', what: places[apart < 0 === less ? 0 : 1] };
}

/** "White" as the note that picks by it. */
const namedPick = (word: string): Note => ({ kind: 'pick', what: 'named', word });

/** The options that a species said by itself may mean; null where the note is more than that. */
function optionsMeant([note, ...more]: Candidate['notes'], options: Options): Options | null {
  if (note.kind !== 'tree' || more.length > 0 || note.height !== undefined) return null;
  const { species, ...facts } = note.facts;
  if (species === undefined || Object.keys(facts).length > 0) return null;
  const codes = typeof species === 'number' ? [species] : speciesOfNickname(species);
  return options.filter(
    ({ note: one }) => one.kind === 'tree' && codes.some((code) => code === one.facts.species),
  );
}

/** Said around an answer whether it is another tree. */
const besideSame =
  /^(?:yes|yep|yeah|no|nope|nah|not|it|is|it's|its|that|that's|this|was|the|a|an|of|one|tree|again|still|just|reading|height|on|second|i|mean)$/;
const sayAnother: ReadonlySet<string> = new Set(['another', 'different', 'new', 'next', 'other']);

/**
 * Words as the answer whether a height is of another tree, typed or heard: "another" and "same" are each a tree like the
 * last one where nothing is asked. Null where they say more, or both.
 */
function anotherOrSame(words: string): Note | null {
  const said = wordsOf(words).filter((word) => !besideSame.test(word));
  const [first, ...others] = new Set(said.map((word) => (sayAnother.has(word) ? 'another' : word)));
  const told = others.length === 0 && (first === 'another' || first === 'same');
  // "Not another", "not the same": the other one.
  const turned = /\bnot\b/.test(words.toLowerCase());
  return told ? namedPick((first === 'same') === turned ? 'another' : 'same') : null;
}

/** Candidates that were heard, or typed, as answers to such a question. */
export const asAnotherOrSame = (candidates: readonly Candidate[], words: string): readonly Candidate[] => {
  if (candidates.length === 0) {
    const note = anotherOrSame(words);
    return note === null ? candidates : [{ notes: [note], words, posterior: 1 }];
  }
  return candidates.map((one) => {
    const note = anotherOrSame(one.words);
    return note === null ? one : { notes: [note], words: one.words, posterior: one.posterior };
  });
};

/** Exactly what one of the options is called. */
function isOneOf(options: Options, words: string): boolean {
  const telling = (text: string): string =>
    wordsOf(text)
      .filter((word) => !around.has(word))
      .join(' ');
  const said = telling(words);
  return (
    /^[a-z' ]{1,40}$/i.test(words.trim()) &&
    options.filter(({ say }) => telling(say) === said).length === 1 &&
    toldApart(options, words) !== undefined
  );
}

/**
 * Typed words as the answer that they are to an open question, where they say nothing sure by themselves; null where they
 * do, or where they tell none of the options apart. `surely` is the belief from which a reading is taken.
 */
export function answerTold(
  question: Question,
  words: string,
  [best]: readonly Candidate[],
  surely: number,
): Candidate | null {
  const { options, about } = question;
  // "Height" alone asks for it where nothing is asked.
  if (about === 'reading' && isOneOf(options, words))
    return { notes: [namedPick(words.trim().toLowerCase())], words, posterior: 1 };
  if (best !== undefined && best.unread === undefined && best.posterior >= surely) {
    const meant = about === 'species' ? optionsMeant(best.notes, options) : null;
    // "Norway" of several is the one that was offered; "sugar" to "red or sugar maple?" is no sugar pine.
    const [only, another] = meant ?? [];
    if (only !== undefined && another === undefined) return { notes: [only.note], words, posterior: 1 };
    if (meant === null || only !== undefined) return null;
  }
  const compared = comparedPick(options, words);
  if (compared !== null) return { notes: [compared], words, posterior: 1 };
  const word = nameOf('name').safeParse(words.trim().toLowerCase());
  if (!word.success || toldApart(options, word.data) === undefined) return null;
  return { notes: [namedPick(word.data)], words, posterior: 1 };
}
