/** Heights by a known length beside the tree: a stick laid down, a pole beside the stem, a pole's shadow. */
import { ok } from '../../core/result.ts';
import { plain, radians } from '../../core/units.ts';
import { heightByLaid, heightByPole, heightByShadow } from './formulas.ts';
import type { Found, Of } from './found.ts';
import { impossible, type Read, readDistance, saidSd, type Working } from './sight.ts';
import { stickTangent } from './sighted.ts';

/** The stick is turned down to the ground: what it points at is as far as the tree is high. */
export function findLaid(measurement: Of<'laid'>, working: Working): Read<Found> {
  const stand = readDistance(working, measurement.distance);
  if (!stand.ok) return stand;
  const { distance } = stand.value;
  const swing = stickTangent(working);
  return ok({ height: (x) => heightByLaid(distance(x) * swing(x)), distance });
}

/** Standard deviation of a clinometer and a tape from as far off as the tree is high, as a part of the height. */
function clinometerPart(working: Working): number {
  const sight = radians(working.better.sightDegrees);
  return Math.hypot(2 * sight, sight, working.better.tapedPart);
}

export function findPole(measurement: Of<'pole'>, working: Working): Read<Found> {
  const { poleReads, treeReads } = measurement;
  const pole = working.length(measurement.pole, 'a pole');
  if (!pole.ok) return pole;
  if (!(poleReads > 1e-6 && poleReads < 1e6)) {
    return impossible(`Expected the pole to read above 0; found ${plain(poleReads)}.`);
  }
  if (!(treeReads > poleReads && treeReads < 1e6)) {
    return impossible(
      `Expected the tree to read more than the pole beside it; found tree ${plain(treeReads)}, pole ${plain(poleReads)}.`,
    );
  }
  working.step('pole', pole.value, 'ft');
  working.step('poleReads', poleReads, 'ratio');
  working.step('treeReads', treeReads, 'ratio');
  // The pole is brought to its reading; the tree reads what it reads, rounded to what was said.
  const length = working.input('pole', 'tape', pole.value, working.sd.stickInches / 12);
  const below = working.input(
    'poleReads',
    'scale',
    poleReads,
    Math.min(working.sd.scaleUnits, poleReads / 10),
  );
  const above = working.input('treeReads', 'scale', treeReads, Math.min(saidSd(treeReads), treeReads / 10));
  working.remedies.push({
    action: 'clinometer',
    sds: { pole: 0, poleReads: 0, treeReads: treeReads * clinometerPart(working) },
  });
  return ok({ height: (x) => heightByPole(length(x), below(x), above(x)) });
}

export function findShadow(measurement: Of<'shadow'>, working: Working): Read<Found> {
  const lengths = [];
  for (const name of ['shadow', 'pole', 'poleShadow'] as const) {
    const what = { shadow: "a tree's shadow", pole: 'a pole', poleShadow: "a pole's shadow" }[name];
    const feet = working.length(measurement[name], what);
    if (!feet.ok) return feet;
    working.step(name, feet.value, 'ft');
    lengths.push(feet.value);
  }
  const [shadow, pole, poleShadow] = lengths as [number, number, number];
  const { sd } = working;
  // The end of a tree's shadow is taken somewhere in its blurred edge: an error of the sun's height, which lengthens a
  // shadow by 2 S / sin 2e a radian, e the sun's height.
  const sun = Math.atan2(pole, poleShadow);
  const edge = (radians(sd.shadowEdgeDegrees) * 2 * shadow) / Math.sin(2 * sun);
  const tree = working.input('shadow', 'shadow', shadow, Math.hypot(sd.shadowFeet, edge));
  const staff = working.input('pole', 'scale', pole, Math.min(sd.stickInches / 12, pole / 10));
  const short = working.input(
    'poleShadow',
    'scale',
    poleShadow,
    Math.min(sd.poleShadowInches / 12, poleShadow / 10),
  );
  // A pole that leans with or against the sun throws a longer or shorter shadow.
  const lean = working.input('poleLean', 'scale', 0, Math.min(sd.poleLeanDegrees, 10));
  // Ground that rises or falls under the tree's shadow more than under the pole's lifts or lowers its end.
  const slope = working.input('slope', 'ground', 0, Math.min(sd.slopeDegrees, 10));
  working.remedies.push({
    action: 'clinometer',
    sds: { pole: 0, poleShadow: 0, poleLean: 0, slope: 0, shadow: shadow * clinometerPart(working) },
  });
  return ok({
    height: (x) => {
      const upright = short(x) - staff(x) * Math.tan(radians(lean(x)));
      return heightByShadow(tree(x), staff(x), upright) + tree(x) * Math.tan(radians(slope(x)));
    },
  });
}
