/** Plots in the dialogue: opening and closing, sizes and slopes, and trees at the border. */

import type { Book } from '../book/book.ts';
import type { Settings } from '../book/settings.ts';
import { assertNever } from '../core/result.ts';
import { lengthToFeet, lengthUnitOf, metresPerFoot, radians, squareFeetPerAcre } from '../core/units.ts';
import type { Act } from '../note/acts.ts';
import type { Note, NoteOf } from '../note/note.ts';
import type { PlotSize, PlotSizeSaid } from '../note/quantities.ts';
import { designOf, judgeBorder, slopeStretch } from '../totals/plots.ts';
import type { PlotRecord } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import { oddPlot } from './odd-values.ts';
import { asking, type Context, feetOf, kept, type Outcome, refused } from './outcome.ts';
import { kindInUse, kindOfSize, type PlotKind, plotMeant, plotsNumbered, plotTaken } from './plot-meant.ts';
import { lookAgain, secondDoubts } from './second-look.ts';
import { treeFields } from './trees.ts';

/** Trees on a plot, counted ones; from the totals, so that nothing is scanned. */
function treesOn(book: Book, plot: string): number {
  return book.ledger.treesOnPlot(plot);
}

export function plotOutcome(context: Context, note: NoteOf<'plot'>): Outcome {
  const slopePct = note.slope ? slopePercent(note.slope) : note.same ? slopeBefore(context) : null;
  if (note.same && slopePct === null && note.op === 'slope')
    return refused('No slope was told here yet. Say it, such as slope thirty percent.');
  if (note.slope && (slopePct === null || Math.abs(slopePct) > 200)) {
    return refused('A slope is said in percent or degrees, such as slope thirty percent.');
  }
  const size = note.size ? sizeWithUnit(note.size, context.settings.units) : null;
  const stand = context.book.standOf(context.device);
  const isNew = note.op === 'open' || note.op === 'empty';
  const changes = isNew || note.number === undefined || plotMeant(context, note.number);
  const odd =
    size === null || context.sure || !changes ? null : oddPlot(context, note, size, stand?.acres ?? null);
  if (odd) return odd;
  const said: PlotSaid = {
    number: note.number,
    size,
    next: note.next === true,
    by: note.by,
    slope: slopePct === null ? {} : { slopePct: Math.abs(slopePct) },
  };
  switch (note.op) {
    case 'slope':
    case 'size':
      return describe(context, said);
    case 'reopen':
      return reopen(context, note.number);
    case 'renumber':
      return renumber(context, note);
    case 'close':
      return close(context, note.number);
    case 'empty':
      return empty(context, said);
    case 'open':
      return open(context, said);
    case 'count':
    case 'borders':
    case 'plan':
    case 'least':
      return context.mending?.ofPlots(context, note) ?? refused('Say that alone.');
    default:
      return assertNever(note.op);
  }
}

/** The slope of the plot before: that in hand where another begins, else the last one of the stand that has any. */
function slopeBefore({ book, device }: Context): number | null {
  const stand = book.standOf(device)?.id ?? null;
  let slope: number | null = null;
  for (const plot of book.plots()) if (plot.stand === stand) slope = plot.slopePct ?? slope;
  return slope;
}

/** What was said of a plot, checked: its slope is without a sign, its size has its unit. */
interface PlotSaid {
  readonly number: number | undefined;
  readonly size: PlotSize | null;
  /** The size is that of coming plots alone. */
  readonly next: boolean;
  /** Who does it, where that is not who tells of it. */
  readonly by: string | undefined;
  readonly slope: { readonly slopePct?: number };
}

/** The size or the slope of a plot that is there. */
function describe(context: Context, { number, size, next, slope }: PlotSaid): Outcome {
  const { book, deviceState, settings } = context;
  const plot = number === undefined ? book.plot(deviceState.plot) : plotMeant(context, number);
  if (size && number === undefined && (next || !plot)) return sizeFromHere(size, plot);
  if (!plot)
    return refused(
      number === undefined
        ? `No plot is open. Say its number first, such as plot one, ${exampleSize(settings)}.`
        : `There is no plot ${number}.`,
    );
  if (size && number === undefined && turnsKind(context, plot, size)) return askFromHere(context, plot, size);
  return kept([{ act: 'plotAmend', target: plot.id, ...slope, ...(size ? { size } : {}) }], (after, now) =>
    plotReply(after, now, plot.id),
  );
}

