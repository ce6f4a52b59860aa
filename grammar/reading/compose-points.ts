/**
 * Trees that are counted and not measured: so many on a point, by species or not, those on its border, and who counted
 * them.
 */
import type { Note, TreeFacts } from '../../shared/note/note.ts';
import type { PlotSizeSaid } from '../../shared/note/quantities.ts';
import { borderMark } from '../../shared/totals/types.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { sizeOf } from './compose-plot-size.ts';
import { targetOf } from './compose-targets.ts';
import type { SaidPiece } from './pieces.ts';
import { nobody } from './said-shape.ts';
import { type Draft, everyPlace, explain, type Scan, type Several } from './scan.ts';

/** What nobody who only counts speaks of. */
const other: readonly Concept[] = [
  'ask',
  'scratch',
  'restore',
  'remark',
  'log',
  'girth',
  'tall',
  'stick',
  'pace',
  'eye',
  'perAcre',
  'volume',
  'helpAsked',
  'last',
];

const isOther = (scan: Scan): boolean =>
  scan.asked || scan.pieces.some(({ concepts, light }) => !light && other.some((one) => concepts.has(one)));

const isWhole = (scan: Scan, at: number): boolean => {
  const { value, unit, sign, sides } = scan.number(at);
  const bare = (unit === undefined || isIn(scan, at)) && sign === undefined && sides === undefined;
  return bare && Number.isInteger(value) && value > 0 && value < 1000;
};

/** "5 in": inches of a tree, or so many that are in. */
const isIn = (scan: Scan, at: number): boolean =>
  scan.number(at).unit === 'in' && /\bin$/.test(scan.pieces[at]!.text);

/** "Nine in", "eleven trees", "a count of nine", "had six": it says how many. */
function isCounted(scan: Scan, at: number): boolean {
  const behind = scan.pieces[at + 1]?.text ?? '';
  return (
    isIn(scan, at) ||
    /^(?:in|all|trees?|stems?|tallied|counted|hits|tally|total|altogether|count)$/.test(behind) ||
    scan.before(at, /^(?:count|counted|tally|tallied|tallying|got|had|has|with|of)$/)
  );
}

/** A word that says that trees are counted, so that no number is a size. */
const isTallying = (scan: Scan): boolean =>
  /\b(?:tally|tallied|tallying|count|counted|counting|trees|stems|all in)\b/.test(scan.text());

/** The number of the plot that is spoken of. */
export const plotOf = (scan: Scan): number | undefined => {
  const [at, ...others] = scan.of('plot');
  return others.length > 0 ? undefined : at;
};

/** "Jonah did point five": who did it, before the word for it. */
function doneBy(scan: Scan): { readonly name: string; readonly places: readonly number[] } | undefined {
  const at = scan.pieces.findIndex(
    ({ capital, is, concepts, text, light }) =>
      capital && is === 'words' && concepts.size === 0 && !light && !nobody.test(text),
  );
  if (
    at < 0 ||
    !/^(?:did|does|took|ran|shot|finished|has|is|'s|got|counted|tallied|covered|reported)$/.test(
      scan.pieces[at + 1]?.text ?? '',
    )
  )
    return undefined;
  const { name, text } = scan.pieces[at]!;
  return { name: name ?? text, places: [at, at + 1] };
}

const countWords: readonly Concept[] = [
  'howMany',
  'tree',
  'in',
  'has',
  'here',
  'ofThem',
  'borderline',
  'guess',
  'that',
  'totals',
  'role',
  'open',
  'plot',
  'factor',
  'metric',
  'one',
  'each',
  'fix',
  'no',
  'off',
  'to',
  'unmeasured',
  'next',
  'walk',
  'counted',
  'kin',
];

/** Whether those on the border are counted among the others: "two of them borderline", "four trees, one borderline". */
const isAmong = (scan: Scan, at: number, all: number): boolean =>
  /^(?:of (?:them|those|these|which|em|that)|is|was|are|were|included|among)\b/.test(scan.text(at + 1)) ||
  /\bincluding\b/.test(scan.text(0, at)) ||
  (/^(?:trees?|stems?)$/.test(scan.pieces[all + 1]?.text ?? '') &&
    !/\b(?:and|plus|another|also|more)\b/.test(scan.text(all, at)));

