/**
 * The day's report: what was measured, what it comes to with its error, what is still in doubt, how it was measured,
 * and what it is not. One structure, written as plain text or as a page of its own that needs nothing else.
 */
import type { Book } from '../book/book.ts';
import * as wording from '../book/wording.ts';
import type { QuestionTopic } from '../note.ts';
import type { Estimate } from '../totals/types.ts';

export interface Section {
  readonly heading: string;
  readonly lines?: readonly string[];
  /** First row: the column heads. */
  readonly table?: readonly (readonly string[])[];
}

export interface Report {
  readonly title: string;
  readonly sections: readonly Section[];
}

export interface ReportParts {
  readonly book: Book;
  /** The usual questions with their answers, as `Desk.totals` gives them. */
  readonly answers: readonly TopicAnswer[];
  /** When the report is made, milliseconds since 1970. */
  readonly made: number;
}

export interface TopicAnswer {
  readonly about: QuestionTopic;
  readonly reply: string;
}

const topicNames: Partial<Record<QuestionTopic, string>> = {
  trees: 'Trees',
  plots: 'Plots',
  basalArea: 'Basal area',
  density: 'Trees an acre',
  volumePerAcre: 'Volume',
  biomass: 'Biomass',
  carbon: 'Carbon',
  meanHeight: 'Mean height',
  lorey: 'Lorey height',
  quadraticDiameter: 'Quadratic mean diameter',
};

/** Answers as lines that can be read without their questions: "Basal area: 21.4 square feet an acre." */
export function answerLines(answers: readonly TopicAnswer[]): string[] {
  return answers.map(({ about, reply }) => `${topicNames[about] ?? about}: ${reply}`);
}

/** How the report is to be taken. It stands in every report, whatever was measured. */
export const cautions = [
  'Volumes, biomass and carbon are estimates from tables and equations: not a scale, not an appraisal.',
  'A height near a line, road or building is never a felling clearance: local rules and licensed practice decide.',
];

const day = (ms: number): string => new Date(ms).toISOString().slice(0, 10);

export function reportOf({ book, answers, made }: ReportParts): Report {
  const names = [...book.stands.values()].map((stand) => stand.name);
  const { units } = book.settings.now;
  const entries = book.entries;
  const span =
    entries.length === 0
      ? 'nothing said yet'
      : wording.list(uniq([day(entries[0]!.time), day(book.lastTime)]), 'to');
  return {
    title: names.length === 0 ? 'Field book' : wording.list(names),
    sections: [
      { heading: 'When', lines: [`Measured: ${span}. Report of ${day(made)}. Days are of universal time.`] },
      { heading: 'Totals', lines: answerLines(answers) },
      ...speciesSection(book),
      ...plotSection(book),
      ...treeSection(book),
      doubtSection(book),
      { heading: 'How it was measured', lines: settingsLines(book) },
      sourceSection(book),
      { heading: 'Please note', lines: cautions },
    ].filter((section) => (section.lines?.length ?? 0) + (section.table?.length ?? 0) > 0),
  };

  function speciesSection(of: Book): Section[] {
    const codes = uniq([...of.trees()].map((tree) => tree.species));
    if (codes.length === 0) return [];
    const rows = codes.map((species) => {
      const scope = { species };
      return [
        wording.speciesName(species),
        plain(of.totals.trees(scope), 0),
        plain(of.totals.quadraticDiameter(scope), 1),
        plain(of.totals.meanHeight(scope), 1),
        plain(of.totals.basalArea(scope), 1),
        plain(of.totals.density(scope), 1),
      ];
    });
    const head = [
      'species',
      'trees',
      'quadratic mean dbh, in',
      'mean height, ft',
      'ft² an acre',
      'trees an acre',
    ];
    return [{ heading: 'By species', table: [head, ...rows] }];
  }

  function plotSection(of: Book): Section[] {
    const rows = [...of.plots()].map((plot) => [
      String(plot.number),
      plot.stand === null ? '' : (of.stands.get(plot.stand)?.name ?? ''),
      wording.plotSize(plot, units),
      plot.slopePct === null ? '' : `${wording.digits(plot.slopePct, 1)} %`,
      String(of.totals.treesOnPlot(plot.id)),
      plot.empty ? 'empty' : plot.closed ? 'closed' : 'open',
    ]);
    if (rows.length === 0) return [];
    return [{ heading: 'Plots', table: [['plot', 'stand', 'size', 'slope', 'trees', 'state'], ...rows] }];
  }

  function treeSection(of: Book): Section[] {
    const rows = [...of.trees()].map((tree) => [
      String(tree.number),
      of.plot(tree.plot)?.number.toString() ?? '',
      wording.treeFacts(tree, units),
      tree.heightFt === null || tree.heightSdFt === null
        ? ''
        : wording.heightAndError(tree.heightFt, tree.heightSdFt, units),
      tree.counted ? '' : 'out: not counted',
    ]);
    if (rows.length === 0) return [];
    return [{ heading: 'Trees', table: [['tree', 'plot', 'what was said', 'height', ''], ...rows] }];
  }
}

