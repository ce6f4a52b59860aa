/**
 * What cannot be right about a note, and what most likely went wrong. Two judges: fixed limits, and the note as said
 * against every slip of it, by the stand's own trees. A doubt asks or warns; it never changes anything.
 */

import { diameterToInches } from '../../core/units.ts';
import type { Doubt, Slip } from '../../note/acts.ts';
import type { Measurement, Note, NoteMeaning, NoteOf } from '../../note/note.ts';
import type { TreeRecord } from '../../totals/types.ts';
import type { Height, HeightSettings } from '../height/types.ts';
import { type BroughtUp, believedFor } from './costs.ts';
import type { HeightCurve } from './curve.ts';
import { limitsPassed, type PassedLimit } from './limits.ts';
import {
  awayOf,
  isRepeated,
  type Seen,
  type SlipCause,
  type SlipPosterior,
  weigh,
} from './slip-posterior.ts';
import type { Claim, SaidDiameter } from './slips.ts';
import { diameterLead, feetText, lead, misfit, slipQuestions, wholeHeight } from './wording.ts';

/** From this strength on, the tool asks before it counts the value. */
export const askFrom = 0.5;
/** Doubts weaker than this are not worth a word. */
const leastStrength = 0.2;
/** From this strength on a limit is one that no tree passes. */
const certain = 0.9;
/** Slips kept with a doubt, and the least posterior of one. */
const mostSlips = 5;
const leastPosterior = 0.01;
/** The second slip is named when it is at least this likely against the first. */
const secondShare = 0.7;

/** What is to be judged: a height, or the facts of a tree. */
export type Subject =
  | {
      readonly kind: 'height';
      readonly note: Note;
      readonly measurement: Measurement;
      readonly height: Height;
    }
  | {
      readonly kind: 'tree';
      readonly note: NoteOf<'tree'>;
      /** In the book's units; null where it was not said. */
      readonly diameterIn: number | null;
      readonly species: number | null;
    };

export interface DoubtContext {
  readonly settings: HeightSettings;
  /** The stand's curve; it has seen the accepted trees, not this one. */
  readonly curve: HeightCurve;
  /** The tree in hand, where there is one. */
  readonly tree: Pick<TreeRecord, 'species' | 'diameterIn' | 'heightFt' | 'marks' | 'status'> | null;
  /** Other meanings that the recogniser or the reader found in the same words. */
  readonly others: readonly NoteMeaning[];
  /** The tree before this one of the same person, to notice one measured twice, or a number that was carried over. */
  readonly before?:
    | (Pick<TreeRecord, 'number' | 'species' | 'diameterIn' | 'heightFt'> & {
        readonly measurement?: Measurement | null;
      })
    | null;
  /** The plot that it stands on; trees of one plot are alike. */
  readonly plot?: string | null;
  /** How it is brought up where it is; a question at once without one. */
  readonly broughtUp?: BroughtUp;
  /** True when the tree's diameter was in doubt and confirmed: what does not fit it is the height. */
  readonly sureDiameter?: boolean;
}

/**
 * Doubts about a subject, strongest first; none when all is as it should be.
 *
 * @example
 * import { HeightCurve } from './curve.ts';
 * import { measure } from '../height/measure.ts';
 * const pace = { feet: 5.3, sdFeet: 0.16 };
 * const settings = { units: 'feet', counting: 'paces', groundShorter: 0, scatter: {}, pace, eye: { feet: 5.5, sdFeet: 0.1 } };
 * const measurement = { method: 'stick', distance: { by: 'paces', count: 80 } };
 * const height = measure(measurement, settings).value;
 * const subject = { kind: 'height', note: { kind: 'height', height: measurement }, measurement, height };
 * const context = { settings, curve: new HeightCurve(), tree: null, others: [] };
 * doubtsOf(subject, context)[0].sentence // 'Eighty paces gives 430 feet. Did you mean eight? That gives 48.'
 */
export const doubtsOf = (subject: Subject, context: DoubtContext): readonly Doubt[] =>
  context.curve.onPlot(context.plot, () => doubtsHere(subject, context));

