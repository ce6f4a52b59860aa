/**
 * A day in a stand, many times: trees come in random order, four notes of a hundred slip, what is asked about is mended,
 * what is not stays in the curve, and sound notes asked about are kept. At every tree a sound note and a slipped one
 * are judged by the tool and by its rivals.
 */

import { diameterToInches } from '../../../shared/core/units.ts';
import { HeightCurve, type Pair } from '../../../shared/measuring/doubt/curve.ts';
import { beliefIn, type Subject } from '../../../shared/measuring/doubt/doubts.ts';
import { askFrom, doubtsOf } from '../../../shared/measuring/doubt/index.ts';
import { measure } from '../../../shared/measuring/height/measure.ts';
import {
  misread,
  type SlipKind,
  settings,
  slipKinds,
  slipped,
  type Told,
  tell,
  unlistedKinds,
} from './notes.ts';
import { Random } from './random.ts';
import { curtis, curtisAndDiameter, limitsAsk, naslund } from './rivals.ts';
import type { Stand } from './sets.ts';

export interface Judged {
  readonly stand: string;
  /** Index of the tree in the stand, for the bootstrap. */
  readonly tree: number;
  /** Trees that the curve had seen. */
  readonly earlier: number;
  /** Null for a sound note. */
  readonly slip: SlipKind | null;
  /** The slip changes the height or the diameter by more than a quarter of what it was. */
  readonly large: boolean;
  /** The same of the larger of the two values: a fifth less is a quarter more the other way round. */
  readonly largeEitherWay: boolean;
  readonly strength: number;
  /** Belief in the note as said, where it was asked for (`sweep`); else 0. */
  readonly asSaid: number;
  /** Place of the right cause among those named, from 1; 0 where it is not among them. */
  readonly place: number;
  /** The same with girth and centimetres taken as one. */
  readonly mergedPlace: number;
  /** The same by the kind of slip alone, whatever value it offers. */
  readonly kindPlace: number;
  /** Share of the likeliest cause among those named. */
  readonly share: number;
  readonly limits: boolean;
  /** Distance of the height from the curve, in sd. */
  readonly stray: number;
  /** The tree's diameter, inches, as it is. */
  readonly diameterIn: number;
  /** Scatter that the curve expects of this tree. */
  readonly sdLog: number;
  readonly naslund: number;
  readonly curtis: number;
  readonly curtisAndDiameter: number;
}

const slipShare = 0.04;
/** Trees of one order; a stand larger than this is met in part. */
const mostTrees = 80;

interface Known {
  readonly pair: Pair;
  readonly strength: number;
  readonly asSaid: number;
  readonly stray: number;
  readonly causes: readonly {
    readonly feet: number | null;
    readonly diameterIn: number | null;
    readonly slip: string;
    readonly posterior: number;
  }[];
}

function judge(
  { species, plot = null }: Pick<Pair, 'species' | 'plot'>,
  told: Told,
  curve: HeightCurve,
  sweep: boolean,
): Known | null {
  const height = measure(told.measurement, settings);
  if (!height.ok) return null;
  const diameterIn = diameterToInches(told.diameter, 'feet');
  const note = { kind: 'tree' as const, facts: { diameter: told.diameter }, height: told.measurement };
  const subject: Subject = { kind: 'height', note, measurement: told.measurement, height: height.value };
  const tree = { species, diameterIn, heightFt: null, marks: [], status: 'live' as const };
  const context = { settings, curve, others: [], tree, plot };
  const [first] = doubtsOf(subject, context);
  const causes = (first?.slips ?? []).map((slip) => ({
    slip: slip.slip,
    posterior: slip.posterior,
    feet: slip.feet,
    diameterIn:
      slip.feet === null && slip.note.kind === 'tree' && slip.note.facts.diameter
        ? diameterToInches(slip.note.facts.diameter, 'feet')
        : null,
  }));
  return {
    pair: { species, diameterIn, heightFt: height.value.feet, plot },
    strength: first?.strength ?? 0,
    asSaid: sweep ? (beliefIn(subject, context)?.asSaid ?? 0) : 0,
    stray: curve.stray(species, diameterIn, height.value.feet),
    causes,
  };
}

