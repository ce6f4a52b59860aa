/**
 * Which meaning of an utterance is taken, how far of it, and what is asked where it is not sure. What the sound left
 * open, the talk so far and the trees may settle.
 */
import { type StandView, twoOpinions } from '../measuring/doubt/opinions.ts';
import type { Question } from '../note/acts.ts';
import type { Candidate, Note, NoteMeaning } from '../note/note.ts';
import { notesKey } from '../note/note-key.ts';
import * as wording from '../wording/wording.ts';
import { withDialoguePrior } from './dialogue-prior.ts';
import type { Tongue, Utterance } from './types.ts';

/** A reading with at least this share of belief is taken; below it, the person is asked. */
export const takeFrom = 0.8;
/**
 * The same for what was heard: a wrong note kept in silence costs more than a question. Below 0.93 more than one in a
 * hundred notes with a foreign word in them are kept (`npm run bench -- belief`).
 */
export const takeHeardFrom = 0.93;
/** Meanings with less belief than this are not offered. */
const offerFrom = 0.08;

interface Choice {
  readonly best: Candidate;
  /** So many notes from the first one are sure enough to be taken. */
  readonly sure: number;
  /** About the first note that is not. */
  readonly ask?: Question;
  /** The sentence that tells what was settled between two meanings. */
  readonly settled?: string;
}

interface ChoosingParts {
  readonly question: Question | null;
  readonly trees: StandView;
  readonly tongue: Tongue;
}

/** There must be a candidate. */
export function choose(
  { candidates, heard, words }: Utterance,
  { question, trees, tongue }: ChoosingParts,
): Choice {
  const bySound = [...candidates].sort((a, b) => b.posterior - a.posterior);
  const from = heard === undefined ? takeFrom : takeHeardFrom;
  const byTalk = heard === undefined ? bySound : withDialoguePrior(bySound, question);
  const unsure = heard !== undefined && byTalk[0]!.posterior < from;
  const sorted = unsure ? twoOpinions(byTalk, trees) : byTalk;
  const best = sorted[0]!;
  if (best.unread !== undefined) return { best, sure: 0, ask: questionAboutRest(tongue, best, best.unread) };
  const wondered = heard === undefined && words.trimEnd().endsWith('?') ? wonderedAt(best.notes) : -1;
  if (wondered > 0) return { best, sure: wondered, ask: questionAbout(tongue, best, [best], wondered) };
  if (best.posterior >= from) {
    const overruled = best.notes !== bySound[0]!.notes;
    const rival = unsure || overruled ? bySound.find(({ notes }) => notes !== best.notes) : undefined;
    if (!rival) return { best, sure: best.notes.length };
    const [taken, left] = [best, rival].map(({ notes }) => spoken(tongue, notes));
    return { best, sure: best.notes.length, settled: `Taken as ${taken}, not ${left}.` };
  }
  const sure = surePart(best, sorted, from);
  return { best, sure, ask: questionAbout(tongue, best, sorted, sure) };
}

/** A plot, a place or a setting: what is told next rests on it. How the talk itself goes is none of these. */
export const restsOthers = (note: Note): boolean =>
  note.kind === 'stand' ||
  note.kind === 'stratum' ||
  (note.kind === 'setting' && note.set.what !== 'attention') ||
  (note.kind === 'plot' && (note.op === 'open' || note.op === 'size' || note.op === 'empty'));

/** An offer that nobody answered, told again behind the next notes: "Not kept yet: plot two, tenth acre. ..." */
export function stillOffered({ options }: Question): string {
  const [first] = options;
  const says = wording.list(
    options.map(({ say }) => say),
    'or',
  );
  const rests =
    first?.note.kind === 'plot'
      ? ', and what came since goes on it'
      : first?.note.kind === 'setting'
        ? ', and it holds from where it was said'
        : '';
  const yes = options.length > 1 ? 'Say which' : 'Say yes';
  return `Not kept yet: ${says}. ${yes}${rests}; no drops it.`;
}

/** What was typed, and is offered alone or in two ways, stays open behind the next notes where these rest on it. */
export function staying(heard: Utterance['heard'], ask: Question): Question {
  const about = ask.about === 'reading' || ask.about === 'confirm' || ask.about === 'rest';
  if (heard !== undefined || !about || ask.options.length === 0) return ask;
  const options = ask.options.map(withoutClosing);
  return options.every(({ note }) => restsOthers(note)) ? { ...ask, options, stays: true } : ask;
}

