/** Plots put together from their words and numbers: opened, closed, found empty, taken up again, sized. */
import type { Note } from '../../shared/note/note.ts';
import type { PlotSize } from '../../shared/note/quantities.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { type Draft, explain, plainLength, type Scan, type Several } from './scan.ts';

const sizeWords: readonly Concept[] = ['radius', 'factor', 'fixed', 'plot', 'each', 'allOf', 'guess'];

/** The size that a stretch tells, and the numbers that tell it. */
function sizeOf(scan: Scan): { size: PlotSize; at: number } | undefined {
  const [area] = scan.of('area');
  if (area !== undefined) {
    const { value, unit } = scan.number(area);
    if (unit === 'acre' || unit === 'ha' || unit === 'm2')
      return { size: { by: 'area', value, unit }, at: area };
  }
  const [radius] = scan.of('radius');
  if (radius !== undefined)
    return { size: { by: 'radius', length: plainLength(scan.number(radius)) }, at: radius };
  const [factor] = scan.of('factor');
  if (factor !== undefined) return { size: { by: 'factor', value: scan.number(factor).value }, at: factor };
  return undefined;
}

/** The number of a plot: behind a word for one, or alone where something is opened or closed. */
function plotNumber(scan: Scan): number | undefined {
  const [named] = scan.of('plot');
  if (named !== undefined) return named;
  const bare = scan
    .of('bare')
    .filter((at) => Number.isInteger(scan.number(at).value) && scan.number(at).value < 100);
  return bare.length === 1 ? bare[0] : undefined;
}

/** Words that close a plot where none is named. */
const closing =
  /^(?:(?:just|then|and|ok|okay|right|so|now|let us|i will|i am|we are|all) )*(?:(?:close|end|finish|wrap|shut|pack)(?: (?:it|her|him|this|that|things))?(?: (?:up|out|down|off))?|(?:that is it|that is all|that does it|all|done|finished|complete|wrapping|leaving|picking)(?: (?:it|all|up|of|them|now|we))*)(?: (?:for|on|with|in|at|here|this|one|there|now|then|please|stop|point))*$/;
/** What is told of a plot, as it is drafted. */
interface PlotTold {
  readonly scan: Scan;
  /** Its number, where one was said. */
  readonly number: { readonly number?: number };
  readonly numbered: boolean;
  readonly size: PlotSize | undefined;
  /** A word for a plot was said. */
  readonly plot: boolean;
  /** "Was", "should be": it is put right. */
  readonly told: boolean;
  /** Numbers that have no place yet. */
  readonly left: readonly number[];
  draft(notes: Several, concepts: readonly Concept[], against?: number, more?: readonly number[]): Draft;
}

/** Plots opened, closed, found empty, taken up again, sized. */
export function plotDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.has('ask', 'scratch', 'restore', 'remark') || scan.species.length > 0)
    return undefined;
  const told = plotTold(scan);
  const sloped = slopeDraft(told);
  if (sloped !== undefined) return sloped;
  const [again, ...others] = told.left;
  // The radius of an area says the same again.
  const repeats =
    told.size?.by === 'area' && again !== undefined && others.length === 0 && scan.label(again) === 'radius';
  if (again !== undefined && !repeats) return undefined;
  if (told.size !== undefined) return sizeDraft(told, told.size, repeats ? told.left : []);
  return orderDraft(told);
}

