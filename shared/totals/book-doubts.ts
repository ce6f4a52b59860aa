/** Doubts about the book as a whole: what would make its totals wrong, each with the words that mend it. */
import { acresToHectares, type Units } from '../core/units.ts';
import type { PlotSize } from '../note/quantities.ts';
import { designOf } from './plots.ts';
import type { PlotRecord, StandRecord, StratumRecord } from './types.ts';

export interface BookWarning {
  readonly code:
    | 'treesWithoutPlot'
    | 'plotUnknown'
    | 'plotWithoutSize'
    | 'sizeChanged'
    | 'designMixed'
    | 'plotTwice'
    | 'closedTwice'
    | 'emptyWithTrees'
    | 'areasDisagree'
    | 'areaMissing'
    | 'sampledTooMuch'
    | 'stratumWithoutPlots';
  readonly sentence: string;
  /** What to say or do to put it right. */
  readonly mend: string;
  /** Ids of the plots, stands or strata that it is about. */
  readonly about: readonly string[];
}

export interface PlotSeen {
  readonly id: string;
  /** Missing when trees name a plot that was never opened, or was taken back. */
  readonly record: PlotRecord | undefined;
  readonly trees: number;
}

/** A plot that is in the book. */
interface KnownPlot extends PlotSeen {
  readonly record: PlotRecord;
}

const isKnown = (plot: PlotSeen): plot is KnownPlot => plot.record !== undefined;

interface BookSeen {
  readonly plots: readonly PlotSeen[];
  /** Trees that name no plot, by stand. */
  readonly singles: number;
  readonly stands: readonly StandRecord[];
  readonly strata: readonly StratumRecord[];
}

/** Areas that differ by no more than this share are taken to agree. */
const areaTolerance = 0.01;

const list = (numbers: readonly (number | string)[]): string =>
  numbers.length < 2
    ? `${numbers[0] ?? ''}`
    : `${numbers.slice(0, -1).join(', ')} and ${numbers[numbers.length - 1]}`;
const plural = (n: number, one: string, many: string): string => (n === 1 ? `1 ${one}` : `${n} ${many}`);
/** A number of acres, or of hectares, as written: at most two decimals. */
const areaNumber = (acres: number, units: Units): string =>
  `${Math.round((units === 'metres' ? acresToHectares(acres) : acres) * 100) / 100}`;
const areaWord = (units: Units): string => (units === 'metres' ? 'hectares' : 'acres');

/** Two sizes that expand alike are one size: a tenth of an acre by area and by radius, to a thousandth part. */
function sizeKey(size: PlotSize): string {
  const design = designOf(size);
  if (design.kind === 'tally') return 'tally';
  return design.kind === 'fixed'
    ? `area ${design.acres.toPrecision(3)}`
    : `factor ${design.factor.toPrecision(3)}`;
}

/** Sentences are in the units of who asks. */
export function bookWarnings(book: BookSeen, units: Units): BookWarning[] {
  const doubts: BookWarning[] = [];
  const known = book.plots.filter(isKnown);
  if (book.singles > 0 && known.length > 0) {
    doubts.push({
      code: 'treesWithoutPlot',
      sentence: `${plural(book.singles, 'tree stands', 'trees stand')} on no plot and ${book.singles === 1 ? 'is' : 'are'} in no value by area.`,
      mend: 'Say the plot before its trees, or scratch and say them again on their plot.',
      about: [],
    });
  }
  const lost = book.plots.filter((plot) => plot.record === undefined && plot.trees > 0);
  if (lost.length > 0) {
    const trees = lost.reduce((sum, plot) => sum + plot.trees, 0);
    doubts.push({
      code: 'plotUnknown',
      sentence: `${plural(trees, 'tree names', 'trees name')} a plot that is not in the book.`,
      mend: 'Open the plot again, with its size.',
      about: lost.map((plot) => plot.id),
    });
  }
  for (const { id, record } of known) {
    if (record.size === null) {
      doubts.push({
        code: 'plotWithoutSize',
        sentence: `Plot ${record.number} has no size, so its trees are in no value by area.`,
        mend: `Say plot ${record.number} and its size, such as ${units === 'metres' ? 'four hundred square metres or factor two' : 'tenth acre or factor ten'}.`,
        about: [id],
      });
    }
  }
  for (const { id, record, trees } of known) {
    if (record.empty && trees > 0) {
      doubts.push({
        code: 'emptyWithTrees',
        sentence: `Plot ${record.number} was called empty but has ${plural(trees, 'tree', 'trees')}.`,
        mend: 'Scratch the trees, or the word empty.',
        about: [id],
      });
    }
  }
  for (const { id, record } of known) {
    if (record.closedTwice) {
      doubts.push({
        code: 'closedTwice',
        sentence: `Plot ${record.number} was closed twice: trees told in between may stand on another plot.`,
        mend: 'Ask who closed it first where the trees after that stand; scratch the closing that was wrong.',
        about: [id],
      });
    }
  }
  doubts.push(...twice(known), ...sizes(known), ...areas(book, known, units));
  return doubts;
}

