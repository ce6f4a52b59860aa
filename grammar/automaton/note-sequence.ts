/**
 * Which notes may follow one another in one breath. Two that people mean as one, said in an order that is not read, are
 * no two notes: "eight, eye five and a half" is a height, and to take it apart would keep something else.
 */
import type { Note } from '../../shared/note/note.ts';

/** Kinds that a bare "and" may join, two different ones: "four and four" or "yes and no" is one thing. */
const joined: ReadonlySet<Note['kind']> = new Set([
  'tree',
  'height',
  'plot',
  'next',
  'setting',
  'stand',
  'stratum',
]);

/** Notes that only answer what was asked: they begin a breath, and what follows is no part of what they answer. */
const answering: ReadonlySet<Note['kind']> = new Set(['number', 'pick']);
/** What a number before it would more likely belong to. */
const numbered: ReadonlySet<Note['kind']> = new Set(['number', 'height', 'tree', 'setting', 'change']);

/**
 * True when `after` may be a note of its own behind `before`. `bare`: only "and" stands between them, without a comma
 * or a pause.
 *
 * @example mayFollow({ kind: 'tree', facts: { logs: 2 } }, { kind: 'next' }, true) // true
 */
export function mayFollow(before: Note, after: Note, bare = false): boolean {
  if (bare && (before.kind === after.kind || !joined.has(before.kind) || !joined.has(after.kind)))
    return false;
  // "Same tree, seventy four": one more reading of it.
  if (answering.has(after.kind)) return after.kind === 'number' && isSameTree(before);
  if (answering.has(before.kind) && numbered.has(after.kind)) return false;
  switch (before.kind) {
    case 'change':
      // "Tree twenty to red maple, twelve inches" describes that tree on, it begins none.
      if (after.kind === 'tree' && before.tree !== undefined) return after.facts.species !== undefined;
      // Lean, base or eye said before the height that they belong to would go to the height before.
      return !(after.kind === 'height' && before.tree === undefined && before.facts === undefined);
    case 'answer':
      // "Keep it" and a species alone: a misheard word more likely than a tree that begins.
      return !isSpeciesAlone(after);
    case 'ask':
      // Help is asked about one thing; a species behind a question narrows it, where it means anything.
      return (before.about !== 'help' || before.topic !== undefined) && !isSpeciesAlone(after);
    case 'borderline':
      // The diameter of the tree at the border, not of the one in hand.
      return !(after.kind === 'tree' && after.facts.species === undefined);
    default:
      return true;
  }
}

/** The tree in hand, by that name alone. */
const isSameTree = (note: Note): boolean =>
  note.kind === 'hand' && note.tree === undefined && note.which === undefined && note.height === undefined;

/** A tree of which only a species was said. */
const isSpeciesAlone = (note: Note): boolean =>
  note.kind === 'tree' &&
  note.height === undefined &&
  note.facts.species !== undefined &&
  Object.keys(note.facts).length === 1;

/** True when each of the notes may follow the one before it. */
export const isSequence = (notes: readonly Note[]): boolean =>
  notes.every((note, at) => at === 0 || mayFollow(notes[at - 1]!, note));
