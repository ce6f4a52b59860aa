/** Questions about the plots that are being taken: what they come to so far, and how large the circle of a size is. */
import { totalsOf } from '../book/totals-of.ts';
import { required } from '../core/required.ts';
import type { NoteOf } from '../note/note.ts';
import { designOf, plotRadiusFactor } from '../totals/plots.ts';
import type { Estimate, TotalsScope } from '../totals/types.ts';
import { shownAs } from '../wording/display-units.ts';
import * as wording from '../wording/wording.ts';
import { scopeOf } from './asked-scope.ts';
import { type Context, type Outcome, refused, said } from './outcome.ts';
import { kindInUse } from './plot-meant.ts';
import { sizeWithUnit } from './plots.ts';

type Ask = NoteOf<'ask'>;

/** "3 plots of a size", "4 points". */
const seriesWords = (design: 'fixed' | 'factor', count: number): string =>
  design === 'fixed'
    ? wording.plotCount(count)
    : count === 1
      ? '1 point of a gauge'
      : `${count} points of a gauge`;

/** "73 square feet an acre, give or take 20 percent"; with the dead where there are any. */
function perAreaWords(live: Estimate, all: Estimate, metric: boolean): string | null {
  if (live.value === null || all.value === null) return null;
  const { factor, words } = shownAs(live.unit, metric);
  const error = live.samplingErrorPct;
  const half = error === null ? null : (Math.abs(live.value) * factor * error) / 100;
  const say = (value: number): string => wording.rounded(value * factor, half);
  const dead = all.value > live.value * (1 + 1e-9) ? ` alive, ${say(all.value)} with the dead` : '';
  const unsure =
    error === null || error === 0
      ? ''
      : error > 100
        ? ', with an error larger than itself'
        : `, give or take ${wording.digits(error, error < 10 ? 1 : 0)} percent`;
  return `${say(live.value)} ${words}${dead}${unsure}`;
}

/** What the plots of one kind come to an acre; null where none counts. */
export function seriesInShort(
  { book }: Context,
  scope: TotalsScope,
  design: 'fixed' | 'factor',
  metric: boolean,
): { readonly plots: number; readonly text: string } | null {
  const totals = totalsOf(book);
  const own: TotalsScope = { ...scope, design };
  const plots = totals.plots(own).value ?? 0;
  if (plots === 0) return null;
  const all: TotalsScope = { ...own, status: 'all' };
  const area = perAreaWords(totals.basalArea(own), totals.basalArea(all), metric);
  // Of trees that were only counted a gauge knows the basal area, and a plot of a size the number.
  const counted = totals.density(own);
  // By a gauge a tree without a diameter stands for nobody knows how many.
  const whole = design === 'fixed' || counted.leftOut.length === 0;
  const density = counted.trees > 0 && whole ? perAreaWords(counted, totals.density(all), metric) : null;
  const sized = totals.basalArea(own).trees > 0 ? area : null;
  const parts = design === 'fixed' ? [density, sized] : [area, density];
  const trees = wording.treeCount(totals.trees(own).value ?? 0);
  const sums = parts.filter((part) => part !== null).join('; ');
  return { plots, text: `${seriesWords(design, plots)}, ${trees}${sums === '' ? '' : `: ${sums}`}` };
}

/** "What's the average so far", "what's it come to now": of the plots of the kind in use. */
export function soFar(context: Context, note: Ask): Outcome {
  const made = scopeOf(context, note.scope);
  if (!made.ok) return refused(made.error);
  const metric = note.units === 'metres' || context.settings.units === 'metres';
  const kind = kindInUse(context);
  const design = kind === 'factor' ? 'factor' : 'fixed';
  const other = design === 'factor' ? 'fixed' : 'factor';
  const { scope, words } = made.value;
  const found = seriesInShort(context, scope, design, metric) ?? seriesInShort(context, scope, other, metric);
  if (found !== null) return said(`${wording.sentence(found.text)}${words}.`);
  const trees = totalsOf(context.book).trees(scope).value ?? 0;
  const mean = totalsOf(context.book).meanDiameter(scope).value;
  const across = mean === null ? '' : `, mean ${wording.diameter(mean, context.settings.units)}`;
  return said(
    `${wording.sentence(wording.treeCount(trees))}${across}${words}. No plot with a size counts here yet, so there is no value by area.`,
  );
}

/** "How big is the circle for a tenth acre": nothing is set by it. */
export function circle({ book, deviceState, settings }: Context, note: Ask): Outcome {
  // "What's the radius on that": of the plot in hand, or of those that are to come.
  const inUse = book.plot(deviceState.plot)?.size ?? deviceState.plotSize;
  const size = note.size === undefined ? inUse : sizeWithUnit(note.size, settings.units);
  if (!size) return refused('Of what size? Say, how big is the circle for a tenth acre.');
  const design = designOf(size);
  const name = wording.sentence(wording.plotSize({ size }, settings.units));
  if (design.kind === 'fixed')
    return said(
      size.by === 'radius'
        ? `${name}: ${wording.area(design.acres, settings.units)}.`
        : `${name}: radius ${wording.length(design.radiusFt, settings.units, 0.1)}.`,
    );
  if (design.kind === 'tally') return said('Every tree counts; there is no circle.');
  const factor = required(design, 'the factor').factor;
  const metric = settings.units === 'metres';
  // Feet for an inch are 12 times the diameter: metres for a centimetre, by the ratio of the two lengths alone.
  const ratio = plotRadiusFactor(factor) * 12;
  return said(
    metric
      ? `${name}: ${wording.digits(ratio / 100, 2)} metres for each centimetre of diameter.`
      : `${name}: ${wording.digits(plotRadiusFactor(factor), 2)} feet for each inch of diameter.`,
  );
}