const far = (a: number, b: number): number => Math.abs(a / b - 1);
const round = new Set(['girthForDiameter', 'centimetresForInches']);
const unround = new Set(['diameterForGirth', 'inchesForCentimetres']);

/** Place of the cause that gives back the sound note's height or diameter (within 2 percent, the rounding of the note). */
function placeOf(judged: Known, sound: Pair, said: Pair, slip: SlipKind, merged: boolean): number {
  const ofHeight = far(said.diameterIn, sound.diameterIn) < 1e-9;
  const at = judged.causes.findIndex((cause) => {
    if (merged && (round.has(slip) ? round : unround.has(slip) ? unround : null)?.has(cause.slip))
      return true;
    return ofHeight
      ? cause.feet !== null && far(cause.feet, sound.heightFt) < 0.02
      : cause.diameterIn !== null && far(cause.diameterIn, sound.diameterIn) < 0.02;
  });
  return at + 1;
}

/** Place of the cause of the right kind for the right field, or of one that gives back the sound note. */
function kindPlaceOf(judged: Known, sound: Pair, said: Pair, slip: SlipKind): number {
  const fix = placeOf(judged, sound, said, slip, false);
  const ofHeight = far(said.diameterIn, sound.diameterIn) < 1e-9;
  const kind =
    slip === 'angleScale' ? ['percentForDegrees', 'degreesForPercent'] : [slip.replace('Diameter', ''), slip];
  const at = judged.causes.findIndex(
    (cause) => kind.includes(cause.slip) && (cause.feet !== null) === ofHeight,
  );
  return at < 0 ? fix : fix === 0 ? at + 1 : Math.min(fix, at + 1);
}

function shareOf({ causes }: Known): number {
  const total = causes.reduce((sum, { posterior }) => sum + posterior, 0);
  return total > 0 ? causes[0]!.posterior / total : 0;
}

const farthest = (from: Pair, to: Pair): number =>
  Math.max(far(from.heightFt, to.heightFt), far(from.diameterIn, to.diameterIn));

/** Places of the truth among what is offered; nought for a sound note. */
function placesOf(judged: Known, sound: Pair, slip: SlipKind | null) {
  if (slip === null) return { place: 0, mergedPlace: 0, kindPlace: 0 };
  return {
    place: placeOf(judged, sound, judged.pair, slip, false),
    mergedPlace: placeOf(judged, sound, judged.pair, slip, true),
    kindPlace: kindPlaceOf(judged, sound, judged.pair, slip),
  };
}

interface About {
  readonly stand: string;
  readonly tree: number;
  readonly diameterIn: number;
  readonly curve: HeightCurve;
  readonly sound: Known;
  readonly rivals: Readonly<
    Record<'naslund' | 'curtis' | 'curtisAndDiameter', { score(pair: Pair): number }>
  >;
  readonly sweep: boolean;
}

function judgedAs(about: About, judged: Known, slip: SlipKind | null): Judged {
  const { curve, sound, rivals, sweep } = about;
  const change = farthest(judged.pair, sound.pair);
  const eitherWay = Math.max(change, farthest(sound.pair, judged.pair));
  return {
    stand: about.stand,
    tree: about.tree,
    earlier: curve.n,
    slip,
    large: change > 0.25,
    largeEitherWay: eitherWay > 0.25,
    strength: judged.strength,
    asSaid: judged.asSaid,
    stray: judged.stray,
    diameterIn: about.diameterIn,
    ...placesOf(judged, sound.pair, slip),
    share: shareOf(judged),
    limits: limitsAsk(judged.pair),
    sdLog: sweep ? curve.predict(judged.pair.species, judged.pair.diameterIn).sdLog : 0,
    naslund: rivals.naslund.score(judged.pair),
    curtis: rivals.curtis.score(judged.pair),
    curtisAndDiameter: rivals.curtisAndDiameter.score(judged.pair),
  };
}

const slipsPerTree = 2;