/** Of coming plots; the one in hand stays as it is. */
const sizeFromHere = (size: PlotSize, inHand: PlotRecord | null): Outcome =>
  kept([{ act: 'setting', set: { what: 'plotSize', size } }], (_, now) => {
    const design = designOf(size);
    const radius =
      design.kind === 'fixed' && size.by !== 'radius' ? ` ${radiusWords(design.radiusFt, 0, now)}` : '';
    const stays =
      inHand?.size != null ? ` Plot ${inHand.number} stays ${wording.plotSize(inHand, now.units)}.` : '';
    return `Plots from here on: ${wording.plotSize({ size }, now.units)}.${radius}${stays}`;
  });

/** A plot on which trees were told by an area is hardly one of a gauge, nor the other way round, nor is the gauge changed on it. */
function turnsKind({ book }: Context, plot: PlotRecord, size: PlotSize): boolean {
  if (plot.size === null || treesOn(book, plot.id) === 0) return false;
  const factors = plot.size.by === 'factor' && size.by === 'factor' && plot.size.value !== size.value;
  return factors || kindOfSize(plot.size) !== kindOfSize(size);
}

function askFromHere({ settings: { units }, book }: Context, plot: PlotRecord, size: PlotSize): Outcome {
  const is = wording.plotSize({ size }, units);
  return asking({
    about: 'reading',
    text: `Plot ${plot.number}, ${wording.plotSize(plot, units)}, has ${wording.treeCount(treesOn(book, plot.id))}. Is ${is} for the plots from here on, or for plot ${plot.number}?`,
    options: [
      { say: 'from here on', note: { kind: 'plot', op: 'size', size, next: true } },
      { say: `plot ${plot.number}`, note: { kind: 'plot', op: 'size', number: plot.number, size } },
    ],
  });
}

export function close(context: Context, number: number | undefined): Outcome {
  const { book, device, deviceState, settings, behind } = context;
  const stand = book.standOf(device)?.id ?? null;
  const plot = book.plot(deviceState.plot);
  const named = number === undefined ? null : plotMeant(context, number);
  if (named?.closed && named.id !== plot?.id) return kept([], () => `Plot ${number} was closed already.`);
  if (!plot) {
    // What is said behind it stands all the same: "done here, on to the next one".
    if (behind !== undefined) return kept([], () => nothingToClose(book, stand));
    const next = `plot ${nextPlotNumber(book, stand, kindInUse(context))}`;
    return refused(`${nothingToClose(book, stand)} Say ${next} to begin it.`);
  }
  if (number !== undefined && number !== plot.number)
    return refused(`Plot ${plot.number} is open, not plot ${number}. Say close plot ${plot.number}.`);
  const doubts = secondDoubts(book, stand, settings.units);
  return {
    ...kept([{ act: 'plotAmend', target: plot.id, closed: true }], (after) => {
      const closed = `Plot ${plot.number} closed: ${wording.treeCount(treesOn(after, plot.id))}.`;
      return `${closed} Next is plot ${nextPlotNumber(after, stand, kindOfSize(plot.size))}.${lookAgain(after, doubts)}`;
    }),
    doubts,
  };
}

/** The plot in hand has no trees, or the one of that number, which is begun and done with it. */
function empty(context: Context, said: PlotSaid): Outcome {
  const { book, device, deviceState, id } = context;
  const plot = book.plot(deviceState.plot);
  if (plot && said.number === undefined) {
    const trees = treesOn(book, plot.id);
    if (trees > 0)
      return refused(`Plot ${plot.number} has ${wording.treeCount(trees)}. Close it first, or scratch them.`);
    return kept(
      [{ act: 'plotAmend', target: plot.id, closed: true, empty: true }],
      () => `Plot ${plot.number} is empty. It counts.`,
    );
  }
  const size = said.size ?? deviceState.plotSize ?? lastSize(book, book.standOf(device)?.id ?? null);
  const number = said.number ?? nextPlotNumber(book, book.standOf(device)?.id ?? null, kindOfSize(size));
  return kept(
    [
      { act: 'plot', id, number, ...(size ? { size } : {}), empty: true },
      ...(context.land?.arrived(context, number) ?? []),
    ],
    () => `Plot ${number} is empty. It counts.${context.land?.offPlan(context, number) ?? ''}`,
  );
}

