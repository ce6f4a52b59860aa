/** Totals aloud: by species, plot, stratum, day, person; what was left out and every table named goes to the page. */

import type { Tree } from '../book/book.ts';
import { meanHeight } from '../book/mean-height.ts';
import { totalsOf } from '../book/totals-of.ts';
import { dayNumber } from '../core/moment.ts';
import { required } from '../core/required.ts';
import { hectaresPerAcre, type Units } from '../core/units.ts';
import { type LogRule, logRules, usualLogRule } from '../note/log-rules.ts';
import type { NoteOf } from '../note/note.ts';
import type { QuestionTopic } from '../note/question-topics.ts';
import { designOf } from '../totals/plots.ts';
import type { TotalsQuantity } from '../totals/provenance.ts';
import { confidenceLimits } from '../totals/sampling-frame.ts';
import type { Totals } from '../totals/totals.ts';
import {
  type Estimate,
  type PlotRecord,
  speciesKey,
  type TotalsScope,
  type TreeRecord,
} from '../totals/types.ts';
import { shownAs } from '../wording/display-units.ts';
import * as wording from '../wording/wording.ts';
import { scopeOf, speciesKeysOf } from './asked-scope.ts';
import { nearCount, shortByPlot, shortByStand } from './book-asked.ts';
import { brokenDown, partsOf } from './broken-down.ts';
import { lastVolumes } from './last-volumes.ts';
import { type Context, type Outcome, refused, said } from './outcome.ts';
import { seriesInShort } from './plots-asked.ts';
import { sharesAnswer, wholeNames } from './shares.ts';
import { listTrees, toldBySize } from './tree-lookups.ts';

type Ask = NoteOf<'ask'>;

/** Value and unit as they are said, in the book's units. */
function amount(estimate: Estimate, metric: boolean): (value: number) => string {
  const { unit } = estimate;
  if (unit === 'trees') return (value) => wording.treeCount(value);
  if (unit === 'plots') return wording.plotCount;
  const { factor, words } = shownAs(unit, metric);
  if (unit === 'ft' || unit === 'in') return (value) => `${wording.digits(value * factor, 1)} ${words}`;
  return (value) => `${wording.rounded(value * factor, halfInterval(estimate, factor))} ${words}`;
}

/** The number without its unit. */
const amountAlone = (estimate: Estimate, metric: boolean): string => {
  const { factor } = shownAs(estimate.unit, metric);
  return wording.rounded((estimate.value ?? 0) * factor, halfInterval(estimate, factor));
};

/** Half of the interval of an estimate as it is shown; null while it cannot be known, 0 where all was measured. */
function halfInterval({ value, se, samplingErrorPct }: Estimate, factor: number): number | null {
  if (se === null || value === null) return null;
  return samplingErrorPct === null ? 0 : (Math.abs(value) * factor * samplingErrorPct) / 100;
}

/** A nought that only says that no tree has what the value needs. */
const isOfNothing = ({ value, trees, leftOut, unit }: Estimate): boolean =>
  value === 0 && trees === 0 && unit !== 'trees' && unit !== 'plots' && leftOut.length > 0;

/** Number, unit, plus or minus; the longer story goes to the page. */
function sayEstimate(
  estimate: Estimate,
  metric: boolean,
  tail = '',
  say = amount(estimate, metric),
): { text: string; detail: string } {
  const detail = [
    ...estimate.leftOut,
    ...estimate.assumed,
    ...estimate.sources.map((source) => `Source: ${source}`),
  ].join('\n');
  if (estimate.value === null || isOfNothing(estimate))
    return { text: estimate.leftOut.join(' ') || 'Nothing to go by yet.', detail };
  const parts = [wording.sentence(say(estimate.value)) + tail];
  if (estimate.se !== null && estimate.se > 0 && estimate.samplingErrorPct !== null) {
    parts.push(errorPercent(estimate.samplingErrorPct));
  }
  const short = estimate.leftOut[0] ? ` ${estimate.leftOut[0]}` : '';
  return { text: `${parts.join(', ')}.${short}`, detail };
}

/** The log rule of a question about volume; null: cubic metres of whole stems, for who is metric and named no rule. */
type AskedRule = LogRule | null;

