/**
 * Heights by what was sighted: angles from a level distance or from one along the slope, ranges along the line of sight, and
 * how the base stands to the feet.
 */
import type { Distance, Measurement } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { footingAt, standingWords } from './compose-footing.ts';
import { type Draft, explain, eyeLength, plainLength, type Scan } from './scan.ts';

export interface HeightFound {
  readonly height: Measurement;
  /** Meant as well as the first. */
  readonly other?: Measurement;
  readonly used: readonly number[];
  readonly concepts: readonly Concept[];
  readonly unsure?: boolean;
}

export const always: readonly Concept[] = ['off', 'walk', 'guess', 'tree', 'distance'];

export function distanceOf(scan: Scan, at: number): Distance {
  const { value, unit } = scan.number(at);
  if (unit === 'paces' || unit === 'steps') return { by: unit, count: value };
  const taped = scan.has('tape') ? ({ taped: true } as const) : {};
  return { by: 'length', length: plainLength(scan.number(at)), ...taped };
}

/** The one distance of a stretch: what was walked or taped. */
export function soleDistance(scan: Scan): number | undefined {
  const found = scan.of('distance');
  return found.length === 1 ? found[0] : undefined;
}

export const eyeOf = (scan: Scan): { eye?: ReturnType<typeof plainLength>; at: number[] } => {
  const [at, ...more] = scan.of('eye');
  return at === undefined || more.length > 0 ? { at: [] } : { eye: eyeLength(scan.number(at)), at: [at] };
};

/** The base below or above the feet of who measures, as it was said. */
export function baseOnFoot(
  scan: Scan,
): { base: Extract<Measurement, { method: 'stick' }>['base']; at: readonly number[] } | undefined {
  const [at, ...others] = scan.of('below');
  if (at === undefined || others.length > 0) return undefined;
  const footing = footingAt(scan.pieces, at);
  const side = footing?.side ?? (scan.has('belowFeet') ? 'below' : 'above');
  return {
    base: { by: 'feet', length: plainLength(scan.number(at)), side },
    at: [at, ...(footing?.places ?? []), ...standingWords(scan.pieces, true)],
  };
}
export const footWords: readonly Concept[] = ['belowFeet', 'aboveFeet', 'hill', 'base', 'slope'];

/** 1 for an angle up, -1 for one down, by its sign or the nearest word that tells; undefined where nothing does. */
export function sideOf(scan: Scan, at: number): 1 | -1 | undefined {
  const { sign } = scan.number(at);
  if (sign !== undefined) return sign;
  for (const step of [1, -1] as const) {
    for (let to = at + step; to >= 0 && to < scan.pieces.length; to += step) {
      const { is, text } = scan.pieces[to]!;
      if (is === 'number' || (is === 'break' && step === -1)) break;
      if (is === 'break') break;
      if (/\b(?:down|depression|below|minus|falls|falling)\b/.test(text)) return -1;
      if (/\bup\b/.test(text)) return 1;
    }
  }
  return undefined;
}

/** Degrees or percent where a word or sign behind any of the angles says so. */
function scaleOf(scan: Scan, angles: readonly number[]): 'deg' | 'pct' | undefined {
  const units = new Set(angles.flatMap((at) => scan.number(at).unit ?? []));
  scan.pieces.forEach(({ is, text }) => {
    if (is !== 'words') return;
    if (/^(?:percents?|per cent|pct|%|.*percent scale)$/.test(text)) units.add('pct');
    if (/^(?:degrees?|degs?|°|.*degree scale)$/.test(text)) units.add('deg');
  });
  if (units.size !== 1) return undefined;
  const [unit] = units;
  return unit === 'deg' || unit === 'pct' ? unit : undefined;
}

/** The angle to the top and the one to the base, where that was sighted; undefined where they are not plain. */
function sightsOf(scan: Scan): { top: number; base: number | undefined } | undefined {
  const [tops, bases] = [scan.of('top'), scan.of('base')];
  if (tops.length > 1 || bases.length > 1) return undefined;
  const loose = scan.of('angle', 'percent');
  const [base] = bases;
  // Of two angles the one without a word of its own is the other.
  const top = tops[0] ?? loose.shift() ?? bareTop(scan, base);
  if (top === undefined) return undefined;
  if (base === undefined && loose.length === 1 && scan.number(loose[0]!).sign !== undefined)
    return { top, base: loose[0] };
  return loose.length > 0 ? undefined : { top, base };
}

