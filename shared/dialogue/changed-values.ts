/** What was said, with a number, a length or a distance put in its place: measurements and settings. */

import { lastOf } from '../core/required.ts';
import { err, ok, type Result } from '../core/result.ts';
import { methodOf } from '../measuring/height/methods.ts';
import type { Act } from '../note/acts.ts';
import type { Distance, Measurement, Note, NoteOf } from '../note/note.ts';
import type { Length } from '../note/quantities.ts';
import { inScale, withPart } from './height-parts.ts';

/** The same with one number in the place of another; null where that number does not stand in it exactly once. */
export function replaced<T>(value: T, was: number, to: number): T | null {
  let times = 0;
  const walk = (part: unknown): unknown => {
    if (typeof part === 'number') {
      if (Math.abs(part - was) > 1e-9) return part;
      times++;
      return to;
    }
    if (Array.isArray(part)) return part.map(walk);
    if (part === null || typeof part !== 'object') return part;
    return Object.fromEntries(Object.entries(part).map(([key, each]) => [key, walk(each)]));
  };
  const made = walk(value) as T;
  return times === 1 ? made : null;
}

/** The length of a change, said as a distance or as a number; null for none. */
export function lengthSaid({ distance, number }: NoteOf<'change'>): Length | null {
  if (distance?.by === 'length') return distance.length;
  return number ? numberAsLength(number) : null;
}

type Numbered = NonNullable<NoteOf<'change'>['number']>;

function numberAsLength(number: Numbered): Length | null {
  const { value, unit } = number;
  if (unit === 'deg' || unit === 'pct' || unit === 'topo') return null;
  return unit ? { value, unit } : { value };
}

/** The measurement with the number, distance or eye height put in its place; an error names what could be meant. */
export function changedMeasurement(
  measurement: Measurement,
  to: NoteOf<'change'>,
): Result<Measurement, string> {
  let next: Measurement = measurement;
  if (to.lean) {
    if (!methodOf(next).takesLean)
      return err(
        'A lean cannot be reckoned with for this way of measuring. Say the measurement again with its distance.',
      );
    next = { ...next, lean: to.lean } as Measurement;
  }
  if (to.scale) return inScale(next, to.scale);
  if (to.measured) return withPart(next, to.measured);
  if (to.top && next.method !== 'angles') return sightedFrom(next, to.top, to.base);
  if (to.base) {
    if (!methodOf(next).takesBase)
      return err('This height does not depend on where the base is. Nothing to change.');
    next = { ...next, base: to.base } as Measurement;
  }
  if (to.top) {
    const changed = changedTop(next, to.top);
    if (!changed.ok) return changed;
    next = changed.value;
  }
  if (to.eye) {
    if (!methodOf(next).takesBase) {
      return err('This height used no eye height, because the whole tree was spanned. Nothing to change.');
    }
    next = { ...next, eye: to.eye } as Measurement;
  }
  if (to.distance) {
    if (!('distance' in next))
      return err('This height had no distance to change. Say the measurement again.');
    next = { ...next, distance: withPaceOf(next.distance, to.distance) };
  }
  return to.number ? withNumber(next, to.number) : ok(next);
}

/** Angles said behind a distance: "sixty six feet out", "top fifty two degrees, base minus four". */
function sightedFrom(
  measurement: Measurement,
  { value, unit }: NonNullable<NoteOf<'change'>['top']>,
  base: NoteOf<'change'>['base'],
): Result<Measurement, string> {
  if (measurement.method !== 'stick')
    return err(
      base
        ? 'How far from the tree is that? Say the angles with their distance.'
        : 'This height was not measured by angles. Say the measurement again.',
    );
  const { distance, eye, lean } = measurement;
  return ok({
    method: 'angles',
    ...(unit === undefined ? {} : { scale: unit }),
    top: value,
    distance,
    ...(base ? { base } : {}),
    ...(eye ? { eye } : {}),
    ...(lean ? { lean } : {}),
  });
}

