/** Questions about what is in the book and who put it there: places, plots, remarks, and what the last question was of. */
import { totalsOf } from '../book/totals-of.ts';
import { meantBy } from '../note/journal.ts';
import type { NoteOf } from '../note/note.ts';
import type { PlotRecord, TotalsScope } from '../totals/types.ts';
import { shownAs } from '../wording/display-units.ts';
import * as wording from '../wording/wording.ts';
import { scopeOf } from './asked-scope.ts';
import { standing } from './device-entries.ts';
import { type AnswerOf, type Context, type Outcome, refused, said } from './outcome.ts';
import { plotMeant } from './plot-meant.ts';
import { treeMeant } from './tree-lookups.ts';

type Ask = NoteOf<'ask'>;

/** What of a list is said; all of it is on the page. */
const mostSaid = 6;

function listed(lines: readonly string[]): Outcome {
  const more = lines.length > mostSaid ? ` And ${lines.length - mostSaid} more on the page.` : '';
  return said(`${lines.slice(0, mostSaid).join('. ')}.${more}`, lines.join('\n'));
}

/** "Which stand am I on". */
export function place({ book, device, deviceState }: Context): Outcome {
  const stand = book.standOf(device);
  const stratum = book.stratumOf(device);
  const plot = book.plot(deviceState.plot);
  const where = [
    ...(stand === null ? [] : [`stand ${wording.placeName(stand.name)}`]),
    ...(stratum === null ? [] : [`stratum ${wording.placeName(stratum.name)}`]),
    plot === null ? 'no plot open' : `plot ${plot.number}`,
  ];
  const none = stand === null ? 'No stand was named here yet; ' : '';
  const words = where.join(', ');
  return said(`${none}${none === '' ? wording.sentence(words) : words}.`);
}

const plotsHere = ({ book, device }: Context): readonly PlotRecord[] => {
  const stand = book.standOf(device)?.id ?? null;
  return [...book.plots()].filter((plot) => plot.stand === stand).sort((a, b) => a.number - b.number);
};

/** "Which plots were empty": those that are said to be, or were closed without a tree. */
export function emptyPlots(context: Context): Outcome {
  const { ledger } = context.book;
  const plots = plotsHere(context);
  if (plots.length === 0) return said('No plots yet.');
  const empty = plots.filter((plot) => ledger.treesOnPlot(plot.id) === 0 && (plot.empty || plot.closed));
  if (empty.length === 0) return said('None of them was empty.');
  const numbers = wording.list(empty.map(({ number }) => String(number)));
  return said(empty.length === 1 ? `Plot ${numbers} was empty.` : `Plots ${numbers} were empty.`);
}

/** "List the plots": each with its size and its trees. */
export function plotList(context: Context): Outcome {
  const { book, settings } = context;
  const plots = plotsHere(context);
  if (plots.length === 0) return said('No plots yet.');
  const lines = plots.map((plot) => {
    const trees = book.ledger.treesOnPlot(plot.id);
    const size = plot.size === null ? '' : `, ${wording.plotSize(plot, settings.units)}`;
    const held =
      trees === 0 ? (plot.empty || plot.closed ? 'empty' : 'no trees yet') : wording.treeCount(trees);
    return `Plot ${plot.number}${size}: ${held}${plot.closed ? '' : ', open'}`;
  });
  return listed(lines);
}

/** "Read me the remarks", "what remarks are on tree three": the newest first. */
export function remarksBack(context: Context, note: Ask): Outcome {
  const { book, deviceState } = context;
  const meant = treeMeant(context, note);
  if (!meant.ok) return refused(meant.error);
  const asked = note.scope?.plot;
  const plot =
    asked === undefined ? null : asked === 'this' ? book.plot(deviceState.plot) : plotMeant(context, asked);
  if (asked !== undefined && plot === null) return refused('There is no such plot.');
  const found = book.remarks.filter(
    ({ tree, plot: on }) =>
      (meant.value === null || tree === meant.value.id) && (plot === null || on === plot.id),
  );
  const of = meant.value ? ` on tree ${meant.value.number}` : plot ? ` on plot ${plot.number}` : '';
  if (found.length === 0) return said(`No remarks${of}.`);
  const lines = found.toReversed().map(({ text, tree, plot: on }) => {
    const number = book.tree(tree)?.number;
    const at = number === undefined ? book.plot(on)?.number : undefined;
    const where = number === undefined ? (at === undefined ? '' : `Plot ${at}: `) : `Tree ${number}: `;
    return `${where}${text ?? 'a remark whose words were not understood'}`;
  });
  return listed(note.count === undefined ? lines : lines.slice(0, note.count));
}

/** "Who measured tree three", "who did plot two". */
export function whoMeasured(context: Context, note: Ask): Outcome {
  const asked = note.scope?.plot;
  const plot =
    asked === undefined
      ? null
      : asked === 'this'
        ? context.book.plot(context.deviceState.plot)
        : plotMeant(context, asked);
  if (asked !== undefined && plot === null) return refused('There is no such plot.');
  const meant = treeMeant(context, note);
  if (!meant.ok) return refused(meant.error);
  const record = plot ?? meant.value ?? context.book.tree(context.deviceState.tree);
  if (!record) return refused('Which tree? Say its number, or what it is.');
  const name = `${plot ? 'plot' : 'tree'} ${record.number}`;
  return said(
    record.person === null
      ? `Nobody was named when ${name} was told. Say who measures, such as crew Wren.`
      : `${wording.sentence(record.person)} told ${name}.`,
  );
}

