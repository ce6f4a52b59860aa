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

/**
 * True when `after` may be a note of its own behind `before`. `bare`: only "and" stands between them, without a comma
 * or a pause.
 *
 * @example mayFollow({ kind: 'tree', facts: { logs: 2 } }, { kind: 'next' }, true) // true
 */
export function mayFollow(before: Note, after: Note, bare = false): boolean {
  if (bare && (before.kind === after.kind || !joined.has(before.kind) || !joined.has(after.kind)))
    return false;
  switch (before.kind) {
    case 'number':
      // A count of paces without its word.
      return !(after.kind === 'setting' && 'length' in after.set);
    case 'change':
      // Lean, base or eye said before the height that they belong to would go to the height before.
      return !(after.kind === 'height' && before.tree === undefined && before.facts === undefined);
    case 'borderline':
      // The diameter of the tree at the border, not of the one in hand.
      return !(after.kind === 'number' || (after.kind === 'tree' && after.facts.species === undefined));
    default:
      return true;
  }
}

/** True when each of the notes may follow the one before it. */
export const isSequence = (notes: readonly Note[]): boolean =>
  notes.every((note, at) => at === 0 || mayFollow(notes[at - 1]!, note));