/** A plot is begun; the one in hand is closed. */
function open(context: Context, said: PlotSaid): Outcome {
  const { book, device, deviceState, settings, id } = context;
  const stand = book.standOf(device)?.id ?? null;
  const inHand = book.plot(deviceState.plot);
  const size = said.size ?? deviceState.plotSize ?? lastSize(book, book.standOf(device)?.id ?? null);
  const kind = kindOfSize(size);
  const number = said.number ?? nextPlotNumber(book, stand, kind);
  const taken = plotTaken(book, number, stand, kind);
  // Named again before anything was told of it.
  if (taken && taken.id === inHand?.id && treesOn(book, taken.id) === 0 && said.size === null)
    return kept([], (after, now) => plotReply(after, now, taken.id));
  if (taken)
    return refused(
      `Plot ${number} was already taken. Next is plot ${nextPlotNumber(book, stand, kind)}. In another stand, say that first, such as stand four.`,
    );
  const other = plotsNumbered(book, number, stand).at(-1);
  const closing: Act[] = inHand ? [{ act: 'plotAmend', target: inHand.id, closed: true }] : [];
  const doubts = inHand ? secondDoubts(book, stand, settings.units) : [];
  return {
    ...kept(
      [
        ...closing,
        { act: 'plot', id, number, ...(size ? { size } : {}), ...said.slope },
        ...(context.land?.arrived(context, number) ?? []),
      ],
      (after, now) => {
        const before = inHand
          ? `Plot ${inHand.number} closed: ${wording.treeCount(treesOn(after, inHand.id))}. `
          : '';
        const offPlan = context.land?.offPlan(context, number) ?? '';
        const by = said.by === undefined ? '' : ` By ${wording.sentence(said.by)}.`;
        const beside = other ? ` Plot ${number}, ${wording.plotSize(other, now.units)}, stays.` : '';
        return before + plotReply(after, now, id) + by + beside + offPlan + lookAgain(after, doubts);
      },
    ),
    ...(said.by === undefined ? {} : { person: said.by }),
    doubts,
  };
}

/** A plot that was closed is taken up again; the one in hand is closed. */
function reopen(context: Context, number: number | undefined): Outcome {
  const { book, device, deviceState } = context;
  const stand = book.standOf(device)?.id ?? null;
  const open = book.plot(deviceState.plot);
  let plot: PlotRecord | null = number === undefined ? null : plotMeant(context, number);
  if (number === undefined)
    for (const each of book.plots()) if (each.stand === stand && each.closed) plot = each;
  if (!plot) return refused(number === undefined ? 'No plot was closed yet.' : `There is no plot ${number}.`);
  if (plot.id === open?.id) return kept([], () => `Plot ${open.number} is open.`);
  const { id } = plot;
  const closing: Act[] = open ? [{ act: 'plotAmend', target: open.id, closed: true }] : [];
  return kept([...closing, { act: 'plotAmend', target: id, closed: false, empty: false }], (after) => {
    const before = open ? `Plot ${open.number} closed: ${wording.treeCount(treesOn(after, open.id))}. ` : '';
    const again = after.plot(id);
    return `${before}Plot ${again?.number} is open again: ${wording.treeCount(treesOn(after, id))}.`;
  });
}

