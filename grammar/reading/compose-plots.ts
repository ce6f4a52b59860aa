/** Plots put together from their words and numbers: opened, closed, found empty, taken up again, sized. */
import type { Note } from '../../shared/note/note.ts';
import type { PlotSizeSaid } from '../../shared/note/quantities.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { hundredthsOf, sizeOf } from './compose-plot-size.ts';
import { countsPlots } from './counted-plots.ts';
import { clausesOf, type Draft, explain, Scan, type Several } from './scan.ts';

const sizeWords: readonly Concept[] = [
  'radius',
  'factor',
  'fixed',
  'plot',
  'each',
  'allOf',
  'guess',
  'rectangle',
  'size',
  'metric',
];

/** The number of a plot: behind a word for one, or alone where something is opened or closed. */
function plotNumber(scan: Scan, size: number | undefined, others: readonly number[]): number | undefined {
  const [named] = scan.of('plot');
  if (named !== undefined) return named;
  const bare = scan
    .of('bare')
    .filter((at) => at !== size && Number.isInteger(scan.number(at).value) && scan.number(at).value < 100)
    .filter((at) => !countsPlots(scan.pieces, at) && !others.includes(at));
  return bare.length === 1 && scan.number(bare[0]!).value > 0 ? bare[0] : undefined;
}

/** Words that close a plot where none is named. */
const closing =
  /^(?:(?:just|then|and|ok|okay|alright|well|right|so|now|let us|i will|i am|we are|all) )*(?:(?:close|end|finish|wrap|shut|pack)(?: (?:it|her|him|this|that|things))?(?: (?:up|out|down|off))?|(?:that is it|that is all|that does it|all|done|finished|complete|wrapping|leaving|picking)(?: (?:it|all|up|of|them|now|we))*)(?: (?:for|on|with|in|at|here|this|one|there|now|then|please|stop|point))*$/;
