/**
 * Ways to a height put together from their parts, whatever their order: distances, angles up and down, stick and arm,
 * pole and shadows, readings. Each way is known by the parts that only it has.
 */
import type { Measurement } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { standingWords } from './compose-footing.ts';
import {
  always,
  anglesOf,
  baseOnFoot,
  distanceOf,
  eyeOf,
  footWords,
  type HeightFound,
  rangesOf,
  slopedOf,
  soleDistance,
} from './compose-sights.ts';
import { type Draft, explain, eyeLength, isDescribed, plainLength, type Scan } from './scan.ts';

/** The height that the numbers of a stretch tell; undefined where they tell none, or more than one. */
export function heightOf(scan: Scan): HeightFound | undefined {
  return (
    shadowOf(scan) ??
    poleOf(scan) ??
    rangesOf(scan) ??
    slopedOf(scan) ??
    anglesOf(scan) ??
    readingOf(scan) ??
    ratioOf(scan) ??
    laidOf(scan) ??
    stickOf(scan)
  );
}

function shadowOf(scan: Scan): HeightFound | undefined {
  if (!scan.has('shadow')) return undefined;
  // "I am five eight": who stands there is the pole.
  const bodies = scan.numbers.filter(
    (at) => scan.isStature(at) || scan.before(at, /^(?:am|me|myself|stand)$/),
  );
  const measured = scan.of('shadow', 'pole', 'distance', 'height', 'stick', 'bare', 'diameter', 'arm', 'eye');
  const lengths = [...new Set([...measured, ...bodies])].sort((a, b) => a - b);
  if (lengths.length !== 3 || scan.numbers.length > 4) return undefined;
  // A shadow is measured: how long somebody's paces are tells nobody here.
  if (lengths.some((at) => scan.isWalked(at))) return undefined;
  // "Two metre pole throws one fifty": metres and hundredths.
  const metric = scan.numbers.some((at) => /^(?:m|cm)$/.test(scan.number(at).unit ?? ''));
  const lengthOf = (at: number): ReturnType<typeof plainLength> =>
    metric ? inMetres(scan, at) : plainLength(scan.number(at));
  const inFeet = (at: number): number => {
    const { value, unit } = lengthOf(at);
    return (
      value *
      (unit === 'm' ? 3.2808 : unit === 'in' ? 1 / 12 : unit === 'cm' ? 0.032808 : unit === 'yd' ? 3 : 1)
    );
  };
  // The pole is what a word for it stands beside without a shadow nearer.
  const poles =
    bodies.length === 1
      ? bodies
      : lengths.filter(
          (at) => scan.label(at) === 'pole' || scan.label(at) === 'stick' || besidePole(scan, at),
        );
  const [pole] = poles.length > 0 ? poles : lengths.filter((at) => scan.label(at) !== 'shadow');
  if (pole === undefined) return undefined;
  const [less, more] = lengths.filter((at) => at !== pole).sort((a, b) => inFeet(a) - inFeet(b));
  if (less === undefined || more === undefined) return undefined;
  return {
    height: {
      method: 'shadow',
      shadow: lengthOf(more),
      // "I am five eleven" is feet and inches.
      pole: bodies.includes(pole) ? eyeLength(scan.number(pole)) : lengthOf(pole),
      poleShadow: lengthOf(less),
    },
    used: lengths,
    concepts: [
      ...always,
      'shadow',
      'pole',
      'stick',
      'has',
      'tall',
      'pace',
      ...(bodies.length > 0 ? (['stand'] as const) : []),
    ],
    ...(poles.length === 1 ? {} : { unsure: true }),
  };
}

/** A length without a unit beside others in metres is in metres, three figures in centimetres. */
function inMetres(scan: Scan, at: number): ReturnType<typeof plainLength> {
  const { value, unit } = scan.number(at);
  if (unit !== undefined) return plainLength(scan.number(at));
  const hundredths = value >= 100 && value < 500 && Number.isInteger(value);
  return { value: hundredths ? value / 100 : value, unit: 'm' };
}

const besidePole = (scan: Scan, at: number): boolean =>
  [1, -1].some((step) => {
    const to = scan.beside(at, step as 1 | -1);
    const concepts = scan.pieces[to]?.concepts;
    return concepts?.has('pole') === true || concepts?.has('stick') === true || scan.before(at, /^am$/);
  });

function poleOf(scan: Scan): HeightFound | undefined {
  if (!scan.has('pole') && !scan.has('ofThem')) return undefined;
  const pole = poleLength(scan);
  const times = timesOf(scan, pole);
  if (pole === undefined || times === undefined) return undefined;
  return {
    height: {
      method: 'pole',
      pole: plainLength(scan.number(pole)),
      poleReads: 1,
      treeReads: scan.number(times).value,
    },
    used: [times, pole, ...scan.placesOf(({ text }) => counting.test(text))],
    concepts: [...always, 'pole', 'times', 'ofThem', 'covers', 'tall', 'walk', 'top', 'goes', 'howMany'],
  };
}

const counting = /^(?:poles|pole lengths|lengths|count|counts|counted|counting|goes|go|up|times|high|tall)$/;