function grouped<T>(items: readonly T[], key: (item: T) => string): T[][] {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const group = groups.get(key(item));
    if (group) group.push(item);
    else groups.set(key(item), [item]);
  }
  return [...groups.values()];
}

function twice(known: readonly KnownPlot[]): BookWarning[] {
  // Points of a gauge may begin again at 1 beside plots of a size.
  const kindOf = ({ size }: PlotRecord): string => (size === null ? '' : designOf(size).kind);
  return grouped(known, ({ record }) => `${record.stand ?? ''}\0${record.number}\0${kindOf(record)}`)
    .filter((group) => group.length > 1)
    .map((group) => ({
      code: 'plotTwice',
      sentence: `Plot ${group[0]!.record.number} is in the book ${group.length === 2 ? 'twice' : `${group.length} times`}.`,
      mend: 'Scratch one of them, or give it another number.',
      about: group.map((plot) => plot.id),
    }));
}

function sizes(known: readonly KnownPlot[]): BookWarning[] {
  const doubts: BookWarning[] = [];
  const sized = known.flatMap(({ id, record }) =>
    record.size === null ? [] : [{ id, record, size: record.size }],
  );
  for (const group of grouped(sized, ({ record }) => `${record.stand ?? ''}\0${record.stratum ?? ''}`)) {
    const ordered = [...group].sort(
      (a, b) => a.record.time - b.record.time || a.record.number - b.record.number,
    );
    const kinds = new Set(ordered.map(({ size }) => designOf(size).kind));
    if (kinds.has('tally') && kinds.size > 1) {
      doubts.push({
        code: 'designMixed',
        sentence:
          'One stand has both a full tally and sample plots; the tally is left out of values by area.',
        mend: 'Make the tally a stand or stratum of its own.',
        about: ordered.map((plot) => plot.id),
      });
    }
    const sampled = ordered.filter(({ size }) => size.by !== 'tally');
    const turns = sampled.filter((plot, i) => i > 0 && sizeKey(plot.size) !== sizeKey(sampled[i - 1]!.size));
    if (turns.length > 0) {
      doubts.push({
        code: 'sizeChanged',
        sentence: `The plot size changes half way, at plot ${list(turns.map(({ record }) => record.number))}.`,
        mend: 'If it was a slip, say that plot and its size again; else keep it.',
        about: turns.map((plot) => plot.id),
      });
    }
  }
  return doubts;
}

function areas(book: BookSeen, known: readonly KnownPlot[], units: Units): BookWarning[] {
  const doubts: BookWarning[] = [];
  for (const stand of book.stands) {
    const strata = book.strata.filter((stratum) => stratum.stand === stand.id);
    const sum = strata.reduce((total, stratum) => total + (stratum.acres ?? 0), 0);
    const whole = strata.length > 0 && strata.every((stratum) => stratum.acres !== null);
    const outside = known.some(({ record }) => record.stand === stand.id && record.stratum === null);
    const over = stand.acres !== null && sum > stand.acres * (1 + areaTolerance);
    const under = stand.acres !== null && whole && !outside && sum < stand.acres * (1 - areaTolerance);
    if (stand.acres !== null && (over || under)) {
      doubts.push({
        code: 'areasDisagree',
        sentence: `The strata of ${stand.name} add up to ${areaNumber(sum, units)} ${areaWord(units)}, the stand has ${areaNumber(stand.acres, units)}.`,
        mend: 'Say the area of the stand or of a stratum again.',
        about: [stand.id, ...strata.map((stratum) => stratum.id)],
      });
    }
    const silent = strata.filter((stratum) => stratum.acres === null);
    if (silent.length > 0 && silent.length < strata.length) {
      doubts.push({
        code: 'areaMissing',
        sentence: `${list(silent.map((stratum) => stratum.name))} ${silent.length === 1 ? 'has' : 'have'} no area, so all plots of ${stand.name} count alike.`,
        mend: 'Say the stratum with its area.',
        about: silent.map((stratum) => stratum.id),
      });
    }
    const plotAcres = known.reduce((total, { record }) => {
      const design = record.stand === stand.id && record.size !== null ? designOf(record.size) : null;
      return total + (design?.kind === 'fixed' ? design.acres : 0);
    }, 0);
    if (stand.acres !== null && plotAcres > stand.acres * (1 + areaTolerance)) {
      doubts.push({
        code: 'sampledTooMuch',
        sentence: `The plots of ${stand.name} cover ${areaNumber(plotAcres, units)} ${areaWord(units)}, more than its ${areaNumber(stand.acres, units)}.`,
        mend: 'Check the plot size and the area of the stand.',
        about: [stand.id],
      });
    }
  }
  for (const stratum of book.strata) {
    const used = known.some(({ record }) => record.stratum === stratum.id);
    const others = known.some(
      ({ record }) => record.stand === stratum.stand && record.stratum !== stratum.id,
    );
    if (!used && others) {
      doubts.push({
        code: 'stratumWithoutPlots',
        sentence: `Stratum ${stratum.name} has no plots, so no total speaks for it.`,
        mend: 'Measure a plot there, or scratch the stratum.',
        about: [stratum.id],
      });
    }
  }
  return doubts;
}