/** What is told of a plot, as it is drafted. */
interface PlotTold {
  readonly scan: Scan;
  /** Its number, where one was said. */
  readonly number: { readonly number?: number };
  readonly numbered: boolean;
  readonly size: PlotSizeSaid | undefined;
  /** A word for a plot was said. */
  readonly plot: boolean;
  /** "Was", "should be": it is put right. */
  readonly told: boolean;
  /** Nothing stands on it. */
  readonly empty: boolean;
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
  // "Was ten, not fifteen".
  const wrong = scan.numbers.filter((at) => scan.before(at, /^not$/));
  const size = sizeOf(scan, wrong);
  const hundredths = scan.of('radius').flatMap((at) => hundredthsOf(scan, at) ?? []);
  const said = plotNumber(scan, size?.at, hundredths);
  // "Make one plot" is no number of it.
  const counted =
    said !== undefined &&
    scan.number(said).value === 1 &&
    scan.pieces[said + 1]?.concepts.has('plot') === true;
  const ordinal = scan.placesOf(({ is }) => is === 'ordinal');
  // "Nought in sample four": none.
  const none = scan.numbers.filter(
    (at) => scan.number(at).value === 0 && scan.number(at).unit === undefined && scan.has('plot'),
  );
  const places = [
    ...none,
    ...hundredths,
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
    plot: scan.has('plot') || scan.isThisPlot(),
    empty:
      none.length > 0 ||
      (scan.has('empty') &&
        !/\b(?:nothing|none|no trees) (?:but|except|over|under|bigger)\b/.test(scan.text())),
    told: /\b(?:was|should|is|'s)\b/.test(scan.text()) || scan.has('fix'),
    left: scan.numbers.filter((at) => !places.includes(at)),
    draft: (notes, concepts, against = 0, more = []) => ({
      notes: lettered(scan, said, notes),
      used: explain(scan, [...places, ...more], [...concepts, 'plot', 'guess', ...not]),
      against,
    }),
  };
}

/** "Plot A" is the first: what it was called is kept with it. */
function lettered(scan: Scan, said: number | undefined, notes: Several): Several {
  const letter = said === undefined ? undefined : scan.number(said).letter;
  const opens = notes.some((note) => note.kind === 'plot' && (note.op === 'open' || note.op === 'empty'));
  return letter === undefined || !opens ? notes : [...notes, { kind: 'remark', text: `plot ${letter}` }];
}

/** "Same slope as before": the places of these words. */
function sameSlope(scan: Scan): readonly number[] | undefined {
  const at = scan.pieces.findIndex(({ text }) => /^(?:same|same as before)$/.test(text));
  const of = scan.pieces[at + 1]?.text ?? '';
  const before = scan.placesOf(({ text }) => /^(?:before|earlier)$/.test(text));
  return at >= 0 && /^(?:slope|gradient|steepness|incline|grade)$/.test(of)
    ? [at, at + 1, ...before]
    : undefined;
}

/** Its slope, by itself or with its number. */
function slopeDraft({ scan, number, numbered, size, plot, left, draft }: PlotTold): Draft | undefined {
  const same = sameSlope(scan);
  if (same !== undefined && left.length === 0) {
    const concepts: Concept[] = [
      'open',
      'slope',
      'here',
      'again',
      'last',
      'that',
      'one',
      'radius',
      'factor',
      'fixed',
    ];
    const sized = size === undefined ? {} : { size };
    if (numbered && (plot || scan.has('open')))
      return draft([{ kind: 'plot', op: 'open', ...number, ...sized, same: 'slope' }], concepts, 0, same);
    return numbered || size !== undefined
      ? undefined
      : draft([{ kind: 'plot', op: 'slope', same: 'slope' }], concepts, 0, same);
  }
  const [at, ...others] = numbered && plot ? scan.of('slope', 'percent') : scan.of('slope');
  if (at === undefined || others.length > 0 || left.some((one) => one !== at)) return undefined;
  const { value, unit, sign } = scan.number(at);
  const slope = { value: (sign ?? 1) * value, ...(unit === 'deg' || unit === 'pct' ? { unit } : {}) };
  if (!numbered)
    return draft([{ kind: 'plot', op: 'slope', slope }], ['slope', 'here', 'fix', 'to'], 0, [at]);
  if (!plot && !scan.has('open')) return undefined;
  // "Point four was steep": told of one that is there.
  if (/\b(?:was|were)\b/.test(scan.text()) && !scan.has('open'))
    return draft([{ kind: 'plot', op: 'slope', ...number, slope }], ['slope', 'here', 'to', 'guess'], 0, [
      at,
    ]);
  const note: Note = { kind: 'plot', op: 'open', ...number, ...(size === undefined ? {} : { size }), slope };
  return draft([note], ['open', 'slope', 'here', 'to', 'radius', 'factor', 'fixed'], 0, [at]);
}

function sizeDraft(
  { scan, number, numbered, plot, told, draft }: PlotTold,
  size: PlotSizeSaid,
  more: readonly number[],
): Draft | undefined {
  const lowered = /\b(?:go|going|switch|change) (?:down|up|over) to\b|^let us go\b/.test(scan.text())
    ? (['talk', 'base', 'laid', 'top'] as const)
    : [];
  const concepts: Concept[] = [
    ...sizeWords,
    ...lowered,
    'open',
    'nextPlot',
    'next',
    'fix',
    'to',
    'here',
    'in',
    'again',
  ];
  const gauged = size.by === 'factor' && !scan.has('factor');
  const turning = numbered ? [] : scan.placesOf(({ text }) => fromHere.test(text));
  const next = turning.length > 0 || onwards.test(scan.text());
  if (next) concepts.push('reopen');
  const op = (one: 'size' | 'open'): Draft => {
    const from = one === 'size' && next && !scan.isThisPlot() ? { next: true as const } : {};
    const made = draft([{ kind: 'plot', op: one, ...number, size, ...from }], concepts, 0, [
      ...more,
      ...turning,
    ]);
    return gauged ? { ...made, unsure: true } : made;
  };
  const corrects = /\b(?:should|wrong|mistake|really|actually)\b/.test(scan.text());
  const placed = placeBehind(scan);
  if (placed !== undefined && !numbered) {
    const notes: Several = [
      { kind: 'stand', name: placed.name },
      { kind: 'plot', op: 'size', size },
    ];
    return draft(notes, concepts, 0, [...more, ...placed.places]);
  }
  if (numbered) return op((told && !scan.has('open')) || corrects ? 'size' : 'open');
  if (scan.has('close')) return undefined;
  const begun =
    scan.has('nextPlot') || (plot && (scan.has('open') || isNextPlot(scan) || (isPlotHere(scan) && !told)));
  const begins = begun && !corrects;
  return op(begins && !/\bplots\b/.test(scan.text()) ? 'open' : 'size');
}

/** Words with which coming plots are another kind than those before. */
const fromHere = /^(?:switch|switching|switched|swap|swapping|swapped|changing|changing over|remaining)$/;
const onwards =
  /\b(?:back to (?:the |using |fixed )*(?:plots|circles|points|gauge|prism|relascope)|from (?:here|now) on|from here|from now|for the rest|after this|(?:doing|taking|running|using) fixed (?:plots|circles)|the rest of the (?:plots|day))\b/;

/** "Prism point here": it begins where one stands. */
const isPlotHere = (scan: Scan): boolean => /\b(?:plot|point|stop|station|circle) here\b/.test(scan.text());

/** "In Kestrel Spur" behind the size of coming plots: where they are. */
function placeBehind(scan: Scan): { readonly name: string; readonly places: readonly number[] } | undefined {
  const { pieces } = scan;
  let from = pieces.length;
  while (from > 1 && pieces[from - 1]!.capital && pieces[from - 1]!.is === 'words') from--;
  if (from === pieces.length || !/^(?:in|at)$/.test(pieces[from - 1]!.text)) return undefined;
  const places = Array.from({ length: pieces.length - from }, (_, at) => from + at);
  return { name: places.map((at) => pieces[at]!.name ?? pieces[at]!.text).join(' '), places };
}

/** What is done with a plot by words alone. */
function orderDraft(told: PlotTold): Draft | undefined {
  const { scan, number, numbered, plot, draft } = told;
  const named = plot || numbered;
  // "Nothing but small stuff" is not nothing.
  if (scan.has('empty') && !told.empty) return undefined;
  const bare = /\b(?:nil|no|zero|not an?|nought) (?:single )?(?:trees?|stems?)\b/.test(scan.text());
  if (told.empty && (named || bare || scan.has('here')) && !scan.has('close'))
    return draft(
      [{ kind: 'plot', op: 'empty', ...nth(scan), ...number }],
      ['empty', 'here', 'not', 'tree', 'one', 'open', 'has', 'that', 'in', 'allOf', 'no'],
    );
  const again = numbered && scan.has('open') && scan.has('again');
  if ((scan.has('reopen') && named) || again)
    return draft(
      [{ kind: 'plot', op: 'reopen', ...number }],
      ['reopen', 'open', 'again', 'last', 'to', 'next', 'tree', 'one'],
    );
  return openedDraft(told) ?? closedDraft(told) ?? numberedDraft(told);
}

/** "The fourth stop": its number. */
function nth({ pieces }: Scan): { readonly number?: number } {
  const ordinal = pieces.find(({ is }) => is === 'ordinal')?.ordinal;
  return ordinal === undefined ? {} : { number: ordinal };
}

/** "First plot's open", "done here, on to the next one". */
function openedDraft({ scan, numbered, plot, draft }: PlotTold): Draft | undefined {
  const ordinal = scan.pieces.find(({ is }) => is === 'ordinal')?.ordinal;
  if (plot && ordinal !== undefined && !scan.has('close'))
    return draft([{ kind: 'plot', op: 'open', number: ordinal }], ['open', 'here', 'next', 'that', 'off']);
  const next =
    scan.has('nextPlot') ||
    isNextPlot(scan) ||
    (scan.has('open') && scan.has('next') && (plot || scan.has('here', 'one')));
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
    ...(sameAgain.test(scan.text()) ? (['again', 'size', 'radius', 'factor'] as const) : []),
  ]);
}