function doubtSection(book: Book): Section {
  const how = { open: 'Open', kept: 'Kept as it was', mended: 'Mended', dropped: 'Dropped' };
  const lines = book.doubts.map(({ tree, doubt, state }) => {
    const number = book.tree(tree)?.number;
    return `${how[state]}${number === undefined ? '' : `, tree ${number}`}: ${doubt.sentence}`;
  });
  const marks = book.totals.bookDoubts().map((mark) => mark.sentence);
  const all = [...lines, ...marks];
  return { heading: 'Doubts', lines: all.length > 0 ? all : ['None.'] };
}

function settingsLines(book: Book): string[] {
  const { pace, eye, counting, units, groundShorter } = book.settings.now;
  return [
    pace === null
      ? 'Pace: not set.'
      : `Pace ${wording.paceLength(pace.feet, units)}, standard deviation ${wording.digits(pace.sdFeet, 2)} feet.`,
    eye === null ? 'Eye height: not set.' : `Eye height ${wording.eyeHeight(eye.feet, units)}.`,
    counting === 'steps' ? 'Single steps were counted.' : 'A pace is two steps.',
    ...(groundShorter > 0
      ? [`Paces taken ${wording.digits(groundShorter, 0)} percent shorter for the ground.`]
      : []),
  ];
}

function sourceSection(book: Book): Section {
  const estimates: Estimate[] = [
    book.totals.basalArea(),
    book.totals.volumePerAcre('international'),
    book.totals.perAcre('biomass'),
    book.totals.perAcre('carbon'),
    book.totals.meanHeight(),
  ].filter((estimate) => estimate.value !== null);
  return {
    heading: 'Tables, formulas and what was taken for granted',
    lines: uniq(estimates.flatMap((one) => [...one.sources, ...one.assumed, ...one.leftOut])),
  };
}

const uniq = <T>(items: readonly T[]): T[] => [...new Set(items)];

/** A value with its standard error, for a table cell. */
function plain({ value, se }: Estimate, decimals: number): string {
  if (value === null) return '';
  const error = se === null || se === 0 ? '' : ` ± ${se.toFixed(decimals)}`;
  return `${value.toFixed(decimals)}${error}`;
}

/** The report as text for a terminal or a letter. */
export function reportText({ title, sections }: Report): string {
  const parts = sections.map(({ heading, lines = [], table = [] }) => {
    const widths = (table[0] ?? []).map((_, at) => Math.max(...table.map((row) => (row[at] ?? '').length)));
    const rows = table.map((row) =>
      row
        .map((cell, at) => cell.padEnd(widths[at]!))
        .join('  ')
        .trimEnd(),
    );
    return `${heading}\n${'-'.repeat(heading.length)}\n${[...lines, ...rows].join('\n')}\n`;
  });
  return `${title}\n${'='.repeat(title.length)}\n\n${parts.join('\n')}`;
}

/** Inline style of the page; its hash is allowed where the page is served. Prints on paper as it shows. */
export const reportStyle = `body{font:1rem/1.5 Georgia,serif;color:#1b1a17;background:#fbf8ef;max-width:52rem;margin:2rem auto;padding:0 1rem}
h1{border-bottom:2px solid}h2{font-size:1.1rem;margin-top:2rem}table{border-collapse:collapse;font-variant-numeric:tabular-nums}
th,td{border-bottom:1px solid #b9b29c;padding:.25rem .75rem .25rem 0;text-align:left;vertical-align:top}@media print{body{background:none;margin:0}}`;

/** The report as one page that needs no other file. */
export function reportPage(report: Report): string {
  const sections = report.sections.map(({ heading, lines = [], table = [] }) => {
    const [head, ...rows] = table.map((row) => row.map(html));
    const tableText =
      head === undefined
        ? ''
        : `<table><thead><tr>${head.map((cell) => `<th>${cell}</th>`).join('')}</tr></thead><tbody>${rows
            .map((row) => `<tr>${row.map((cell) => `<td>${cell}</td>`).join('')}</tr>`)
            .join('')}</tbody></table>`;
    return `<h2>${html(heading)}</h2>${lines.map((line) => `<p>${html(line)}</p>`).join('')}${tableText}`;
  });
  const title = html(report.title);
  return `<!doctype html><html lang="en"><head><meta charset="utf-8"><title>${title}</title><style>${reportStyle}</style></head><body><h1>${title}</h1>${sections.join('\n')}</body></html>\n`;
}

const html = (text: string): string =>
  text.replace(/[&<>"']/g, (character) => `&#${character.charCodeAt(0)};`);
