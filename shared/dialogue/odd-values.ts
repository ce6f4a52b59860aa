/**
 * Settings and sizes that are not impossible but seldom meant: each is asked about before anything is kept with it, with
 * what was probably meant. The limits are wide of what is used (common practice, no source).
 */
import { areaToAcres, type Units } from '../core/units.ts';
import type { Question } from '../note/acts.ts';
import type { Note, NoteOf } from '../note/note.ts';
import type { Length, PlotSize } from '../note/quantities.ts';
import type { SettingSaid } from '../note/settings.ts';
import { designOf } from '../totals/plots.ts';
import * as wording from '../wording/wording.ts';
import { asking, type Context, type Outcome } from './outcome.ts';

/** Feet that a grown person covers in a step, walking: two of them are a pace. */
const stepLimits = { least: 1.5, most: 3.7 } as const;
/** Feet: kneeling to very tall. */
const eyeLimits = { least: 3.4, most: 6.5 } as const;
/** Acres; a milacre is the smallest that is laid out. */
const plotLimits = { least: 0.0009, most: 1.3 } as const;
/** Square feet an acre, and square metres a hectare. */
const factorLimits = { 'ft2/acre': { least: 2.4, most: 81 }, 'm2/ha': { least: 0.2, most: 9.5 } } as const;

const outside = (value: number, { least, most }: { least: number; most: number }): boolean =>
  value < least || value > most;

/** The doubt as a question: what was meant is offered, else it is to be said again or kept. */
function doubted(context: Context, pending: Note, odd: string, meant: readonly Note[] = []): Outcome {
  const options = meant.map((note) => ({ say: context.tongue.speak(note), note }));
  const says = wording.list(
    options.map(({ say }) => say),
    'or',
  );
  const ask = options.length === 0 ? 'Say it again, or keep it?' : `Did you mean ${says}? Or say keep it.`;
  const question: Question = { about: 'doubt', text: `${odd} ${ask}`, options, pending };
  return asking(question);
}

/** Metric where it was said so. */
export const unitsOf = ({ unit }: Length, units: Units): Units =>
  unit === 'm' || unit === 'cm' ? 'metres' : units;

/** A pace or a step of so many feet that nobody walks; null where it may be. */
export function oddPace(context: Context, set: SettingSaid<'pace'>, feet: number): Outcome | null {
  const { settings } = context;
  const steps = set.of === 'steps' || feet < 2 * stepLimits.least;
  if (!outside(steps ? feet : feet / 2, stepLimits)) return null;
  const note = (value: Partial<SettingSaid<'pace'>>): Note => ({
    kind: 'setting',
    set: { what: 'pace', length: set.length, ...(set.whose ? { whose: set.whose } : {}), ...value },
  });
  const meant: Note[] = [];
  if (steps && feet > stepLimits.most && !outside(feet / 2, stepLimits)) meant.push(note({}));
  if (!steps && !outside(feet / 4, stepLimits))
    meant.push(note({ length: { ...set.length, value: Math.round(set.length.value * 50) / 100 } }));
  const what = steps ? 'step' : 'pace of two steps';
  const odd = `${wording.sentence(wording.length(feet, unitsOf(set.length, settings.units)))} is ${feet / (steps ? 1 : 2) > stepLimits.most ? 'long' : 'short'} for a ${what}.`;
  return doubted(context, { kind: 'setting', set }, odd, meant);
}

/** A walk whose paces come out so; null where they may be. */
export function oddWalk(
  context: Context,
  set: SettingSaid<'walk'> & { readonly length: Length },
  each: number,
): Outcome | null {
  const step = set.of === 'steps' ? each : each / 2;
  if (!outside(step, stepLimits)) return null;
  const length = wording.length(each, unitsOf(set.length, context.settings.units));
  const what = set.of === 'steps' ? 'step' : 'pace of two steps';
  const odd = `That is ${length} each, ${step > stepLimits.most ? 'long' : 'short'} for a ${what}.`;
  return doubted(context, { kind: 'setting', set }, odd);
}

export function oddEye(context: Context, set: SettingSaid<'eye'>, feet: number): Outcome | null {
  if (!outside(feet, eyeLimits)) return null;
  const odd = `${wording.sentence(wording.length(feet, unitsOf(set.length, context.settings.units)))} is ${feet > eyeLimits.most ? 'high' : 'low'} for an eye.`;
  return doubted(context, { kind: 'setting', set }, odd);
}

/** Plots as they are laid out: a whole number of acres was perhaps a part of one. */
const partsOfAcre = new Set([2, 4, 5, 8, 10, 20, 25, 40, 50, 100]);

/** "Fifty acres": a fiftieth, or, where the words sound alike, a fifth. */
function partsMeant(acres: number): readonly number[] {
  const parts = [acres, ...(acres >= 20 && acres % 10 === 0 ? [acres / 10] : [])];
  return parts.filter((part) => partsOfAcre.has(part)).map((part) => 1 / part);
}

/** The size of a plot that is none; `stand`: acres of the stand that it lies in. Null where it may be. */
export function oddPlot(
  context: Context,
  note: NoteOf<'plot'>,
  size: PlotSize,
  stand: number | null,
): Outcome | null {
  const { units } = context.settings;
  if (size.by === 'factor') return oddFactor(context, note, size);
  const design = designOf(size);
  if (design.kind !== 'fixed') return null;
  const tooMuch = stand !== null && design.acres > stand;
  if (!outside(design.acres, plotLimits) && !tooMuch) return null;
  const area = wording.sentence(wording.plotSize({ size }, units));
  const odd = tooMuch
    ? `${area} is more than the stand's ${wording.area(stand, units)}.`
    : `${area} is ${design.acres > plotLimits.most ? 'large' : 'small'} for a plot.`;
  const said = size.by === 'area' && (size.unit ?? 'acre') === 'acre' ? size.value : null;
  const meant = (said === null ? [] : partsMeant(said)).map(
    (value): Note => ({ ...note, size: { by: 'area', value, unit: 'acre' } }),
  );
  return doubted(context, note, odd, meant);
}

function oddFactor(
  context: Context,
  note: NoteOf<'plot'>,
  size: Extract<PlotSize, { by: 'factor' }>,
): Outcome | null {
  const limits = factorLimits[size.unit ?? 'ft2/acre'];
  if (!outside(size.value, limits)) return null;
  const unit = size.unit === 'm2/ha' ? 'square metres a hectare' : 'square feet an acre';
  const odd = `A factor of ${wording.digits(size.value, 2)} ${unit} is ${size.value > limits.most ? 'large' : 'small'}.`;
  const tenth = size.value / 10;
  const meant: Note[] = [];
  if (size.unit === 'm2/ha' && !outside(size.value, factorLimits['ft2/acre']) && size.value >= 5)
    meant.push({ ...note, size: { ...size, unit: 'ft2/acre' } });
  else if (Number.isInteger(tenth) && !outside(tenth, limits))
    meant.push({ ...note, size: { ...size, value: tenth } });
  return doubted(context, note, odd, meant);
}

/** A part of a stand that is larger than the stand; null where it fits. */
export function oddStratum(
  context: Context,
  note: NoteOf<'stratum'>,
  stand: { readonly name: string; readonly acres: number | null } | null,
): Outcome | null {
  const { units } = context.settings;
  if (stand?.acres == null || note.area === undefined) return null;
  const acres = areaToAcres(note.area, units);
  if (acres <= stand.acres * 1.01) return null;
  const odd = `${wording.sentence(wording.area(acres, units))} is more than the ${wording.area(stand.acres, units)} of ${wording.placeName(stand.name)}.`;
  return doubted(context, note, odd);
}