/** "95 and minus 4 on the percent scale": the number without a sign beside an angle to the base. */
function bareTop(scan: Scan, base: number | undefined): number | undefined {
  const [top, ...others] = scan.of('bare');
  const scaled = base !== undefined && (scaleOf(scan, [base]) !== undefined || scan.has('angle'));
  return scaled && others.length === 0 ? top : undefined;
}

const isSloped = (scan: Scan): boolean =>
  scan.has('slope') && scan.pieces[scan.at('slope')]!.text !== 'ground is';

export function anglesOf(scan: Scan): HeightFound | undefined {
  const sights = sightsOf(scan);
  const distance = soleDistance(scan);
  if (sights === undefined || distance === undefined || scan.has('shadow', 'lean') || isSloped(scan))
    return undefined;
  const { top, base } = sights;
  const { unit, sign, value } = scan.number(top);
  // Forty five degrees are what a stick as long as the reach comes to.
  if (scan.has('stick') && base === undefined && unit === 'deg' && value === 45) return undefined;
  if (unit === undefined && base === undefined && !scan.has('angle')) return undefined;
  const scale = scan.has('scale') ? 'topo' : scaleOf(scan, base === undefined ? [top] : [top, base]);
  const { eye, at: eyes } = eyeOf(scan);
  const foot = base === undefined ? baseOnFoot(scan) : undefined;
  const shared = {
    method: 'angles' as const,
    ...(scale === undefined ? {} : { scale: scale as 'topo' | 'deg' | 'pct' }),
    top: (sign ?? 1) * value,
    distance: distanceOf(scan, distance),
    ...(eye === undefined ? {} : { eye }),
  };
  const stood = foot?.at ?? standingWords(scan.pieces, base !== undefined);
  const used = [top, distance, ...(base === undefined ? [] : [base]), ...eyes, ...stood];
  const concepts: Concept[] = [...always, ...sighting, ...(eyes.length > 0 ? (['eye'] as const) : [])];
  const withBase = (angle: number): Measurement => ({
    ...shared,
    base: { by: 'angle', angle: { value: angle } },
  });
  if (foot !== undefined) return { height: { ...shared, base: foot.base }, used, concepts };
  if (base === undefined)
    return { height: scan.has('level') && scan.has('base') ? withBase(0) : shared, used, concepts };
  const below = scan.number(base);
  const side = sideOf(scan, base);
  if (side !== undefined) return { height: withBase(side * below.value), used, concepts };
  return { height: withBase(-below.value), other: withBase(below.value), used, concepts };
}

/** "Top 52 degrees, base minus 4": the angles alone, of the distance that was told before. */
export function anglesDraft(scan: Scan): Draft | undefined {
  const sights = sightsOf(scan);
  if (scan.asked || sights?.base === undefined || scan.numbers.length !== 2 || scan.species.length > 0)
    return undefined;
  if (scan.has('shadow', 'lean', 'slope', 'scale', 'fix', 'no', 'not', 'ask', 'plot', 'scratch', 'retake'))
    return undefined;
  const { top, base } = sights;
  const side = scan.number(base).value === 0 ? 1 : sideOf(scan, base);
  const scale = scaleOf(scan, [top, base]);
  if (side === undefined || scale === undefined) return undefined;
  const { value, sign } = scan.number(top);
  return {
    notes: [
      {
        kind: 'change',
        top: { value: (sign ?? 1) * value, unit: scale },
        base: { by: 'angle', angle: { value: side * scan.number(base).value, unit: scale } },
      },
    ],
    used: explain(scan, [top, base], [...always, ...sighting, 'that', 'one', 'has', 'here']),
    against: 0.3,
  };
}

const sighting: readonly Concept[] = [
  'top',
  'base',
  'angle',
  'tape',
  'device',
  'scale',
  'level',
  'ask',
  'slope',
  'tall',
  'hill',
  'belowFeet',
  'aboveFeet',
];

