/** A printed traverse as it comes to here, in the unit of its page. */

import { squareFeetPerAcre } from '../../shared/core/units.ts';
import { closeTraverse } from '../../shared/land/traverse.ts';
import type { Printed, PrintedTraverse } from '../references/seen/traverses.ts';
import { azimuth, quadrant, read, taped } from './support.ts';

/** Lengths are taken for feet whatever their unit, as nothing in the geometry depends on it. */
export function closedAsPrinted({ legs }: PrintedTraverse) {
  const made = closeTraverse(
    legs.map(([bearing, length]) =>
      read(taped(typeof bearing === 'number' ? azimuth(bearing) : quadrant(bearing), length)),
    ),
  );
  if (!made.ok) throw new Error(made.error);
  const { misclosure, perimeterFt, area, rows } = made.value;
  return {
    latitude: misclosure.northFt,
    departure: misclosure.eastFt,
    misclosure: misclosure.feet,
    oneIn: misclosure.oneIn ?? Number.POSITIVE_INFINITY,
    perimeter: perimeterFt,
    area: area.acres * squareFeetPerAcre,
    rows,
  } satisfies Record<Printed, number> & Record<string, unknown>;
}