function ruleOf({ settings }: Context, { rule }: Ask, metric: boolean): AskedRule {
  return rule ?? settings.logRule ?? (metric ? null : usualLogRule);
}

const isMetric = ({ settings }: Context, { units }: Ask): boolean =>
  units === 'metres' || settings.units === 'metres';

/** How a topic of totals is computed, and whether its values add up over parts. */
interface TotalsTopicRow {
  readonly adds: boolean;
  readonly of: (context: Context, scope: TotalsScope, rule: AskedRule) => Estimate;
  /** Behind the number: " by Doyle". */
  readonly tail?: (rule: AskedRule) => string;
}

/**
 * Solid wood in a cord of 128 cubic feet stacked, cubic feet: the rest is air and bark. Common practice, no source;
 * straight round wood holds more, crooked tops less.
 */
const solidFeetInCord = 85;

const solidInCord = (metric: boolean): string => {
  const { factor, words } = shownAs('ft3', metric);
  return `${wording.digits(solidFeetInCord * factor, 1)} ${words}`;
};

const byRule = (rule: AskedRule): string => (rule === null ? '' : ` by ${logRules[rule].name}`);

const totalsTable = {
  trees: { adds: true, of: ({ book }, scope) => totalsOf(book).trees(scope) },
  plots: { adds: true, of: ({ book }, scope) => totalsOf(book).plots(scope) },
  basalArea: { adds: true, of: ({ book }, scope) => totalsOf(book).basalArea(scope) },
  density: { adds: true, of: ({ book }, scope) => totalsOf(book).density(scope) },
  volume: {
    adds: true,
    of: ({ book }, scope, rule) => totalsOf(book).total(rule ?? 'cubic', scope),
    tail: byRule,
  },
  volumePerAcre: {
    adds: true,
    of: ({ book }, scope, rule) => totalsOf(book).perAcre(rule ?? 'cubic', scope),
    tail: byRule,
  },
  cubic: { adds: true, of: ({ book }, scope) => totalsOf(book).perAcre('cubic', scope) },
  cords: { adds: true, of: ({ book }, scope) => totalsOf(book).perAcre('cubic', scope) },
  biomass: { adds: true, of: ({ book }, scope) => totalsOf(book).perAcre('biomass', scope) },
  carbon: { adds: true, of: ({ book }, scope) => totalsOf(book).perAcre('carbon', scope) },
  meanHeight: { adds: false, of: ({ book }, scope) => meanHeight(book, scope) },
  lorey: { adds: false, of: ({ book }, scope) => totalsOf(book).loreyHeight(scope) },
  topHeight: { adds: false, of: ({ book }, scope) => totalsOf(book).topHeight(scope) },
  meanDiameter: { adds: false, of: ({ book }, scope) => totalsOf(book).meanDiameter(scope) },
  quadraticDiameter: { adds: false, of: ({ book }, scope) => totalsOf(book).quadraticDiameter(scope) },
} satisfies Partial<Record<QuestionTopic, TotalsTopicRow>>;

type Totalled = keyof typeof totalsTable;
/** Whether it is a sum or a mean over plots, which has a sampling error. */
export const isSummed = (topic: QuestionTopic): boolean =>
  Object.hasOwn(totalsTable, topic) && topic !== 'trees' && topic !== 'plots';
const rowOf = (topic: QuestionTopic): TotalsTopicRow | undefined => totalsTable[topic as Totalled];

/** A value of a topic as it is said; cords from cubic feet. */
function valueWords(topic: QuestionTopic, estimate: Estimate, metric: boolean): (value: number) => string {
  if (topic !== 'cords') return amount(estimate, metric);
  const perArea = metric ? 1 / hectaresPerAcre : 1;
  return (value) =>
    `${wording.rounded((value * perArea) / solidFeetInCord, halfInterval(estimate, perArea / solidFeetInCord))} cords ${metric ? 'a hectare' : 'an acre'}`;
}

/** What is told in a form of its own; null for the rest. */
function ownAnswer(context: Context, note: Ask, by: Ask['by']): Outcome | null {
  if (note.about === 'totals' && by === 'plot') return shortByPlot(context, note);
  if (note.about === 'totals' && by === 'stand') return shortByStand(context);
  return note.about === 'volume' && note.count !== undefined ? lastVolumes(context, note) : null;
}

