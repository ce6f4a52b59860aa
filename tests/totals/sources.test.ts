/**
 * Every value of a table or formula that was seen in published material, beside ours: value here, value seen, source,
 * difference. The comparison is written to `shared/docs/sources.md` (`npx vitest run tests/totals/sources.test.ts -u`), and a
 * change of any of our values shows there.
 */
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { measure } from '../../shared/measuring/height/index.ts';
import { deviationNames, deviations } from '../../shared/note/deviations.ts';

import { internationalLog, type LogRule, scribnerFormulaLog } from '../../shared/note/log-rules.ts';
import { jenkinsGroups, species, speciesByCode } from '../../shared/note/species.ts';
import { biomassSource, carbonFractions, jenkinsEquations } from '../../shared/totals/biomass.ts';
import { regressionBoardFeet } from '../../shared/totals/tree-volume.ts';
import { closedAsPrinted } from '../land/printed-traverses.ts';
import { examples } from '../references/seen/examples.ts';
import { type Printed, printedTraverses, yearWords } from '../references/seen/traverses.ts';
import { number, readTable } from '../support/tables.ts';

interface Compared {
  readonly what: string;
  readonly here: number;
  readonly seen: number;
}

const doc = fileURLToPath(new URL('../../shared/docs/sources.md', import.meta.url));
const formClass = readTable('seen/form_class_78.csv');
const scribner = readTable('seen/scribner.csv');
const scribnerFormula = readTable('seen/scribner_formula.csv');
const international = readTable('seen/international.csv');
const biomass = readTable('seen/biomass.csv');
const trees = readTable('seen/species.csv');

const ruleOf: Readonly<Record<string, LogRule>> = {
  doyle: 'doyle',
  scribner: 'scribner',
  international_1_4: 'international',
};
const cell = (row: Readonly<Record<string, string>>): [number, number] => [
  number(row, 'dib_in'),
  number(row, 'length_ft'),
];
const gap = ({ here, seen }: Compared): number => Math.abs(here / seen - 1);
const middle = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1]!;
const percent = (part: number): string => `${(100 * part).toFixed(1).replace('-0.0', '0.0')} %`;

/** Cells of the form-class tables from `from` up to `to` inches, ours by the regressions. */
function formClassCells(rule: string, from: number, to: number): Compared[] {
  return formClass
    .filter((row) => row.rule === rule && number(row, 'dbh_in') >= from && number(row, 'dbh_in') <= to)
    .map((row) => ({
      what: `${row.dbh_in} in, ${row.logs_16ft} logs`,
      here: regressionBoardFeet(ruleOf[rule]!, number(row, 'dbh_in'), number(row, 'logs_16ft'), 78),
      seen: number(row, 'board_feet'),
    }));
}

const internationalCells = international.map(
  (row): Compared => ({
    what: `${row.dib_in} in, ${row.length_ft} ft`,
    here: 5 * Math.round(internationalLog(...cell(row)) / 5),
    seen: number(row, 'board_feet'),
  }),
);
const formulaCells = scribnerFormula.map(
  (row): Compared => ({
    what: `${row.dib_in} in, ${row.length_ft} ft`,
    here: scribnerFormulaLog(...cell(row)),
    seen: number(row, 'board_feet'),
  }),
);
/** The rule proper, where the formula is meant to stand for it: 12 to 40 inches, 10 to 20 feet. */
const diagramCells = scribner
  .filter((row) => number(row, 'dib_in') >= 12 && number(row, 'length_ft') >= 10)
  .map(
    (row): Compared => ({
      what: `${row.dib_in} in, ${row.length_ft} ft`,
      here: scribnerFormulaLog(...cell(row)),
      seen: number(row, 'whole_bf'),
    }),
  );

/** Coefficients of a group: the two of the equation. */
function biomassValues(row: (typeof biomass)[number]): Compared[] {
  const group = jenkinsGroups.find((one) => row.species_group!.startsWith(one))!;
  const { b0, b1 } = jenkinsEquations[group];
  return [
    { what: `${group}, b0`, here: b0, seen: number(row, 'total_b1') },
    { what: `${group}, b1`, here: b1, seen: number(row, 'total_b2') },
  ];
}
const biomassCells = biomass.flatMap(biomassValues);

const usualHeights = trees
  .filter((row) => row.mature_ft_low !== '' && row.mature_ft_high !== '')
  .flatMap((row): Compared[] => {
    const ours = speciesByCode(number(row, 'fia_code'))!;
    return [
      { what: `${ours.commonName}, from`, here: ours.matureFt[0], seen: number(row, 'mature_ft_low') },
      { what: `${ours.commonName}, to`, here: ours.matureFt[1], seen: number(row, 'mature_ft_high') },
    ];
  });
const tallestHeights = trees
  .filter((row) => row.tall_seen_ft !== '')
  .flatMap((row): Compared[] => {
    const { tallest, commonName } = speciesByCode(number(row, 'fia_code'))!;
    // A record, where there is one, goes before the tallest measured tree.
    if (tallest?.kind === 'record') return [];
    return [{ what: commonName, here: tallest?.feet ?? Number.NaN, seen: number(row, 'tall_seen_ft') }];
  });

