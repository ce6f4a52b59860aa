/** What typed words come to before a book looks at them. */
import { grammar } from '../../grammar/description/grammar.ts';
import { createUnderstanding } from '../../grammar/reading/understand.ts';
import { takeFrom } from '../../shared/dialogue/choosing.ts';
import type { Note } from '../../shared/note/note.ts';
import { automaton } from './language.ts';

export const understandTyped = createUnderstanding(automaton, grammar);

/** The notes that are kept; undefined where something is asked, or refused. */
export function keptOf(text: string): readonly Note[] | undefined {
  const read = understandTyped(text);
  if (!read.ok || read.value[0]!.posterior < takeFrom) return undefined;
  return read.value[0]!.notes;
}