/** The first kinds of slip that can happen to a note. */
function slipsOf<Kind>(kinds: readonly Kind[], judged: (kind: Kind) => Known | null | undefined) {
  const found: { readonly judged: Known; readonly kind: Kind }[] = [];
  for (const kind of kinds) {
    if (found.length === slipsPerTree) break;
    const one = judged(kind);
    if (one) found.push({ judged: one, kind });
  }
  return found;
}

function learnedFrom(trees: readonly Pair[]): HeightCurve {
  const curve = new HeightCurve();
  for (const tree of trees) curve.observe(tree);
  return curve;
}

/** The sound note, a few with a slip, and the unlisted ones; gives what is learned of the tree: now and then a slipped note. */
function judgeOne(
  about: Omit<About, 'diameterIn'>,
  tree: Pair,
  told: ReturnType<typeof tell>,
  random: Random,
  put: (judged: Judged) => void,
): Pair {
  const { curve, sound, sweep } = about;
  const of: About = { ...about, diameterIn: tree.diameterIn };
  const judgeSlip = (bad: ReturnType<typeof slipped> | ReturnType<typeof misread>) =>
    bad && judge(tree, bad, curve, sweep);
  put(judgedAs(of, sound, null));
  const slips = random.shuffled(slipKinds);
  const stumbles = random.next() < slipShare;
  const taken = slipsOf(slips, (kind) => judgeSlip(slipped(told, kind, random)));
  for (const { judged, kind } of taken) put(judgedAs(of, judged, kind));
  for (const kind of unlistedKinds) {
    const judged = judgeSlip(misread(told, kind));
    if (judged) put(judgedAs(of, judged, kind));
  }
  const first = taken[0]?.judged;
  const slipsIn = stumbles && first && first.strength < askFrom && first.pair.heightFt > 4.6;
  return slipsIn ? first.pair : sound.pair;
}

const withoutPlots = (trees: readonly Pair[]): readonly Pair[] =>
  trees.map((tree) => ({ ...tree, plot: null }));

/**
 * `notes`: about so many sound notes a stand; `known`: all other trees of the stand are known and sound, which bounds
 * what any number of earlier trees can give; two slipped ones are judged with each. `truth`: stands for the curve when a
 * tree of this index is judged, and learns nothing.
 */
export function walk(
  stand: Stand,
  seed: number,
  how: {
    readonly notes?: number;
    readonly sweep?: boolean;
    readonly known?: boolean;
    /** False: nobody says which trees stand on one plot. */
    readonly plots?: boolean;
    readonly truth?: (tree: number) => HeightCurve;
  } = {},
): Judged[] {
  const { notes = 400, sweep = false, truth, plots = true } = how;
  const known = how.known === true && truth === undefined;
  const orders = Math.max(2, Math.ceil(notes / Math.min(stand.trees.length, mostTrees)));
  const found: Judged[] = [];
  const random = new Random(seed);
  const trees = plots ? stand.trees : withoutPlots(stand.trees);
  for (let order = 0; order < orders; order++) {
    const learned = learnedFrom(known ? stand.trees : []);
    const accepted: Pair[] = [];
    const bias = Math.exp(0.03 * random.normal());
    const row = random.shuffled(stand.trees.map((_, i) => i)).slice(0, mostTrees);
    for (const index of row) {
      const tree = trees[index]!;
      const told = tell(tree, random, bias);
      const curve = truth?.(index) ?? learned;
      if (known) curve.forget(tree);
      const sound = judge(tree, told, curve, sweep);
      if (sound === null) {
        if (known) curve.observe(tree);
        continue;
      }
      const rivals = {
        naslund: naslund(accepted),
        curtis: curtis(accepted),
        curtisAndDiameter: curtisAndDiameter(accepted),
      };
      const about = { stand: stand.name, tree: index, curve, sound, rivals, sweep };
      const enters = judgeOne(about, tree, told, random, (one) => found.push(one));
      if (truth === undefined) curve.observe(known ? tree : enters);
      accepted.push(enters);
    }
  }
  return found;
}