/** The one length with a unit, or a number right before the word for the pole. */
function poleLength(scan: Scan): number | undefined {
  const [at, ...more] = scan
    .of('pole', 'distance', 'height')
    .filter((one) => scan.number(one).unit !== undefined);
  if (at !== undefined) return more.length === 0 && !scan.isWalked(at) ? at : undefined;
  const [only, ...others] = scan.of('pole', 'distance', 'height');
  return others.length === 0 ? only : undefined;
}

/** So many poles: "six and a half up", "goes five and a half times", "five and a half poles". */
function timesOf(scan: Scan, pole: number | undefined): number | undefined {
  const [counted, ...more] = scan.of('count');
  if (counted !== undefined) return more.length === 0 ? counted : undefined;
  const [at, ...others] = scan.numbers.filter((one) => one !== pole && scan.number(one).unit === undefined);
  if (at === undefined || others.length > 0 || !/^(?:bare|top|pole|other)$/.test(scan.label(at)))
    return undefined;
  const { value, sign } = scan.number(at);
  const beside = [at + 1, at - 1].some((to) => counting.test(scan.pieces[to]?.text ?? ''));
  return beside && sign === undefined && value > 1 && value < 40 ? at : undefined;
}

function readingOf(scan: Scan): HeightFound | undefined {
  const heights = scan.of('height');
  const device = scan.has('device');
  const first = heights[0] ?? (device ? firstTake(scan) : undefined);
  if (first === undefined) return undefined;
  const takes = device
    ? scan.numbers.filter(
        (at) =>
          at >= first &&
          /^(?:height|bare|distance)$/.test(scan.label(at)) &&
          /^(?:ft|m|undefined)$/.test(String(scan.number(at).unit)),
      )
    : heights;
  if (takes.length === 0 || (!device && takes.length > 1)) return undefined;
  // "I am five foot ten tall" is the person.
  if (scan.before(first, /^am$/)) return undefined;
  const name = device ? deviceOf(scan.pieces[scan.at('device')]!.text) : undefined;
  const unit = takes.map((at) => scan.number(at).unit).find((one) => one !== undefined);
  const values = takes.map((at) => scan.number(at).value);
  // "Ninety feet on the laser" may be how far it is.
  const far = device && scan.label(first) === 'distance' && first < scan.at('device');
  if (Math.max(...values) > 1.5 * Math.min(...values)) return undefined;
  return {
    height: {
      method: 'reading',
      ...(name === undefined ? {} : { device: name }),
      takes: values.map((value) =>
        unit === 'ft' || unit === 'm' || unit === 'yd' ? { value, unit } : { value },
      ),
    },
    used: [...takes, ...scan.of('count').filter((at) => scan.number(at).value === takes.length)],
    concepts: [...always, 'tall', 'device', 'has', 'each', 'ofThem', 'times', 'angle', 'estimate'],
    ...(far ? { unsure: true } : {}),
  };
}

/** "The rangefinder on the elm, eighty eight, ninety": what stands behind a device by itself. */
function firstTake(scan: Scan): number | undefined {
  const device = scan.at('device');
  const behind = scan.numbers.filter((at) => at > device);
  if (behind.length === 0) return takeBefore(scan, device);
  const bare = behind.filter((at) => /^(?:bare|distance)$/.test(scan.label(at)));
  const counts = behind.filter((at) => scan.label(at) === 'count');
  const plain =
    bare.length + counts.length === behind.length && !scan.has('stick', 'top', 'base', 'shadow', 'tape');
  return plain && bare.every((at) => scan.number(at).value >= 8) ? bare[0] : undefined;
}

/** "Black cherry 81 with the laser": what stands in one clause before it. */
function takeBefore(scan: Scan, device: number): number | undefined {
  const at = scan.numbers.findLast((one) => one < device);
  if (at === undefined) return undefined;
  const { unit, value } = scan.number(at);
  const length = scan.label(at) === 'distance' && (unit === 'ft' || unit === 'm');
  if (!length && (scan.label(at) !== 'bare' || value < 8)) return undefined;
  const between = scan.pieces.slice(at + 1, device);
  const plain = between.every(({ is, light, concepts }) => is === 'words' && (light || concepts.has('off')));
  const [first] = between;
  const by = first !== undefined && /^(?:with|by|on|using|off|from|per|via)$/.test(first.text);
  return plain && by && !scan.has('stick', 'top', 'base', 'shadow', 'tape') ? at : undefined;
}

function deviceOf(text: string): 'laser' | 'sonic' | 'other' {
  return /laser|range/.test(text) ? 'laser' : text === 'sonic' ? 'sonic' : 'other';
}

function ratioOf(scan: Scan): HeightFound | undefined {
  const [stick] = scan.of('stick');
  const [arm] = scan.of('arm');
  const distance = soleDistance(scan);
  if (stick === undefined || arm === undefined || distance === undefined) return undefined;
  const { eye, at } = eyeOf(scan);
  const parts = {
    distance: distanceOf(scan, distance),
    stick: plainLength(scan.number(stick)),
    arm: plainLength(scan.number(arm)),
  };
  const ratio: Measurement = { method: 'ratio', ...parts, ...(eye === undefined ? {} : { eye }) };
  const found = {
    used: [stick, arm, distance, ...at],
    concepts: [...always, 'stick', 'arm', 'eye', 'covers', 'meets', 'tape'] as Concept[],
  };
  if (eye !== undefined || scan.has('meets')) return { height: ratio, ...found };
  return { height: ratio, other: { method: 'spans', ...parts }, ...found };
}