/** "Twenty six metres along the ground, fifteen degrees down to the foot, thirty three up": the distance is no level one. */
export function slopedOf(scan: Scan): HeightFound | undefined {
  if (!isSloped(scan) || scan.has('shadow', 'lean', 'scale')) return undefined;
  const distance = soleDistance(scan);
  const length = distance === undefined ? undefined : plainLength(scan.number(distance));
  if (distance === undefined || length === undefined || scan.number(distance).unit === 'paces')
    return undefined;
  const [slope, ...slopes] = scan.of('slope');
  const loose = scan.of('angle', 'percent');
  const base = scan.of('base')[0] ?? loose.find((at) => scan.number(at).sign === -1);
  const top = scan.of('top')[0] ?? loose.find((at) => at !== base);
  if (top === undefined || slopes.length > 0 || scan.of('top').length > 1 || scan.of('base').length > 1)
    return undefined;
  const ground = slope ?? base;
  const side = ground === undefined ? undefined : sideOf(scan, ground);
  if (ground === undefined || side === undefined) return undefined;
  const sights = [top, ground, ...(base === undefined || base === ground ? [] : [base])];
  const scale = scaleOf(scan, sights);
  if (scale === undefined) return undefined;
  // The line along the ground ends at the foot: where that was sighted, or the slope is told to it.
  const toFoot = base ?? (scan.has('base') ? slope : undefined);
  const foot = toFoot === undefined ? undefined : (sideOf(scan, toFoot) ?? -1) * scan.number(toFoot).value;
  const { eye, at: eyes } = eyeOf(scan);
  return {
    height: {
      method: 'angles',
      scale,
      top: (scan.number(top).sign ?? 1) * scan.number(top).value,
      distance: {
        by: 'length',
        length,
        slope: {
          value: side * scan.number(ground).value,
          unit: scan.number(ground).unit === 'pct' ? 'pct' : scale,
        },
      },
      ...(foot === undefined ? {} : { base: { by: 'angle', angle: { value: foot } } }),
      ...(eye === undefined ? {} : { eye }),
    },
    used: [distance, ...sights, ...eyes],
    concepts: [...always, ...sighting, 'off', 'here', ...(eyes.length > 0 ? (['eye'] as const) : [])],
  };
}

/** "Laser 61 to the tip at 50, 40 to the butt at minus 4": ranges along the line of sight, each with its angle. */
export function rangesOf(scan: Scan): HeightFound | undefined {
  if (!scan.has('device', 'distance') || scan.numbers.length < 4) return undefined;
  const found = { top: [] as number[], base: [] as number[] };
  let clause: number[] = [];
  let end: 'top' | 'base' | undefined;
  const close = (): void => {
    if (end !== undefined && clause.length >= 2) found[end].push(...clause.slice(-2));
    clause = [];
    end = undefined;
  };
  scan.pieces.forEach(({ is, concepts }, at) => {
    if (is === 'break') close();
    else if (is === 'number') clause.push(at);
    else if (concepts.has('top')) end = 'top';
    else if (concepts.has('base')) end = 'base';
  });
  close();
  const [topRange, topAngle, ...moreTops] = found.top;
  const [baseRange, baseAngle, ...moreBases] = found.base;
  if (topRange === undefined || topAngle === undefined || baseRange === undefined || baseAngle === undefined)
    return undefined;
  if (moreTops.length > 0 || moreBases.length > 0) return undefined;
  const ranges = [topRange, baseRange].map((at) => scan.number(at));
  const angles = [topAngle, baseAngle].map((at) => scan.number(at));
  if (ranges.some(({ unit, sign }) => sign !== undefined || !/^(?:ft|m|undefined)$/.test(String(unit))))
    return undefined;
  if (angles.some(({ unit }) => unit !== undefined && unit !== 'deg')) return undefined;
  const [top, base] = angles.map(({ value, sign }) => (sign ?? 1) * value);
  return {
    height: {
      method: 'ranges',
      topRange: plainLength(scan.number(topRange)),
      topAngle: top ?? 0,
      baseRange: plainLength(scan.number(baseRange)),
      baseAngle: base ?? 0,
    },
    used: [topRange, topAngle, baseRange, baseAngle],
    concepts: [...always, ...sighting, 'device'],
  };
}
