/** Totals aloud: by species, plot, stratum, day, person; what was left out and every table named goes to the page. */

import { meanHeight } from '../book/mean-height.ts';
import { err, ok, type Result } from '../core/result.ts';
import { type LogRule, logRules, usualLogRule } from '../note/log-rules.ts';
import type { NoteOf, Scope } from '../note/note.ts';
import type { Estimate, TotalsScope } from '../totals/totals.ts';
import { shownAs } from '../wording/display-units.ts';
import * as wording from '../wording/wording.ts';
import { type Context, type Outcome, refused, said } from './outcome.ts';
import { speciesOf } from './species-of.ts';

type Ask = NoteOf<'ask'>;

/** The scope of a question in the ids of the book, with its words for the answer; an error names what is not there. */
function scopeOf(
  context: Context,
  scope: Scope | undefined,
): Result<{ scope: TotalsScope; words: string }, string> {
  const { book, deviceState } = context;
  const words: string[] = [];
  const here = book.standOf(context.device)?.id ?? null;
  // Where there are several stands, a question is about that of who asks.
  let stand = book.stands.size > 1 ? here : null;
  let found: TotalsScope = {};
  if (scope?.species !== undefined) {
    const species = speciesOf(context, scope.species);
    if (!('code' in species)) {
      return err(
        `Which: ${wording.list(
          species.codes.slice(0, 6).map((code) => wording.speciesName(code)),
          'or',
        )}? Ask again with its full name.`,
      );
    }
    found = { ...found, species: species.code };
    words.push(wording.speciesName(species.code));
  }
  if (scope?.plot !== undefined) {
    const plot = scope.plot === 'this' ? book.plot(deviceState.plot) : book.plotNumbered(scope.plot, here);
    if (!plot) return err(scope.plot === 'this' ? 'No plot is open.' : `There is no plot ${scope.plot}.`);
    found = { ...found, plot: plot.id };
    words.push(`plot ${plot.number}`);
  }
  if (scope?.stratum !== undefined) {
    // Two stands may each have a "ridge": that of the stand in hand is meant, another only where this one has none.
    const own = book.stratumNamed(scope.stratum, here);
    const stratum = own ?? [...book.strata.values()].find((each) => each.name === scope.stratum);
    if (!stratum) return err(`There is no stratum ${scope.stratum}.`);
    if (own === null) stand = null;
    found = { ...found, stratum: stratum.id };
    words.push(stratum.name);
  }
  if (scope?.day !== undefined) {
    const { today } = context;
    found = { ...found, day: scope.day === 'today' ? today : today - 1 };
    words.push(scope.day);
  }
  if (scope?.person !== undefined) {
    found = { ...found, person: scope.person };
    words.push(`by ${scope.person}`);
  }
  if (scope?.status !== undefined) {
    found = { ...found, status: scope.status };
    words.push(scope.status);
  }
  return ok({
    scope: stand === null ? found : { ...found, stand },
    words: words.length > 0 ? ` on ${words.join(', ')}`.replace(' on by ', ' by ') : '',
  });
}

/** Value and unit as they are said, in the book's units. */
function amount(estimate: Estimate, metric: boolean): (value: number) => string {
  const { unit } = estimate;
  if (unit === 'trees') return (value) => wording.treeCount(value);
  if (unit === 'plots') return (value) => `${value} ${value === 1 ? 'plot' : 'plots'}`;
  const { factor, words } = shownAs(unit, metric);
  const size = unit === 'ft' || unit === 'in';
  return (value) => {
    const shown = value * factor;
    return `${wording.digits(shown, size || Math.abs(shown) < 10 ? 1 : 0)} ${words}`;
  };
}

/** Number, unit, plus or minus; the longer story goes to the page. */
function sayEstimate(estimate: Estimate, metric: boolean, tail = ''): { text: string; detail: string } {
  const say = amount(estimate, metric);
  const detail = [
    ...estimate.leftOut,
    ...estimate.assumed,
    ...estimate.sources.map((source) => `Source: ${source}`),
  ].join('\n');
  if (estimate.value === null) return { text: estimate.leftOut.join(' ') || 'Nothing to go by yet.', detail };
  const parts = [wording.sentence(say(estimate.value)) + tail];
  if (estimate.se !== null && estimate.se > 0 && estimate.samplingErrorPct !== null) {
    parts.push(errorPercent(estimate.samplingErrorPct));
  }
  const short = estimate.leftOut[0] ? ` ${estimate.leftOut[0]}` : '';
  return { text: `${parts.join(', ')}.${short}`, detail };
}

