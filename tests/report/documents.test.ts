/**
 * The pages of methods, of formats and the field guide are written from the tables of the program and from its language, and
 * compared: `-u` writes them anew. What a page says of a field by hand does not compile, or fails, when the field is added or
 * goes.
 */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { safetyCautions } from '../../client/screens/safety.tsx';
import { type HelpEntry, helpOf } from '../../grammar/writing/help.ts';
import { keysOf } from '../../shared/core/tables.ts';
import { believedFor, costs } from '../../shared/measuring/doubt/costs.ts';
import { heightMethodKeys, heightMethods } from '../../shared/measuring/height/methods.ts';
import { asSaid, deviationNames, deviations } from '../../shared/note/deviations.ts';
import { type Entry, journalFormat } from '../../shared/note/journal.ts';
import { limits } from '../../shared/note/limits.ts';
import { type LogRuleRow, logRuleKeys, logRules } from '../../shared/note/log-rules.ts';
import { columnList } from '../../shared/report/files/csv.ts';
import { toGeoJson } from '../../shared/report/files/geojson.ts';
import { landFeatures, legColumns } from '../../shared/report/files/land-files.ts';
import { fileColumns } from '../../shared/report/files/tables.ts';
import { woodOf } from '../../shared/report/files/wood.ts';
import { biomassSource, carbonFractions } from '../../shared/totals/biomass.ts';
import { converse } from '../support/conversation.ts';
import { trees } from '../support/language.ts';
import { squareWalk } from './square-walk.ts';

const at = (name: string): string => fileURLToPath(new URL(`../../shared/docs/${name}`, import.meta.url));

const table = (head: readonly string[], rows: readonly (readonly (string | number)[])[]): string =>
  [head, head.map(() => '---'), ...rows]
    .map((cells) => `| ${cells.map((cell) => String(cell).replaceAll('|', '\\|')).join(' | ')} |`)
    .join('\n');

/** Files whose formulas name their source in the comment above them. */
const formulaFiles = [
  'measuring/height/formulas.ts',
  'totals/plots.ts',
  'totals/tree-volume.ts',
  'totals/cubic.ts',
] as const;

/** The comments of what a file exports that name a source: formula, units, ranges, source and an example. */
function formulasIn(file: (typeof formulaFiles)[number]): string[] {
  const text = readFileSync(new URL(`../../shared/${file}`, import.meta.url), 'utf8');
  return [...text.matchAll(/\/\*\*((?:(?!\*\/)[\s\S])*)\*\/\nexport (?:function|const) (\w+)/g)]
    .map(([, comment, name]) => [name, comment!.replaceAll(/\n \* ?/g, ' ').trim()] as const)
    .filter(([, comment]) => /\bSource\b/.test(comment))
    .map(([name, comment]) => `- \`${name}\`: ${comment}`);
}

const methodsPage = (): string => `# Methods

Written from the program's own tables (\`npx vitest run tests/report/documents.test.ts -u\`). Inside, heights and distances
are international feet, diameters inches, areas acres. Where values were compared with print: \`sources.md\`.

## Heights

A height's error is the root of the sum of squares of what each supposed error below would change it by. The formulas
themselves, with range, unit and example, are below.

${table(
  ['method', 'how', 'source'],
  heightMethodKeys.map((key) => {
    const { name, formula } = heightMethods[key];
    return [name, formula.words, formula.source];
  }),
)}

## Supposed errors

Standard deviations. "Why" and the report name those that a height used; Setup changes them.

${table(
  ['error of', 'value', 'unit', 'source'],
  deviationNames.map((name) => {
    const { about, value, unit, source } = deviations[name];
    return [about, Number(asSaid(name, value).toFixed(3)), unit, source];
  }),
)}

## Doubts

A value is brought up where the chance that it is wrong, times what a mistake costs, is more than bringing it up costs. By
judgement: the shares of these seconds decide, not the seconds.
Where trees scatter much, sound ones look like slips, and less belief will do.

${table(
  ['what', 'seconds', 'brought up below a belief of'],
  keysOf(costs).map((key) => [
    costs[key].of,
    costs[key].seconds,
    key === 'mistake' ? '' : believedFor(key).toFixed(2),
  ]),
)}

## Formulas

As the program's own functions say of themselves; the tests run the examples. Tables and worked examples that they were held
against are in \`sources.md\`.

${formulaFiles.flatMap(formulasIn).join('\n')}

## Board feet

Of standing trees by the regressions on diameter, logs and form class; where a rule has none, log by log.

${table(
  ['rule', 'regression', 'source'],
  logRuleKeys.map((key) => {
    const { name, regression, source }: LogRuleRow = logRules[key];
    return [name, regression === null ? 'none' : 'nine coefficients', source];
  }),
)}

## Biomass and carbon

Above-ground oven-dry biomass: ${biomassSource}.

${table(
  ['carbon', 'part of dry mass', 'source'],
  Object.entries(carbonFractions).map(([name, { value, source }]) => [name, value, source]),
)}

## What a book can hold

What is outside is refused with a sentence; what is merely unlikely is asked about. Widths by judgement, no source.

${table(
  ['quantity', 'least', 'most', 'unit'],
  Object.entries(limits).map(([name, { least, most, unit }]) => [name, least, most, unit]),
)}
`;

