/** Being led: the way to a planned plot by dead reckoning, where one stands for certain, and round an obstacle. */

import type { Book } from '../../book/book.ts';
import { lengthToFeet, lengthUnitOf, type Units } from '../../core/units.ts';
import type { PlanePoint } from '../../land/error-ellipse.ts';
import { handPickedBias } from '../../land/layout.ts';
import { aroundObstacle, type Way, wayTo } from '../../land/way.ts';
import type { Act, SavedPlot } from '../../note/acts.ts';
import type { DeviceId } from '../../note/journal.ts';
import type { NoteOf } from '../../note/note.ts';
import * as wording from '../../wording/wording.ts';
import { type Context, kept, type Outcome, refused, said } from '../outcome.ts';
import { plannedLeft } from '../stand-plan.ts';
import { shownAzimuth } from './closing.ts';
import {
  groundInHand,
  groundOf,
  keptPoint,
  locatedOn,
  openWalk,
  startOf,
  type Whereabouts,
  walkerOf,
  walkInHand,
  waySettings,
  whereabouts,
} from './ground.ts';
import { type PlotOfPlan, planInHand, plannedPlot, plannedPlots } from './plans.ts';

/** A peg, or a plot that was found by what is there, feet (common practice, no source). */
const markedSdFt = 3;
/** From here on the error on arrival is told: a plot of a tenth of an acre reaches twice as far. */
const tellFromFt = 15;

const nowhere =
  'I do not know where you are. Say where, such as I am at the start, at corner two, or at plot seven.';

/** "Bearing 85, 132 feet: 25 paces; 27 uphill." */
function wayWords(context: Context, way: Way, units: Units): string {
  const { paces, uphillPaces } = way;
  const counted = context.settings.counting === 'steps' ? 'steps' : 'paces';
  const walked =
    paces === null
      ? ''
      : `: ${paces} ${paces === 1 ? counted.slice(0, -1) : counted}${uphillPaces === null || uphillPaces === paces ? '' : `; ${uphillPaces} uphill`}`;
  return `Bearing ${shownAzimuth(way.azimuth, context.settings)}, ${wording.length(way.feet, units, 1)}${walked}.`;
}

/** Planned plots that were not begun yet, in the order of the walk. */
function plotsLeft({ book, device }: Context): readonly PlotOfPlan[] {
  return plannedPlots(book, device).filter(
    ({ plot, plan }) => book.plotNumbered(plot.number, plan.stand) === null,
  );
}

interface Target {
  readonly ground: string;
  readonly to: PlanePoint;
  readonly plot?: number;
  readonly name: string;
}

/** Where the way is to lead; a sentence, refused or said, where it cannot. */
function targetOf(context: Context, note: NoteOf<'way'>, from: Whereabouts): Target | Outcome {
  const { book, device } = context;
  if (note.start) return { ground: from.ground, to: startOf(book, from.ground), name: 'The start' };
  const all = plannedPlots(book, device);
  if (all.length === 0) return refused('No plots were laid out here yet. Say lay out twelve plots.');
  let found: PlotOfPlan | null | undefined;
  if (note.to === undefined) {
    const left = plotsLeft(context);
    found = left.find((one) => !isThere(book, from, one)) ?? left[0];
    if (!found) return said(`None left: all ${all.length} are taken. Say way back to the start.`);
  } else {
    found = plannedPlot(book, device, note.to);
    if (!found) return refused(`The plan has no plot ${note.to}. It has ${wording.plotCount(all.length)}.`);
  }
  const { plot, plan } = found;
  return { ground: plan.ground, to: plot.at, plot: plot.number, name: `Plot ${plot.number}` };
}

export function wayOutcome(context: Context, note: NoteOf<'way'>): Outcome {
  const { book, device, settings } = context;
  const from = whereabouts(book, device);
  if (from === null) return refused(nowhere);
  const target = targetOf(context, note, from);
  if ('say' in target) return target;
  const located = locatedOn(book, from, target.ground);
  if (located === null) return refused(otherGround(context, target));
  const way = wayTo(located, target.to, walkerOf(book, device), waySettings(book));
  if (way.feet < 1) return said(`${target.name}: you are there.`);
  const act: Act = {
    act: 'way',
    ground: target.ground,
    to: keptPoint(book, target.ground, target.to),
    ...(target.plot === undefined ? {} : { plot: target.plot }),
  };
  const unsure =
    way.arrivalSdFt >= tellFromFt
      ? ` Give or take ${wording.length(way.arrivalSdFt, settings.units, 1)} when you are there: look for a mark.`
      : '';
  const led = book.land.trail(device).some(({ act: one }) => one.act === 'way');
  const careful = led ? '' : ' Look up from the compass: it knows no cliff, water or road.';
  const pace = way.paces === null ? ' No pace yet, so no paces.' : '';
  return kept(
    [act],
    (_, now) => `${wayWords(context, way, now.units)} ${target.name}.${unsure}${pace}${careful}`,
  );
}

