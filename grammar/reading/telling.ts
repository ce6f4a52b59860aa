/** Which pieces of what was said tell something, so that nothing may be read without them. */
import { type Note, turnsEntries } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import type { SaidPiece } from './pieces.ts';

/** Whether something is taken back or put back: beside words that were left out, yes would do it to another. */
export const turnsBack = (notes: readonly Note[]): boolean => notes.some(turnsEntries);

/** Words that turn a meaning round are never taken for others. */
export const turnsRound =
  /^(?:not|no|nor|neither|none|hardly|without|minus|never|cannot|[a-z]+n't|(?:is|was|are|do|does|did|have|has|ca)nt)$/;

/** Said behind what is meant: "sixteen point one I mean", "hickory it should be". */
export const meantBehind =
  /^(?:i mean|i meant|meant|i meant to say|i should say|rather|is what i meant|is what (?:it|that) (?:was|is|should be)|(?:it|that|this) (?:is|was|should be|should have been|ought to be|is really|was really|was supposed to be)|is (?:right|the right one)|should be right)$/;

/** What only leads on, or says how something was come by. */
const tellsLittle: ReadonlySet<Concept> = new Set<Concept>([
  'again',
  'aside',
  'estimate',
  'goes',
  'guess',
  'has',
  'here',
  'last',
  'next',
  'one',
  'person',
  'stand',
  'tape',
  'that',
  'to',
  'today',
  'tree',
  'walk',
]);

/** A number, a name, a "not", an amount, a part of a tree, a way to measure, a word of change: without it something else is meant. */
export const tellsMuch = ({ is, concepts }: SaidPiece): boolean =>
  is === 'number' || is === 'species' || is === 'mark' || [...concepts].some((one) => !tellsLittle.has(one));