/** Fields of an entry; one that is added has no line here and does not compile. */
const entryFields = {
  id: 'UUIDv7; an entry that is there already under its id is not added again',
  device: 'the device on which it was said',
  seq: 'number on its device, from 1, without gaps',
  time: 'place in the order: milliseconds since 1970, above that of every entry its device had seen',
  clock:
    'milliseconds since 1970 by the clock of the device, where that is not `time`; days and hours follow it',
  zone: 'minutes by which that clock was ahead of universal time',
  words: 'what was said, word for word',
  note: 'what it meant: fields in the units that were said',
  means: 'what it came to as a note, where that is another one',
  breath: 'of several notes in one breath: the first one’s entry, its place from 0, and how many',
  grammar: 'version of the language that read it',
  acts: 'what it did to the book, in feet, inches and acres; ids are those of the entries that began a thing',
  asks: 'the question that the answer put',
  settles: 'the entry whose question this one answered',
  doubts: 'what was in doubt, with its strength from 0 to 1',
  heard:
    'of spoken words: fit of the sound in natural log units, belief from 0 to 1, times of words in seconds, the clip',
  position: 'degrees of WGS 84, accuracy in metres',
  person: 'who was named on the device',
  seen: 'of other devices, the latest entry that this one had, where that is news',
} satisfies Record<keyof Entry, string>;

const properties: Readonly<Record<string, string>> = {
  record: '`plot` or `tree`',
  number: 'its number in the book',
  stand: 'name of the stand',
  stratum: 'name of the stratum',
  plotBy: '`area`, `radius`, `factor` or `tally`; null where it has no size yet',
  plotSize: 'the size in `plotUnit`',
  plotUnit: 'acre, ha; ft, m; ft2/acre, m2/ha',
  slopePct: 'slope of the ground, percent',
  closed: 'whether the plot was closed',
  empty: 'whether it was said to have no tree',
  plot: 'number of its plot',
  species: 'common name',
  scientificName: 'scientific name',
  fia: 'FIA species code',
  plants: 'PLANTS symbol',
  status: 'live, dead or cull',
  count: 'trees alike that it stands for',
  dbhIn: 'diameter outside bark at breast height, inches',
  heightFt: 'height, feet',
  heightSdFt: 'its standard deviation, feet',
  logs16Ft: 'logs of sixteen feet',
  merchFt: 'merchantable height, feet',
  defectPct: 'volume lost to defect, percent',
  formClassPct: 'Girard form class, percent',
  marks: 'words of marks',
  method: 'how the height was measured',
  remarks: 'what was remarked of it',
  perAcre: 'expansion factor, trees an acre that one stem stands for',
  basalAreaFt2: 'basal area of one stem, square feet',
  boardFeet: 'sawlogs of one stem, net; the rule is named in `boardFeetBy` of the collection',
  stemFt3: 'whole stem, cubic feet',
  biomassLb: 'oven-dry above ground, pounds',
  counted: 'false: measured at the border and found out',
  half: 'true: on the border, counted as half a tree',
  time: 'when it was begun, ISO 8601, universal time',
  person: 'who was named',
  positionAccuracyMetres: 'radius in which it lies with 95 percent, metres; missing without a position',
};