function renumber(context: Context, note: NoteOf<'plot'>): Outcome {
  const { book, device, deviceState } = context;
  const stand = book.standOf(device)?.id ?? null;
  const plot = note.number === undefined ? book.plot(deviceState.plot) : plotMeant(context, note.number);
  if (!plot)
    return refused(note.number === undefined ? 'No plot is open.' : `There is no plot ${note.number}.`);
  if (note.to === undefined) return refused(`Which number should plot ${plot.number} have?`);
  const to = note.to;
  const there = plotTaken(book, to, stand, kindOfSize(plot.size));
  if (there && there.id !== plot.id) return refused(`Plot ${to} is another one already.`);
  return kept(
    [{ act: 'plotAmend', target: plot.id, number: to }],
    () => `Plot ${plot.number} is plot ${to} now.`,
  );
}

/** "Plot 7 was closed already." */
function nothingToClose(book: Book, stand: string | null): string {
  let last: PlotRecord | null = null;
  for (const plot of book.plots()) if (plot.stand === stand && plot.closed) last = plot;
  return last === null ? 'No plot is open.' : `No plot is open: plot ${last.number} was closed already.`;
}

function slopePercent(slope: { value: number; unit?: 'deg' | 'pct' | 'topo' | undefined }): number | null {
  if (slope.unit === 'deg') return Math.abs(slope.value) < 64 ? 100 * Math.tan(radians(slope.value)) : null;
  if (slope.unit === 'topo') return (100 * slope.value) / 66;
  return slope.value;
}

/** Behind the last of its kind; the first of a kind goes on behind all, as nobody said that numbers begin again. */
function nextPlotNumber(book: Book, stand: string | null, kind: PlotKind | null): number {
  const own = [...book.plots()].filter((plot) => plot.stand === stand);
  const alike = own.filter(({ size }) => kindOfSize(size) === kind);
  return Math.max(0, ...(alike.length > 0 ? alike : own).map(({ number }) => number)) + 1;
}

/**
 * A radius or a factor said without a unit is in the book's units of that moment; the act names it, so that it stays so.
 * A bare factor of a book in feet is in square feet an acre, as it always was.
 */
export function sizeWithUnit(size: PlotSizeSaid, units: Context['settings']['units']): PlotSize {
  if (size.by === 'sides') return areaOfSides(size, units);
  if (size.by === 'factor' && size.unit === undefined && units === 'metres')
    return { ...size, unit: 'm2/ha' };
  return size.by === 'radius'
    ? { ...size, length: { ...size.length, unit: size.length.unit ?? lengthUnitOf(units) } }
    : size;
}

/** The area between two sides; in square metres where they were said in metres, else in acres. */
function areaOfSides(
  { sides, unit }: Extract<PlotSizeSaid, { by: 'sides' }>,
  units: Context['settings']['units'],
): PlotSize {
  const own = unit ?? lengthUnitOf(units);
  const [one, other] = sides.map((value) => lengthToFeet({ value, unit: own }, own));
  const squareFeet = (one ?? 0) * (other ?? 0);
  return own === 'm' || own === 'cm'
    ? { by: 'area', value: Number((squareFeet * metresPerFoot ** 2).toFixed(4)), unit: 'm2' }
    : { by: 'area', value: Number((squareFeet / squareFeetPerAcre).toFixed(6)), unit: 'acre' };
}

const exampleSize = ({ units }: Settings): string =>
  units === 'metres' ? 'four hundred square metres' : 'tenth acre';

/** Of the plots of a stand; of all where it has none yet. */
function lastSize(book: Book, stand: string | null): PlotSize | null {
  const all = [...book.plots()];
  const own = all.filter((plot) => plot.stand === stand);
  return (own.length > 0 ? own : all).findLast(({ size }) => size !== null)?.size ?? null;
}

/**
 * The radius with what it is good for. By level distance the tape is longer up and down the hill only; a circle laid on the
 * slope has one radius for all directions. Slopes under 10 percent are taken as level (USFS Common Stand Exam, Appendix I).
 */
function radiusWords(radiusFt: number, slopePct: number, { units, slopeMethod }: Settings): string {
  const length = (feet: number) => wording.length(feet, units);
  if (slopePct < 10) return `Radius ${length(radiusFt)}.`;
  const at = `at ${wording.digits(slopePct, 0)} percent`;
  const stretched = length(radiusFt * slopeStretch(slopePct, slopeMethod));
  return slopeMethod === 'onSlope'
    ? `Radius ${stretched} along the ground in every direction ${at}.`
    : `Radius ${stretched} up and down hill ${at}, ${length(radiusFt)} across.`;
}

