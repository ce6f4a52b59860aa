/** One part of a measurement said right by its name: the arm, the pole's shadow, the base, the scale of its angles. */
import { err, ok, type Result } from '../core/result.ts';
import type { Distance, Measurement, NoteOf } from '../note/note.ts';
import { lengthSchema } from '../note/quantities.ts';

type Part = NonNullable<NoteOf<'change'>['measured']>;
type Scale = NonNullable<NoteOf<'change'>['scale']>;

/** Under which names of a measurement a part may stand; the first that it has is meant. */
const fields: Readonly<Record<Part['of'], readonly string[]>> = {
  distance: ['distance'],
  arm: ['arm'],
  stick: ['stick'],
  pole: ['pole'],
  shadow: ['shadow'],
  poleShadow: ['poleShadow'],
  poleReads: ['poleReads'],
  treeReads: ['treeReads'],
  /** "The pole's was seven", "the tree's was 83". */
  ofPole: ['poleShadow', 'poleReads'],
  ofTree: ['shadow', 'treeReads'],
};
const readings = /Reads$/;

const named: Readonly<Record<Part['of'], string>> = {
  distance: 'no distance',
  arm: 'no arm',
  stick: 'no stick of its own length',
  pole: 'no pole',
  shadow: 'no shadow',
  poleShadow: 'no shadow of a pole',
  poleReads: 'no reading of a pole',
  treeReads: 'no reading of a scale',
  ofPole: 'no pole',
  ofTree: 'no shadow and no reading of a scale',
};

/**
 * The measurement with another value for a part, in the unit that it had unless one is said; an error where it has no such part.
 * Example: `the arm was 27` of a height by a stick of 24 on an arm of 25.
 */
export function withPart(measurement: Measurement, part: Part): Result<Measurement, string> {
  const { of, value, unit } = part;
  if (of === 'distance' && 'distance' in measurement)
    return ok({ ...measurement, distance: movedTo(measurement.distance, part) });
  const key = fields[of].find((one) => Object.hasOwn(measurement, one));
  if (key === undefined)
    return err(`The last height used ${named[of]}. Say the measurement again with all its numbers.`);
  if (readings.test(key)) {
    return unit === undefined
      ? ok({ ...measurement, [key]: value } as Measurement)
      : err('What a scale reads has no unit. Say the number alone.');
  }
  const before = Object.entries(measurement).find(([name]) => name === key)?.[1];
  const kept = unit ?? lengthSchema.safeParse(before).data?.unit;
  return ok({
    ...measurement,
    [key]: { value, ...(kept === undefined ? {} : { unit: kept }) },
  } as Measurement);
}

/** As far off as is said: a number alone counts what the distance was told in. */
function movedTo(distance: Distance, { value, unit }: Part): Distance {
  if (distance.by !== 'length')
    return unit === undefined ? { ...distance, count: value } : { by: 'length', length: { value, unit } };
  const kept = unit ?? distance.length.unit;
  return { ...distance, length: { value, ...(kept === undefined ? {} : { unit: kept }) } };
}

/** The angles in another scale: all of them, as nobody reads two scales at once. */
export function inScale(measurement: Measurement, scale: Scale): Result<Measurement, string> {
  if (measurement.method !== 'angles')
    return err('The last height was not measured by angles. Nothing to change.');
  const { base } = measurement;
  return ok({
    ...measurement,
    scale,
    ...(base?.by === 'angle' ? { base: { by: 'angle', angle: { value: base.angle.value } } } : {}),
  });
}