/** An answer of totals: the value, or each part's where it is broken down or asked of a genus. */
export function total(context: Context, note: Ask): Outcome {
  const metric = isMetric(context, note);
  const topic = note.about === 'species' ? 'trees' : note.about;
  const by = note.by ?? (note.about === 'species' ? 'species' : undefined);
  const rule = ruleOf(context, note, metric);
  const own = ownAnswer(context, note, by);
  if (own !== null) return own;
  if (note.scope?.size !== undefined || note.scope?.lacks !== undefined || note.scope?.mark !== undefined) {
    if (note.about === 'trees' || note.about === 'species') return listTrees(context, note);
    return refused('Trees over a size, or without a height, can be listed and counted, not summed.');
  }
  const keys = note.scope?.species === undefined ? [] : speciesKeysOf(context, note.scope.species);
  const genus = keys.length > 1;
  const { species: _, ...wider } = note.scope ?? {};
  const made = scopeOf(context, genus ? wider : note.scope);
  if (!made.ok) return refused(made.error);
  const { scope, words } = made.value;
  const row = rowOf(topic);
  if (note.share && row?.adds) return shares(context, note, topic, row);
  if (note.share) return refused('Shares are told of what adds up: basal area, trees, volume, biomass.');
  if (!row || (by === undefined && !genus))
    return totalOf(context, topic, { scope, words, rule, metric, wanted: note.count });
  const scopes = genus ? keys.map((species) => ({ ...scope, species })) : [scope];
  const parts = by
    ? scopes.flatMap((one) => partsOf(context, by, one))
    : keys.map((species) => ({ name: wording.speciesName(species), scopes: [{ ...scope, species }] }));
  const counts = topic === 'trees' || topic === 'plots';
  const { text, detail } = brokenDown(
    parts,
    row.adds,
    (one) => row.of(context, one, rule),
    (estimate, value) => (counts ? String(value) : valueWords(topic, estimate, metric)(value)),
  );
  return said(text, detail);
}

/** Shares of a species among all, or of each part of a breakdown; where no plot has a size, of the trees themselves. */
function shares(context: Context, note: Ask, topic: QuestionTopic, row: TotalsTopicRow): Outcome {
  const { book } = context;
  const metric = isMetric(context, note);
  const rule = ruleOf(context, note, metric);
  const { species: asked, ...wider } = note.scope ?? {};
  const made = scopeOf(context, wider);
  if (!made.ok) return refused(made.error);
  const all = made.value.scope;
  const perArea = row.of(context, all, rule).value !== null;
  const single = looseOf[topic];
  const estimate = (scope: TotalsScope): Estimate =>
    perArea || single === undefined ? row.of(context, scope, rule) : single(totalsOf(book), scope, rule);
  const keys = asked === undefined ? [] : speciesKeysOf(context, asked);
  const by = note.by ?? (keys.length === 0 ? 'species' : undefined);
  const inPart = keys.length === 0 ? [all] : keys.map((species) => ({ ...all, species }));
  const parts =
    by === undefined
      ? [{ name: typeof asked === 'string' ? asked : wording.speciesName(keys[0]!), scopes: inPart }]
      : inPart.flatMap((one) => partsOf(context, by, one));
  return sharesAnswer({
    parts,
    all,
    estimate,
    say: (of, value) => valueWords(topic, of, metric)(value),
    of: `${wholeNames[topic] ?? 'it'}${row.tail?.(rule) ?? ''}`,
    each: by !== undefined,
  });
}

/** The sums of the trees themselves, where there is no plot to expand from. */
const looseOf: Partial<
  Record<QuestionTopic, (totals: Totals, scope: TotalsScope, rule: AskedRule) => Estimate>
> = {
  basalArea: (totals, scope) => totals.total('basalArea', scope),
  density: (totals, scope) => totals.trees({ status: 'live', ...scope }),
  volumePerAcre: (totals, scope, rule) => totals.total(rule ?? 'cubic', scope),
  cubic: (totals, scope) => totals.total('cubic', scope),
  biomass: (totals, scope) => totals.total('biomass', scope),
  carbon: (totals, scope) => totals.total('carbon', scope),
};

