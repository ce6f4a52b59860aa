/** How it was measured, and by which table, formula and edition each value was reckoned. */
import type { Book } from '../book/book.ts';
import { ruleName } from '../book/setting.ts';
import * as wording from '../book/wording.ts';
import type { Height } from '../height/types.ts';
import type { Section } from './report.ts';
import { methodNames } from './reporttables.ts';

export function methodSections(book: Book): Section[] {
  return [
    { heading: 'How it was measured', lines: settingLines(book) },
    heightSection(book),
    sourceSection(book),
  ].filter((section): section is Section => section !== null);
}

function settingLines(book: Book): string[] {
  const { pace, eye, counting, units, groundShorter, edge, slopeMethod, walks } = book.settings.now;
  const lines: string[] = [];
  if (pace === null) lines.push('Pace: not set.');
  else {
    const part = (100 * pace.sdFeet) / pace.feet;
    const walked =
      walks.length > 0 ? `, from ${walks.length === 1 ? '1 walk' : `${walks.length} walks`}` : '';
    lines.push(
      `Pace ${wording.paceLength(pace.feet, units)}, standard deviation ${wording.digits(pace.sdFeet, 2)} feet${walked}. An error of the pace is common to all paced heights, ${wording.digits(part, 1)} percent of each, and does not average out.`,
    );
  }
  lines.push(eye === null ? 'Eye height: not set.' : `Eye height ${wording.eyeHeight(eye.feet, units)}.`);
  lines.push(counting === 'steps' ? 'Single steps were counted.' : 'A pace is two steps.');
  if (groundShorter > 0)
    lines.push(`Paces taken ${wording.digits(groundShorter, 0)} percent shorter for the ground.`);
  const plots = [...book.plots()];
  if (plots.length > 0) {
    lines.push(
      edge === 'none'
        ? 'No correction at the edge of the stand.'
        : `Trees at the edge of the stand by ${edge}.`,
    );
  }
  if (plots.some((plot) => plot.slopePct !== null)) {
    lines.push(
      slopeMethod === 'onSlope'
        ? 'Plots on a slope are circles laid on it, drawn larger to keep their level area.'
        : 'Distances on a slope are brought to level.',
    );
  }
  return lines;
}

/** Ways of measuring with their formulas, and how good their heights were. */
function heightSection(book: Book): Section | null {
  const byFormula = new Map<string, Height[]>();
  for (const { value } of book.heights()) {
    if (value === null) continue;
    const key = `${value.method}\0${value.formula.words}`;
    byFormula.set(key, [...(byFormula.get(key) ?? []), value]);
  }
  if (byFormula.size === 0) return null;
  const { units } = book.settings.now;
  const rows = [...byFormula.values()].map((heights) => {
    const { method, formula } = heights[0]!;
    const sd = Math.sqrt(heights.reduce((sum, one) => sum + one.sdFeet ** 2, 0) / heights.length);
    return [
      wording.sentence(methodNames[method][1]),
      String(heights.length),
      wording.length(sd, units, 0),
      formula.words,
      formula.source,
    ];
  });
  return {
    heading: 'Heights',
    table: { head: ['', 'heights', 'usual error', 'formula', 'source'], rows, wide: true },
  };
}

function sourceSection(book: Book): Section | null {
  const { totals } = book;
  const rule = book.settings.now.logRule ?? 'international';
  const asked = [
    ['Basal area', totals.basalArea()],
    ['Trees', totals.density()],
    [`Sawlogs, ${ruleName(rule)}`, totals.volumePerAcre(rule)],
    ['Whole stems', totals.perAcre('cubic')],
    ['Biomass above ground', totals.perAcre('biomass')],
    ['Carbon', totals.perAcre('carbon')],
    ['Mean height', totals.meanHeight()],
    ['Mean height by basal area', totals.loreyHeight()],
    ['Top height', totals.topHeight()],
  ] as const;
  const rows = asked
    .filter(([, { value, sources }]) => value !== null && sources.length > 0)
    .map(([name, { sources, assumed, leftOut }]) => [
      name,
      sources.map(wording.sentence).join('. '),
      // What was taken for granted may be a source too; it is said once.
      [...assumed.filter((one) => !sources.some((source) => one === `${source}.`)), ...leftOut].join(' '),
    ]);
  if (rows.length === 0) return null;
  return {
    heading: 'Tables and formulas',
    table: { head: ['', 'table, formula, edition', 'besides'], rows, wide: true },
    notes: [
      'Besides: what was taken for granted, and what was left out.',
      'Limits by Student’s t over plots, strata weighted by their area; a finite population where the area is known.',
      'Where a source is marked “from memory”, its numbers were not checked against the printed page.',
    ],
  };
}