/** How many are on the border, and whether they are among those that were counted. */
interface OnBorder {
  readonly count: number;
  readonly among: boolean;
  readonly places: readonly number[];
}

/** Trees as notes: those that are sure, then those on the border. */
function tallyOf(count: number, border: OnBorder | undefined): Note[] {
  const sure = border?.among === true ? count - border.count : count;
  const tree = (facts: TreeFacts): Note => ({ kind: 'tree', facts });
  return [
    ...(sure > 0 ? [tree({ count: sure })] : []),
    ...(border === undefined ? [] : [tree({ count: border.count, marks: [borderMark] })]),
  ];
}

export const several = (notes: readonly Note[]): Several | undefined => {
  const [first, ...others] = notes;
  return first === undefined ? undefined : [first, ...others];
};

/** A plot as a count names it: by its number, its turn, or as the next one. */
interface PlotNamed {
  readonly number?: number;
  readonly places: readonly number[];
}

function plotNamed(scan: Scan): PlotNamed | undefined {
  const at = plotOf(scan);
  if (at !== undefined) return { number: scan.number(at).value, places: [at] };
  const nth = scan.pieces.findIndex(
    ({ is }, to) => is === 'ordinal' && scan.pieces[to + 1]?.concepts.has('plot') === true,
  );
  if (nth >= 0) return { number: scan.pieces[nth]!.ordinal ?? 1, places: [nth, nth + 1] };
  return scan.has('nextPlot') ? { places: [scan.at('nextPlot')] } : undefined;
}

/** What a stretch tells of a count. */
interface Counted {
  readonly at: number;
  readonly border: OnBorder | undefined;
  readonly plot: PlotNamed | undefined;
  readonly gauge: { readonly size: PlotSizeSaid; readonly at: number } | undefined;
  readonly by: ReturnType<typeof doneBy>;
  /** "Was six": it is put right. */
  readonly corrects: boolean;
}

function countedOf(scan: Scan): Counted | undefined {
  const plot = plotNamed(scan);
  const size = scan.has('factor') ? sizeOf(scan, []) : undefined;
  const gauge = size?.size.by === 'factor' ? size : undefined;
  const told = numbersTold(scan, plot?.places[0], gauge?.at);
  if (told === undefined) return undefined;
  const corrects =
    plot?.number !== undefined &&
    /\b(?:was|were|is|should|really|actually)\b/.test(scan.text(plot.places[0], told.at));
  return { ...told, plot, gauge, by: doneBy(scan), corrects };
}

/** What a count rests on; undefined where its number may be anything else. `unsure`: it stands there bare. */
function saysCount(
  scan: Scan,
  { at, border, plot, gauge, by, corrects }: Counted,
): 'sure' | 'unsure' | undefined {
  const opens = plot !== undefined || gauge !== undefined;
  const yes = (is: boolean): 'sure' | undefined => (is ? 'sure' : undefined);
  if (by !== undefined) return yes(opens);
  if (border !== undefined) {
    const alone = border.places.includes(at);
    return yes(!alone || opens || isTallied(scan, at) || isOnlyBorder(scan, at));
  }
  if (!opens) return yes(isTallied(scan, at));
  if (corrects || isCounted(scan, at) || isTallying(scan)) return 'sure';
  // "Stop three, four".
  const bare = scan.pieces[at - 1]?.is === 'break' && at === scan.pieces.length - 1;
  return plot?.number !== undefined && bare ? 'unsure' : undefined;
}