/** Of edges that were walked, and of plots that were laid out. */
const landProperties: Readonly<Record<string, string>> = {
  record: '`edge` or `planned plot`',
  stand: 'name of the stand or stratum',
  from: 'whether the edge was walked by compass or brought in',
  acres: 'area inside the edge',
  acresSd: 'standard deviation of the area, acres',
  misclosureFt: 'by how much the walk does not come back to its start, feet',
  perimeterFt: 'length of the walk, feet',
  north: 'the north that bearings are from: `true`, or `magnetic` where no declination is known',
  positionAccuracyMetres:
    'radius in which the start lies with 95 percent, metres; missing without a position',
  note: 'that it is no legal survey',
  number: 'number of the planned plot',
  eastFt: 'feet east of the start of the walk',
  northFt: 'feet north of the start of the walk',
  toEdgeFt: 'feet to the nearest edge',
  crossesEdge: 'whether the plot reaches over the edge',
  taken: 'whether it was measured',
  seed: 'the chance number that the plan was drawn from',
};

const legColumnRows = (): string[][] =>
  columnList(legColumns).map((line) => /^(\S+) \((.+?)\): (.+)$/.exec(line)!.slice(1));

const formatsPage = (): string => `# Formats

Written from the exporters (\`npx vitest run tests/report/documents.test.ts -u\`). All text is UTF-8.

## CSV: \`stemsay export --format csv\`

RFC 4180. A row a plot, a row a tree. A cell that a spreadsheet would take for a formula has an apostrophe before it.
Columns may be moved and others added: \`stemsay import\` finds them by their names.

In a metric book the columns of lengths, areas and weights are metric, and named so. Columns marked + are worked out or came
later: a table is read without them, too.

${table(
  ['column', 'unit', 'in a metric book', 'meaning'],
  fileColumns('feet').map(({ name, unit, meaning, spare }, at) => {
    const metric = fileColumns('metres')[at]!;
    const other = metric.name === name ? '' : `${metric.name}, ${metric.unit}`;
    return [`${name}${spare ? ' +' : ''}`, unit, other, meaning];
  }),
)}

Rows of settings come last, in the order in which they were said; \`stemsay import\` sets them again, each for who said it.

## CSV of walked edges: \`stemsay export --format csv --table legs\`

A row a leg of every walk that is closed.

${table(['column', 'unit', 'meaning'], legColumnRows())}

## JSON: \`stemsay export --format json\`

The whole journal without loss: \`{"kind":"stemsay journal","format":${journalFormat},"entries":[...]}\`, one entry a line. It is read
back with \`stemsay import\`. Fields of an entry; those that do not apply are missing:

${table(
  ['field', 'meaning'],
  Object.entries(entryFields).map(([name, meaning]) => [name, meaning]),
)}

## GeoJSON: \`stemsay export --format geojson\`

RFC 7946, WGS 84, longitude first, six decimals; a feature a plot, a feature a tree. The geometry is a point where the device
was, null where that is not known.

${table(
  ['property', 'meaning'],
  Object.entries(properties).map(([name, meaning]) => [name, meaning]),
)}

Behind them a feature an edge (a polygon, or several) and a feature a planned plot (a point); their geometry is null where the
walk began without a position.

${table(
  ['property', 'meaning'],
  Object.entries(landProperties).map(([name, meaning]) => [name, meaning]),
)}

## The book

One SQLite file: table \`entries\` (cursor, id, the entry as JSON as above, a CRC-32 of that text), \`clips\` (reference, 16-bit WAV),
\`devices\`. Rows are added, never changed. A crew's book is in PostgreSQL: \`crews.md\`.
`;

/** Up to so many characters, example and what it does, entries share a line. */
const short = 50;

const guideLine = ({ examples: [first], help }: HelpEntry): string => `**${first}**: ${help}`;

