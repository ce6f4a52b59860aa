/** How it was measured, and by which table, formula and edition each value was reckoned. */

import type { Book } from '../../book/book.ts';
import type { Settings } from '../../book/settings.ts';
import { lastOf, required } from '../../core/required.ts';
import { heightMethods } from '../../measuring/height/methods.ts';
import type { Height, KnownLength } from '../../measuring/height/types.ts';
import {
  type DeviationName,
  deviationNames,
  deviationSize,
  deviations,
  sourceOf,
} from '../../note/deviations.ts';
import { logRules, usualLogRule } from '../../note/log-rules.ts';
import type { Measurement } from '../../note/note.ts';
import * as wording from '../../wording/wording.ts';
import type { Measure } from './measures.ts';
import type { Section } from './sections.ts';

export function methodSections(book: Book, measures: readonly Measure[]): Section[] {
  const measured = measuredIn(book);
  return [
    { heading: 'How it was measured', lines: settingLines(book, measured.people) },
    heightSection(book, measured.formulas),
    deviationSection(measured.deviations, book.settings.now.units),
    sourceSection(measures),
  ].filter((section): section is Section => section !== null);
}

/** What someone measured with. */
interface Measurer {
  readonly paces: Used[];
  readonly eyes: Set<number>;
}

/** Heights by one formula, and the sum of their variances, feet squared. */
interface ByFormula {
  readonly first: Height;
  heights: number;
  variance: number;
}

/** What the heights of a book have in them: each is worked out once for it. */
interface Measured {
  /** By person; null is who was never named. */
  readonly people: Map<string | null, Measurer>;
  readonly formulas: Map<string, ByFormula>;
  /** The values that each supposed error had. */
  readonly deviations: Map<DeviationName, Set<number>>;
}

function measuredIn(book: Book): Measured {
  const measured: Measured = { people: new Map(), formulas: new Map(), deviations: new Map() };
  for (const { value, device, point, said } of book.heights()) {
    if (value === null) continue;
    addMeasurer(measured.people, value, book.settings.at(device, point), ownPace(lastOf(said).value));
    const key = `${value.method}\0${value.formula.words}`;
    const own = measured.formulas.get(key);
    if (own === undefined)
      measured.formulas.set(key, { first: value, heights: 1, variance: value.sdFeet ** 2 });
    else {
      own.heights++;
      own.variance += value.sdFeet ** 2;
    }
    for (const { of, value: sd } of value.assumed) {
      const known = measured.deviations.get(of);
      if (known === undefined) measured.deviations.set(of, new Set([sd]));
      else known.add(sd);
    }
  }
  return measured;
}

/** The pace that a height has of its own, where it was worked out again with a later one. */
function ownPace(measurement: Measurement | null): KnownLength | undefined {
  const distance = measurement !== null && 'distance' in measurement ? measurement.distance : undefined;
  return distance === undefined || distance.by === 'length' ? undefined : distance.pace;
}

function addMeasurer(
  people: Measured['people'],
  { steps }: Height,
  settings: Settings,
  own: KnownLength | undefined,
): void {
  let measurer = people.get(settings.person);
  if (measurer === undefined) {
    measurer = { paces: [], eyes: new Set() };
    people.set(settings.person, measurer);
  }
  const stepOf = (name: string) => steps.find((step) => step.name === name)?.value;
  const eye = stepOf('eye');
  if (eye !== undefined) measurer.eyes.add(eye);
  if (stepOf('pace') === undefined) return;
  const used = usedWith(settings, own);
  const same = measurer.paces.find((one) => samePace(one, used));
  if (same) same.heights++;
  else measurer.paces.push({ ...used, heights: 1 });
}

/** A pace, how it is counted, and how many heights were measured with it. */
interface Used extends Pick<Settings, 'counting' | 'groundShorter'> {
  readonly pace: KnownLength;
  /** How many walks it comes from. */
  readonly walks: number;
  heights: number;
}