/** "Point one, six in", "point four was six", "eleven trees", "Jonah did point five and got 7". */
export function countDraft(scan: Scan): Draft | undefined {
  if (scan.species.length > 0 || isOther(scan) || scan.has('dead', 'cull', 'not')) return undefined;
  const counted = countedOf(scan);
  const said = counted && saysCount(scan, counted);
  if (counted === undefined || said === undefined) return undefined;
  const { at, border, plot, gauge, by, corrects } = counted;
  const { value: count } = scan.number(at);
  const number = plot?.number === undefined ? {} : { number: plot.number };
  const some = scan.numbers.filter((one) => isOneOfSome(scan, one));
  const more = [plot?.places, border?.places, gauge?.at, by?.places]
    .flat()
    .filter((one) => one !== undefined);
  const draft = (notes: readonly Note[]): Draft | undefined => {
    const [first, ...others] = notes;
    return (
      first && {
        notes: [first, ...others],
        used: explain(scan, [at, ...some, ...more], [...countWords, 'distance']),
        against: 0,
        ...(said === 'unsure' ? { unsure: true } : {}),
      }
    );
  };
  if (corrects && border === undefined && by === undefined)
    return draft([{ kind: 'plot', op: 'count', ...number, count }]);
  const size = gauge === undefined ? {} : { size: metricWhereSaid(scan, gauge.size) };
  const name = by === undefined ? {} : { by: by.name };
  const open: Note = { kind: 'plot', op: 'open', ...number, ...size, ...name };
  const trees = tallyOf(count, border);
  return draft(plot === undefined && gauge === undefined ? trees : [open, ...trees]);
}

/** "With the metric relascope, factor two". */
const metricWhereSaid = (scan: Scan, size: PlotSizeSaid): PlotSizeSaid =>
  size.by === 'factor' && scan.has('metric') ? { ...size, unit: 'm2/ha' } : size;

/** "Jonah did point five": begun by somebody else, with what they found told later. */
export function doneByDraft(scan: Scan): Draft | undefined {
  const plot = plotOf(scan);
  const by = doneBy(scan);
  if (by === undefined || plot === undefined || scan.numbers.length > 1 || scan.species.length > 0)
    return undefined;
  if (isOther(scan)) return undefined;
  const open: Note = { kind: 'plot', op: 'open', number: scan.number(plot).value, by: by.name };
  return { notes: [open], used: explain(scan, [plot, ...by.places], countWords), against: 0 };
}

/** The count, and how many of them are on the border; undefined where other numbers stand there too. */
function numbersTold(
  scan: Scan,
  plot: number | undefined,
  factor: number | undefined,
): { readonly at: number; readonly border: OnBorder | undefined } | undefined {
  const free = scan.numbers.filter((at) => at !== plot && at !== factor && !isOneOfSome(scan, at));
  const words = fewOnBorder(scan);
  const isOnBorder = (at: number): boolean => {
    const end = scan.pieces.findIndex(({ is }, to) => to > at && is === 'number');
    return words === undefined && borderWords.test(scan.text(at + 1, end < 0 ? scan.pieces.length : end));
  };
  const border = free.find(isOnBorder);
  if (free.some((one) => !isWhole(scan, one))) return undefined;
  const [at, ...others] = free.filter((one) => one !== border);
  // "Two borderline": all of them are.
  if (at === undefined)
    return border === undefined
      ? undefined
      : { at: border, border: { count: scan.number(border).value, among: true, places: [border] } };
  if (others.length > 0) return undefined;
  const found =
    words ??
    (border === undefined
      ? undefined
      : { count: scan.number(border).value, among: isAmong(scan, border, at), places: [border] });
  return found !== undefined && found.count > scan.number(at).value ? undefined : { at, border: found };
}

/** "One is borderline", "a couple on the line": a few without a figure. */
function fewOnBorder(scan: Scan): OnBorder | undefined {
  const at = scan.pieces.findLastIndex(
    ({ is, text }) => is === 'words' && /^(?:one|a couple|couple|a pair|pair)$/.test(text),
  );
  if (at < 0 || !borderWords.test(scan.text(at + 1))) return undefined;
  return { count: scan.pieces[at]!.text === 'one' ? 1 : 2, among: true, places: [at] };
}

/** "Did one with the relascope": it counts no trees. */
const isOneOfSome = (scan: Scan, at: number): boolean =>
  scan.pieces[at]!.text === 'one' && /^(?:did|done)$/.test(scan.pieces[at - 1]?.text ?? '');

const borderWords =
  /\b(?:borderlines?|(?:on|at|near) the (?:line|edge|border|boundary)|questionable|doubtful|iffy|marginal|undecided)\b/;

/** Without a plot beside it a count needs a word for trees and nothing else: "eleven trees", "count 9", "six all in". */
const isTallied = (scan: Scan, at: number): boolean =>
  isTallying(scan) &&
  onlyBeside(
    scan,
    at,
    ({ text, concepts }) =>
      concepts.has('in') ||
      concepts.has('here') ||
      /^(?:trees?|stems?|tally|tallied|tallying|count|counted|counting|all|no|all in|got)$/.test(text),
  );

