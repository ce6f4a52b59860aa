/** Trees like the last one, told by their size: "three more of the same size", "another beech the same size". */
import type { Note } from '../../shared/note/note.ts';
import { factsOf } from './compose-facts.ts';
import { type Draft, everyPlace, explain, type Scan } from './scan.ts';

const sameSize =
  /(?:^| )(?:the |that )?same (?:size|diameter|thickness|girth)(?: |,|$)|(?:^| )(?:of|at) that size(?: |,|$)/;
const more = /(?:^| )(?:more|others|another|again)(?: |,|$)/;
/** "The other one is the same size" tells of a tree that stands. */
const isTold = /(?:^| )(?:is|are|was|were|'s)(?: |$)/;

/** "Three more", "another two", "four beech more": how many, not how thick. */
const isCounted = ({ pieces }: Scan, at: number): boolean =>
  /^(?:more|others)/.test(pieces[at + 1]?.text ?? '') ||
  pieces[at + 1]?.is === 'species' ||
  pieces[at - 1]?.text === 'another';

/** Asked of nothing else: a count, at most one kind, and small words. */
export function sameSizeDraft(scan: Scan): Draft | undefined {
  const text = scan.text();
  if (scan.asked || !sameSize.test(text) || !more.test(text) || isTold.test(text)) return undefined;
  const [at, ...numbers] = scan.numbers;
  const [species, ...names] = scan.species;
  if (numbers.length > 0 || names.length > 0) return undefined;
  const count = at === undefined ? undefined : scan.number(at);
  const counts =
    count === undefined ||
    (count.unit === undefined &&
      count.sign === undefined &&
      Number.isInteger(count.value) &&
      count.value > 1 &&
      count.value < 100 &&
      isCounted(scan, at ?? -1));
  const plain = scan.pieces.every(
    ({ is, light, text: word, concepts }) =>
      is !== 'words' ||
      light ||
      /^(?:more|others?|another|another one|one more|same|size|diameter|thickness|girth|again|that)$/.test(
        word,
      ) ||
      concepts.has('again') ||
      concepts.has('tree'),
  );
  if (!counts || !plain || scan.pieces.some(({ is }) => is === 'mark' || is === 'ordinal')) return undefined;
  const again: Note = {
    kind: 'again',
    ...(count === undefined ? {} : { count: count.value }),
    ...(species === undefined ? {} : { facts: { species: scan.name(species) } }),
  };
  return { notes: [again], used: everyPlace(scan), against: -0.2 };
}

const butFor =
  /^(?:(?:and|oh|then|the) )*(?:same(?: thing)?(?: again| as (?:before|that|the last(?: one)?))?|ditto|another the same|(?:another |one )?(?:just )?like (?:it|that|the last(?: one)?|before)|another one the same)(?:,| )+(?:but|only|except|just|bar)(?: (?:it|this one|that one|he|she|for|that))?(?: (?:is|at|'s|with|has))?(?: |,)/;

/** "Same again but 14.9": the last tree in all but what is said. */
export function sameButDraft(scan: Scan): Draft | undefined {
  const lead = butFor.exec(scan.text());
  if (lead === null || scan.asked || scan.species.length > 0 || scan.has('scratch', 'restore', 'ask', 'plot'))
    return undefined;
  const found = factsOf(scan, new Set());
  if (found === undefined || found.unsure || found.more.length > 0 || found.rival !== undefined)
    return undefined;
  // All of the words that lead to what is other.
  let to = 1;
  while (to < scan.pieces.length && scan.text(0, to).length < lead[0].trimEnd().length) to++;
  const leading = Array.from({ length: to }, (_, at) => at);
  return {
    notes: [{ kind: 'again', facts: found.facts, same: true }],
    used: explain(scan, [...leading, ...found.used], [...found.concepts, 'that', 'one', 'has']),
    against: -0.2,
  };
}
