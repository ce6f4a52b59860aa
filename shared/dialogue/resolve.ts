/**
 * Turns a note into acts with named targets, by the book as it stands: which tree, which plot, in which unit.
 * Answers to questions are `answers.ts`, corrections `corrections.ts`, questions aloud `asking.ts`.
 */

import { mostTaught } from '../book/taught.ts';
import { assertNever } from '../core/result.ts';
import type { Act } from '../note/acts.ts';
import type { Note, NoteOf } from '../note/note.ts';
import type { SettingAct } from '../note/settings.ts';
import { speciesOfNickname } from '../note/species.ts';
import { speciesKey } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import { heightSaid } from './another-tree.ts';
import { walkedAgain } from './calibration.ts';
import { standing } from './device-entries.ts';
import { type Context, kept, type Outcome, refused } from './outcome.ts';
import { borderlineOutcome, plotOutcome } from './plots.ts';
import { redoOutcome } from './redone.ts';
import { lookAgain, secondDoubtsOfBook } from './second-look.ts';
import { settingOutcome } from './settings-dialogue.ts';
import { speciesOf } from './species-of.ts';
import { areaOutcome } from './stands.ts';
import { againOutcome, asDiameter, handOutcome, treeOutcome } from './trees.ts';
import { withWaiting } from './waiting.ts';

/** What a note does when it answers no open question. */
export function outcomeOf(context: Context, note: Note): Outcome {
  const walked =
    note.kind === 'number' || note.kind === 'height' || note.kind === 'hand'
      ? walkedAgain(context, note)
      : null;
  if (walked !== null) return walked;
  switch (note.kind) {
    case 'height':
      return heightSaid(context, note);
    case 'tree':
      return treeOutcome(context, note);
    case 'next':
      return kept([{ act: 'next' }], () => 'Next tree.');
    case 'hand':
      return handOutcome(context, note);
    case 'again':
      return againOutcome(context, note);
    case 'number':
      return numberOutcome(context, note);
    case 'setting':
      return withWaiting(context, settingOutcome(context, note));
    case 'traverse':
    case 'leg':
    case 'layout':
    case 'way':
    case 'place':
    case 'around':
    case 'price':
      return fetched(context.land).outcome(context, note);
    case 'plot':
      return (note.op === 'slope' && context.land?.slope(context, note)) || plotOutcome(context, note);
    case 'borderline':
      return borderlineOutcome(context, note);
    case 'stand':
    case 'stratum':
      return areaOutcome(context, note);
    case 'ask':
      return fetched(context.answerAsk)(context, note);
    case 'scratch':
      return fetched(context.mending).scratch(context, note);
    case 'undo':
      return fetched(context.mending).undo(context);
    case 'restore':
      return fetched(context.mending).restore(context, note);
    case 'change':
      if (context.land && (note.leg !== undefined || note.bearing)) return context.land.change(context, note);
      return fetched(context.mending).change(context, note, (means) => outcomeOf(context, means));
    case 'answer':
      return bareAnswer(context, note);
    case 'pick':
      return pickOutcome(context, note);
    case 'call':
      return callOutcome(context, note);
    case 'remark':
      return kept(
        [{ act: 'remark', text: note.text, tree: context.deviceState.tree, plot: context.deviceState.plot }],
        () => `Remark kept${note.text ? `: ${note.text}` : ''}.`,
      );
    case 'control':
      return controlOutcome(context, note);
    default:
      return assertNever(note);
  }
}

/** It is there whenever such a note is worked out: the session fetched it. */
function fetched<T>(part: T | null): T {
  if (part === null) throw new Error('A part of the conversation was not fetched.');
  return part;
}

/** A word that answers nothing which was asked: a species told closer, the scale of the last height's angles. */
function pickOutcome(context: Context, { what, word }: NoteOf<'pick'>): Outcome {
  if (what === 'named') return closerOutcome(context, word ?? '');
  const angles = context.book.height(context.deviceState.height)?.said.at(-1)?.value?.method === 'angles';
  if (!angles || (what !== 'deg' && what !== 'pct' && what !== 'topo'))
    return refused('Nothing is asked that this would answer.');
  return fetched(context.mending).change(context, { kind: 'change', scale: what }, (means) =>
    outcomeOf(context, means),
  );
}

/** "Yellow" behind a birch that is in hand is its species, though nobody asked yet. */
function closerOutcome(context: Context, word: string): Outcome {
  const inHand = context.book.tree(context.deviceState.tree);
  const name = inHand === null ? null : speciesKey(inHand);
  const genus = name === null ? '' : wording.speciesName(name).toLowerCase();
  // Without a tree the word alone may be another kind: "sugar" is a pine.
  const codes = genus === '' ? [] : speciesOfNickname(`${word} ${genus}`);
  if (codes.length === 1) return treeOutcome(context, { kind: 'tree', facts: { species: codes[0] } });
  // "Sugar" behind a red maple: another of its kind.
  const last = genus.split(' ').at(-1) ?? '';
  const others = last === '' ? [] : speciesOfNickname(`${word} ${last}`);
  if (others.length === 1 && context.mending !== null) {
    const note: Note = { kind: 'change', facts: { species: others[0] } };
    return context.mending.change(context, note, (means) => outcomeOf(context, means));
  }
  return refused(`${wording.sentence(word)} what? Say it with the rest, such as ${word} oak.`);
}