/** The target lies by another walk than the person's place does: how to come by a place there. */
function otherGround({ book }: Context, { ground, name, plot }: Target): string {
  const of = [...book.land.walks.values(), ...book.land.edges].find(({ id }) => id === ground);
  const stratum = book.strata.get(of?.stratum ?? '');
  const there =
    stratum === undefined
      ? 'Say at which corner or plot of it you are.'
      : `Go to a corner of ${wording.placeName(stratum.name)}, say stratum ${stratum.name}, and at which corner you are.`;
  return `${plot === undefined ? name : `Plot ${plot}`} is by another walk than your place. ${there}`;
}

function isThere(book: Book, from: Whereabouts, { plot, plan }: PlotOfPlan): boolean {
  const at = locatedOn(book, from, plan.ground)?.at;
  return at !== undefined && Math.hypot(plot.at.eastFt - at.eastFt, plot.at.northFt - at.northFt) < 1;
}

/** "I am at plot seven", "at the start", "at corner three". */
export function placeOutcome(context: Context, note: NoteOf<'place'>): Outcome {
  const { book, device } = context;
  if (note.plot !== undefined) {
    const found = plannedPlot(book, device, note.plot);
    if (!found)
      return refused(
        plannedPlots(book, device).length > 0
          ? `The plan has no plot ${note.plot}.`
          : 'No plots were laid out here yet, so plot numbers tell no place.',
      );
    const { plot, plan } = found;
    const act: Act = {
      act: 'place',
      ground: plan.ground,
      at: keptPoint(book, plan.ground, plot.at),
      sdFt: sdOfPlot(context, plot),
      plot: plot.number,
    };
    return kept([act], () => `At plot ${plot.number}. The ways go on from there.`);
  }
  const ground = groundOfPlace(context);
  if (ground === null)
    return refused('There is no walk and no plan here yet, so there is no place to tell by.');
  if (note.start)
    return kept(
      [{ act: 'place', ground, at: keptPoint(book, ground, startOf(book, ground)), sdFt: 0 }],
      () => 'At the start. The ways go on from there.',
    );
  const made = groundOf(book, ground);
  if (!made.ok) return refused(made.error);
  const corner = made.value.corners[(note.corner ?? 1) - 1];
  if (!corner)
    return refused(
      `There is no corner ${note.corner}: the edge has ${made.value.corners.length}. Corner one is the start.`,
    );
  return kept(
    [{ act: 'place', ground, at: keptPoint(book, ground, corner), sdFt: markedSdFt }],
    () => `At corner ${note.corner}. The ways go on from there.`,
  );
}

/** The ground whose start and corners are meant: the open walk's, that of the stratum or stand in hand, or the plan's. */
function groundOfPlace({ book, device }: Context): string | null {
  const open = openWalk(book, device);
  if (open) return open.id;
  const inHand = groundInHand(book, device);
  if (inHand.ok) return inHand.value.id;
  return walkInHand(book, device)?.id ?? planInHand(book, device)?.ground ?? null;
}

/** A plot is as sure as it was when it was put there; before that as sure as a mark. */
function sdOfPlot({ book, device }: Context, { number }: SavedPlot): number {
  const there = book.land.trail(device).findLast(({ act }) => act.act === 'place' && act.plot === number);
  return there?.act.act === 'place' ? there.act.sdFt : markedSdFt;
}

/** A plot of the plan was begun: its device is there, as sure as it was led. */
export function arrived({ book, device }: Context, number: number): readonly Act[] {
  const found = plannedPlot(book, device, number);
  if (!found) return [];
  const { plot, plan } = found;
  const from = whereabouts(book, device);
  const located = from && locatedOn(book, from, plan.ground);
  const sdFt = located
    ? wayTo(located, plot.at, walkerOf(book, device), waySettings(book)).arrivalSdFt
    : markedSdFt;
  return [
    { act: 'place', ground: plan.ground, at: keptPoint(book, plan.ground, plot.at), sdFt, plot: number },
  ];
}