function doubtsHere(subject: Subject, context: DoubtContext): readonly Doubt[] {
  const { settings, curve } = context;
  const { claim, seen } = claimOf(subject, context);
  if (seen.feet === null && seen.diameterIn === null) return [];
  const belief = weigh(claim, seen, settings, curve, context.others);
  const height = subject.kind === 'height' ? subject.height : null;
  const limits = limitsPassed(seen, claim.measurement, height, claim.units);
  return [
    unlikely({ subject, claim, seen, belief, limits }, context),
    ...limits.filter(({ about }) => about === 'way').map((limit) => wayDoubt(limit, claim, height, belief)),
    repeated(seen, context),
    subject.kind === 'height' ? wholeStand(curve) : null,
  ]
    .filter((doubt) => doubt !== null)
    .sort((a, b) => b.strength - a.strength);
}

/** What is known when a subject is judged. */
interface Judged {
  readonly subject: Subject;
  readonly claim: Claim;
  readonly seen: Seen;
  readonly belief: SlipPosterior;
  readonly limits: readonly PassedLimit[];
}

/** The doubt of a value that passes a limit or does not fit the stand; null where it is worth no word. */
function unlikely(judged: Judged, context: DoubtContext): Doubt | null {
  const { subject, claim, seen, belief, limits } = judged;
  const { curve } = context;
  const isHeight = subject.kind === 'height';
  const sure = isHeight && context.sureDiameter === true;
  const main = limits.find(({ about }) => about !== 'way' && !(sure && about === 'diameter')) ?? null;
  const unfit = unfitOf(judged, context);
  const strength = Math.max(main?.strength ?? 0, unfit);
  if (strength < leastStrength) return null;
  // A limit that cannot be passed is named even where the comparison is as sure.
  const limit = main !== null && main.strength >= Math.min(unfit, certain) ? main : null;
  // What does not fit this tree's own diameter is said so; the species' usual heights only without one.
  const ownDiameter = main?.code === 'tallForSpecies' && seen.diameterIn !== null && strength >= askFrom;
  const expected = seen.diameterIn === null ? null : curve.predict(seen.species, seen.diameterIn).feet;
  const fits = () => misfit(seen, expected ?? usual(seen, curve), curve.n, context.settings.units);
  const carried =
    isRepeated(claim) && context.before ? `, and the same as for tree ${context.before.number}` : '';
  const because = `${limit !== null && !ownDiameter ? limit.because : fits()}${carried}`;
  return {
    code: limit?.code ?? (isHeight ? 'misfit' : 'diameter'),
    strength,
    sentence: sentenceOf(subject, claim, seen, belief, {
      because: strength >= 1 ? '' : because,
      asks: strength >= askFrom,
    }),
    slips: slipsOf(belief),
  };
}

/** How little the tree fits the stand, as the strength of a doubt. */
function unfitOf({ subject, seen, belief }: Judged, context: DoubtContext): number {
  if (maybeBroken(seen, context)) return 0;
  const { curve, broughtUp = 'question' } = context;
  const alone = seen.feet === null || (seen.species === null && seen.diameterIn === null && curve.n === 0);
  const height = subject.kind === 'height' ? subject.height : null;
  return Math.max(
    strayStrength(seen, height, curve, strayFrom[broughtUp]),
    unfitness(belief, alone ? believedFor('early') : believedFrom(seen, curve, broughtUp)),
  );
}

/**
 * What the subject was most likely meant to say; null where it has neither height nor diameter.
 * @internal for benches: thresholds are chosen on it
 */
export function beliefIn(subject: Subject, context: DoubtContext): SlipPosterior | null {
  const { claim, seen } = claimOf(subject, context);
  if (seen.feet === null && seen.diameterIn === null) return null;
  return context.curve.onPlot(context.plot, () =>
    weigh(claim, seen, context.settings, context.curve, context.others),
  );
}

/** A broken top, or a dead tree shorter than expected: the curve says nothing of it. */
function maybeBroken(seen: Seen, { tree, curve }: DoubtContext): boolean {
  if (tree === null) return false;
  if (tree.marks.includes('broken top')) return true;
  if (tree.status !== 'dead' || seen.feet === null || seen.diameterIn === null) return false;
  return seen.feet < curve.predict(seen.species, seen.diameterIn).feet;
}

/**
 * Below this belief in the note as said, it is asked about. The more the trees of a stand scatter, the oftener a sound
 * tree looks like a slip, so the belief asked for falls with the scatter and false alarms stay near two in a hundred.
 * Set on the tuning stands of the bench `doubts`.
 */
