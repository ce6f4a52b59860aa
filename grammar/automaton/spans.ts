/** Where in the utterance each field of a note was said. */
import type { Automaton } from './automaton.ts';

/** Where a field was said: words from..to (exclusive) of the utterance. */
export interface Span {
  readonly path: string;
  readonly from: number;
  readonly to: number;
}

/** Where each field of the note was said. A constant spans the words since the field before it. */
export function spansOf(automaton: Automaton, arcs: ArrayLike<number>, final: number): Span[] {
  const spans: Span[] = [];
  let numberFrom = 0;
  let numberTo = 0;
  let taken = true;
  let freeFrom = 0;
  let freeTo = 0;
  let fieldTo = 0;
  for (let i = 0; i <= arcs.length; i++) {
    const sequence = i < arcs.length ? automaton.arcTags[arcs[i]!]! : final;
    const tags = automaton.tagSequences[sequence]!;
    const before = automaton.tagsBefore?.[sequence] ?? tags.length;
    tags.forEach((tag, index) => {
      // Words that are said when the tag is done.
      const said = i < arcs.length && index >= before ? i + 1 : i;
      if (tag.op === 'digit' || tag.op === 'unit') {
        if (taken) numberFrom = Math.max(0, said - 1);
        taken = false;
        numberTo = said;
        return;
      }
      const path = tag.op === 'number' && tag.append ? `${tag.path}[]` : tag.path;
      if (tag.op === 'const') {
        if (fieldTo < said) spans.push({ path, from: fieldTo, to: said });
        return;
      }
      if (tag.op === 'words') spans.push({ path, from: freeFrom, to: freeTo });
      else spans.push({ path, from: numberFrom, to: numberTo });
      taken = true;
      fieldTo = said;
    });
    if (i < arcs.length && automaton.arcWord[arcs[i]!] === 0) {
      if (freeTo !== i) freeFrom = i;
      freeTo = i + 1;
    }
  }
  return spans;
}