/** A plot that begins closes the one in hand by itself; said later, the closing would take what came since with it. */
function withoutClosing(option: Question['options'][number]): Question['options'][number] {
  const [begins, ...rest] = option.behind ?? [];
  const closes = option.note.kind === 'plot' && option.note.op === 'close';
  if (!closes || begins?.kind !== 'plot' || begins.op !== 'open') return option;
  return { say: option.say, note: begins, ...(rest.length > 0 ? { behind: rest } : {}) };
}

/** "Is that right, a hundred feet?": a height behind a question, with a mark of one, was not measured. */
const wonderedAt = (notes: readonly Note[]): number =>
  notes.findIndex(({ kind }, at) => kind === 'height' && notes[at - 1]?.kind === 'ask');

export const spoken = (tongue: Tongue, notes: readonly Note[]): string =>
  notes.map((note) => tongue.speak(note)).join(', ');

/** How many notes of the best meaning the others agree on, so that together they are sure enough. */
function surePart(best: Candidate, all: readonly Candidate[], from: number): number {
  let sure = 0;
  while (sure + 1 < best.notes.length) {
    const belief = agreeing(best, all, sure + 1).reduce((sum, { posterior }) => sum + posterior, 0);
    if (belief < from) break;
    sure++;
  }
  return sure;
}

/** Candidates that begin with the same notes as the best one. */
const agreeing = (best: Candidate, all: readonly Candidate[], length: number): Candidate[] => {
  const key = notesKey(best.notes.slice(0, length));
  return all.filter(({ notes }) => notesKey(notes.slice(0, length)) === key);
};

function questionAbout(tongue: Tongue, best: Candidate, all: readonly Candidate[], sure: number): Question {
  const rests = agreeing(best, all, sure)
    .filter(({ notes, posterior }) => notes.length > sure && posterior >= offerFrom)
    .map(({ notes }) => notes.slice(sure));
  const offered = [...new Map(rests.map((rest) => [notesKey(rest), rest])).values()].slice(0, 3);
  const options = (offered.length > 0 ? offered : [best.notes.slice(sure)]).map((rest) => ({
    say: spoken(tongue, rest),
    note: rest[0]!,
    ...(rest.length > 1 ? { behind: rest.slice(1) } : {}),
  }));
  const says = options.map((option) => option.say);
  const text = options.length === 1 ? `Did you say ${says[0]}?` : `Did you say ${wording.list(says, 'or')}?`;
  return { about: options.length === 1 ? 'confirm' : 'reading', text, options };
}

/** What was understood is repeated; what was not is asked for alone. */
function questionAboutRest(tongue: Tongue, { notes }: Candidate, unread: string): Question {
  const say = spoken(tongue, notes);
  const [first] = notes;
  const talk = notes.length === 1 && first.kind === 'remark';
  const nameless = notes.length === 1 && first.kind === 'tree' && first.facts.species === undefined;
  return {
    about: 'rest',
    text: talk
      ? `I do not know ${wording.list(
          unread
            .split(', ')
            .slice(0, 3)
            .map((word) => `"${word}"`),
          'or',
        )}. Say it in other words, or yes to keep it as a remark.`
      : nameless && first.facts.diameter !== undefined
        ? `I do not know "${unread}". Which tree is it? Say its name, or yes to keep it without one.`
        : `I understood ${say}, but not "${unread}". Say that part in other words, or yes to keep the rest.`,
    options: [{ say, note: notes[0], ...(notes.length > 1 ? { behind: notes.slice(1) } : {}) }],
  };
}

/** The question put again, shortly: its answers without the clauses that all of them begin with. */
export function whichOf({ text, options }: Question): string {
  if (options.length < 2) return text;
  let clauses = options.map(({ say }) => say.split(', '));
  while (clauses.every((one) => one.length > 1 && one[0] === clauses[0]![0]))
    clauses = clauses.map((one) => one.slice(1));
  return `Which: ${wording.list(
    clauses.map((one) => one.join(', ')),
    'or',
  )}?`;
}

/** Other meanings of one note of the best candidate, where all the rest was understood alike. */
export function otherMeanings(best: Candidate, all: readonly Candidate[], at: number): NoteMeaning[] {
  const others = (notes: readonly Note[]): string => notesKey(notes.filter((_, index) => index !== at));
  const key = others(best.notes);
  return all
    .filter(
      ({ notes }) => notes !== best.notes && notes.length === best.notes.length && others(notes) === key,
    )
    .map(({ notes, words, posterior }) => ({ note: notes[at]!, words, posterior }));
}