function believedFrom(seen: Seen, curve: HeightCurve, broughtUp: BroughtUp): number {
  const diameterIn = seen.diameterIn ?? curve.diameters.middleIn;
  // Mostly the scatter itself, and some of what is not known yet, so that few trees make it cautious.
  const scatter = 0.75 * curve.scatter(diameterIn) + 0.25 * curve.predict(seen.species, diameterIn).sdLog;
  return Math.max(0.82, believedFor(broughtUp) - 0.5 * Math.max(0, scatter - 0.12));
}

/** Strength of a doubt by the belief in the note as said: `askFrom` at the threshold. */
function unfitness(belief: SlipPosterior, from: number): number {
  const { asSaid } = belief;
  if (asSaid < from) return askFrom + (0.98 - askFrom) * (1 - asSaid / from);
  return 0.999 * askFrom * ((1 - asSaid) / (1 - from));
}

/**
 * A height so many standard deviations from the curve is asked about even where no slip of the table explains it: the top
 * of another tree, an echo from a twig. Chosen on the tuning stands of the bench `doubts` (`tradeoff.ts`): readings off by
 * a factor of 1.6 to 2.3 are found in 83 of 100 instead of 66, for 0.4 false alarms in 100 more. At the second look a little
 * earlier: of the trees told between 2.5 and 2.8, one in ten is wrong there, more than a line is worth by its cost.
 */
const strayFrom: Readonly<Record<BroughtUp, number>> = { question: 2.8, early: 2.8, line: 2.5 };
/** Relative error of a height that the scatter of the pairs holds already. */
const usualPart = 0.06;

function strayStrength(seen: Seen, height: Height | null, curve: HeightCurve, from: number): number {
  const { species, diameterIn, feet } = seen;
  if (diameterIn === null || feet === null || !(diameterIn > 0) || !(feet > 0)) return 0;
  const part = height === null ? 0 : height.sdFeet / height.feet;
  const extra = Math.sqrt(Math.max(0, part ** 2 - usualPart ** 2));
  const stray = Math.abs(curve.stray(species, diameterIn, feet, extra));
  return stray < from ? 0 : askFrom + (0.98 - askFrom) * (1 - from / stray);
}

function claimOf(subject: Subject, context: DoubtContext): { claim: Claim; seen: Seen } {
  const { settings, tree } = context;
  const { units, counting } = settings;
  const eyeFt = settings.eye?.feet ?? null;
  if (subject.kind === 'tree') {
    const diameter = subject.note.facts.diameter ?? null;
    return {
      claim: { note: subject.note, measurement: null, diameter, units, counting, eyeFt, earlier: null },
      seen: {
        species: subject.species,
        diameterIn: subject.diameterIn,
        feet: tree?.heightFt ?? null,
        away: null,
      },
    };
  }
  const { note, measurement, height } = subject;
  const inNote: SaidDiameter | null = note.kind === 'tree' ? (note.facts.diameter ?? null) : null;
  const diameterIn = inNote === null ? (tree?.diameterIn ?? null) : diameterToInches(inNote, units);
  // An earlier diameter is known in inches only; its slips are those of the number as the book would say it.
  const inBook: SaidDiameter | null =
    diameterIn === null
      ? null
      : units === 'metres'
        ? { value: Math.round(diameterIn * 25.4) / 10, unit: 'cm' }
        : { value: Math.round(diameterIn * 10) / 10, unit: 'in' };
  const diameter = context.sureDiameter ? null : (inNote ?? inBook);
  return {
    claim: {
      note,
      measurement,
      diameter,
      units,
      counting,
      eyeFt,
      earlier: context.before?.measurement ?? null,
    },
    seen: {
      species: tree?.species ?? null,
      diameterIn,
      feet: height.feet,
      away: awayOf(measurement, height),
    },
  };
}

/** The usual height of the stand where this tree has no diameter. */
function usual(seen: Seen, curve: HeightCurve): number | null {
  return seen.feet === null ? null : curve.predict(seen.species, curve.diameters.middleIn).feet;
}