/** One line of the summary. `exact`: ours must be the value seen; else `limit` is the largest difference allowed, a share. */
interface Topic {
  readonly name: string;
  readonly cells: readonly Compared[];
  readonly source: string;
  readonly limit: number;
}

const topics: readonly Topic[] = [
  ...(['doyle', 'scribner', 'international_1_4'] as const).flatMap((rule): Topic[] => [
    {
      name: `standing trees, ${ruleOf[rule]}, regression at 13 to 40 in`,
      cells: formClassCells(rule, 13, 40),
      source: 'Mesavage & Girard 1946, form class 78 (two copies)',
      limit: 0.047,
    },
    {
      name: `standing trees, ${ruleOf[rule]}, regression at 10 to 12 in`,
      cells: formClassCells(rule, 10, 12),
      source: 'Mesavage & Girard 1946, form class 78',
      limit: 0.27,
    },
  ]),
  {
    name: 'logs, International 1/4-inch, to the nearest 5',
    cells: internationalCells,
    source: 'a public page of 47 cells; constants: Michigan Act 208 of 1941',
    limit: 0,
  },
  {
    name: 'logs, Scribner formula, 10 in and more',
    cells: formulaCells.filter(({ seen }) => seen >= 20),
    source: 'Clemson Forestry Leaflet 15, 1997, Table 1 (whole board feet)',
    limit: 0.02,
  },
  {
    name: 'logs, Scribner formula against the rule proper, 12 to 40 in',
    cells: diagramCells,
    source: 'Forest Service scaling factors (four transcriptions)',
    limit: 0.1,
  },
  {
    name: 'biomass: coefficients',
    cells: biomassCells,
    source: 'REF_SPECIES; Jenkins et al. 2003, Tables 4 and 6',
    limit: 1e-12,
  },
  {
    name: 'usual heights of species',
    cells: usualHeights,
    source: 'FHWA-RD-97-028, Table 2, after Preston 1976',
    limit: 0,
  },
  {
    name: 'tallest measured trees of species',
    cells: tallestHeights,
    source: 'Eastern Native Tree Society, about 2004',
    limit: 0,
  },
];

/** What no seen source stands behind, named where it is used. */
const fromMemory: readonly (readonly [what: string, use: string])[] = [
  ['composite form factor 0.42 (Gevorkiantz & Olsen 1955)', 'whole stems, unless another form factor is set'],
  ['carbon fractions 0.50, 0.48, 0.51', 'only where chosen; without a choice the sourced 0.47 holds'],
  ['largest diameter known, 460 in', 'a limit that no tree passes'],
  [
    `usual heights of ${species.filter((one) => one.matureFrom === 'M').length} species (Burns & Honkala 1990)`,
    'doubts, where Preston 1976 was not seen',
  ],
  ['mirage and walkthrough (Schmid-Haas 1969; Ducey et al. 2004)', 'trees at the edge of the stand'],
  ['constants of the normal distribution (Cody 1993)', 'tested against R'],
];

function document(): string {
  const lines = [
    '# Where the numbers come from',
    '',
    'Written by `tests/totals/sources.test.ts` from `tests/references/seen/`, values that were read in published material.',
    'Ours beside each; the difference is a share of the value seen.',
    '',
    '## Tables',
    '',
    '| what | values | equal | median difference | largest | at | source |',
    '|---|---|---|---|---|---|---|',
  ];
  for (const { name, cells, source } of topics) {
    const gaps = cells.map(gap);
    const most = Math.max(...gaps);
    const at = most === 0 ? '' : cells[gaps.indexOf(most)]!;
    const where = at === '' ? '' : `${at.what}: ${Number(at.here.toFixed(1))} here, ${at.seen} seen`;
    // Whole numbers are printed, so ours are equal when they round to what is printed.
    const equal = cells.filter(
      (one) => one.here === one.seen || (Number.isInteger(one.seen) && Math.round(one.here) === one.seen),
    );
    lines.push(
      `| ${name} | ${cells.length} | ${equal.length} | ${percent(middle(gaps))} | ${percent(most)} | ${most < 5e-4 ? '' : where} | ${source} |`,
    );
  }
  lines.push(
    '',
    '## Worked examples',
    '',
    '| what | given | here | printed | difference | source |',
    '|---|---|---|---|---|---|',
  );
  for (const { topic, given, here, printed, unit, source } of examples) {
    const ours = here();
    const shown = Number(ours.toPrecision(6));
    lines.push(
      `| ${topic} | ${given} | ${shown} ${unit} | ${printed} | ${percent(ours / printed - 1)} | ${source} |`,
    );
  }
  lines.push(
    '',
    '## Traverses',
    '',
    'Worked closed traverses: what a page prints beside what its courses come to here, in the unit of the page.',
    '',
    '| traverse | what | here | printed | source | year |',
    '|---|---|---|---|---|---|',
  );
  for (const traverse of printedTraverses) {
    const ours = closedAsPrinted(traverse);
    for (const [what, { value }] of Object.entries(traverse.printed)) {
      const shown = Number(ours[what as Printed].toPrecision(6));
      lines.push(
        `| ${traverse.name} | ${what}${what === 'oneIn' ? '' : `, ${what === 'area' ? 'square ' : ''}${traverse.unit}`} | ${shown} | ${value} | ${traverse.source} | ${yearWords(traverse)} |`,
      );
    }
  }
  lines.push(
    '',
    '## Heights of species',
    '',
    'Usual: height of mature large trees after Preston 1976 (P), or from memory of Burns & Honkala 1990 (M). Tallest: a record',
    'from a copied encyclopaedia text, or the tallest laser-measured tree known about 2004.',
    '',
    '| species | usual, ft | from | tallest, ft | kind |',
    '|---|---|---|---|---|',
  );
  for (const { commonName, matureFt, matureFrom, tallest } of species) {
    lines.push(
      `| ${commonName} | ${matureFt[0]} to ${matureFt[1]} | ${matureFrom} | ${tallest?.feet ?? ''} | ${tallest?.kind ?? ''} |`,
    );
  }
  lines.push(
    '',
    '## Assumed errors',
    '',
    'Standard deviations of hand, eye and tool; each can be changed in Setup, some by voice.',
    '',
    '| error of | standard deviation | source |',
    '|---|---|---|',
    ...deviationNames.map((name) => {
      const { about, value, unit, source } = deviations[name];
      const shown = unit === 'percent' ? Number((100 * value).toFixed(1)) : value;
      return `| ${about} | ${shown} ${unit} | ${source} |`;
    }),
  );
  lines.push(
    '',
    '## From memory',
    '',
    'No seen source stands behind these.',
    '',
    '| what | used for |',
    '|---|---|',
  );
  for (const [what, use] of fromMemory) lines.push(`| ${what} | ${use} |`);
  return `${lines.join('\n')}\n`;
}