interface Asked {
  readonly scope: TotalsScope;
  readonly words: string;
  readonly rule: AskedRule;
  readonly metric: boolean;
  /** How many are wanted, where that is asked. */
  readonly wanted?: number | undefined;
}

function totalOf(context: Context, topic: QuestionTopic, asked: Asked): Outcome {
  const { scope, words, rule, metric } = asked;
  const { book } = context;
  const totals = totalsOf(book);
  switch (topic) {
    case 'trees':
      return treesInAll(context, asked);
    case 'plots': {
      const plots = totals.plots(scope);
      return said(
        `${wording.sentence(wording.plotCount(plots.value ?? 0))}${words}.${nearWords(plots.value, asked)}${plots.leftOut[0] ? ` ${plots.leftOut[0]}` : ''}`,
      );
    }
    case 'basalArea': {
      const live = totals.basalArea(scope);
      const say = amount(live, metric);
      if (
        live.value === null ||
        live.byStatus === null ||
        scope.status !== undefined ||
        live.byStatus.dead === 0
      ) {
        const { text, detail } = sayEstimate(live, metric, words);
        return said(text, detail);
      }
      const { detail } = sayEstimate(live, metric);
      const all = totals.basalArea({ ...scope, status: 'all' });
      return said(
        `${wording.sentence(say(live.value))} alive${words}, ${all.value === null ? '' : amountAlone(all, metric)} with the dead. ${errorWords(live)}`,
        detail,
      );
    }
    case 'meanHeight':
      return meanOfHeights(context, asked);
    case 'spread': {
      const spread = totals.spread('basalArea', scope);
      return spread?.cvPct === undefined || spread.cvPct === null
        ? said('Two plots are needed before they can differ.')
        : said(
            `Plots differ by ${wording.digits(spread.cvPct, 0)} percent in basal area, over ${spread.n} plots.`,
          );
    }
    case 'totals':
      return inShort(context, asked);
    default: {
      const row = rowOf(topic);
      if (!row) return inShort(context, asked);
      const whole = row.of(context, scope, rule);
      // Without the area there is no volume in all, but that of an acre or a hectare.
      const estimate =
        topic === 'volume' && whole.value === null
          ? withReason(totalsTable.volumePerAcre.of(context, scope, rule), whole)
          : whole;
      const { text, detail } = sayEstimate(
        estimate,
        metric,
        `${row.tail?.(rule) ?? ''}${words}`,
        valueWords(topic, estimate, metric),
      );
      return said(text, topic === 'cords' ? `${detail}\n${solidInCord(metric)} of wood to a cord.` : detail);
    }
  }
}

/** The estimate, with why the other could not be had where it has a value itself. */
const withReason = (estimate: Estimate, other: Estimate): Estimate =>
  estimate.value === null
    ? other
    : { ...estimate, leftOut: [...other.leftOut.slice(-1), ...estimate.leftOut] };

const nearWords = (count: number | null, { wanted }: Asked): string =>
  wanted === undefined ? '' : nearCount(count ?? 0, wanted);

function treesInAll({ book }: Context, asked: Asked): Outcome {
  const { scope, words } = asked;
  const count = totalsOf(book).trees(scope);
  const dead = count.byStatus && scope.status === undefined ? count.byStatus.dead : 0;
  const deadWords = dead > 0 ? `, ${dead === 1 ? 'one' : dead} of them dead` : '';
  return said(
    `${wording.sentence(wording.treeCount(count.value ?? 0))}${words}${deadWords}.${nearWords(count.value, asked)}`,
    count.leftOut.join('\n'),
  );
}

function meanOfHeights({ book }: Context, { scope, words, metric }: Asked): Outcome {
  const mean = meanHeight(book, scope);
  if (mean.value === null) return said(mean.leftOut.join(' ') || 'No height yet.');
  const error =
    mean.samplingErrorPct === null || mean.samplingErrorPct === 0
      ? ''
      : `, ${errorPercent(mean.samplingErrorPct)}`;
  return said(
    `${wording.sentence(amount(mean, metric)(mean.value))}${words}, from ${wording.treeCount(mean.trees)}${error}.`,
    [...mean.leftOut, ...mean.assumed, ...mean.sources].join('\n'),
  );
}

