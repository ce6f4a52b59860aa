/** Words for notes that only typing can tell: no pattern of the description says them, so the ear needs no arcs for them. */
import { unitTable } from '../../shared/core/units.ts';
import type { Note, NoteOf } from '../../shared/note/note.ts';

type Speak = (note: Note) => string | undefined;

/** The words, or undefined where it is no such note. `speak` says those that have a pattern. */
export function speakOnlyTyped(note: Note, speak: Speak): string | undefined {
  return note.kind === 'plot' ? plotWords(note, speak) : undefined;
}

/** "plot two, twenty by thirty metres". */
function plotWords(note: NoteOf<'plot'>, speak: Speak): string | undefined {
  const { size, ...rest } = note;
  if (size?.by !== 'sides') return undefined;
  const number = (value: number): string => speak({ kind: 'number', value }) ?? String(value);
  const [one, other] = size.sides;
  const unit = size.unit === undefined ? '' : ` ${unitTable[size.unit].words[0]}`;
  const sides = `${number(one)} by ${number(other)}${unit}`;
  if (note.op !== 'size') return `${speak(rest) ?? 'plot'}, ${sides}`;
  return note.number === undefined ? `plots of ${sides}` : `plot ${number(note.number)} was ${sides}`;
}