/** A plot that no plan has was put somewhere by hand: that biases, and is said. */
export function offPlan({ book, device }: Context, number: number): string {
  if (plannedPlots(book, device).length === 0 || plannedPlot(book, device, number)) return '';
  return ` Plot ${number} is not of the plan. ${handPickedBias}`;
}

/** Square off the line, past it, and back on it: the paces aside do not count, those along do. */
export function aroundOutcome(context: Context, note: NoteOf<'around'>): Outcome {
  const { book, device, settings } = context;
  const { side, distance } = note;
  const from = whereabouts(book, device);
  if (!from?.way) return refused('Round what? Ask for a way first, such as way to the next plot.');
  const walker = walkerOf(book, device);
  const feet =
    distance.by === 'length'
      ? lengthToFeet(distance.length, lengthUnitOf(settings.units))
      : walker.pace === null
        ? null
        : distance.count *
          walker.pace.feet *
          (distance.by === 'steps' || settings.counting === 'steps' ? 0.5 : 1);
  if (feet === null) return refused('How long is your pace? Say so many paces in a known distance first.');
  if (!(feet > 0 && feet < 100_000))
    return refused('Say how far aside, such as go around to the right twenty paces.');
  const way = wayTo(from.located, from.way.to, walker, waySettings(book));
  const { turns } = aroundObstacle({ azimuth: way.azimuth, side, offsetFt: feet, alongFt: 0 });
  const [off, along, back] = turns.map(({ azimuth }) => shownAzimuth(azimuth, settings));
  const aside = (units: Units): string =>
    distance.by === 'length'
      ? wording.length(feet, units, 1)
      : `${wording.digits(distance.count, 1)} ${distance.by}`;
  const other = side === 'right' ? 'left' : 'right';
  return kept(
    [{ act: 'around', side, feet }],
    (_, now) =>
      `${wording.sentence(side)}, bearing ${off}, ${aside(now.units)}. Then bearing ${along} past it, and count on. Then ${other}, bearing ${back}, ${aside(now.units)}, and you are on the line: bearing ${along}.`,
  );
}

export function plotsLeftAnswer(context: Context): Outcome {
  const all = plannedPlots(context.book, context.device).length;
  if (all === 0)
    return plannedLeft(context) ?? said('No plots are planned here. Say, for one, twelve plots planned.');
  const left = plotsLeft(context).map(({ plot }) => String(plot.number));
  if (left.length === 0) return said(`None left: all ${all} are taken.`);
  const few = left.slice(0, 12);
  const more = left.length > few.length ? ` and ${left.length - few.length} more` : '';
  return said(
    `${left.length} left: ${left.length === 1 ? 'plot' : 'plots'} ${more ? `${few.join(', ')}${more}` : wording.list(few)}.`,
    `Plots of a plan that are left out are no sample of it: what was easy to reach stands for the rest.`,
  );
}

/** The way that a device is walking, for the page: whole degrees from the person's own north. */
interface ShownWay {
  readonly bearing: number;
  readonly distance: string;
  /** What is counted; null while the pace is not known. */
  readonly paces: number | null;
  readonly counted: 'paces' | 'steps';
  readonly to: string;
  readonly north: string;
  readonly unsure: string;
}

/** Null where no way was told since the last known place. */
export function wayShown(book: Book, device: DeviceId): ShownWay | null {
  const from = whereabouts(book, device);
  if (!from?.way) return null;
  const settings = book.settingsOf(device);
  const { units, north, declination, counting } = settings;
  const way = wayTo(from.located, from.way.to, walkerOf(book, device), waySettings(book));
  const { paces, uphillPaces } = way;
  return {
    bearing: shownAzimuth(way.azimuth, settings),
    distance: wording.length(way.feet, units, 1),
    paces,
    counted: counting,
    to: from.way.plot === undefined ? 'to the start' : `to plot ${from.way.plot}`,
    north:
      north === 'true'
        ? 'From true north.'
        : `By the needle${declination === null ? ', no declination said' : ''}.`,
    unsure: `${uphillPaces === null || uphillPaces === paces ? '' : `${uphillPaces} uphill. `}Give or take ${wording.length(way.arrivalSdFt, units, 1)} when you are there.`,
  };
}
