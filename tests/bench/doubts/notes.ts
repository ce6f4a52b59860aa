/**
 * Notes that a person would give for a known tree, and the same notes with one slip in them. The shares of the ways
 * and their errors are by judgement; nothing published says how often people slip.
 */

import type { Pair } from '../../../shared/measuring/doubt/curve.ts';
import type { SaidDiameter } from '../../../shared/measuring/doubt/slips.ts';
import type { Measurement } from '../../../shared/note/note.ts';
import { settingsWith } from '../../measuring/settings.ts';
import type { Random } from './random.ts';

export const settings = settingsWith({ feet: 5.3, sdFeet: 0.1 }, { feet: 5.5, sdFeet: 0.15 });

export interface Told {
  readonly measurement: Measurement;
  readonly diameter: SaidDiameter;
}

const pace = 5.3;
const eye = 5.5;
const to = (value: number, step: number): number => Number((Math.round(value / step) * step).toFixed(4));

/** A note for this tree: the way of measuring at random, with a relative error of 5 percent. `bias`: pace of the day. */
export function tell(tree: Pair, random: Random, bias: number): Told {
  const height = tree.heightFt * Math.exp(0.05 * random.normal());
  const diameter: SaidDiameter = {
    value: Math.max(0.1, to(tree.diameterIn * Math.exp(0.01 * random.normal()), 0.1)),
  };
  const way = random.next();
  if (tree.heightFt < 20) {
    return { measurement: { method: 'reading', takes: [{ value: to(height, 0.1) }] }, diameter };
  }
  if (way < 0.05) {
    const count = Math.max(0.5, to(height / (pace * bias), 0.5));
    return { measurement: { method: 'spans', distance: { by: 'paces', count } }, diameter };
  }
  if (way < 0.45) {
    const count = Math.max(0.5, to((height - eye) / (pace * bias), 0.5));
    return { measurement: { method: 'stick', distance: { by: 'paces', count } }, diameter };
  }
  if (way < 0.6) {
    const value = to(Math.max(height - eye, 3), 1);
    return {
      measurement: { method: 'stick', distance: { by: 'length', length: { value }, taped: true } },
      diameter,
    };
  }
  if (way < 0.85) {
    const count = to(random.between(0.8, 1.4) * (height / pace), 1);
    const tangent = (height - eye) / (count * pace * bias);
    const percent = way < 0.75;
    return {
      measurement: {
        method: 'angles',
        scale: percent ? 'pct' : 'deg',
        top: percent ? to(100 * tangent, 1) : to((Math.atan(tangent) * 180) / Math.PI, 1),
        distance: { by: 'paces', count },
      },
      diameter,
    };
  }
  return { measurement: { method: 'reading', takes: [{ value: to(height, 1) }] }, diameter };
}

export const slipKinds = [
  'stepsForPaces',
  'pacesForSteps',
  'teenTy',
  'tenfold',
  'digit',
  'swapped',
  'metresForFeet',
  'feetForMetres',
  'angleScale',
  'eyeForgotten',
  'spannedEyeAdded',
  'eyeTwice',
  'girthForDiameter',
  'diameterForGirth',
  'centimetresForInches',
  'inchesForCentimetres',
  'teenTyDiameter',
  'tenfoldDiameter',
  'digitDiameter',
  'swappedDiameter',
] as const;
/**
 * Heights that no slip of the tool's table makes: the top of another tree, an echo from a twig, a device in another mode.
 * A reading times or over a number between those of the slips.
 */
export const unlistedKinds = ['times1.6', 'times2', 'times2.3', 'over1.6', 'over2.3'] as const;
export type UnlistedKind = (typeof unlistedKinds)[number];
export type SlipKind = (typeof slipKinds)[number] | UnlistedKind;

/** Whether a slip is one of the tool's table. */
export const isListed = (slip: SlipKind | null): boolean =>
  slip !== null && (slipKinds as readonly string[]).includes(slip);

/** The note as another reading of a device, off by a factor; null where no device read the height. */
export function misread(told: Told, kind: UnlistedKind): Told | null {
  const { measurement: m, diameter } = told;
  const take = m.method === 'reading' ? m.takes[0] : undefined;
  if (m.method !== 'reading' || take === undefined) return null;
  const by = Number(kind.replace(/^(times|over)/, ''));
  const value = to(kind.startsWith('times') ? take.value * by : take.value / by, 0.1);
  return { measurement: { ...m, takes: [{ ...take, value }] }, diameter };
}

