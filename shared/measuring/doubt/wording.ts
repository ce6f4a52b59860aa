/** The sentence of a doubt: what was said and what it gives, what is odd, what may have been meant. One breath. */
import { required } from '../../core/required.ts';
import { feetToMetres, inchesToCentimetres, lengthUnitOf, unitTable } from '../../core/units.ts';
import type { Measurement } from '../../note/note.ts';
import { speciesByCode } from '../../note/species.ts';
import type { Seen, SlipCause } from './slip-posterior.ts';
import { slips } from './slips.ts';

type Units = 'feet' | 'metres';

const ones =
  'zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen'.split(
    ' ',
  );
const tens = 'twenty thirty forty fifty sixty seventy eighty ninety'.split(' ');

/** A small count as people say it, else digits: 13 is "thirteen", 8.5 "eight and a half", 16.2 "16.2". */
export function inWords(value: number): string {
  const whole = Math.floor(value);
  if (whole < 1 || whole > 99 || (value !== whole && value !== whole + 0.5)) return String(value);
  const unit = whole % 10;
  const text =
    whole < 20 ? ones[whole]! : `${tens[Math.floor(whole / 10) - 2]}${unit === 0 ? '' : ` ${ones[unit]}`}`;
  return value === whole ? text : `${text} and a half`;
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** Whole feet, or metres in tenths, without the unit. */
export const feetText = (feet: number, units: Units): string =>
  units === 'metres' ? `${feetToMetres(feet).toFixed(1)}` : String(Math.round(feet + 1e-6));
const thickness = (inches: number, units: Units): string => {
  const value = units === 'metres' ? inchesToCentimetres(inches) : inches;
  return value < 20 ? String(Number(value.toFixed(1))) : String(Math.round(value));
};
const thicknessUnit = (units: Units): string => (units === 'metres' ? 'centimetre' : 'inch');

/** "an" before eight, eleven, eighteen and the eighties, else "a". */
const article = (number: string): string => (/^(8|11(\D|$)|18(\D|$))/.test(number) ? 'an' : 'a');

function said(measurement: Measurement, units: Units): string {
  if ('distance' in measurement && measurement.method !== 'angles') {
    const { distance } = measurement;
    if (distance.by !== 'length') return `${inWords(distance.count)} ${distance.by}`;
    return `${inWords(distance.length.value)} ${unitTable[distance.length.unit ?? lengthUnitOf(units)].words[0]}`;
  }
  switch (measurement.method) {
    case 'angles': {
      const scale = { deg: ' degrees', pct: ' percent', topo: ' on the 66 foot scale' }[
        measurement.scale ?? 'deg'
      ];
      return `top ${measurement.top}${scale}`;
    }
    case 'shadow':
      return 'that shadow';
    case 'pole':
      return 'that pole';
    default:
      return 'that';
  }
}

/** "Eighty paces gives 430 feet" or, where the height itself was said, "430 feet". */
export function lead(measurement: Measurement, feet: number, units: Units): string {
  const gives = wholeHeight(feet, units);
  if (measurement.method === 'reading' && measurement.takes.length === 1) return gives;
  return `${capital(said(measurement, units))} gives ${gives}`;
}

/** A height by itself: "73 feet". */
export const wholeHeight = (feet: number, units: Units): string => `${feetText(feet, units)} ${units}`;

export function diameterLead(diameterIn: number, units: Units): string {
  const value = thickness(diameterIn, units);
  return `${value} ${units === 'metres' ? 'centimetres' : value === '1' ? 'inch' : 'inches'}`;
}

/**
 * ", too tall for a 16 inch northern red oak": against the height expected of it, or, without a diameter, against the
 * stand (`trees` of them seen).
 */
export function misfit(seen: Seen, expectedFeet: number | null, trees: number, units: Units): string {
  const name = seen.species === null ? 'tree' : (speciesByCode(seen.species)?.commonName ?? 'tree');
  if (seen.feet === null || expectedFeet === null) {
    return trees > 2 ? ', far from the other trees here' : ', unlikely for a tree';
  }
  const way = seen.feet > expectedFeet ? 'tall' : 'short';
  if (seen.diameterIn === null)
    return `, ${way} for ${/^[aeiou]/i.test(name) ? 'an' : 'a'} ${name}${trees > 2 ? ' here' : ''}`;
  const value = String(
    Math.round(units === 'metres' ? inchesToCentimetres(seen.diameterIn) : seen.diameterIn),
  );
  return `, too ${way} for ${article(value)} ${value} ${thicknessUnit(units)} ${name}`;
}

/** What a slip asks, alone and as the second of two. */
function asks(cause: SlipCause): { readonly question: string; readonly short: string } {
  const { meant } = cause;
  if (meant.value !== null) {
    const value = inWords(meant.value);
    return { question: `Did you mean ${value}?`, short: value };
  }
  if (meant.slip !== 'heard') {
    const row = slips[meant.slip];
    if (row.of !== 'number') return row;
  }
  return { question: `Did you say ${cause.words ?? 'something else'}?`, short: cause.words ?? '' };
}

const outcome = (cause: SlipCause, units: Units): string =>
  cause.meant.changes === 'height'
    ? feetText(required(cause.feet, 'the height'), units)
    : `${thickness(required(cause.diameterIn, 'the diameter'), units)} ${units === 'metres' ? 'centimetres' : 'inches'}`;

/** The question about the likeliest cause, and a second where it is nearly as likely. Without causes: measure again. */
export function slipQuestions(causes: readonly SlipCause[], units: Units): string {
  const [first, second] = causes;
  if (first === undefined) return ' Measure again, or keep it?';
  const one = isOtherDiameter(first)
    ? ` Did you mean ${outcome(first, units)}?`
    : ` ${asks(first).question} ${first.meant.changes === 'height' ? 'That gives' : 'That makes it'} ${outcome(first, units)}.`;
  if (second === undefined) return one;
  const other = isOtherDiameter(second) ? '' : `${asks(second).short}: `;
  return `${one} Or ${other}${outcome(second, units)}.`;
}

/** Another number for the diameter needs no result beside it. */
const isOtherDiameter = ({ meant }: SlipCause): boolean =>
  meant.changes === 'diameter' && meant.value !== null;