/** A number in its place: the last take, the distance, or what an angle's number tells by its unit and sign. */
function withNumber(next: Measurement, number: Numbered): Result<Measurement, string> {
  if (next.method === 'reading') {
    const length = numberAsLength(number);
    if (!length) return err('A reading is a length. Say it in feet or metres.');
    return ok({ ...next, takes: [...next.takes.slice(0, -1), { ...lastOf(next.takes), ...length }] });
  }
  const angles = next.method === 'angles' ? changedAngles(next, number) : undefined;
  if (angles) return ok(angles);
  if (angles === null || !('distance' in next))
    return err(
      'This height has several numbers. Say which: the distance, the top or the base, or say it all again.',
    );
  const distance = changedDistance(next.distance, number);
  return distance
    ? ok({ ...next, distance })
    : err('A distance is a length or a count of paces. Say it again.');
}

/** Another count is taken by the pace that holds for the height since it was worked out again. */
const withPaceOf = (before: Distance, now: Distance): Distance =>
  before.by === 'length' || now.by === 'length' || before.pace === undefined
    ? now
    : { ...now, pace: before.pace };

type Angles = Extract<Measurement, { method: 'angles' }>;

/** Another angle to the top, in the scale of the first. */
function changedTop(
  measurement: Measurement,
  { value, unit }: NonNullable<NoteOf<'change'>['top']>,
): Result<Measurement, string> {
  if (measurement.method !== 'angles')
    return err('This height was not measured by angles. Say the measurement again.');
  const { scale } = measurement;
  // Both angles may be said in another scale.
  const both = measurement.base?.by !== 'angle' || measurement.base.angle.unit === unit;
  if (unit !== undefined && scale !== undefined && unit !== scale && !both)
    return err('The angles of this height were in another scale. Say both again.');
  return ok({ ...measurement, top: value, ...(unit === undefined ? {} : { scale: unit }) });
}

/** A length is the distance, an angle below the horizon that to the base; any other number may be either: null. */
function changedAngles(measurement: Angles, number: Numbered): Measurement | null {
  const { value, unit } = number;
  const { scale } = measurement;
  const angle = unit === 'deg' || unit === 'pct' || unit === 'topo' ? unit : undefined;
  if (unit !== undefined && angle === undefined) {
    const distance = changedDistance(measurement.distance, number);
    return distance === null ? null : { ...measurement, distance };
  }
  if (value >= 0 || (angle !== undefined && scale !== undefined && angle !== scale)) return null;
  return { ...measurement, base: { by: 'angle', angle: { value, ...(angle ? { unit: angle } : {}) } } };
}

function changedDistance(distance: Distance, number: Numbered): Distance | null {
  const length = numberAsLength(number);
  if (!length) return null;
  if (number.unit !== undefined || distance.by === 'length') {
    const unit = length.unit ?? (distance.by === 'length' ? distance.length.unit : undefined);
    return { by: 'length', length: { value: length.value, ...(unit ? { unit } : {}) } };
  }
  return { ...distance, count: number.value };
}

/** The setting note that puts a number or length in the place of what was set; null when it does not fit. */
export function changedSetting(
  set: Extract<Act, { act: 'setting' }>['set'],
  to: NoteOf<'change'>,
): Note | null {
  const length = to.eye ?? lengthSaid(to);
  if ((set.what === 'pace' || set.what === 'eye') && length)
    return { kind: 'setting', set: { what: set.what, length, ...(set.whose ? { whose: set.whose } : {}) } };
  if (set.what !== 'walk') return null;
  const feet = { value: set.feet, unit: 'ft' as const };
  if (to.distance && to.distance.by !== 'length') {
    return {
      kind: 'setting',
      set: { what: 'walk', count: to.distance.count, of: to.distance.by, length: feet },
    };
  }
  if (to.number && to.number.unit === undefined) {
    return { kind: 'setting', set: { what: 'walk', count: to.number.value, of: set.of, length: feet } };
  }
  if (length) return { kind: 'setting', set: { what: 'walk', count: set.count, of: set.of, length } };
  return null;
}