/** A chapter: a line for each thing that can be said, those of few words together on the last. */
function chapterOf(family: string, entries: readonly HelpEntry[]): string {
  const said = entries.filter(({ examples }) => examples.length > 0);
  const brief = said.filter(({ examples: [first], help }) => first!.length + help.length <= short);
  const long = said.filter((entry) => !brief.includes(entry));
  const lines = [...long.map(guideLine), ...(brief.length > 0 ? [brief.map(guideLine).join(' ')] : [])];
  return `## ${family}\n\n${lines.map((line) => `- ${line}`).join('\n')}`;
}

const { families } = helpOf(trees);

const fieldGuide = (): string => `# Field guide: what can be said

Written from the language itself (\`npx vitest run tests/report/documents.test.ts -u\`); Help in the page has more examples of
each, other ways to say it, and prints itself. Say it or type it, several in one breath with "then" or a comma between. Numbers
may be typed as figures.

${families.map(({ family, entries }) => chapterOf(family, entries)).join('\n\n')}

## Before you go in

${safetyCautions.map((caution) => `- ${caution}`).join('\n')}
`;

/**
 * Two sheets of Letter, the shorter of the usual ones, with edges of 10 mm: lines of 9 point on 10.8, characters of a line,
 * lines above a chapter. Common practice, no source; a browser prints the page of today on two sheets of either.
 */
const sheets = { lines: 2 * 68, characters: 125, chapter: 0.5 } as const;

describe('the field guide', () => {
  it('is what the language says', async () => {
    await expect(fieldGuide()).toMatchFileSnapshot(at('field-guide.md'));
  });

  it('has an example of every rule that has one', () => {
    const page = fieldGuide();
    const entries = families.flatMap((family) => family.entries);
    const missing = entries.filter(({ examples: [first], help }) =>
      first === undefined ? false : !page.includes(`**${first}**: ${help}`),
    );
    expect(missing).toEqual([]);
  });

  it('fits on two printed sheets', () => {
    const lines = fieldGuide()
      .split('\n')
      .filter((line) => line !== '')
      .map((line) =>
        line.startsWith('#')
          ? 1 + sheets.chapter
          : Math.ceil(line.replaceAll('**', '').length / sheets.characters),
      );
    expect(lines.reduce((sum, count) => sum + count, 0)).toBeLessThanOrEqual(sheets.lines);
  });
});

describe('the page', () => {
  it('of methods is what the tables say', async () => {
    await expect(methodsPage()).toMatchFileSnapshot(at('methods.md'));
  });

  it('of formats is what the exporters write', async () => {
    await expect(formatsPage()).toMatchFileSnapshot(at('formats.md'));
  });

  it('has every property of the GeoJSON, and no other', async () => {
    const { say, session } = await converse();
    await say('mill lot ten acres', 'plot one, tenth acre', 'red oak sixteen, two logs');
    const { book } = session;
    const { features } = toGeoJson(woodOf(book));
    const written = new Set(features.flatMap((feature) => Object.keys(feature.properties)));
    expect(new Set(features.map((feature) => feature.properties.record))).toEqual(new Set(['plot', 'tree']));
    expect([...written].filter((name) => !(name in properties))).toEqual([]);
    // Without a position there is no accuracy of one.
    expect(Object.keys(properties).filter((name) => !written.has(name))).toEqual(['positionAccuracyMetres']);
  });

  it('has every property of edges and planned plots, and no other', async () => {
    const { say, session } = await converse();
    await say(...squareWalk, 'yes', 'lay out six plots');
    const features = landFeatures(session.book);
    const written = new Set(features.flatMap((feature) => Object.keys(feature.properties)));
    expect(new Set(features.map((feature) => feature.properties.record))).toEqual(
      new Set(['edge', 'planned plot']),
    );
    expect([...written].filter((name) => !(name in landProperties))).toEqual([]);
    expect(Object.keys(landProperties).filter((name) => !written.has(name))).toEqual([
      'positionAccuracyMetres',
    ]);
  });

  it('of methods has the formulas of every file that is named for it', () => {
    expect(formulaFiles.filter((file) => formulasIn(file).length === 0)).toEqual([]);
  });
});