function inShort(context: Context, { scope, words, metric }: Asked): Outcome {
  const totals = totalsOf(context.book);
  const kinds = (['fixed', 'factor'] as const).map((design) => seriesInShort(context, scope, design, metric));
  const [fixed, gauged] = kinds;
  // A mean over plots of both kinds would be of neither.
  if (fixed && gauged) {
    const trees = wording.treeCount(totals.trees(scope).value ?? 0);
    return said(
      `${wording.sentence(trees)}${words}. ${wording.sentence(fixed.text)}. ${wording.sentence(gauged.text)}.`,
    );
  }
  const area = totals.basalArea(scope);
  const height = totals.meanHeight(scope);
  const parts = [
    wording.treeCount(totals.trees(scope).value ?? 0) + words,
    wording.plotCount(totals.plots(scope).value ?? 0),
  ];
  if (area.value !== null) parts.push(amount(area, metric)(area.value));
  if (height.value !== null) parts.push(`mean height ${amount(height, metric)(height.value)}`);
  return said(`${wording.sentence(wording.list(parts))}.`);
}

/** The error of a total at a confidence: "Basal area 84 square feet an acre, give or take 12 percent at 90 percent." */
export function samplingError(context: Context, note: Ask): Outcome {
  const metric = isMetric(context, note);
  const topic = note.of ?? 'basalArea';
  const row = rowOf(topic);
  if (!row) return refused('Say of what: sampling error of basal area, or of the volume.');
  const made = scopeOf(context, note.scope);
  if (!made.ok) return refused(made.error);
  const estimate = row.of(context, made.value.scope, ruleOf(context, note, metric));
  const { value, se, df } = estimate;
  if (value === null) return said(estimate.leftOut.join(' ') || 'Nothing to go by yet.');
  const level = note.confidence ?? 95;
  const say = valueWords(topic, estimate, metric);
  const { samplingErrorPct, low, high } = confidenceLimits(value, se, df, level / 100);
  if (se === null || samplingErrorPct === null || low === null || high === null)
    return said(`${wording.sentence(say(value))}. One plot, so no error yet.`);
  return said(
    `${wording.sentence(say(value))}, ${errorPercent(samplingErrorPct)} at ${wording.digits(level, 1)} percent.`,
    `Standard error ${say(se)}; from ${say(low)} to ${say(high)}, by Student's t with ${df} degrees of freedom.`,
  );
}

/** Beyond its own size an error is not worth a number. */
const errorPercent = (percent: number): string =>
  percent > 100
    ? 'with an error larger than itself'
    : `give or take ${wording.digits(percent, percent < 10 ? 1 : 0)} percent`;

function errorWords(estimate: Estimate): string {
  if (estimate.samplingErrorPct !== null) {
    return `${wording.sentence(errorPercent(estimate.samplingErrorPct))}.`;
  }
  return estimate.plots === 1 ? 'One plot, so no error yet.' : (estimate.leftOut[0] ?? '');
}

export function extreme(context: Context, note: Ask): Outcome {
  const { book } = context;
  const by = note.about === 'tallest' ? 'tallest' : 'thickest';
  const { species, day, ...others } = note.scope ?? {};
  if (day === 'week') return foremostOfWeek(context, note, by);
  const wider = { ...others, ...(day === undefined ? {} : { day }) };
  const made = scopeOf(context, wider);
  if (!made.ok) return refused(made.error);
  // Of a genus it is the foremost of all its species.
  const keys = species === undefined ? [undefined] : speciesKeysOf(context, species);
  const size = (one: TreeRecord): number => (by === 'tallest' ? one.heightFt : one.diameterIn) ?? 0;
  const [tree] = keys
    .flatMap((key) => {
      const scope = key === undefined ? made.value.scope : { ...made.value.scope, species: key };
      return totalsOf(book).foremostTree(by, scope) ?? [];
    })
    .sort((a, b) => size(b) - size(a) || a.number - b.number);
  const record = tree ? book.tree(tree.id) : null;
  if (!record) return said(by === 'tallest' ? 'No height yet.' : 'No diameter yet.');
  return toldBySize(context, record, by === 'tallest' ? 'height' : 'diameter');
}

/** Days of a week, today among them. */
const daysOfWeek = 7;