/** "The following plot", "next peg". */
const isNextPlot = (scan: Scan): boolean =>
  scan.pieces.some(
    ({ concepts }, at) => concepts.has('next') && scan.pieces[at + 1]?.concepts.has('plot') === true,
  );

function closedDraft({ scan, number, numbered, plot, draft }: PlotTold): Draft | undefined {
  if (!scan.has('close') || scan.has('open')) return undefined;
  // "Close it, plot five": the one is closed, the other begun.
  const apart = numbered
    ? scan.pieces.findIndex(({ is }, at) => is === 'break' && at > scan.at('close') && at < scan.numbers[0]!)
    : -1;
  if (apart >= 0) return undefined;
  // "Done with the ten": a gauge.
  const [first] = scan.of('bare');
  if (!plot && numbered && first !== undefined && scan.pieces[first - 1]?.text === 'the') return undefined;
  const named = plot || numbered;
  // "That was close", "that's it for me": said of much else.
  if (!named && (!closing.test(scan.text()) || scan.has('tree'))) return undefined;
  const closed = draft(
    [{ kind: 'plot', op: 'close', ...number }],
    ['close', 'here', 'that', 'allOf', 'one', 'base', 'laid', 'off', 'top', 'to', 'in'],
    named ? 0 : 0.4,
  );
  return named || scan.pieces.length > 1 ? closed : { ...closed, unsure: true };
}

