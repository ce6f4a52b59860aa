/** Questions of one breath: none is asked twice, and what the first is narrowed to holds for those behind it. */
import type { Candidate, Note, NoteOf } from '../../shared/note/note.ts';
import { sameNote } from '../../shared/note/note-key.ts';
import { questionTopics } from '../../shared/note/question-topics.ts';

type Ask = NoteOf<'ask'>;

/** Sums that can be narrowed. */
const isNarrowable = ({ about }: Ask): boolean =>
  /^(?:totals|narrowed)$/.test(questionTopics[about].asked) ||
  about === 'trees' ||
  about === 'volume' ||
  about === 'volumePerAcre';

/** "How many red oaks today and what's the average diameter": of the red oaks of today. */
function narrowed(note: Note, before: Note | undefined): Note {
  if (note.kind !== 'ask' || before?.kind !== 'ask' || before.scope === undefined) return note;
  if (note.scope !== undefined || !isNarrowable(note) || !isNarrowable(before)) return note;
  const { species, day, stratum, everywhere } = before.scope;
  const scope = {
    ...(species === undefined ? {} : { species }),
    ...(day === undefined ? {} : { day }),
    ...(stratum === undefined ? {} : { stratum }),
    ...(everywhere === undefined ? {} : { everywhere }),
  };
  return Object.keys(scope).length === 0 ? note : { ...note, scope };
}

/** All that is asked is of all, however the first was narrowed. */
const ofAll = /\b(?:in all|in total|altogether|overall|whole|everything|total)\b/i;

/** The notes of each candidate as they are meant together; `text`: what was typed. */
export function askedTogether(candidates: readonly Candidate[], text: string): readonly Candidate[] {
  return candidates.map((one) => {
    const asked = one.notes.filter(({ kind }) => kind === 'ask');
    if (asked.length < 2) return one;
    const once = one.notes.filter(
      (note, at) => note.kind !== 'ask' || !one.notes.slice(0, at).some((other) => sameNote(other, note)),
    );
    const all: Note[] = [];
    for (const note of once) all.push(ofAll.test(text) ? note : narrowed(note, all.at(-1)));
    const [first, ...rest] = all;
    return first === undefined ? one : { ...one, notes: [first, ...rest] };
  });
}
