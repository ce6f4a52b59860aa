/**
 * What may be said at this point of the conversation. Where the sound is unsure, "yes" is likelier while something is
 * asked, and a lone "third" hardly means anything while nothing is.
 */
import type { Question } from '../note/acts.ts';
import type { Candidate, Note } from '../note/note.ts';
import { sameNote } from '../note/note-key.ts';
import { toldApart } from './telling.ts';

/** Notes that answer, of those said while a question is open, and of all. By judgement: common practice, no source. */
const answering = { open: 0.5, all: 0.1 } as const;
/** An answer to nothing, or to another kind of question: so many times rarer. */
const astray = 20;

/** How the shares of notes change: those that answer the open question, those that answer nothing, all others. */
const factors = {
  answer: answering.open / answering.all,
  astray: 1 / astray,
  other: (1 - answering.open) / (1 - answering.all),
} as const;

/** True for notes that say nothing unless something was asked. */
export const isBareAnswer = (note: Note): boolean =>
  note.kind === 'pick' || (note.kind === 'answer' && note.answer !== 'repeat');

const pickable: Readonly<Partial<Record<Question['about'], readonly string[]>>> = {
  scale: ['deg', 'pct', 'topo'],
  face: ['centre', 'face'],
  slope: ['ground', 'sight'],
};
const choices: readonly string[] = ['first', 'second', 'third', 'neither'];

function answers(note: Note, { about, options }: Question): boolean {
  if (options.some((option) => sameNote(option.note, note))) return true;
  switch (note.kind) {
    case 'answer':
      return true;
    case 'pick':
      if (note.what === 'named') return toldApart(options, note.word ?? '') !== undefined;
      return (pickable[about] ?? choices).includes(note.what);
    case 'number':
      return (
        about === 'doubt' ||
        about === 'pace' ||
        about === 'eye' ||
        about === 'diameter' ||
        about === 'bearing'
      );
    case 'change':
      return about === 'doubt' || (about === 'walked' && note.leg !== undefined);
    case 'height':
      return about === 'distance' || about === 'bearing';
    case 'tree':
      return about === 'species' && note.facts.species !== undefined && Object.keys(note.facts).length === 1;
    default:
      return false;
  }
}

function factorOf(note: Note, question: Question | null): number {
  if (question !== null && answers(note, question)) return factors.answer;
  if (isBareAnswer(note)) return factors.astray;
  return question === null ? 1 : factors.other;
}

/** The first note of a breath may answer; one behind it answers nothing that was asked before. */
const factorOfBreath = ([first, ...others]: Candidate['notes'], question: Question | null): number =>
  others.reduce(
    (factor, note) => factor * (isBareAnswer(note) ? factors.astray : 1),
    factorOf(first, question),
  );

/**
 * The candidates, which come best first, with their shares as ear and talk together see them, best first again. What is
 * not believed of any of them counts as something said in place. The talk may raise another above what the sound says,
 * or make an answer surer; it makes nothing doubtful that is the best either way: a "yes" to nothing is told so, not
 * asked about.
 *
 * @example
 * const third = { notes: [{ kind: 'pick', at: 3 }], words: 'third', posterior: 0.9 };
 * const fir = { notes: [{ kind: 'tree', facts: { species: 12 } }], words: 'fir', posterior: 0.06 };
 * withDialoguePrior([third, fir], null)[0].words // 'fir'
 */
export function withDialoguePrior(
  candidates: readonly Candidate[],
  question: Question | null,
): readonly Candidate[] {
  const [said] = candidates;
  if (said === undefined) return candidates;
  const shares = candidates.map(({ notes, posterior }) => posterior * factorOfBreath(notes, question));
  const believed = candidates.reduce((sum, { posterior }) => sum + posterior, 0);
  const whole = shares.reduce((sum, share) => sum + share, Math.max(0, 1 - believed));
  const byTalk = candidates
    .map((candidate, i) => ({ ...candidate, posterior: shares[i]! / whole }))
    .sort((a, b) => b.posterior - a.posterior);
  const taken = byTalk[0]!;
  return taken.notes === said.notes && taken.posterior < said.posterior ? candidates : byTalk;
}