/** The pace of settings that were used for a paced height, or the height's own. */
function usedWith(settings: Settings, own?: KnownLength): Omit<Used, 'heights'> {
  const { counting, groundShorter, walks } = settings;
  const pace = own ?? required(settings.pace, 'the pace');
  return { pace, walks: own === undefined ? walks.length : 0, counting, groundShorter };
}

const samePace = (a: Omit<Used, 'heights'>, b: Omit<Used, 'heights'>): boolean =>
  a.pace.feet === b.pace.feet &&
  a.pace.sdFeet === b.pace.sdFeet &&
  a.counting === b.counting &&
  a.groundShorter === b.groundShorter;

/** Pace and eye of everyone who measured; those of the book where nothing was measured with any. */
function personLines(book: Book, people: Measured['people']): string[] {
  const { now } = book.settings;
  const { units } = now;
  const paces = [...people].flatMap(([person, own]) => own.paces.map((used) => ({ person, ...used })));
  const eyes = [...people].flatMap(([person, own]) => [...own.eyes].map((feet) => ({ person, feet })));
  if (paces.length === 0 && now.pace !== null)
    paces.push({ person: now.person, ...usedWith(now), heights: 0 });
  if (eyes.length === 0 && now.eye !== null) eyes.push({ person: now.person, feet: now.eye.feet });
  const of = (person: string | null) =>
    person !== null ? ` of ${wording.placeName(person)}` : people.size > 1 ? ' of who was not named' : '';
  const lines = paces.map(({ person, pace, walks, counting, groundShorter, heights }) => {
    const parts = [
      `Pace${of(person)} ${wording.paceLength(pace.feet, units)}`,
      `standard deviation ${units === 'metres' ? wording.paceLength(pace.sdFeet, units) : `${wording.digits(pace.sdFeet, 2)} feet`}`,
      ...(walks === 0 ? [] : [`from ${walks === 1 ? '1 walk' : `${walks} walks`}`]),
      ...(counting === 'steps' ? ['single steps counted'] : []),
      ...(groundShorter > 0
        ? [`taken ${wording.digits(groundShorter, 0)} percent shorter for the ground`]
        : []),
    ];
    return `${parts.join(', ')}${paces.length === 1 ? '' : `: ${heights === 1 ? '1 height' : `${heights} heights`}`}.`;
  });
  if (paces.length === 0) lines.push('Pace: not set.');
  else {
    const percents = paces.map(({ pace }) => (100 * pace.sdFeet) / pace.feet);
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

function settingLines(book: Book, people: Measured['people']): string[] {
  const { edge, slopeMethod } = book.settings.now;
  const lines = personLines(book, people);
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
    `Board feet by ${logRules[logRule ?? usualLogRule].name}${logRule === null ? ', as none was set' : ''}; Girard form class ${book.ledger.formClass} where none was said.`,
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
function heightSection(book: Book, byFormula: Measured['formulas']): Section | null {
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
function deviationSection(used: Measured['deviations'], units: Settings['units']): Section | null {
  if (used.size === 0) return null;
  const rows = deviationNames
    .filter((name) => used.has(name))
    .flatMap((name) =>
      [...(used.get(name) ?? [])].map((sd) => {
        const { about } = deviations[name];
        return [wording.sentence(about), deviationSize(name, sd, units), sourceOf(name, sd)];
      }),
    );
  return {
    heading: 'Supposed errors',
    table: { head: ['', 'standard deviation', 'source'], rows, wide: true },
    notes: ['Another value can be set for each; it holds from then on.'],
  };
}

function sourceSection(measures: readonly Measure[]): Section | null {
  const rows = measures.flatMap(({ sourced, estimate: { sources, assumed, leftOut } }) =>
    sourced === null || sources.length === 0
      ? []
      : [
          [
            sourced,
            sources.map(wording.sentence).join('. '),
            // What was taken for granted may be a source too; it is said once.
            [...assumed.filter((one) => !sources.some((source) => one === `${source}.`)), ...leftOut].join(
              ' ',
            ),
          ],
        ],
  );
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
