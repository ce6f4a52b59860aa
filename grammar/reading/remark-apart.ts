/**
 * A remark in the middle of a note ends where a clear note of another kind begins behind a comma: "ash 14, remark by the gate,
 * oak 12" is two trees and a remark, "remark oak, ash and pine on the slope" is one remark. Typed only: what is heard has no
 * commas, and there a remark runs on to its end.
 */
import { mostNotes, type Note, type NoteOf, type Notes } from '../../shared/note/note.ts';
import { isSequence } from '../automaton/note-sequence.ts';
import { conceptPhrases } from '../description/other-words/concepts.ts';

/** Notes that words are read as for sure; undefined where they are not. */
type SureReader = (text: string) => Notes | undefined;

const leads = conceptPhrases.flatMap(([concept, phrases]) => (concept === 'remark' ? phrases : []));
const noted = new RegExp(`(?:^|[\\s,;.])(?:${leads.join('|')})\\b`, 'i');
/** What may end a remark; a comma within a number has no blank behind it. */
const breaks = /[,;.]\s+/g;

/**
 * The notes of words with a remark that another note follows, or that lacks the comma before it; undefined where it is read
 * as it stands. The first comma behind which all that is left is clear counts. A remark that ends in a clear note itself is
 * the first of a list.
 */
export function remarkApart(text: string, sure: SureReader, depth = 0): Notes | undefined {
  const from = noted.exec(text);
  if (from === null || depth > mostNotes) return undefined;
  const begins = from.index + from[0].length;
  for (const { index, 0: mark } of text.matchAll(breaks)) {
    if (index < begins) continue;
    const tail = text.slice(index + mark.length);
    const behind = remarkApart(tail, sure, depth + 1) ?? sure(tail);
    if (behind === undefined || !isClear(behind[0], tail)) continue;
    const before = withRemark(text.slice(0, index), from.index, sure);
    const remark = before?.at(-1);
    if (before === undefined || remark?.kind !== 'remark' || isListed(remark.text, sure)) return undefined;
    const notes: Notes = [...before, ...behind];
    return notes.length <= mostNotes && isSequence(notes) ? notes : undefined;
  }
  const alone = from.index > 0 && sure(text) === undefined ? withRemark(text, from.index, sure) : undefined;
  return alone?.at(-1)?.kind === 'remark' && isSequence(alone) ? alone : undefined;
}

/** "Ash 14 remark hollow at the base": the word for a remark begins a clause, whether or not a comma stands before it. */
const withRemark = (text: string, from: number, sure: SureReader): Notes | undefined =>
  sure(text) ??
  (/\s/.test(text[from] ?? '') && /[^,;.\s]$/.test(text.slice(0, from))
    ? sure(`${text.slice(0, from)},${text.slice(from)}`)
    : undefined);

/** "Nearby oak 30": the words end in a note of their own. */
function isListed(text: string, sure: SureReader): boolean {
  const words = text.split(' ');
  return words.slice(-6).some((_, at, last) => {
    const end = last.slice(at).join(' ');
    const [own] = sure(end) ?? [];
    return own?.kind === 'tree' && isClear(own, end);
  });
}

const settings: ReadonlySet<string> = new Set<NoteOf<'setting'>['set']['what']>(['pace', 'eye', 'units']);
const plotActs: ReadonlySet<string> = new Set<NoteOf<'plot'>['op']>(['open', 'close', 'reopen', 'empty']);
const measured =
  /\b(?:height|tall|high|laser|hypsometer|clinometer|stick|eye|top|shadow|device|spans|range|angle|base)\b/i;

/** A note that no remark goes on with: it has all that makes one of its kind, beside the word or the size for it. */
function isClear(note: Note, text: string): boolean {
  const [clause = ''] = text.split(breaks);
  switch (note.kind) {
    case 'tree':
      return note.facts.species !== undefined && note.facts.diameter !== undefined;
    case 'plot':
      return plotActs.has(note.op) && /\b(?:plot|plots|stop|point|next)\b/i.test(clause);
    case 'height':
      return measured.test(text);
    case 'setting':
      return settings.has(note.set.what);
    case 'next':
    case 'ask':
      return clause.trim().split(/\s+/).length > 1;
    case 'scratch':
    case 'undo':
      return /^(?:scratch|undo|delete)\b/i.test(clause);
    default:
      return false;
  }
}