/** The note with this slip in it, or null where the note has no room for it. */
export function slipped(told: Told, kind: (typeof slipKinds)[number], random: Random): Told | null {
  const { measurement: m, diameter: d } = told;
  const height = (measurement: Measurement | null): Told | null =>
    measurement && { measurement, diameter: d };
  const thick = (diameter: SaidDiameter | null): Told | null => diameter && { measurement: m, diameter };
  switch (kind) {
    case 'stepsForPaces':
      return height(withCount(m, (count) => 2 * count));
    case 'pacesForSteps':
      return height(withCount(m, (count) => (count >= 1 ? count / 2 : null)));
    case 'teenTy':
    case 'tenfold':
    case 'digit':
    case 'swapped':
      return height(withNumber(m, (value) => wrong(value, kind, random)));
    case 'metresForFeet':
      return height(withLength(m, (value) => ({ value: to(value * 0.3048, 0.1) })));
    case 'feetForMetres':
      return height(withLength(m, (value) => ({ value, unit: 'm' as const })));
    case 'angleScale':
      return m.method === 'angles' ? height({ ...m, scale: m.scale === 'pct' ? 'deg' : 'pct' }) : null;
    case 'eyeForgotten':
      if (m.method === 'stick') return height({ method: 'spans', distance: m.distance });
      return m.method === 'reading'
        ? height(withLength(m, (value) => (value > 8 ? { value: to(value - eye, 0.1) } : null)))
        : null;
    case 'spannedEyeAdded':
      return m.method === 'spans' ? height({ method: 'stick', distance: m.distance }) : null;
    case 'eyeTwice':
      return m.method === 'reading'
        ? height(withLength(m, (value) => ({ value: to(value + eye, 0.1) })))
        : null;
    case 'girthForDiameter':
      return thick({ value: to(d.value * Math.PI, 0.1) });
    case 'diameterForGirth':
      return thick({ ...d, girth: true });
    case 'centimetresForInches':
      return thick({ value: to(d.value * 2.54, 0.1) });
    case 'inchesForCentimetres':
      return thick({ ...d, unit: 'cm' });
    default: {
      const value = wrong(d.value, numberSlip[kind], random);
      return thick(value === null ? null : { ...d, value });
    }
  }
}

type Wrong = 'teenTy' | 'tenfold' | 'digit' | 'swapped';
const numberSlip = {
  teenTyDiameter: 'teenTy',
  tenfoldDiameter: 'tenfold',
  digitDiameter: 'digit',
  swappedDiameter: 'swapped',
} as const;

function wrong(value: number, kind: Wrong, random: Random): number | null {
  const text = String(value);
  const places = [...text].flatMap((c, i) => (c === '.' ? [] : [i]));
  switch (kind) {
    case 'teenTy': {
      const whole = Math.floor(value);
      const rest = whole % 100;
      if (rest >= 13 && rest <= 19) return to(value - rest + 10 * (rest - 10), 0.1);
      return rest >= 30 && rest % 10 === 0 ? to(value - rest + 10 + rest / 10, 0.1) : null;
    }
    case 'tenfold':
      return value % 10 === 0 && random.next() < 0.5 ? value / 10 : to(value * 10, 1);
    case 'swapped': {
      const k = random.below(Math.max(places.length - 1, 1));
      const [i, j] = [places[k], places[k + 1]];
      if (i === undefined || j === undefined || text[i] === text[j] || (i === 0 && text[j] === '0'))
        return null;
      const turned = [...text];
      [turned[i], turned[j]] = [turned[j]!, turned[i]!];
      return Number(turned.join(''));
    }
    case 'digit': {
      const i = random.pick(places);
      const digit = String(random.below(10));
      if (digit === text[i] || (i === 0 && digit === '0')) return null;
      const next = Number(text.slice(0, i) + digit + text.slice(i + 1));
      return next > 0 ? next : null;
    }
  }
}

function withCount(m: Measurement, change: (count: number) => number | null): Measurement | null {
  if (!('distance' in m) || m.distance.by !== 'paces') return null;
  const count = change(m.distance.count);
  return count === null ? null : { ...m, distance: { ...m.distance, count } };
}

function withLength(
  m: Measurement,
  change: (value: number) => { value: number; unit?: 'm' } | null,
): Measurement | null {
  if (m.method === 'reading') {
    const take = change(m.takes[0]!.value);
    return take === null ? null : { ...m, takes: [take] };
  }
  if ('distance' in m && m.distance.by === 'length') {
    const length = change(m.distance.length.value);
    return length === null ? null : { ...m, distance: { ...m.distance, length } };
  }
  return null;
}

/** The number that carries the height: the sighted angle, else the count, the length or the reading. */
function withNumber(m: Measurement, change: (value: number) => number | null): Measurement | null {
  if (m.method === 'angles') {
    const top = change(m.top);
    return top === null ? null : { ...m, top };
  }
  return (
    withCount(m, change) ??
    withLength(m, (value) => {
      const next = change(value);
      return next === null ? null : { value: next };
    })
  );
}
