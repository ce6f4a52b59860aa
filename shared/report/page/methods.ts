/** How it was measured, and by which table, formula and edition each value was reckoned. */

import type { Book } from '../../book/book.ts';
import { meanHeight } from '../../book/mean-height.ts';
import type { Settings } from '../../book/settings.ts';
import { required } from '../../core/required.ts';
import { heightMethods } from '../../measuring/height/methods.ts';
import type { Height } from '../../measuring/height/types.ts';
import {
  type DeviationName,
  deviationNames,
  deviationSize,
  deviations,
  sourceOf,
} from '../../note/deviations.ts';
import { logRules, usualLogRule } from '../../note/log-rules.ts';
import * as wording from '../../wording/wording.ts';
import type { Section } from './sections.ts';

export function methodSections(book: Book): Section[] {
  return [
    { heading: 'How it was measured', lines: settingLines(book) },
    heightSection(book),
    deviationSection(book),
    sourceSection(book),
  ].filter((section): section is Section => section !== null);
}

/** A pace, and how many heights were measured with it. */
interface Used {
  readonly settings: Settings;
  heights: number;
}

/** What the heights of the book were measured with, by person; null is who was never named. */
function measurers(book: Book): Map<string | null, { paces: Used[]; eyes: Set<number> }> {
  const found = new Map<string | null, { paces: Used[]; eyes: Set<number> }>();
  for (const { value, device, point } of book.heights()) {
    if (value === null) continue;
    const settings = book.settings.at(device, point);
    const own = found.get(settings.person) ?? { paces: [], eyes: new Set<number>() };
    found.set(settings.person, own);
    const stepOf = (name: string) => value.steps.find((step) => step.name === name)?.value;
    const eye = stepOf('eye');
    if (eye !== undefined) own.eyes.add(eye);
    if (stepOf('pace') === undefined) continue;
    const same = own.paces.find((one) => samePace(one.settings, settings));
    if (same) same.heights++;
    else own.paces.push({ settings, heights: 1 });
  }
  return found;
}

const samePace = (a: Settings, b: Settings): boolean =>
  a.pace?.feet === b.pace?.feet &&
  a.pace?.sdFeet === b.pace?.sdFeet &&
  a.counting === b.counting &&
  a.groundShorter === b.groundShorter;

/** The pace of settings that were used for a paced height. */
const paceOf = ({ pace }: Settings) => required(pace, 'the pace');

/** Pace and eye of everyone who measured; those of the book where nothing was measured with any. */
function personLines(book: Book): string[] {
  const { now } = book.settings;
  const { units } = now;
  const people = measurers(book);
  const paces = [...people].flatMap(([person, own]) => own.paces.map((used) => ({ person, ...used })));
  const eyes = [...people].flatMap(([person, own]) => [...own.eyes].map((feet) => ({ person, feet })));
  if (paces.length === 0 && now.pace !== null) paces.push({ person: now.person, settings: now, heights: 0 });
  if (eyes.length === 0 && now.eye !== null) eyes.push({ person: now.person, feet: now.eye.feet });
  const of = (person: string | null) =>
    person !== null ? ` of ${wording.placeName(person)}` : people.size > 1 ? ' of who was not named' : '';
  const lines = paces.map(({ person, settings, heights }) => {
    const { walks, counting, groundShorter } = settings;
    const pace = paceOf(settings);
    const parts = [
      `Pace${of(person)} ${wording.paceLength(pace.feet, units)}`,
      `standard deviation ${units === 'metres' ? wording.paceLength(pace.sdFeet, units) : `${wording.digits(pace.sdFeet, 2)} feet`}`,
      ...(walks.length === 0 ? [] : [`from ${walks.length === 1 ? '1 walk' : `${walks.length} walks`}`]),
      ...(counting === 'steps' ? ['single steps counted'] : []),
      ...(groundShorter > 0
        ? [`taken ${wording.digits(groundShorter, 0)} percent shorter for the ground`]
        : []),
    ];
    return `${parts.join(', ')}${paces.length === 1 ? '' : `: ${heights === 1 ? '1 height' : `${heights} heights`}`}.`;
  });
  if (paces.length === 0) lines.push('Pace: not set.');
  else {
    const percents = paces.map(({ settings }) => (100 * paceOf(settings).sdFeet) / paceOf(settings).feet);
    const span = [
      ...new Set([Math.min(...percents), Math.max(...percents)].map((one) => wording.digits(one, 1))),
    ];
    lines.push(
      `An error of ${paces.length === 1 ? 'the pace is common to all paced heights' : 'a pace is common to all heights paced with it'}, ${span.join(' to ')} percent of each, and does not average out.`,
      'A pace is two steps.',
    );
  }
  if (eyes.length === 0) lines.push('Eye height: not set.');
  for (const { person, feet } of eyes)
    lines.push(`Eye height${of(person)} ${wording.eyeHeight(feet, units)}.`);
  return lines;
}