function laidOf(scan: Scan): HeightFound | undefined {
  if (!scan.has('laid')) return undefined;
  const words = scan.pieces.filter(({ concepts }) => concepts.has('laid'));
  const turned = words.some(({ text }) => /laid|lay|turned|swung|folded|flat/.test(text));
  const landed = words.some(({ text }) => /land|hit|came|comes|fell|falls|touched|end of|ground/.test(text));
  if (!(turned && (scan.has('stick') || landed)) && !(landed && scan.has('top', 'stick'))) return undefined;
  const distance = soleDistance(scan);
  if (distance === undefined || scan.of('top', 'base', 'angle', 'percent').length > 0) return undefined;
  return {
    height: { method: 'laid', distance: distanceOf(scan, distance) },
    used: [distance],
    concepts: [...always, 'laid', 'stick', 'top', 'base', 'tape'],
  };
}

function stickOf(scan: Scan): HeightFound | undefined {
  const distance = soleDistance(scan) ?? tapedHeight(scan);
  const half = scan.has('stick') ? scan.of('angle').filter((at) => scan.number(at).value === 45) : [];
  const others = scan.of('angle', 'percent', 'top', 'base', 'stick', 'arm', 'lean');
  if (distance === undefined || others.some((at) => !half.includes(at))) return undefined;
  const { unit } = scan.number(distance);
  const walked = unit === 'paces' || unit === 'steps';
  if (!walked && !scan.has('stick', 'meets', 'covers', 'tape')) return undefined;
  if (scan.has('shadow', 'pole')) return undefined;
  const { eye, at } = eyeOf(scan);
  const foot = baseOnFoot(scan);
  // "Height of that pine: twenty four paces": it says what is coming.
  const height =
    scan.of('height').length === 0 &&
    /^(?:height|heights|ht|hgt)$/.test(scan.pieces[scan.at('tall')]?.text ?? '');
  const stick: Measurement = {
    method: 'stick',
    distance: distanceOf(scan, distance),
    ...(foot === undefined ? {} : { base: foot.base }),
    ...(eye === undefined ? {} : { eye }),
  };
  const found = {
    used: [distance, ...half, ...at, ...(foot?.at ?? standingWords(scan.pieces, false))],
    concepts: [
      ...always,
      'stick',
      'meets',
      'covers',
      'tape',
      'pace',
      'top',
      'base',
      'level',
      ...(height || scan.label(distance) === 'height' ? (['tall'] as const) : []),
      ...(half.length > 0 ? (['angle'] as const) : []),
      ...(foot === undefined ? [] : footWords),
      ...(at.length > 0 ? (['eye'] as const) : []),
    ] as Concept[],
  };
  if (!scan.has('covers') || eye !== undefined) return { height: stick, ...found };
  const spans: Measurement = { method: 'spans', distance: distanceOf(scan, distance) };
  // The stick covers the whole tree from foot to tip: no eye is to be added.
  return scan.has('noEye')
    ? { height: spans, ...found, concepts: [...found.concepts, 'noEye', 'goes'] }
    : { height: stick, other: spans, ...found };
}

/** "Height twenty five metres taped, by the stick": it says what is coming, and how far off. */
function tapedHeight(scan: Scan): number | undefined {
  const [at, ...more] = scan.of('height');
  if (at === undefined || more.length > 0 || !scan.has('tape') || !scan.has('stick', 'meets'))
    return undefined;
  const taped = [scan.pieces[at + 1], scan.pieces[at - 1]].some(
    (piece) => piece?.concepts.has('tape') === true,
  );
  return taped && scan.number(at).unit !== undefined ? at : undefined;
}

/** "This one" may be another tree than the one in hand. */
export const ofThis = (scan: Scan): { readonly of?: 'this' } =>
  /\bthis (?:one|time)\b/.test(scan.text()) ? { of: 'this' } : {};

/** A height by itself, of the tree in hand. */
export function heightDraft(scan: Scan): Draft | undefined {
  if (
    scan.asked ||
    scan.species.length > 0 ||
    scan.has('ask', 'scratch', 'restore', 'plot', 'person', 'fix', 'not')
  )
    return undefined;
  const found = heightOf(scan);
  if (found === undefined || scan.numbers.some((at) => !found.used.includes(at))) return undefined;
  const of = ofThis(scan);
  return {
    notes: [{ kind: 'height', height: found.height, ...of }],
    ...(found.other === undefined ? {} : { other: [{ kind: 'height', height: found.other, ...of }] }),
    used: explain(scan, found.used, [...found.concepts, 'that', 'one', 'has', 'here']),
    against: 0,
    ...(found.unsure === true || isDescribed(scan) ? { unsure: true } : {}),
  };
}
