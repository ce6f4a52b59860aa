/**
 * The evening's report: what was measured, what it comes to with its error, what is still in doubt, how it was measured,
 * and what it is not. One structure of sections; `reportPage` prints it as a document, `reportText` as plain text.
 */
import type { Book } from '../../book/book.ts';
import { dateOf } from '../../core/moment.ts';
import { momentOf } from '../../note/journal.ts';
import type { QuestionTopic } from '../../note/question-topics.ts';
import * as wording from '../../wording/wording.ts';
import type { Drawing } from '../charts/drawing.ts';
import { diametersDrawing, heightDrawings, runningDrawing } from '../charts/drawings.ts';
import { mapDrawing } from '../charts/map.ts';
import { leftOutSection, remarkSection, stratumSection, treeSection, volumeSection } from './details.ts';
import { correctionSection, doubtSection } from './doubts.ts';
import { landSections } from './land.ts';
import { reportedMeasures } from './measures.ts';
import { methodSections } from './methods.ts';
import type { Report, Section } from './sections.ts';
import { plotSection, precisionSection, speciesSection, stockSection, summarySection } from './tables.ts';

interface ReportParts {
  readonly book: Book;
  /** The usual questions with their answers, as `Desk.totals` gives them. */
  readonly answers: readonly TopicAnswer[];
  /** When the report is made, milliseconds since 1970. */
  readonly made: number;
}

interface TopicAnswer {
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
  'The limits speak of the spread between plots. What a table or equation errs, and what one pace or eye height errs for all heights of a day, comes on top.',
];

export function reportOf({ book, answers, made }: ReportParts): Report {
  const measures = reportedMeasures(book);
  const names = [...book.stands.values()].map((stand) => stand.name);
  return {
    title: names.length === 0 ? 'Field book' : wording.list(names.map(wording.placeName)),
    facts: facts(book, made),
    sections: [
      summarySection(book, measures, answerLines(answers)),
      stockSection(book),
      speciesSection(book),
      volumeSection(book),
      stratumSection(book),
      leftOutSection(book),
      precisionSection(book, measures),
      chartSection(book),
      mapSection(book),
      ...landSections(book),
      plotSection(book),
      remarkSection(book),
      doubtSection(book),
      correctionSection(book),
      ...methodSections(book, measures),
      treeSection(book),
      { heading: 'Please note', lines: cautions },
    ].filter((section): section is Section => section !== null),
  };
}

function facts(book: Book, made: number): string[] {
  const { entries } = book;
  const people = new Set<string>();
  for (const { person } of book.trees()) if (person) people.add(person);
  for (const { person } of book.plots()) if (person) people.add(person);
  const moments = [entries.at(0), entries.at(-1)].flatMap((entry) => (entry ? [momentOf(entry)] : []));
  const span = [...new Set(moments.map(dateOf))];
  const stands = [...book.stands.values()].map(
    ({ name, acres }) =>
      `${wording.placeName(name)}${acres === null ? ', area not said' : `, ${wording.area(acres, book.settings.now.units)}`}`,
  );
  return [
    ...stands,
    entries.length === 0
      ? 'Nothing said yet.'
      : `Measured ${span.join(' to ')}${people.size > 0 ? ` by ${wording.list([...people].map(wording.placeName))}` : ''}.`,
    `Report of ${dateOf({ time: made, zone: moments.at(-1)?.zone })}. Days and hours by the clock of those who measured.`,
  ];
}

function chartSection(book: Book): Section | null {
  const drawings = [
    ...heightDrawings(book),
    diametersDrawing(book, null),
    ...([...book.plots()].length > 0 ? [runningDrawing(book)] : []),
  ].filter((drawn): drawn is Drawing => typeof drawn !== 'string');
  return drawings.length === 0 ? null : { heading: 'Charts', drawings };
}

/** A map, where any plot has a position. */
function mapSection(book: Book): Section | null {
  const drawn = mapDrawing(book);
  return typeof drawn === 'string' ? null : { heading: 'Map', drawings: [drawn] };
}

/** The report as text for a terminal or a letter; of a chart only what it shows. */
export function reportText({ title, facts: told, sections }: Report): string {
  const parts = sections.map(({ heading, lines = [], table, drawings = [], notes = [] }) => {
    const rows = table === undefined ? [] : columnsOf([table.head, ...table.rows]);
    const shown = drawings.map((drawing) => `${drawing.title}: ${drawing.says}`);
    return `${heading}\n${'-'.repeat(heading.length)}\n${[...lines, ...rows, ...shown, ...notes].join('\n')}\n`;
  });
  return `${title}\n${'='.repeat(title.length)}\n${told.join('\n')}\n\n${parts.join('\n')}`;
}

function columnsOf(rows: readonly (readonly string[])[]): string[] {
  const widths = rows[0]!.map((_, at) => Math.max(...rows.map((row) => (row[at] ?? '').length)));
  return rows.map((row) =>
    row
      .map((cell, at) => cell.padEnd(widths[at]!))
      .join('  ')
      .trimEnd(),
  );
}