/** "Done here": small words that close a plot all the same. */
export function closesPlot(scan: Scan): boolean {
  const [note] = (/\b(?:here|this|it)\b/.test(scan.text()) && plotDraft(scan)?.notes) || [];
  return note?.kind === 'plot' && note.op === 'close';
}

/** A clause of several that closes the plot with small words: what reads the others must not pass it over. */
export const closesInPassing = (scan: Scan): boolean =>
  scan.has('close') &&
  clausesOf(scan.pieces).some(([from, to], _, all) => {
    const own = scan.pieces.slice(from, to);
    return all.length > 1 && own.every(({ light }) => light) && closesPlot(new Scan(own));
  });

/** "Last one, point eight": which of them it is. */
const lastOfThem =
  /\b(?:last|final)(?: (?:one|plot|point|stop|station))?(?: (?:now|here|today|of them|of the day|for today))*,/;

const opening: readonly Concept[] = [
  'nextPlot',
  'open',
  'here',
  'next',
  'that',
  'off',
  'to',
  'walk',
  'factor',
  'fixed',
  'in',
];
/** "Same gauge": the size is that of the plot before, as it is without a word. */
const sameAgain =
  /\bsame (?:gauge|prism|factor|baf|size|radius|circle|relascope|as (?:before|the last one|last time))\b/;

function numberedDraft({ scan, number, numbered, plot, draft }: PlotTold): Draft | undefined {
  if (!numbered || !(plot || scan.has('open')) || scan.has('close')) return undefined;
  const opened = draft(
    [{ kind: 'plot', op: 'open', ...number }],
    [
      ...opening,
      ...(sameAgain.test(scan.text()) ? (['again', 'size', 'radius'] as const) : []),
      ...(lastOfThem.test(scan.text()) ? (['last', 'one'] as const) : []),
    ],
    plot ? 0 : 0.5,
  );
  // "On to two" opens a plot; "two, start" may open anything.
  return plot || scan.at('open') < scan.numbers[0]! ? opened : { ...opened, unsure: true };
}