describe('values here and values seen', () => {
  it.each(topics)('$name', ({ cells, limit }) => {
    expect(cells.length).toBeGreaterThan(5);
    for (const one of cells)
      expect(gap(one), `${one.what}: ${one.here}, seen ${one.seen}`).toBeLessThanOrEqual(limit);
  });

  it('the Scribner formula lies within a board foot of its printed table', () => {
    for (const one of formulaCells) expect(Math.abs(one.here - one.seen), one.what).toBeLessThanOrEqual(1);
  });

  it.each(examples)('$topic: $given is $printed $unit', ({ here, printed, within }) => {
    expect(Math.abs(here() - printed)).toBeLessThanOrEqual(within);
  });

  it('all 66 codes, symbols and biomass groups are those of the national reference table', () => {
    expect(trees.length).toBe(species.length);
    for (const row of trees) {
      expect(speciesByCode(number(row, 'fia_code'))).toMatchObject({
        symbol: row.symbol,
        jenkinsGroup: row.group,
      });
    }
  });

  it('a height from memory stands only where none was seen', () => {
    const sighted = new Set(
      trees
        .filter((row) => row.mature_ft_low !== '' && row.mature_ft_high !== '')
        .map((row) => number(row, 'fia_code')),
    );
    for (const { code, matureFrom } of species)
      expect(matureFrom, `${code}`).toBe(sighted.has(code) ? 'P' : 'M');
  });

  it('the carbon that is used without a choice, 0.47, lies between the ratios of single species, 0.445 and 0.538', () => {
    const ratios = trees.map((row) => number(row, 'carbon'));
    expect(Math.min(...ratios)).toBe(0.445);
    expect(Math.max(...ratios)).toBe(0.538);
    expect(carbonFractions.general.value).toBeGreaterThan(Math.min(...ratios));
    expect(carbonFractions.general.value).toBeLessThan(Math.max(...ratios));
    for (const source of [biomassSource, carbonFractions.general.source])
      expect(source).not.toMatch(/memory/);
  });

  it('every assumed error is above nothing and names a figure or says that there is none', () => {
    for (const name of deviationNames) {
      expect(deviations[name].value, name).toBeGreaterThan(0);
      expect(deviations[name].source, name).toMatch(/\d|common practice, no source/);
    }
  });

  it('0.7 degrees a sighting give the 2.9 percent that trained measurers differ by (Luoma et al. 2017)', () => {
    // From as far off as the tree is tall over the eye, base a tenth of the distance below it, taped.
    const found = measure(
      {
        method: 'angles',
        scale: 'deg',
        top: 45,
        base: { by: 'angle', angle: { value: -5.71, unit: 'deg' } },
        distance: { by: 'length', length: { value: 60, unit: 'ft' }, taped: true },
      },
      { pace: null, eye: null, counting: 'paces', units: 'feet', groundShorter: 0, scatter: {} },
    );
    expect(found.ok && (100 * found.value.sdFeet) / found.value.feet).toBeGreaterThan(2.4);
    expect(found.ok && (100 * found.value.sdFeet) / found.value.feet).toBeLessThan(3.2);
  });

  it('is the table of the documentation', async () => {
    await expect(document()).toMatchFileSnapshot(doc);
  });
});
