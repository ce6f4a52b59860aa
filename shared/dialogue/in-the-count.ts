/** "Oak 52 in" of who works in metres: 52 centimetres, and it counts. Nobody who does says inches so shortly. */
import type { Note } from '../note/note.ts';
import type { Utterance } from './types.ts';

/** "52 in" with the number right before it, and no length behind: "in inches", "in all". */
const counted = /\d\s+in\b(?=\s*(?:$|[,.;]|and\b))/i;

/** Typed words as they are meant where `metric` units hold. */
export function inTheCount(utterance: Utterance, metric: boolean): Utterance {
  const { words, candidates, heard } = utterance;
  if (!metric || heard !== undefined || !counted.test(words) || /\binch|["”]/i.test(words)) return utterance;
  return {
    ...utterance,
    candidates: candidates.map((one) => {
      const [first, ...others] = one.notes;
      return { ...one, notes: [counting(first), ...others.map(counting)] };
    }),
  };
}

function counting(note: Note): Note {
  if (note.kind !== 'tree' || note.facts.diameter?.unit !== 'in') return note;
  const { unit: _, ...diameter } = note.facts.diameter;
  return { ...note, facts: { ...note.facts, diameter, border: 'in' } };
}
