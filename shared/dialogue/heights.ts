/**
 * Heights in the dialogue: measured, doubted, asked about or kept. A height under a strong doubt is not counted
 * until the person has answered.
 */

import type { Book } from '../book/book.ts';
import { lengthToFeet, lengthUnitOf, type Units } from '../core/units.ts';
import { askFrom, doubtsOf } from '../measuring/doubt/index.ts';
import { combine, measure } from '../measuring/height/index.ts';
import { methodOf } from '../measuring/height/methods.ts';
import type { Height } from '../measuring/height/types.ts';
import type { Act, Doubt } from '../note/acts.ts';
import type { Measurement, Note, NoteOf } from '../note/note.ts';
import type { Length } from '../note/quantities.ts';
import type { TreeRecord } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import { heightAndError, list, sentence } from '../wording/wording.ts';
import { asking, type Context, feetOf, kept, type Outcome, refused } from './outcome.ts';
import { besides, doubtQuestion, missingQuestion } from './waiting.ts';

const adviceWords = {
  tape: 'a tape',
  walkAgain: 'another walk over a known distance',
  moreTakes: 'more takes',
  standFurther: 'standing further off',
  measureEye: 'measuring the eye height',
  clinometer: 'a sighted angle',
} as const;

const causeWords = {
  count: 'the count',
  pace: 'the pace',
  tape: 'the tape',
  angle: 'the angle',
  eye: 'the eye height',
  device: "the device's scatter",
  scale: 'the scale readings',
  lean: 'the lean',
  base: 'the base',
  ground: "the ground's slope",
  shadow: "the shadow's edge",
} as const;

/** "The pace counts most; a tape would halve it." Null when nothing would help much. */
export function adviceSentence(height: Height): string | null {
  const { advice } = height;
  if (!advice || advice.sdFeet > 0.8 * height.sdFeet) return null;
  const gain = height.sdFeet / advice.sdFeet;
  const much =
    gain > 3.5
      ? 'cut it to a quarter'
      : gain > 2.5
        ? 'cut it to a third'
        : gain > 1.7
          ? 'halve it'
          : 'lower it';
  const most = [...height.shares].sort((a, b) => b.part - a.part)[0]?.cause ?? advice.cause;
  return `${sentence(causeWords[most])} ${most === 'scale' ? 'count' : 'counts'} most; ${adviceWords[advice.action]} would ${much}.`;
}

/** "most of it the pace, then the angle, then the count" */
export function shareSentence(height: Height): string {
  const shares = [...height.shares].sort((a, b) => b.part - a.part).filter((share) => share.part >= 0.01);
  const [first, ...rest] = shares.slice(0, 3).map((share) => causeWords[share.cause]);
  if (!first) return '';
  const most = (shares[0]?.part ?? 0) > 0.5 ? `most of it ${first}` : `first ${first}`;
  return [most, ...rest.map((cause) => `then ${cause}`)].join(', ');
}

/** What of a tree says how tall it may be. */
export type Judged = Pick<TreeRecord, 'species' | 'diameterIn' | 'heightFt' | 'marks' | 'status'>;

/** What a height of the tree in hand comes to. `note` is what a question about it would keep waiting. */
export function heightOutcome(
  context: Context,
  measurement: Measurement,
  tree: string | null,
  note: Note,
  how: {
    readonly before?: readonly Act[];
    readonly sure?: boolean;
    readonly refused?: readonly string[];
    readonly remeasure?: string;
    /** The tree as the same breath tells it, where the book does not know it yet. */
    readonly of?: Judged;
  } = {},
): Outcome {
  const { book, settings } = context;
  const before = how.before ?? [];
  const eye = 'eye' in measurement ? measurement.eye : undefined;
  if (isSlopeOpen(measurement)) {
    return asking(
      {
        about: 'slope',
        text: 'Is that the slope of the ground, or of your sight to the base?',
        options: [
          { say: 'the ground', note: { kind: 'pick', what: 'ground' } },
          { say: 'the sight', note: { kind: 'pick', what: 'sight' } },
        ],
        pending: note,
        ...(tree ? { target: tree } : {}),
      },
      before,
    );
  }
  const said = withUnits(measurement, settings.units);
  const acts: Act[] = [
    ...before,
    how.remeasure
      ? { act: 'remeasure', target: how.remeasure, measurement: said }
      : { act: 'height', id: context.id, tree, measurement: said },
  ];
  // The first eye height said with a tree serves the trees after it, until one is set.
  if (eye && settings.eye === null) {
    const feet = feetOf(eye, 'eye', settings.units);
    if (feet.ok) acts.push({ act: 'setting', set: { what: 'eye', feet: feet.value } });
  }
  const result = measure(measurement, settings);
  if (!result.ok) {
    if (result.error.kind === 'impossible') return refused(result.error.sentence);
    return missing(context, result.error.what, acts, before, note);
  }
  const height = result.value;
  const target = book.tree(tree);
  const doubts = how.sure
    ? []
    : doubtsOf(
        { kind: 'height', note, measurement, height },
        {
          settings,
          curve: book.curve,
          tree: how.of ?? target,
          plot: (how.of === undefined ? target?.plot : context.deviceState.plot) ?? null,
          others: context.others,
          ...besides(book, target, settings.units),
        },
      );
  const strongest = doubts.reduce<Doubt | null>(
    (most, doubt) => (most && most.strength >= doubt.strength ? most : doubt),
    null,
  );
  const id = how.remeasure ?? context.id;
  if (strongest && strongest.strength >= askFrom) {
    const question = doubtQuestion(context.tongue, strongest, note, tree, how.refused);
    return asking(question, before, { doubts, height: () => height });
  }
  const earlier = book.height(context.deviceState.measured)?.value?.advice ?? null;
  return {
    state: 'kept',
    acts,
    doubts,
    height: (after) => after.height(id)?.value ?? null,
    say: (after, { units }) =>
      ofWhich(context, after, id, heightReply(after, units, id, doubts, earlier?.cause ?? null)),
  };
}

