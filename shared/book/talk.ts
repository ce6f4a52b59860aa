/**
 * What may be said at this point of the conversation. Where the sound is unsure, "yes" is likelier while something is
 * asked, and a lone "third" hardly means anything while nothing is.
 */
import type { Question } from '../acts.ts';
import type { Candidate, Note } from '../note.ts';
import { sameNote } from './outcome.ts';

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
const isBare = (note: Note): boolean =>
  note.kind === 'pick' || (note.kind === 'answer' && note.answer !== 'repeat');

const pickable: Readonly<Partial<Record<Question['about'], readonly string[]>>> = {
  scale: ['deg', 'pct', 'topo'],
  face: ['centre', 'face'],
};
const choices: readonly string[] = ['first', 'second', 'third', 'neither'];

function answers(note: Note, { about, options }: Question): boolean {
  if (options.some((option) => sameNote(option.note, note))) return true;
  switch (note.kind) {
    case 'answer':
      return true;
    case 'pick':
      return (pickable[about] ?? choices).includes(note.what);
    case 'number':
      return about === 'doubt' || about === 'pace' || about === 'eye' || about === 'diameter';
    case 'change':
      return about === 'doubt';
    case 'height':
      return about === 'distance';
    case 'tree':
      return about === 'species' && note.facts.species !== undefined && Object.keys(note.facts).length === 1;
    default:
      return false;
  }
}

/**
 * The candidates with their shares as ear and talk together see them, best first. What is not believed of any of them
 * counts as something said in place. The talk may raise another above what the sound says, or make an answer surer; it
 * makes nothing doubtful that is the best either way: a "yes" to nothing is told so, not asked about.
 *
 * @example asTalkGoes([third 0.9, fir 0.06], null) // fir 0.41, third 0.31
 */
export function asTalkGoes(
  candidates: readonly Candidate[],
  question: Question | null,
): readonly Candidate[] {
  const weighed = candidates.map((candidate) => {
    const { note } = candidate;
    const fits = question !== null && answers(note, question);
    const factor = fits
      ? factors.answer
      : isBare(note)
        ? factors.astray
        : question === null
          ? 1
          : factors.other;
    return { candidate, share: candidate.posterior * factor };
  });
  if (candidates.length === 0) return candidates;
  const unbelieved = 1 - candidates.reduce((sum, { posterior }) => sum + posterior, 0);
  const whole = weighed.reduce((sum, { share }) => sum + share, Math.max(0, unbelieved));
  if (whole === 0) return candidates;
  const byBelief = (a: Candidate, b: Candidate): number => b.posterior - a.posterior;
  const bySound = [...candidates].sort(byBelief);
  const byTalk = weighed
    .map(({ candidate, share }) => ({ ...candidate, posterior: share / whole }))
    .sort(byBelief);
  const [said] = bySound;
  const [taken] = byTalk;
  return said!.note === taken!.note && taken!.posterior < said!.posterior ? bySound : byTalk;
}