const comparedBy = {
  trees: ({ book }: Context, scope: TotalsScope) => totalsOf(book).trees(scope),
  density: ({ book }: Context, scope: TotalsScope) => totalsOf(book).density(scope),
  volumePerAcre: (context: Context, scope: TotalsScope) =>
    totalsOf(context.book).perAcre(context.settings.logRule ?? 'cubic', scope),
  basalArea: ({ book }: Context, scope: TotalsScope) => totalsOf(book).basalArea(scope),
} as const;
const comparedNames: Readonly<Record<keyof typeof comparedBy, string>> = {
  trees: 'trees',
  density: 'trees by area',
  volumePerAcre: 'volume',
  basalArea: 'basal area',
};

/** "Which plot has the most volume": by basal area, where no quantity is named. `first` shortest: the least of them. */
export function bestPlot(context: Context, note: Ask): Outcome {
  const by =
    note.of !== undefined && Object.hasOwn(comparedBy, note.of)
      ? (note.of as keyof typeof comparedBy)
      : 'basalArea';
  const least = note.first === 'shortest';
  const rows = plotsHere(context).flatMap((plot) => {
    const estimate = comparedBy[by](context, { plot: plot.id });
    return estimate.value === null ? [] : [{ plot, value: estimate.value, unit: estimate.unit }];
  });
  const [first, second] = rows.sort((a, b) => (least ? a.value - b.value : b.value - a.value));
  if (first === undefined) return said(`No plot has a value of ${comparedNames[by]} yet.`);
  const say = ({ value, unit }: typeof first): string => {
    if (unit === 'trees' || unit === 'plots') return wording.treeCount(value);
    const { factor, words } = shownAs(unit, context.settings.units === 'metres');
    return `${wording.rounded(value * factor, null)} ${words}`;
  };
  const alike = rows.filter(({ value }) => value === first.value);
  if (alike.length > 1)
    return said(
      `Plots ${wording.list(alike.map(({ plot }) => String(plot.number)))} are alike with ${say(first)} each.`,
    );
  const next = second === undefined ? '' : ` Next is plot ${second.plot.number} with ${say(second)}.`;
  return said(
    `Plot ${first.plot.number} has the ${least ? 'least' : 'most'}${by === 'trees' ? '' : ` by ${comparedNames[by]}`}: ${say(first)}.${next}`,
  );
}

/** "Just oak", "per plot": the last question again, narrowed or broken down. Only right behind a question. */
export function followUp(context: Context, note: Ask, answerAsk: AnswerOf): Outcome {
  const [last] = standing(context.book, context.deviceState);
  const before = last === undefined ? null : meantBy(last);
  if (before?.kind !== 'ask' || before.about === 'followUp')
    return refused('Nothing was asked right before. Ask with the rest, such as basal area by plot.');
  const { by, scope } = note;
  const asked: Ask = {
    ...before,
    ...(by === undefined ? {} : { by }),
    ...(scope === undefined ? {} : { scope: { ...before.scope, ...scope } }),
  };
  if (by === undefined && scope !== undefined) delete asked.by;
  return { ...answerAsk(context, asked), means: asked };
}

/** "Are we near forty": how many there are, and how many more make so many. */
export function nearCount(count: number, wanted: number): string {
  if (count === wanted) return ` That is ${wanted} exactly.`;
  return count < wanted
    ? ` ${wanted - count} more ${wanted - count === 1 ? 'makes' : 'make'} ${wanted}.`
    : ` ${count - wanted} over ${wanted}.`;
}

/** The totals in short for each stand: trees, plots and basal area. */
export function shortByStand({ book, settings }: Context): Outcome {
  const stands = [...book.stands.values()];
  if (stands.length === 0) return said('No stand was named yet.');
  const totals = totalsOf(book);
  const lines = stands.map(({ id, name }) => {
    const scope = { stand: id };
    const area = totals.basalArea(scope);
    const { factor, words } = shownAs(area.unit, settings.units === 'metres');
    const held = [
      wording.treeCount(totals.trees(scope).value ?? 0),
      wording.plotCount(totals.plots(scope).value ?? 0),
      ...(area.value === null ? [] : [`${wording.rounded(area.value * factor, null)} ${words}`]),
    ];
    return `${wording.placeName(name)}: ${wording.list(held)}`;
  });
  return listed(lines);
}

/** The totals in short for each plot: trees and basal area. */
export function shortByPlot(context: Context, note: Ask): Outcome {
  const made = scopeOf(context, note.scope);
  if (!made.ok) return refused(made.error);
  const { scope } = made.value;
  const plots = plotsHere(context).filter(({ id }) => scope.plot === undefined || scope.plot === id);
  if (plots.length === 0) return said('No plots yet.');
  const lines = plots.map((plot) => {
    const own = { ...scope, plot: plot.id };
    const trees = wording.treeCount(totalsOf(context.book).trees(own).value ?? 0);
    const area = totalsOf(context.book).basalArea(own);
    if (area.value === null) return `Plot ${plot.number}: ${trees}`;
    const { factor, words } = shownAs(area.unit, context.settings.units === 'metres');
    return `Plot ${plot.number}: ${trees}, ${wording.rounded(area.value * factor, null)} ${words}`;
  });
  return listed(lines);
}
