/**
 * Heights that wait for a pace or an eye height, and the questions that keep a note waiting.
 */

import type { Book, Tree } from '../book/book.ts';
import { type Settings, withSetting } from '../book/settings.ts';
import { diameterToInches, type Units } from '../core/units.ts';
import { askFrom, type DoubtContext, doubtsOf } from '../measuring/doubt/index.ts';
import { measure } from '../measuring/height/index.ts';
import type { Act, Doubt, Question } from '../note/acts.ts';
import type { Note } from '../note/note.ts';
import { whoseOf } from '../note/settings.ts';
import * as wording from '../wording/wording.ts';
import type { Context, Outcome } from './outcome.ts';
import type { Tongue } from './types.ts';

/** The question that a strong doubt puts, with the likeliest slips as its answers. */
export function doubtQuestion(
  tongue: Tongue,
  doubt: Doubt,
  pending: Note,
  target: string | null,
  refusedBefore: readonly string[] = [],
): Question {
  const options = doubt.slips
    .map((slip) => ({ say: tongue.speak(slip.note), note: slip.note }))
    .filter((option) => !refusedBefore.includes(option.say))
    .slice(0, 3);
  return {
    about: 'doubt',
    text: doubt.sentence,
    options,
    pending,
    ...(target ? { target } : {}),
    ...(refusedBefore.length > 0 ? { refused: [...refusedBefore] } : {}),
  };
}

/** The question for a value that a kept height waits for. */
export function missingQuestion(what: 'pace' | 'eye' | 'counting' | 'scale', target: string): Question {
  switch (what) {
    case 'pace':
      return {
        about: 'pace',
        text: 'How long is your pace? Say a length, or so many paces in a known distance.',
        options: [],
        target,
      };
    case 'eye':
      return {
        about: 'eye',
        text: 'How high is your eye? Say a height, such as five foot four.',
        options: [],
        target,
      };
    case 'counting':
      return {
        about: 'counting',
        text: 'Do you count every step, or every second one?',
        options: [
          { say: 'single steps', note: { kind: 'setting', set: { what: 'counting', of: 'steps' } } },
          { say: 'paces', note: { kind: 'setting', set: { what: 'counting', of: 'paces' } } },
        ],
        target,
      };
    case 'scale':
      return {
        about: 'scale',
        text: 'Degrees, percent, or the sixty-six foot scale?',
        options: [
          { say: 'degrees', note: { kind: 'pick', what: 'deg' } },
          { say: 'percent', note: { kind: 'pick', what: 'pct' } },
          { say: 'sixty-six foot scale', note: { kind: 'pick', what: 'topo' } },
        ],
        target,
      };
  }
}

/** What else tells on a height in doubt: the tree before, and whether this tree's diameter was confirmed. */
export function besides(
  book: Book,
  tree: Tree | null,
  units: Units,
): Pick<DoubtContext, 'before' | 'sureDiameter'> {
  if (tree === null) return {};
  const last = book.treeNumbered(tree.number - 1);
  const before =
    last !== null && last.plot === tree.plot && last.person === tree.person
      ? { ...last, measurement: book.height(last.heights.at(-1) ?? null)?.said.at(-1)?.value ?? null }
      : null;
  // Doubted, and kept as it was or put right as offered: what was said to it holds as long as the diameter does.
  const answered = book.doubts.filter(
    ({ tree: of, state, doubt }) =>
      of === tree.id && (state === 'kept' || state === 'mended') && aboutDiameter(doubt),
  );
  const values = answered.flatMap(({ entry, doubt }) =>
    [book.entry(entry)?.note, ...doubt.slips.map((slip) => slip.note)].flatMap((note) =>
      note?.kind === 'tree' && note.facts.diameter ? diameterToInches(note.facts.diameter, units) : [],
    ),
  );
  const sureDiameter = values.some((value) => Math.abs(value - (tree.diameterIn ?? 0)) < 0.01);
  return { before, sureDiameter };
}

export const aboutDiameter = ({ code }: Doubt): boolean => code === 'diameter' || code === 'thick';