function plotTold(scan: Scan): PlotTold {
  const size = sizeOf(scan);
  const said = plotNumber(scan);
  // "Make one plot" is no number of it.
  const counted =
    said !== undefined &&
    scan.number(said).value === 1 &&
    scan.pieces[said + 1]?.concepts.has('plot') === true;
  // "Was ten, not fifteen".
  const wrong = scan.numbers.filter((at) => scan.before(at, /^not$/));
  const ordinal = scan.placesOf(({ is }) => is === 'ordinal');
  const places = [
    ...wrong,
    ...ordinal,
    ...(said === undefined ? [] : [said]),
    ...(size === undefined ? [] : [size.at]),
  ];
  const not: readonly Concept[] = wrong.length > 0 ? ['not'] : [];
  const numbered = said !== undefined && !counted;
  return {
    scan,
    number: numbered ? { number: scan.number(said).value } : {},
    numbered,
    size: size?.size,
    plot: scan.has('plot'),
    told: /\b(?:was|should|is|'s)\b/.test(scan.text()) || scan.has('fix'),
    left: scan.numbers.filter((at) => !places.includes(at)),
    draft: (notes, concepts, against = 0, more = []) => ({
      notes,
      used: explain(scan, [...places, ...more], [...concepts, 'plot', 'guess', ...not]),
      against,
    }),
  };
}

/** Its slope, by itself or with its number. */
function slopeDraft({ scan, number, numbered, size, plot, left, draft }: PlotTold): Draft | undefined {
  const [at, ...others] = numbered && plot ? scan.of('slope', 'percent') : scan.of('slope');
  if (at === undefined || others.length > 0 || left.some((one) => one !== at)) return undefined;
  const { value, unit, sign } = scan.number(at);
  const slope = { value: (sign ?? 1) * value, ...(unit === 'deg' || unit === 'pct' ? { unit } : {}) };
  if (!numbered)
    return draft([{ kind: 'plot', op: 'slope', slope }], ['slope', 'here', 'fix', 'to'], 0, [at]);
  if (!plot && !scan.has('open')) return undefined;
  const note: Note = { kind: 'plot', op: 'open', ...number, ...(size === undefined ? {} : { size }), slope };
  return draft([note], ['open', 'slope', 'here', 'to', 'radius', 'factor', 'fixed'], 0, [at]);
}

function sizeDraft(
  { scan, number, numbered, plot, told, draft }: PlotTold,
  size: PlotSize,
  more: readonly number[],
): Draft | undefined {
  const concepts: Concept[] = [...sizeWords, 'open', 'nextPlot', 'next', 'fix', 'to', 'here'];
  const op = (one: 'size' | 'open'): Draft =>
    draft([{ kind: 'plot', op: one, ...number, size }], concepts, 0, more);
  if (numbered) return op(told && !scan.has('open') ? 'size' : 'open');
  if (scan.has('close')) return undefined;
  return op(scan.has('open', 'nextPlot') && plot && !/\bplots\b/.test(scan.text()) ? 'open' : 'size');
}

/** What is done with a plot by words alone. */
function orderDraft(told: PlotTold): Draft | undefined {
  const { scan, number, numbered, plot, draft } = told;
  const named = plot || numbered;
  if (scan.has('empty') && (named || scan.has('here')) && !scan.has('close'))
    return draft(
      [{ kind: 'plot', op: 'empty', ...number }],
      ['empty', 'here', 'not', 'tree', 'one', 'open', 'has', 'that'],
    );
  if (scan.has('reopen') && named)
    return draft([{ kind: 'plot', op: 'reopen', ...number }], ['reopen', 'open', 'again', 'last', 'to']);
  return openedDraft(told) ?? closedDraft(told) ?? numberedDraft(told);
}

/** "First plot's open", "done here, on to the next one". */
function openedDraft({ scan, numbered, plot, draft }: PlotTold): Draft | undefined {
  const ordinal = scan.pieces.find(({ is }) => is === 'ordinal')?.ordinal;
  if (plot && ordinal !== undefined && !scan.has('close'))
    return draft([{ kind: 'plot', op: 'open', number: ordinal }], ['open', 'here', 'next', 'that', 'off']);
  const next =
    scan.has('nextPlot') || (scan.has('open') && scan.has('next') && (plot || scan.has('here', 'one')));
  if (!next || numbered) return undefined;
  const open: Note = { kind: 'plot', op: 'open' };
  return draft(scan.has('close') ? [{ kind: 'plot', op: 'close' }, open] : [open], [
    'nextPlot',
    'next',
    'open',
    'close',
    'here',
    'one',
    'that',
    'off',
    'walk',
  ]);
}

function closedDraft({ scan, number, numbered, plot, draft }: PlotTold): Draft | undefined {
  if (!scan.has('close') || scan.has('open')) return undefined;
  const named = plot || numbered;
  // "That was close", "that's it for me": said of much else.
  if (!named && (!closing.test(scan.text()) || scan.has('tree'))) return undefined;
  const closed = draft(
    [{ kind: 'plot', op: 'close', ...number }],
    ['close', 'here', 'that', 'allOf', 'one', 'base', 'laid', 'off', 'top', 'to'],
    named ? 0 : 0.4,
  );
  return named || scan.pieces.length > 1 ? closed : { ...closed, unsure: true };
}

function numberedDraft({ scan, number, numbered, plot, draft }: PlotTold): Draft | undefined {
  if (!numbered || !(plot || scan.has('open'))) return undefined;
  const opened = draft(
    [{ kind: 'plot', op: 'open', ...number }],
    ['open', 'here', 'next', 'that', 'off', 'to', 'walk'],
    plot ? 0 : 0.5,
  );
  // "On to two" opens a plot; "two, start" may open anything.
  return plot || scan.at('open') < scan.numbers[0]! ? opened : { ...opened, unsure: true };
}
