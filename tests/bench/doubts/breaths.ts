/**
 * The tree in two breaths, as people say it: species and diameter first, then the height; each is judged, so each may
 * raise a false alarm. All earlier trees are sound.
 */

import { diameterToInches } from '../../../shared/core/units.ts';
import { HeightCurve } from '../../../shared/measuring/doubt/curve.ts';
import { askFrom, doubtsOf } from '../../../shared/measuring/doubt/index.ts';
import { measure } from '../../../shared/measuring/height/measure.ts';
import { settings, tell } from './notes.ts';
import { Random } from './random.ts';
import type { Stand } from './sets.ts';

/** Shares of sound trees asked about at the diameter, at the height, and at either, with ten and more earlier trees. */
export function falseAlarmsInTwoBreaths(stand: Stand, seed: number, orders: number) {
  const random = new Random(seed);
  let trees = 0;
  let atDiameter = 0;
  let atHeight = 0;
  let atEither = 0;
  for (let order = 0; order < orders; order++) {
    const curve = new HeightCurve();
    for (const tree of random.shuffled(stand.trees).slice(0, 80)) {
      const { measurement, diameter } = tell(tree, random, 1);
      const height = measure(measurement, settings);
      if (curve.n >= 10 && height.ok) {
        const diameterIn = diameterToInches(diameter, settings.units);
        const context = { settings, curve, others: [] };
        const facts = { diameter, ...(tree.species === null ? {} : { species: tree.species }) };
        const first = doubtsOf(
          { kind: 'tree', note: { kind: 'tree', facts }, diameterIn, species: tree.species },
          { ...context, tree: null },
        );
        const record = {
          species: tree.species,
          diameterIn,
          heightFt: null,
          marks: [],
          status: 'live' as const,
        };
        const second = doubtsOf(
          {
            kind: 'height',
            note: { kind: 'height', height: measurement },
            measurement,
            height: height.value,
          },
          { ...context, tree: record },
        );
        const [a, b] = [first, second].map((doubts) => doubts.some(({ strength }) => strength >= askFrom));
        trees++;
        if (a) atDiameter++;
        if (b) atHeight++;
        if (a || b) atEither++;
      }
      curve.observe(tree);
    }
  }
  return { trees, atDiameter: atDiameter / trees, atHeight: atHeight / trees, atEither: atEither / trees };
}