export function total(context: Context, note: Ask): Outcome {
  const { book, settings } = context;
  const metric = settings.units === 'metres';
  const made = scopeOf(context, note.scope);
  if (!made.ok) return refused(made.error);
  const { scope, words } = made.value;
  const { totals } = book;
  const rule: LogRule = note.rule ?? settings.logRule ?? usualLogRule;
  const answer = (estimate: Estimate, tail = ''): Outcome => {
    const { text, detail } = sayEstimate(estimate, metric, tail);
    return said(text, detail);
  };
  switch (note.about) {
    case 'trees':
    case 'species': {
      const count = totals.trees(scope);
      const dead = count.byStatus && scope.status === undefined ? count.byStatus.dead : 0;
      const deadWords = dead > 0 ? `, ${dead === 1 ? 'one' : dead} of them dead` : '';
      return said(
        `${wording.sentence(wording.treeCount(count.value ?? 0))}${words}${deadWords}.`,
        count.leftOut.join('\n'),
      );
    }
    case 'plots': {
      const plots = totals.plots(scope);
      return said(
        `${plots.value ?? 0} ${plots.value === 1 ? 'plot' : 'plots'}${words}.${plots.leftOut[0] ? ` ${plots.leftOut[0]}` : ''}`,
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
      )
        return answer(live, words);
      const { detail } = sayEstimate(live, metric);
      const all = totals.basalArea({ ...scope, status: 'all' });
      const error = errorWords(live);
      return said(
        `${wording.sentence(say(live.value))} alive${words}, ${all.value === null ? '' : wording.digits(all.value * shownAs('ft2/acre', metric).factor, 0)} with the dead. ${error}`,
        detail,
      );
    }
    case 'density':
      return answer(totals.density(scope), words);
    case 'volume':
      return answer(totals.volume(rule, scope), ` by ${logRules[rule].name}${words}`);
    case 'volumePerAcre':
      return answer(totals.volumePerAcre(rule, scope), ` by ${logRules[rule].name}${words}`);
    case 'biomass':
      return answer(totals.perAcre('biomass', scope), words);
    case 'carbon':
      return answer(totals.perAcre('carbon', scope), words);
    case 'meanHeight': {
      const mean = meanHeight(book, scope);
      if (mean.value === null) return said(mean.leftOut.join(' ') || 'No height yet.');
      const say = amount(mean, metric);
      return said(
        `${wording.sentence(say(mean.value))}${words}, from ${wording.treeCount(mean.trees)}${mean.samplingErrorPct === null || mean.samplingErrorPct === 0 ? '' : `, ${errorPercent(mean.samplingErrorPct)}`}.`,
        [...mean.leftOut, ...mean.assumed, ...mean.sources].join('\n'),
      );
    }
    case 'lorey':
      return answer(totals.loreyHeight(scope), words);
    case 'topHeight':
      return answer(totals.topHeight(scope), words);
    case 'meanDiameter':
      return answer(totals.meanDiameter(scope), words);
    case 'quadraticDiameter':
      return answer(totals.quadraticDiameter(scope), words);
    case 'spread': {
      const spread = totals.spread('basalArea', scope);
      return spread?.cvPct === undefined || spread.cvPct === null
        ? said('Two plots are needed before they can differ.')
        : said(
            `Plots differ by ${wording.digits(spread.cvPct, 0)} percent in basal area, over ${spread.n} plots.`,
          );
    }
    default: {
      const trees = totals.trees(scope);
      const area = totals.basalArea(scope);
      const height = totals.meanHeight(scope);
      const parts = [wording.treeCount(trees.value ?? 0) + words, `${totals.plots(scope).value ?? 0} plots`];
      if (area.value !== null) parts.push(amount(area, metric)(area.value));
      if (height.value !== null) parts.push(`mean height ${amount(height, metric)(height.value)}`);
      return said(`${wording.sentence(wording.list(parts))}.`);
    }
  }
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
  const { book, settings } = context;
  const made = scopeOf(context, note.scope);
  if (!made.ok) return refused(made.error);
  const by = note.about === 'tallest' ? 'tallest' : 'thickest';
  const tree = book.totals.foremostTree(by, made.value.scope);
  const record = tree ? book.tree(tree.id) : null;
  if (!record) return said(by === 'tallest' ? 'No height yet.' : 'No diameter yet.');
  const size =
    by === 'tallest' && record.heightFt !== null
      ? wording.length(record.heightFt, settings.units, record.heightSdFt ?? 1)
      : record.diameterIn !== null
        ? wording.diameter(record.diameterIn, settings.units)
        : '';
  return said(
    `${wording.sentence(size)}: tree ${record.number}, ${wording.treeFacts(record, settings.units)}.`,
  );
}

export function thisPlot(context: Context): Outcome {
  const { book, deviceState, settings } = context;
  const plot = book.plot(deviceState.plot);
  if (!plot) return said('No plot is open.');
  const trees = book.totals.treesOnPlot(plot.id);
  const area = book.totals.basalArea({ plot: plot.id });
  const tail = area.value === null ? '' : `, ${amount(area, settings.units === 'metres')(area.value)}`;
  return said(`Plot ${plot.number}: ${wording.treeCount(trees)}${tail}.`);
}

export function plotsNeededAnswer(context: Context, note: Ask): Outcome {
  const percent = note.percent ?? 10;
  const made = scopeOf(context, note.scope);
  if (!made.ok) return refused(made.error);
  const need = context.book.totals.plotsNeeded(percent, made.value.scope);
  if (need.more === null || need.needed === null) return said(need.sentence);
  const more =
    need.more === 0
      ? `Enough: ${need.n} plots give ${wording.digits(percent, 0)} percent`
      : `At this spread, ${need.more} more for ${wording.digits(percent, 0)} percent`;
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