/** The foremost tree of the last seven days, in whatever stand. */
function foremostOfWeek(context: Context, note: Ask, by: 'tallest' | 'thickest'): Outcome {
  const { book, today } = context;
  const keys = note.scope?.species === undefined ? null : speciesKeysOf(context, note.scope.species);
  let foremost: Tree | null = null;
  const size = (tree: Tree): number => (by === 'tallest' ? tree.heightFt : tree.diameterIn) ?? 0;
  for (const tree of book.trees())
    if (
      dayNumber(tree) > today - daysOfWeek &&
      (keys === null || keys.includes(speciesKey(tree))) &&
      size(tree) > (foremost === null ? 0 : size(foremost))
    )
      foremost = tree;
  if (foremost === null) return said(by === 'tallest' ? 'No height this week.' : 'No diameter this week.');
  return toldBySize(context, foremost, by === 'tallest' ? 'height' : 'diameter');
}

export function thisPlot(context: Context, note: Ask): Outcome {
  const { book, deviceState, settings } = context;
  const plot = book.plot(deviceState.plot);
  if (!plot) return said('No plot is open.');
  const trees = book.ledger.treesOnPlot(plot.id);
  const area = totalsOf(book).basalArea({ plot: plot.id });
  const tail = area.value === null ? '' : `, ${amount(area, settings.units === 'metres')(area.value)}`;
  const size = plot.size === null ? '' : `, ${sizeOfPlot(plot, note.units ?? settings.units)}`;
  return said(`Plot ${plot.number}${size}: ${wording.treeCount(trees)}${tail}.`);
}

/** How large a plot is, by its area and its radius where it has them. */
function sizeOfPlot(plot: PlotRecord, units: Units): string {
  const words = wording.plotSize(plot, units);
  const design = designOf(required(plot.size, 'size of the plot'));
  if (design.kind !== 'fixed') return words;
  if (plot.size?.by === 'radius') return `${words}, ${wording.area(design.acres, units)}`;
  return `${words}, radius ${wording.length(design.radiusFt, units)}`;
}

/** The quantity whose error the plots are for: basal area unless another was said. */
function quantityOf(context: Context, note: Ask): TotalsQuantity {
  const { of } = note;
  if (of === 'volumePerAcre') return ruleOf(context, note, isMetric(context, note)) ?? 'cubic';
  return of === 'density' || of === 'biomass' || of === 'carbon' || of === 'cubic' ? of : 'basalArea';
}

export function plotsNeededAnswer(context: Context, note: Ask): Outcome {
  const percent = note.percent ?? 10;
  const made = scopeOf(context, note.scope);
  if (!made.ok) return refused(made.error);
  const need = totalsOf(context.book).plotsNeeded(percent, made.value.scope, quantityOf(context, note));
  if (need.more === null || need.needed === null) return said(need.sentence);
  const goal = `${wording.digits(percent, 0)} percent${note.of === undefined ? '' : ` in ${wholeNames[note.of] ?? 'it'}`}`;
  const more =
    need.more === 0
      ? `Enough: ${need.n} plots give ${goal}`
      : `At this spread, ${need.more} more for ${goal}`;
  // "Are eight enough": how many it takes in all.
  if (note.count !== undefined) {
    const enough = note.count >= need.needed;
    return said(
      `${enough ? 'Yes' : 'No'}: ${wording.plotCount(need.needed)} in all for ${goal}, at this spread. ${need.sentence}`,
    );
  }
  const { allocation } = need;
  if (allocation.length === 0) return said(`${more}. ${need.sentence}`);
  const still = (of: 'optimum' | 'proportional') =>
    wording.list(
      allocation.map((one) => `${Math.max(0, one[of] - one.n)} in ${wording.placeName(one.name)}`),
    );
  const whole = (of: 'optimum' | 'proportional') =>
    wording.list(allocation.map((one) => `${one[of]} in ${wording.placeName(one.name)} (${one.n} so far)`));
  // The spread that needs fewest is said; the other goes to the page.
  const best = need.more === 0 ? '' : ` Best ${still('optimum')}.`;
  return said(
    `${more}. ${need.sentence}${best}`,
    [
      `Optimum allocation, by area times spread: ${whole('optimum')}.`,
      `Proportional allocation, by area: ${whole('proportional')}.`,
    ].join('\n'),
  );
}