/** Whether beside a piece stands nothing but light words and what is allowed. */
const onlyBeside = (scan: Scan, at: number, allows: (piece: SaidPiece) => boolean): boolean =>
  scan.pieces.every((piece, to) => to === at || piece.is === 'break' || piece.light || allows(piece));

/** More trees on the border than anybody counts together are a size. */
const mostOnBorder = 12;

/** "Two borderline", "another three on the line", and nothing else. */
const isOnlyBorder = (scan: Scan, at: number): boolean =>
  onlyBeside(
    scan,
    at,
    ({ concepts, text }) =>
      concepts.has('borderline') ||
      concepts.has('ofThem') ||
      borderWords.test(`on the ${text}`) ||
      /^(?:another|more|trees?|stems?|borderlines?|tally|tallied|count|counted)$/.test(text),
  ) &&
  // "A twenty seven on the edge" is one tree of that size.
  scan.number(at).value <= mostOnBorder &&
  !scan.before(at, /^(?:an?|the|that|this)$/);

/** A name and how many of it: "four pine three oak one hickory", after "count" also "pine 7, fir 3". */
export function speciesCountDraft(scan: Scan): Draft | undefined {
  if (scan.species.length < 2 || isOther(scan) || scan.has('not', 'fix', 'no')) return undefined;
  const plot = plotOf(scan);
  const told = scan.pieces
    .map((piece, at) => ({ piece, at }))
    .filter(({ piece, at }) => (piece.is === 'number' && at !== plot) || piece.is === 'species');
  const counting = /^(?:(?:the|a|my) )*(?:count|counts|tally|counted|tallied)\b/.test(scan.text());
  const first = told[0]?.piece.is;
  // "Pine 12, oak 10" are sizes unless somebody counts.
  if (first === 'species' && !counting) return undefined;
  const trees: Note[] = [];
  for (let at = 0; at < told.length; at += 2) {
    const pair = counting && first === 'species' && told[at]?.piece.is === 'number' ? 'number' : first;
    const [one, two] = [told[at], told[at + 1]];
    const [number, name] = pair === 'number' ? [one, two] : [two, one];
    if (number?.piece.is !== 'number' || name?.piece.is !== 'species') return undefined;
    if (!isWhole(scan, number.at) || scan.number(number.at).value > 60) return undefined;
    if (pair === 'number' && !touches(scan, number.at, name.at)) return undefined;
    trees.push(counted(scan, { number: number.at, name: name.at, next: told[at + 2]?.at }));
  }
  const listed = scan.numbers.length - (plot === undefined ? 0 : 1) === trees.length;
  const notes = several([
    ...(plot === undefined ? [] : [{ kind: 'plot', op: 'open', number: scan.number(plot).value } as const]),
    ...trees,
  ]);
  if (notes === undefined || !listed || trees.length > 7) return undefined;
  const all = [...told.map(({ at }) => at), ...(plot === undefined ? [] : [plot])];
  return { notes, used: explain(scan, [...all, ...borderPlaces(scan)], countWords), against: 0 };
}

/** Between a number and the name behind it only small words stand. */
const touches = (scan: Scan, number: number, name: number): boolean =>
  scan.pieces.slice(number + 1, name).every(({ is, light }) => is === 'words' && light);

function counted(
  scan: Scan,
  {
    number,
    name,
    next,
  }: { readonly number: number; readonly name: number; readonly next: number | undefined },
): Note {
  const { value } = scan.number(number);
  const behind = scan.text(Math.max(number, name) + 1, next ?? scan.pieces.length);
  return {
    kind: 'tree',
    facts: {
      species: scan.name(name),
      ...(value > 1 ? { count: value } : {}),
      ...(borderWords.test(behind) ? { marks: [borderMark] } : {}),
    },
  };
}

/** The words that put a tree on the border. */
const borderPlaces = (scan: Scan): number[] =>
  scan.placesOf(
    ({ text, is }) =>
      is === 'words' && /^(?:border|boundary|edge|line|borderlines?|questionable|iffy|marginal)$/.test(text),
  );