function plotReply(book: Book, settings: Settings, id: string): string {
  const plot = book.plot(id);
  if (!plot) return 'Kept.';
  if (!plot.size) {
    return `Plot ${plot.number}. How large? Say ${exampleSize(settings)}, a radius, or a factor.`;
  }
  const parts = [`Plot ${plot.number}, ${wording.plotSize(plot, settings.units)}.`];
  const design = designOf(plot.size);
  // A radius that was said is not said twice.
  const slopePct = plot.slopePct ?? 0;
  if (design.kind === 'fixed' && (plot.size.by !== 'radius' || slopePct >= 10))
    parts.push(radiusWords(design.radiusFt, slopePct, settings));
  // Where it stretches no radius, it is told by itself.
  if (slopePct !== 0 && (design.kind !== 'fixed' || slopePct < 10))
    parts.push(`Slope ${wording.digits(slopePct, 0)} percent.`);
  return parts.join(' ');
}

export function borderlineOutcome(context: Context, note: NoteOf<'borderline'>): Outcome {
  const { book, deviceState, settings, id } = context;
  const plot = book.plot(deviceState.plot);
  if (!plot?.size) return refused('In or out of what? Open a plot with its size or factor first.');
  const distance = feetOf(note.distance, 'distance', settings.units);
  if (!distance.ok) return refused(distance.error);
  const made = treeFields(context, note.facts ?? {});
  if (!made.ok) return refused(made.error);
  const inHand = book.tree(deviceState.tree);
  const usesHand = !note.facts && inHand !== null;
  const diameterIn = made.value.fields.diameterIn ?? (usesHand ? inHand.diameterIn : null);
  const slopePct = note.slope ? slopePercent(note.slope) : plot.slopePct;
  const design = designOf(plot.size);
  if (design.kind === 'tally') return refused('Every tree counts here; there is no border to measure.');
  const verdict = (to: 'centre' | 'face') =>
    judgeBorder({
      design,
      distanceFt: distance.value,
      to,
      diameterIn,
      slopePct,
      slopeMethod: settings.slopeMethod,
    });
  const wait = (about: 'face' | 'diameter', text: string, options: { say: string; note: Note }[]): Outcome =>
    asking({ about, text, options, pending: note });
  if (diameterIn === null && (design.kind === 'factor' || note.to === 'face')) {
    return wait('diameter', 'What diameter? It decides whether the tree is in.', []);
  }
  const centre = verdict('centre');
  const face = verdict('face');
  if (!note.to && face && centre && face.inside !== centre.inside) {
    return wait('face', 'To the centre of the stem, or to its face? It decides.', [
      { say: 'centre', note: { kind: 'pick', what: 'centre' } },
      { say: 'face', note: { kind: 'pick', what: 'face' } },
    ]);
  }
  const border = note.to === 'face' ? face : centre;
  if (!border) return refused('In or out cannot be told without a diameter.');
  const { fields } = made.value;
  const act: Act = usesHand
    ? { act: 'amend', target: inHand.id, fields: { counted: border.inside } }
    : { act: 'tree', id, fields: { ...fields, counted: border.inside } };
  const margin = wording.smallLength(border.marginIn / 12, settings.units);
  const where =
    note.to === 'face' ? `: the centre is at ${wording.length(border.centreFt, settings.units)}` : '';
  const close = border.close ? ' Closer than the tape can tell: measure again.' : '';
  // What was told of the tree is told back.
  const told = (after: Book): string => {
    const tree = note.facts?.species === undefined ? null : after.tree(id);
    return tree ? ` Tree ${tree.number}, ${wording.treeFacts(tree, settings.units)}.` : '';
  };
  return kept([act], (after) =>
    border.inside
      ? `In, by ${margin}${where}.${told(after)}${close}`
      : `Out, by ${margin}${where}. Not counted.${told(after)}${close}`,
  );
}