/**
 * The heights that wait are computed with what was just set. What is still missing is asked next; a height that is now
 * in strong doubt is taken off the tree and asked about, like one said just now.
 */
export function withWaiting(context: Context, outcome: Outcome): Outcome {
  if (outcome.state !== 'kept') return outcome;
  const { book } = context;
  const settings = outcome.acts.reduce(
    (before, act) =>
      act.act === 'setting' && whoseOf(act.set) === undefined ? withSetting(before, act.set) : before,
    context.settings,
  );
  const ready: string[] = [];
  const acts: Act[] = [];
  let asks: Question | undefined;
  let again: string | undefined;
  const dropped: string[] = [];
  const doubts: Doubt[] = [];
  for (const node of book.waiting(context.device)) {
    const measurement = node.said.at(-1)?.value;
    if (!measurement) continue;
    const result = measure(measurement, settings);
    if (!result.ok) {
      if (result.error.kind === 'needs' && !asks) {
        const question = missingQuestion(result.error.what, node.id);
        // Asked once already and still open: said again, not put again, so that one answer settles it.
        if (isOpen(context, question)) again = question.text;
        else asks = question;
      }
      continue;
    }
    const note: Note = { kind: 'height', height: measurement };
    const found = doubtsOf(
      { kind: 'height', note, measurement, height: result.value },
      {
        settings,
        curve: book.curve,
        tree: book.tree(node.tree),
        plot: book.tree(node.tree)?.plot ?? null,
        others: [],
        ...besides(book, book.tree(node.tree), settings.units),
      },
    );
    const strong = found.find((doubt) => doubt.strength >= askFrom);
    doubts.push(...found);
    if (!strong) {
      ready.push(node.id);
      continue;
    }
    // Never counted before it is answered; with a question in hand already, it has to be measured again.
    acts.push({ act: 'remeasure', target: node.id, measurement: null });
    if (asks) {
      dropped.push(alsoInDoubt(book.tree(node.tree)));
    } else asks = doubtQuestion(context.tongue, strong, note, node.tree);
  }
  const question = asks?.text ?? again;
  const say: Outcome['say'] = (after, now) =>
    [
      outcome.say(after, now),
      ...ready.map((id) => answeredHeight(after, id, now.units)),
      ...dropped,
      ...(question === undefined ? [] : [question]),
    ].join(' ');
  const last = ready.at(-1) ?? null;
  // A question for what was just set is answered by it, whichever way it was said.
  const answered = context.deviceState.questions.findLast(
    ({ question }) => isSet(question, settings) || isSaidAnew(question, outcome.acts),
  );
  return {
    ...outcome,
    state: asks ? 'asking' : outcome.state,
    acts: [...outcome.acts, ...acts],
    ...(asks ? { asks } : {}),
    ...(answered ? { settles: answered.entry } : {}),
    doubts,
    say,
    height: (after) => after.height(last)?.value ?? null,
  };
}

const isOpen = ({ deviceState }: Context, { about }: Question): boolean =>
  deviceState.questions.some((open) => open.question.about === about);

const alsoInDoubt = (tree: Tree | null): string =>
  `${tree ? `The height of tree ${tree.number}` : 'Another height'} is in doubt too: measure it again.`;

/** A setting that was in doubt was said again, and kept. */
const isSaidAnew = ({ pending }: Question, acts: readonly Act[]): boolean =>
  pending?.kind === 'setting' &&
  acts.some(({ act, ...of }) => act === 'setting' && 'set' in of && of.set.what === pending.set.what);

/** What a question is for is known by now. */
const isSet = ({ about }: Question, { pace, eye }: Settings): boolean =>
  (about === 'pace' && pace !== null) || (about === 'eye' && eye !== null);

function answeredHeight(book: Book, id: string, units: Units): string {
  const node = book.height(id);
  if (!node?.value) return '';
  const tree = book.tree(node.tree);
  const height = wording.heightAndError(node.value.feet, node.value.sdFeet, units);
  return tree ? `Tree ${tree.number}: ${height}.` : `${wording.sentence(height)}.`;
}