/** A bare number that answers nothing: the diameter of a tree that has none, else it is asked what it is. */
function numberOutcome(context: Context, note: NoteOf<'number'>): Outcome {
  const again = context.mending?.readAgain(context, note) ?? null;
  if (again !== null) return again;
  const tree = context.book.tree(context.deviceState.tree);
  const isLength = note.unit === 'ft' || note.unit === 'm' || note.unit === 'chain' || note.unit === 'yd';
  if (
    tree &&
    tree.diameterIn === null &&
    !isLength &&
    note.unit !== 'deg' &&
    note.unit !== 'pct' &&
    note.unit !== 'topo'
  ) {
    return treeOutcome(context, { kind: 'tree', facts: { diameter: asDiameter(note) } });
  }
  const said = context.tongue.speak(note);
  return refused(`${wording.sentence(said)} of what? Say it with inches, paces, feet, or what it answers.`);
}

function callOutcome(context: Context, note: NoteOf<'call'>): Outcome {
  if (context.book.words.length >= mostTaught) {
    return refused(
      `This book has ${mostTaught} words of your own, and holds no more. Scratch one that nobody says.`,
    );
  }
  if (note.species === undefined) {
    return kept(
      [{ act: 'word', word: note.word, ...(note.mark ? { mark: note.mark } : {}) }],
      () => `"${note.word}" is a word now.`,
    );
  }
  const species = speciesOf(context, note.species);
  if (!('code' in species)) {
    return refused(
      `Which species is that: ${wording.list(
        species.codes.map((code) => wording.speciesName(code)),
        'or',
      )}? Say call, its full name, then the new word.`,
    );
  }
  return kept(
    [{ act: 'word', word: note.word, species: species.code }],
    () => `${wording.sentence(note.word)} means ${wording.speciesName(species.code)} from now on.`,
  );
}

function controlOutcome(context: Context, note: NoteOf<'control'>): Outcome {
  const voice = (set: Omit<SettingAct<'voice'>, 'what'>): Act => ({
    act: 'setting',
    set: { what: 'voice', ...set },
  });
  switch (note.op) {
    case 'stop': {
      const doubts = secondDoubtsOfBook(context.book, context.settings.units);
      const plot = context.book.plot(context.deviceState.plot);
      const open = plot === null || plot.closed ? '' : ` Plot ${plot.number} is still open.`;
      return {
        ...kept(
          [voice({ listening: false })],
          (after) => `Not listening. Tap to wake me.${open}${lookAgain(after, doubts)}`,
        ),
        doubts,
      };
    }
    case 'start':
      return kept([voice({ listening: true })], () => 'Listening.');
    case 'quiet':
      return kept([voice({ quiet: true })], () => 'Quiet.');
    case 'pause':
      return kept([], () => 'All is kept so far.');
    case 'resume':
      return resumed(context, voice);
    case 'speak':
      return kept([voice({ quiet: false })], () => 'Speaking again.');
    case 'short':
      return kept([voice({ short: true })], () => 'Short answers.');
    case 'full':
      return kept([voice({ short: false })], () => 'Whole answers again.');
    case 'slower':
      return kept([voice({ rate: 0.8 })], () => 'Slower.');
    case 'faster':
      return kept([voice({ rate: 1.15 })], () => 'Faster.');
    case 'forget':
      // The book knows nothing of it: each device has its own to forget.
      return kept([], () => 'Forgotten: this device hears you as it hears anybody.');
    case 'putOut':
      return context.phones?.putOut(note) ?? refused('Say that alone.');
    default:
      return assertNever(note.op);
  }
}

/** "Back on": what was told to be silent speaks again, and what was stopped listens. */
function resumed(
  { book, deviceState, settings }: Context,
  voice: (set: Omit<SettingAct<'voice'>, 'what'>) => Act,
): Outcome {
  const ears = [...standing(book, deviceState)].find(
    ({ note }) => note.kind === 'control' && (note.op === 'stop' || note.op === 'start'),
  );
  const stopped = ears?.note.kind === 'control' && ears.note.op === 'stop';
  const acts = [
    ...(settings.quiet ? [voice({ quiet: false })] : []),
    ...(stopped ? [voice({ listening: true })] : []),
  ];
  return kept(acts, () => (stopped ? 'Listening.' : 'Ready for the next note.'));
}

/** Yes, no, keep it, ... when no question is open. */
function bareAnswer(context: Context, note: NoteOf<'answer'>): Outcome {
  const { book, deviceState } = context;
  switch (note.answer) {
    case 'repeat':
      return kept([], () => context.lastReply ?? 'Nothing was said yet.');
    case 'keep': {
      const open = book.doubts.filter(
        (doubt) => doubt.state === 'open' && deviceState.entries.includes(doubt.entry),
      );
      const last = open.at(-1);
      if (!last) return kept([], () => 'It is kept.');
      return kept(
        [{ act: 'settle', entry: last.entry, code: last.doubt.code, how: 'kept' }],
        () => 'Kept as it is.',
      );
    }
    case 'redo':
      return redoOutcome(context);
    case 'yes':
    case 'no':
    case 'dismiss':
      // "Nope, not a beech, birch": what is said behind it tells what is wrong.
      if (note.answer === 'no' && context.behind?.kind === 'change') return kept([], () => '');
      if (note.answer === 'dismiss') {
        const skipLast = context.mending?.skipLast(context) ?? null;
        if (skipLast !== null) return skipLast;
      }
      return refused('Nothing is asked. Say what to change, such as make that nine paces.');
    default:
      return assertNever(note.answer);
  }
}
