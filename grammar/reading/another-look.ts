/**
 * What was read word for word and may be told better by its pieces. Page and server ask here alike: the page fetches the
 * reader of pieces only for these, and for what was not read at all.
 */
import { lengths } from '../../shared/note/limits.ts';
import type { Candidate, Note, NoteOf } from '../../shared/note/note.ts';
import { withoutAccents } from '../description/normalise.ts';

/** Why another look is wanted; undefined where what was read is what is meant. */
export type AnotherLook = 'whole' | 'parted' | 'rival' | 'name' | 'remark';

/**
 * `whole`: word for word something is lost, such as the accents of a name, or one change is read as two; `parted`: trees
 * that the clauses may tell apart, a remark that names its tree; `rival`: a size behind another that may be of the same tree;
 * `name`: free words that ran on as a name; `remark`: a remark
 * behind which another note may stand.
 */
export function anotherLook(text: string, candidates: readonly Candidate[]): AnotherLook | undefined {
  const [first] = candidates;
  if (first === undefined) return undefined;
  if (losesSomething(text, first.notes)) return 'whole';
  if (mayBeParted(candidates)) return 'parted';
  if (hasRival(text, first.notes)) return 'rival';
  if (first.notes.at(-1)?.kind === 'remark' && /[a-z].*[,;.]\s+\S/i.test(text)) return 'remark';
  const runsOn = text.length > lengths.name || first.notes.some(hasLongName);
  return runsOn ? 'name' : undefined;
}

function losesSomething(text: string, notes: Candidate['notes']): boolean {
  if (withoutAccents(text) !== text && notes.some(isPerson)) return true;
  // "Leave it out" is of what was told just now, and takes back nothing before it.
  if (notes[0].kind === 'scratch' && notes.length === 1 && /\b(?:leave|count)\b/i.test(text)) return true;
  // "Point three, factor ten" begins a plot, not with three tenths.
  if (/^\s*(?:(?:at|on) )?point\s/i.test(text)) return true;
  if (/\b(?:back|return(?:ing)?) (?:to|in|at) (?:the )?(?:stand|compartment)\b/i.test(text)) return true;
  // "Stand three, upland oak, 42 acres": what stands behind a comma is no part of its name.
  if (/\b(?:stand|compartment)\b[^,;]*[,;]/i.test(text) && notes.some(({ kind }) => kind === 'stand'))
    return true;
  const [taken, why] = notes;
  // "Plot one, tree three was a birch": put right there, and no plot begins.
  if (taken.kind === 'plot' && taken.op === 'open' && why?.kind === 'change') return true;
  // "24, larch" are not 24 of them.
  if (isCountOnly(taken) && /^\s*[\w -]+,/.test(text) && !/^\s*(?:\w+s|\w+ \w+s)\s*,/.test(text)) return true;
  // "Plot one, six in": so many are in, and none of six inches.
  if (taken.kind === 'plot' && why?.kind === 'tree' && why.facts.species === undefined)
    if (why.facts.border === 'in' || /\d +in\b/i.test(text)) return true;
  // "No, four pines", "no, base one metre below": what follows puts right what was said.
  if (taken.kind === 'answer' && taken.answer === 'no' && (why?.kind === 'change' || isCountOnly(why)))
    return true;
  // Why something is taken back is told of nothing else.
  if (taken.kind === 'scratch' && why?.kind === 'tree' && why.facts.species === undefined) return true;
  return notes.length === 2 && notes.every(isOfSpecies);
}

/** "Oak 60, girth 188", "beech 7.5, say eight": no second tree. */
const hasRival = (text: string, [one, two]: Candidate['notes']): boolean =>
  one.kind === 'tree' &&
  two?.kind === 'tree' &&
  one.facts.diameter !== undefined &&
  two.facts.species === undefined &&
  two.facts.diameter !== undefined &&
  (two.facts.diameter.girth === true ||
    /\b(?:say|or|maybe|perhaps|probably|call (?:it|that)|might be|could be)\b/.test(text));

/** So many of a kind, and nothing else of them. */
export const isCountOnly = (note: Note | undefined): note is NoteOf<'tree'> =>
  note?.kind === 'tree' && note.facts.count !== undefined && note.facts.diameter === undefined;

const isOfSpecies = (note: Note): boolean => note.kind === 'change' && note.facts?.species !== undefined;

const isPerson = (note: Note): boolean => note.kind === 'setting' && note.set.what === 'person';

/** Trees that may be told apart in several ways, where the clauses may say how; a remark that names its tree. */
const mayBeParted = (candidates: readonly Candidate[]): boolean =>
  (candidates.length > 1 &&
    candidates.every(({ notes }) => notes.length > 1 && notes.every(({ kind }) => kind === 'tree'))) ||
  candidates.every(
    ({ notes: [first, second] }) =>
      second === undefined && first.kind === 'remark' && /^(?:on|about|for) (?:the|that) /.test(first.text),
  );

/** More words than names have: other things that were said stand among them. */
const mostNameWords = { person: 3, place: 4 } as const;

export function hasLongName(note: Note): boolean {
  const words = (name: string): number => name.split(' ').length;
  if (note.kind === 'stand' || note.kind === 'stratum') return words(note.name) > mostNameWords.place;
  return note.kind === 'setting' && note.set.what === 'person' && words(note.set.name) > mostNameWords.person;
}