/**
 * A stick sights the top from the eye. Where the distance ran along a slope and neither base nor eye was said, the slope
 * may be the ground's, and the eye is to be added, or that of the sight to the base, and it is not: an eye height apart.
 */
export function isSlopeOpen(measurement: Measurement): boolean {
  return (
    (measurement.method === 'stick' || measurement.method === 'ratio') &&
    measurement.distance.by === 'length' &&
    measurement.distance.slope !== undefined &&
    measurement.distance.slopeOf === undefined &&
    measurement.base === undefined &&
    measurement.eye === undefined
  );
}

/**
 * A measurement with the units that its bare numbers have at this moment: the act names them, so that another unit
 * of the book, said later or on another device, never changes what was said. An eye height's size tells its unit.
 */
export const withUnits = (measurement: Measurement, units: Units): Measurement =>
  methodOf(measurement).withUnits(measurement, units);

/** After a refusal it is not plain which tree a height went to: the reply names it. */
function ofWhich(context: Context, after: Book, id: string, reply: string): string {
  if (!context.afterRefusal) return reply;
  const tree = after.tree(after.height(id)?.tree ?? null);
  return tree
    ? `Tree ${tree.number}, ${wording.treeFacts(tree, context.settings.units)}: ${reply}`
    : `Of no tree: ${reply}`;
}

/** What a bare length was taken as: ", from 65 feet away". */
function fromAway(said: Measurement | null | undefined, units: Units): string {
  if (said?.method !== 'stick' || said.distance.by !== 'length' || said.distance.taped) return '';
  const { value, unit } = said.distance.length;
  return `, from ${wording.length(lengthToFeet({ value, unit: unit ?? lengthUnitOf(units) }, lengthUnitOf(units)), units)} away`;
}

function heightReply(
  book: Book,
  units: Units,
  id: string,
  doubts: readonly Doubt[],
  advised: string | null,
): string {
  const node = book.height(id);
  if (!node?.value) return 'Kept; the height waits for what is missing.';
  const height = node.value;
  const parts = [
    `${sentence(heightAndError(height.feet, height.sdFeet, units))}${fromAway(node.said.at(-1)?.value, units)}.`,
  ];
  const others = node.tree === null ? 0 : (book.tree(node.tree)?.heights.length ?? 0);
  const tree = book.tree(node.tree);
  const values = (tree?.heights ?? []).flatMap((each) => book.height(each)?.value ?? []);
  const combined = values.length > 1 ? combine(values) : null;
  if (combined && !combined.agree && combined.furthest) {
    const apart = wording.length(combined.furthest.apartFeet, units, 1);
    parts.push(
      `That is ${apart} from an earlier one, more than their errors explain: measure again, or scratch one.`,
    );
  } else if (others > 1 && tree?.heightFt != null && tree.heightSdFt !== null) {
    parts.push(`With the earlier one, ${heightAndError(tree.heightFt, tree.heightSdFt, units)}.`);
  }
  if (height.takes && height.takes.outlying.length > 0 && doubts[0]?.code !== 'takes') {
    parts.push(
      `${list(height.takes.outlying.map((feet) => wording.length(feet, units, 1)))} stands apart from the other takes${height.takes.leftOut.length > 0 ? ' and is left out' : ''}.`,
    );
  }
  const first = doubts[0];
  if (first) parts.push(first.sentence);
  else if (height.advice && height.advice.cause !== advised) {
    const advice = adviceSentence(height);
    if (advice) parts.push(advice);
  }
  return parts.join(' ');
}

/** A height that cannot be computed yet: kept with a question, or (which scale?) held until it is answered. */
function missing(
  context: Context,
  what: 'pace' | 'eye' | 'scale' | 'counting',
  acts: readonly Act[],
  before: readonly Act[],
  note: Note,
): Outcome {
  const question = missingQuestion(what, context.id);
  if (what === 'scale') {
    const { target: _, ...rest } = question;
    return asking({ ...rest, pending: note }, before);
  }
  if (context.deviceState.questions.some((open) => open.question.about === what)) {
    return kept(acts, () => `Kept; it waits for the ${what === 'pace' ? 'pace' : 'eye height'} too.`);
  }
  return asking(question, acts, { say: () => `Kept. ${question.text}` });
}

/** A length without a word for how it was measured. */
export function bareLength({ height }: NoteOf<'height'>): Length | null {
  if (height.method !== 'stick' || height.distance.by !== 'length') return null;
  const { distance, eye, base, lean } = height;
  const plain = !distance.taped && !distance.slope && !eye && !base && !lean;
  return plain ? distance.length : null;
}