function sentenceOf(
  subject: Subject,
  claim: Claim,
  seen: Seen,
  belief: SlipPosterior,
  how: { readonly because: string; readonly asks: boolean },
): string {
  const start =
    subject.kind === 'height'
      ? lead(subject.measurement, subject.height.feet, claim.units)
      : seen.diameterIn === null
        ? wholeHeight(seen.feet ?? 0, claim.units)
        : diameterLead(seen.diameterIn, claim.units);
  return `${start}${how.because}.${how.asks ? slipQuestions(named(belief), claim.units) : ''}`;
}

/** The one or two causes worth naming; none where something else is likelier. */
function named(belief: SlipPosterior): readonly SlipCause[] {
  const [first, second] = belief.causes;
  if (first === undefined || first.posterior < Math.max(leastPosterior, 0.5 * belief.other)) return [];
  return second !== undefined && second.posterior >= secondShare * first.posterior
    ? [first, second]
    : [first];
}

function slipsOf(belief: SlipPosterior): Slip[] {
  return belief.causes
    .filter(({ posterior }) => posterior >= leastPosterior)
    .slice(0, mostSlips)
    .map(({ meant, posterior, feet, note }) => ({
      slip: meant.slip,
      posterior: Math.min(posterior, 1),
      feet: meant.changes === 'height' ? feet : null,
      note,
    }));
}

/** Doubts of the way of measuring: a steep sight, a near stand, a take apart from the others. */
function wayDoubt(
  { code, strength, because }: PassedLimit,
  claim: Claim,
  height: Height | null,
  belief: SlipPosterior,
): Doubt {
  if (code === 'steep') {
    const sentence = `${because}: a small error in the angle counts for much. Stand farther off if you can.`;
    return { code, strength, sentence, slips: [] };
  }
  if (code === 'near')
    return { code, strength, sentence: `${because} for such a tree. Farther off is surer.`, slips: [] };
  const { measurement } = claim;
  const takes = height?.takes;
  if (takes === undefined || measurement?.method !== 'reading')
    return { code, strength, sentence: because, slips: [] };
  const stray = takes.outlying.map((feet) => feetText(feet, claim.units)).join(' and ');
  const left = measurement.takes.filter((_, i) => !takes.outlying.includes(takes.feet[i]!));
  const without: Measurement = { ...measurement, takes: left };
  const slips = belief.causes
    .filter(
      ({ meant }) =>
        meant.slip === 'strayTake' && JSON.stringify(meant.measurement) === JSON.stringify(without),
    )
    .map(({ posterior, feet, note }) => ({ slip: 'strayTake', posterior, feet, note }));
  return {
    code,
    strength,
    sentence: `${stray} stands apart from the other takes${takes.leftOut.length > 0 ? ' and is left out' : ''}.`,
    slips,
  };
}

/** The same species, diameter and height as the tree before, to the last digit. */
function repeated(seen: Seen, context: DoubtContext): Doubt | null {
  const { before } = context;
  if (!before || seen.diameterIn === null || seen.feet === null) return null;
  const same =
    before.species === seen.species &&
    before.diameterIn !== null &&
    before.heightFt !== null &&
    Math.abs(before.diameterIn - seen.diameterIn) < 0.05 &&
    Math.abs(before.heightFt - seen.feet) < 0.5;
  if (!same) return null;
  return {
    code: 'repeated',
    strength: 0.35,
    sentence: `The same as tree ${before.number}. Is it the same tree?`,
    slips: [],
  };
}

/** Prior standard deviations, and a stand's middle diameter, from which all its trees together are odd. */
const oddStand = 1.8;
const grownIn = 5;

/**
 * A slip made at every tree is learned by the curve, so the stand as a whole is held against what is usual for its
 * species. Said once at 6 trees and again at each doubling, not at every note.
 */
function wholeStand(curve: HeightCurve): Doubt | null {
  const { ratio, z, n } = curve.standDeparture();
  if (n < 6 || !Number.isInteger(Math.log2(n / 6)) || Math.abs(z) < oddStand) return null;
  if (curve.diameters.middleIn < grownIn) return null;
  const sentence =
    ratio > 1
      ? `All ${n} trees here come out tall for their kind, about ${ratio.toFixed(1)} times. Are the paces single steps?`
      : `All ${n} trees here come out short for their kind, about ${ratio.toFixed(1)} times. Is each pace two steps?`;
  return { code: 'wholeStand', strength: 0.4, sentence, slips: [] };
}