function settingLines(book: Book): string[] {
  const { edge, slopeMethod } = book.settings.now;
  const lines = personLines(book);
  const plots = [...book.plots()];
  if (plots.length > 0) {
    lines.push(
      edge === 'none'
        ? 'No correction at the edge of the stand.'
        : `Trees at the edge of the stand by ${edge}.`,
    );
  }
  const { logRule } = book.settings.now;
  lines.push(
    `Board feet by ${logRules[logRule ?? usualLogRule].name}${logRule === null ? ', as none was set' : ''}; Girard form class ${book.totals.ledger.formClass} where none was said.`,
  );
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
  const byFormula = new Map<string, { first: Height; heights: number; variance: number }>();
  for (const { value } of book.heights()) {
    if (value === null) continue;
    const key = `${value.method}\0${value.formula.words}`;
    const own = byFormula.get(key) ?? { first: value, heights: 0, variance: 0 };
    own.heights++;
    own.variance += value.sdFeet ** 2;
    byFormula.set(key, own);
  }
  if (byFormula.size === 0) return null;
  const { units } = book.settings.now;
  const rows = [...byFormula.values()].map(({ first, heights, variance }) => {
    const { method, formula } = first;
    const sd = Math.sqrt(variance / heights);
    return [
      wording.sentence(heightMethods[method].name),
      String(heights),
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

/** The errors supposed in the heights of the book, each with its source. */
function deviationSection(book: Book): Section | null {
  const used = new Map<DeviationName, Set<number>>();
  for (const { value } of book.heights())
    for (const { of, value: sd } of value?.assumed ?? []) used.set(of, (used.get(of) ?? new Set()).add(sd));
  if (used.size === 0) return null;
  const rows = deviationNames
    .filter((name) => used.has(name))
    .flatMap((name) =>
      [...(used.get(name) ?? [])].map((sd) => {
        const { about } = deviations[name];
        return [
          wording.sentence(about),
          deviationSize(name, sd, book.settings.now.units),
          sourceOf(name, sd),
        ];
      }),
    );
  return {
    heading: 'Supposed errors',
    table: { head: ['', 'standard deviation', 'source'], rows, wide: true },
    notes: ['Another value can be set for each; it holds from then on.'],
  };
}

function sourceSection(book: Book): Section | null {
  const { totals } = book;
  const rule = book.settings.now.logRule ?? usualLogRule;
  const asked = [
    ['Basal area', totals.basalArea()],
    ['Trees', totals.density()],
    [`Sawlogs, ${logRules[rule].name}`, totals.volumePerAcre(rule)],
    ['Whole stems', totals.perAcre('cubic')],
    ['Biomass above ground', totals.perAcre('biomass')],
    ['Carbon', totals.perAcre('carbon')],
    ['Mean height', meanHeight(book)],
    ['Lorey’s height', totals.loreyHeight()],
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
