/** Walks that are walked again and again with the errors of their legs, for test and bench. */
import { seeded } from '../../shared/core/random.ts';
import type { Leg } from '../../shared/land/leg.ts';
import { closeTraverse } from '../../shared/land/traverse.ts';
import { azimuth, normal, paced, read, taped, walker } from './support.ts';

/** Walks whose errors are known by simulation. */
export const walks: Readonly<Record<string, readonly Leg[]>> = {
  'six paced legs': [
    [20, 61],
    [75, 84],
    [130, 70],
    [195, 90],
    [255, 66],
    [310, 77],
  ].map(([degrees, count]) => read(paced(azimuth(degrees!), count!))),
  'a long stand, half of it taped': [
    read(paced(azimuth(88), 200)),
    read(taped(azimuth(178), 300)),
    read(paced(azimuth(268), 201)),
    read(taped(azimuth(358), 295)),
  ],
  'two walkers on a slope': [
    read({ ...paced(azimuth(45), 90), slope: { value: 30, unit: 'pct' } }),
    read(paced(azimuth(140), 80), { ...walker, name: 'Bo', pace: { feet: 4.9, sdFeet: 0.15 } }),
    read({ ...paced(azimuth(225), 85), slope: { value: 20, unit: 'deg' } }),
    read(paced(azimuth(320), 88), { ...walker, name: 'Bo', pace: { feet: 4.9, sdFeet: 0.15 } }),
  ],
};

const times = 20_000;

/** The errors said of a walk, and those of walking it 20 000 times: paces of a person and the declination are shared. */
export function simulatedErrors(legs: readonly Leg[], seed: number) {
  const random = seeded(seed);
  const said = closed(legs);
  const acres: number[] = [];
  let squares = 0;
  for (let walk = 0; walk < times; walk++) {
    const paces = new Map<string, number>();
    const turn = normal(random);
    const walked = legs.map((leg): Leg => {
      const { name: by } = leg.walker;
      if (!paces.has(by)) paces.set(by, normal(random));
      return {
        ...leg,
        feet: leg.feet + leg.feetSd * normal(random) + leg.paceFt * paces.get(by)!,
        azimuth: leg.azimuth + leg.azimuthSd * normal(random) + leg.declinationSd * turn,
      };
    });
    const found = closed(walked);
    acres.push(found.area.acres);
    squares += (found.misclosure.eastFt - said.misclosure.eastFt) ** 2;
    squares += (found.misclosure.northFt - said.misclosure.northFt) ** 2;
  }
  const mean = acres.reduce((sum, value) => sum + value, 0) / times;
  return {
    acres: said.area.acres,
    saidAreaSd: said.area.sdAcres,
    areaSd: Math.sqrt(acres.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (times - 1)),
    saidClosingFt: said.misclosure.expectedFt,
    closingFt: Math.sqrt(squares / times),
  };
}

function closed(legs: readonly Leg[]) {
  const traverse = closeTraverse(legs);
  if (!traverse.ok) throw new Error(traverse.error);
  return traverse.value;
}