const bordersAre =
  /^(?:(?:ok|okay|so|and|now|right|please|let us|we|i|you|can|will|should|all|the|any|every|just|also) )*(?:count|treat|take|call|make|keep|score|tally|put|record)?(?: (?:down|all|the|any|those|my|our|your|each|every|anything|everything|what is))* ?(?:half )?(?:the |each |every |any )?(?:borderlines?|border|edge|line|marginal|doubtful|questionable|iffy|undecided|uncertain|unsure)(?: (?:ones?|trees?|stems?|hits))* ?(?:count|counts|are|is|be|go|goes|get|gets|should|will|to|only|counted|taken|as|for|a|at)*(?: (?:counted|taken|as|for|a|an|one|be|only|at|count|all))* ?(half|halves|in|out|whole|full)(?: (?:a|each|tree|trees|apiece|one|please|then|ones))*$/;

/** "Count borderlines as half", "border ones count as half". */
export function bordersDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.species.length > 0) return undefined;
  const plot = plotOf(scan);
  const numbers = scan.numbers.filter((at) => at !== plot);
  if (numbers.some((at) => scan.number(at).value !== 0.5)) return undefined;
  const found = bordersAre.exec(scan.text().replaceAll(',', ''))?.[1];
  if (found === undefined) return undefined;
  const border = /^hal/.test(found) ? 'half' : found === 'out' ? 'out' : 'in';
  return { notes: [{ kind: 'plot', op: 'borders', border }], used: everyPlace(scan), against: -0.1 };
}

/** "The ten inch oak's right on the line, keep it in": a tree that is there, and how it is counted. */
export function onBorderDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.has('ask', 'scratch', 'restore', 'not', 'plot')) return undefined;
  const target = targetOf(scan);
  const where = borderWords.exec(scan.text())?.[0];
  if (target?.which === undefined || where === undefined) return undefined;
  if (scan.numbers.some((at) => !target.used.includes(at) && scan.number(at).value !== 0.5)) return undefined;
  const behind = scan.text().slice(scan.text().indexOf(where) + where.length);
  const [, how] = /\b(in|half|out)\b[^a-z]*$/.exec(behind) ?? [];
  const hand: Note = { kind: 'hand', which: target.which };
  const border = how === 'in' || how === 'out' || how === 'half' ? how : undefined;
  const notes: Several =
    border === undefined
      ? [hand, { kind: 'tree', facts: { marks: [borderMark] } }]
      : [hand, { kind: 'tree', facts: { border } }, { kind: 'remark', text: where }];
  const concepts: Concept[] = [
    'borderline',
    'in',
    'out',
    'that',
    'one',
    'howMany',
    'to',
    'guess',
    'here',
    'tree',
  ];
  return {
    notes,
    used: explain(scan, [...target.used, ...scan.numbers, ...borderPlaces(scan)], concepts),
    // Before a mark alone: how it is counted is said, too.
    against: border === undefined ? 0.1 : -0.3,
  };
}

/** "White oak 14 borderline, count half": a tree that begins, as half of one. */
export function halfDraft(scan: Scan): Draft | undefined {
  const [name, ...others] = scan.species;
  if (name === undefined || others.length > 0 || isOther(scan) || scan.has('plot', 'not')) return undefined;
  const text = scan.text().replaceAll(',', '');
  const half = new RegExp(
    `${borderWords.source} (?:so |and )?(?:count|counts|counted|take)(?: it)?(?: as)?(?: a)? half$`,
  );
  if (!half.test(text) || scan.before(name, /^(?:the|that|this|those)$/)) return undefined;
  const [at, ...more] = scan.numbers.filter((one) => scan.number(one).value !== 0.5);
  if (more.length > 0 || (at !== undefined && !/^(?:diameter|bare)$/.test(scan.label(at)))) return undefined;
  const said = at === undefined ? undefined : scan.number(at);
  const unit = said?.unit === 'in' || said?.unit === 'cm' ? { unit: said.unit } : {};
  const facts: TreeFacts = {
    species: scan.name(name),
    ...(said === undefined ? {} : { diameter: { value: said.value, ...unit } }),
    border: 'half',
  };
  return { notes: [{ kind: 'tree', facts }], used: everyPlace(scan), against: -0.2 };
}
