/**
 * The drawing of one measurement, to scale: where the eye was, what was sighted, the tree with its uncertain part as a
 * band, and, of a height in doubt, where the tree and the eye would be if the likeliest slip was made.
 */

import { feetToMetres, radians, type Units } from '../../core/units.ts';
import type { Height, WorkingStep } from '../../measuring/height/types.ts';
import type { Method } from '../../note/note.ts';
import type { Drawing, DrawnPoint, Mark } from './drawing.ts';

/** What was most likely meant, when a height is doubted. */
export interface Instead {
  readonly feet: number;
  /** How it would have been said: "eighteen paces". */
  readonly words: string;
  /** How far off the eye would have been; null where the slip was in something else. */
  readonly distanceFt: number | null;
}

/** Room about the drawing for its labels: 15 units high, as on a page that draws it unit for point. */
const margin = { left: 38, right: 66, top: 18, bottom: 42 } as const;
const usual = { width: 300, height: 188 } as const;
/** A supposed height beyond so many times the measured one is told, not drawn. */
const mostTimes = 6;

/**
 * Everything in feet: along the ground from the eye, and up from the observer's feet. `width` is of the drawing, in its
 * own units; a narrow page asks for a narrow one, so that its labels need not shrink.
 *
 * @example
 * import { measure } from '../../measuring/height/measure.ts';
 * const said = { method: 'spans', distance: { by: 'length', length: { value: 70, unit: 'ft' } } };
 * sketchDrawing(measure(said, { units: 'feet' }).value, 'feet').width // 300
 */
export function sketchDrawing(
  height: Height,
  units: Units,
  instead?: Instead,
  width: number = usual.width,
): Drawing {
  const frame = { ...usual, ...margin, width };
  const { sketch, sdFeet } = height;
  const { heightFt, baseFt, method } = sketch;
  const other = instead && instead.feet < heightFt * mostTimes ? instead : undefined;
  const way = sketches[method];
  const stand = way.stands && sketch.distanceFt !== null && sketch.distanceFt > 0 ? sketch.distanceFt : null;
  const tree = stand ?? 0;
  const tip = tree + tipOffset(height);
  const otherEye = other?.distanceFt && stand !== null ? tree - other.distanceFt : null;
  const tops = [
    baseFt + heightFt + sdFeet,
    sketch.eyeFt ?? 0,
    other ? baseFt + other.feet : 0,
    ...(height.takes?.feet ?? []),
  ];
  const low = Math.min(0, baseFt);
  const ends = [0, tree, tip, otherEye ?? 0, ...way.ends(height)];
  const [from, to] = [Math.min(...ends), Math.max(...ends)];
  const room = {
    width: frame.width - frame.left - frame.right,
    height: frame.height - frame.top - frame.bottom,
  };
  const scale = Math.min(
    room.width / Math.max(to - from, 1),
    room.height / Math.max(Math.max(...tops) - low, 1),
  );
  const indent = frame.left + (to - from < 1 ? room.width / 3 : 0);
  const place: Place = {
    at: (along, up) => [indent + (along - from) * scale, frame.height - frame.bottom - (up - low) * scale],
    scale,
    show: (feet, decimals) =>
      units === 'metres' ? feetToMetres(feet).toFixed(Math.max(1, decimals)) : feet.toFixed(decimals),
    unit: units === 'metres' ? 'm' : 'ft',
    width,
  };
  const base: DrawnPoint = place.at(tree, baseFt);
  const top: DrawnPoint = place.at(tip, baseFt + heightFt);
  const band = Math.max(sdFeet * scale, 1.5);
  const marks: Mark[] = [
    ...ground(place, stand, tree, baseFt),
    { mark: 'box', style: 'band', at: [top[0] - 9, top[1] - band], width: 18, height: 2 * band },
    { mark: 'path', style: 'stem', d: stemPath(base, top) },
    ...(stand === null ? [] : sighting(place, height, stand, tip)),
    ...way.marks(place, height),
    ...takes(place, height),
    {
      mark: 'text',
      style: 'tip',
      at: [top[0] + 13, top[1] + 5],
      text: place.show(heightFt, sdFeet < 1 ? 1 : 0),
    },
    {
      mark: 'text',
      style: 'small',
      at: [top[0] + 13, top[1] + 22],
      text: `± ${place.show(sdFeet, sdFeet < 1.95 ? 1 : 0)}`,
    },
    ...(other
      ? supposed(place, other, { tree, baseFt, eye: otherEye, eyeFt: sketch.eyeFt, under: stand !== null })
      : []),
  ];
  return {
    title: 'Sketch to scale',
    says: inWords(height, units, instead),
    width: frame.width,
    height: frame.height,
    marks,
  };
}

/** Where things are in the drawing. */
interface Place {
  at(alongFt: number, upFt: number): DrawnPoint;
  readonly scale: number;
  show(feet: number, decimals: number): string;
  readonly unit: string;
  /** Of the whole drawing. */
  readonly width: number;
}

/** What the drawing of a method shows beside the tree. */
interface MethodSketch {
  /** Whether the eye stands off from the stem. */
  readonly stands: boolean;
  /** Whether the base was sighted too, always; else where the working says so. */
  readonly sightsBase: boolean;
  /** Whether the angle of the top is written at the eye. */
  readonly tellsAngle: boolean;
  /** How far along the ground its own marks reach, feet. */
  readonly ends: (height: Height) => readonly number[];
  readonly marks: (place: Place, height: Height) => readonly Mark[];
}

const plain: MethodSketch = {
  stands: true,
  sightsBase: false,
  tellsAngle: false,
  ends: () => [],
  marks: () => [],
};

const sketches: Readonly<Record<Method, MethodSketch>> = {
  stick: plain,
  spans: plain,
  ratio: plain,
  laid: { ...plain, stands: false, ends: ({ sketch }) => [sketch.heightFt], marks: laid },
  pole: { ...plain, marks: polesOf },
  shadow: { ...plain, ends: ({ steps }) => [stepValue(steps, 'shadow') ?? 0], marks: shadows },
  angles: { ...plain, tellsAngle: true },
  ranges: { ...plain, sightsBase: true, tellsAngle: true },
  reading: plain,
};

const stepValue = (steps: readonly WorkingStep[], name: string): number | null =>
  steps.find((step) => step.name === name)?.value ?? null;

/** How far the tip stands beyond the foot of the tree, seen from the eye; nearer is negative. Sideways does not show. */
function tipOffset({ steps, sketch }: Height): number {
  const ranged = stepValue(steps, 'tipOffset');
  if (ranged !== null) return ranged;
  const lean = steps.find((step) => step.name === 'lean');
  if (lean === undefined || (lean.from !== 'toward' && lean.from !== 'away')) return 0;
  const per = { deg: Math.tan(radians(lean.value)), pct: lean.value / 100, topo: lean.value / 66 };
  const feet = lean.unit === 'ft' ? lean.value : (per[lean.unit as 'deg'] ?? 0) * sketch.heightFt;
  return lean.from === 'toward' ? -feet : feet;
}

function ground({ at, width }: Place, stand: number | null, tree: number, baseFt: number): Mark[] {
  const [x] = at(tree, 0);
  const middle: DrawnPoint = stand === null ? [8, at(0, 0)[1]] : at(stand / 2, 0);
  const [, base] = at(tree, baseFt);
  return [
    { mark: 'line', style: 'ground', from: [8, at(0, 0)[1]], to: middle },
    { mark: 'line', style: 'ground', from: middle, to: [x - 10, base] },
    { mark: 'line', style: 'ground', from: [x - 10, base], to: [width - 8, base] },
  ];
}

/** The eye and what it sighted: the tip, and the base where that was sighted too. */
function sighting(place: Place, height: Height, stand: number, tip: number): Mark[] {
  const { at, show, unit } = place;
  const { eyeFt, baseFt, heightFt, topDegrees, method } = height.sketch;
  const { steps } = height;
  const eye = at(0, eyeFt ?? 0);
  const toBase =
    eyeFt === null ||
    sketches[method].sightsBase ||
    steps.some(({ name, unit: of }) => name === 'base' && of !== 'ft');
  const count = steps.find((step) => step.name === 'count');
  const far = `${show(stand, stand < 100 ? 1 : 0)} ${unit}`;
  const [middle] = at(stand / 2, 0);
  const under = Math.max(at(0, 0)[1], at(0, baseFt)[1]);
  const angled = topDegrees !== null && sketches[method].tellsAngle;
  return [
    { mark: 'line', style: 'sight', from: eye, to: at(tip, baseFt + heightFt) },
    ...(toBase ? [{ mark: 'line', style: 'sight', from: eye, to: at(stand, baseFt) } as const] : []),
    ...(eyeFt === null
      ? []
      : ([
          { mark: 'line', style: 'level', from: eye, to: at(stand, eyeFt) },
          { mark: 'line', style: 'person', from: at(0, 0), to: eye },
          { mark: 'text', at: [eye[0] - 7, eye[1] - 4], anchor: 'end', text: show(eyeFt, 1) },
        ] as const)),
    { mark: 'circle', style: 'eye', at: eye, r: 3 },
    ...(angled
      ? [
          {
            mark: 'text',
            style: 'small',
            at: [eye[0] + 24, eye[1] - 5],
            text: `${topDegrees.toFixed(0)}°`,
          } as const,
        ]
      : []),
    {
      mark: 'text',
      at: [middle, under + 17],
      anchor: 'middle',
      text: count ? `${count.value} ${count.unit}, ${far}` : far,
    },
  ];
}

/** The tree's shadow and the pole with its own: two triangles of one sun. */
function shadows({ at, show }: Place, { steps, sketch }: Height): Mark[] {
  const shadow = stepValue(steps, 'shadow') ?? 0;
  const [pole, short] = [stepValue(steps, 'pole') ?? 0, stepValue(steps, 'poleShadow') ?? 0];
  const end = at(shadow, 0);
  return [
    { mark: 'line', style: 'shade', from: at(0, 0), to: end },
    { mark: 'line', style: 'sight', from: at(0, sketch.heightFt), to: end },
    // The pole stands where its shadow ends with the tree's, so that both lie in the same light.
    { mark: 'line', style: 'aid', from: at(shadow - short, 0), to: at(shadow - short, pole) },
    { mark: 'text', at: [at(shadow / 2, 0)[0], end[1] + 17], anchor: 'middle', text: show(shadow, 1) },
    {
      mark: 'text',
      style: 'small',
      at: [at(shadow - short, 0)[0] + 4, at(0, pole)[1] - 3],
      text: show(pole, 1),
    },
  ];
}

/** The pole beside the stem, and what each read on the held scale. */
function polesOf({ at, show, unit }: Place, { steps, sketch }: Height): Mark[] {
  const pole = stepValue(steps, 'pole') ?? 0;
  const [x, foot] = at(0, 0);
  const [, poleTop] = at(0, pole);
  const [, treeTop] = at(0, sketch.heightFt);
  const reads = (name: string) => String(stepValue(steps, name) ?? '');
  const tick = (y: number, text: string): Mark[] => [
    { mark: 'line', style: 'level', from: [x - 36, y], to: [x - 8, y] },
    { mark: 'text', style: 'small', at: [x - 40, y + 4], anchor: 'end', text },
  ];
  return [
    { mark: 'line', style: 'aid', from: [x - 14, foot], to: [x - 14, poleTop] },
    ...tick(poleTop, reads('poleReads')),
    ...tick(treeTop, reads('treeReads')),
    { mark: 'text', at: [x - 14, foot + 17], anchor: 'middle', text: `pole ${show(pole, 1)} ${unit}` },
  ];
}

/** The stick turned down: the top falls, as it were, to the ground, and that length was walked. */
function laid({ at, show, unit, scale }: Place, { sketch: { heightFt, baseFt } }: Height): Mark[] {
  const end = at(heightFt, baseFt);
  const top = at(0, baseFt + heightFt);
  const radius = heightFt * scale;
  return [
    { mark: 'path', style: 'sight', d: `M${top[0]} ${top[1]}A${radius} ${radius} 0 0 1 ${end[0]} ${end[1]}` },
    { mark: 'circle', style: 'eye', at: end, r: 3 },
    {
      mark: 'text',
      at: [at(heightFt / 2, 0)[0], end[1] + 17],
      anchor: 'middle',
      text: `walked ${show(heightFt, 1)} ${unit}`,
    },
  ];
}

/** Several readings of a device: each a stroke at its height, those that stand apart longer and dashed. */
function takes({ at }: Place, { takes: of }: Height): Mark[] {
  if (of === undefined || of.feet.length < 2) return [];
  return of.feet.map((feet) => {
    const out = of.outlying.includes(feet);
    const [x, y] = at(0, feet);
    return {
      mark: 'line',
      style: out ? 'take apart' : 'take',
      from: [x - (out ? 30 : 22), y],
      to: [x - 11, y],
    };
  });
}

/** Where the tip would be, and the eye, had it been said as it was most likely meant. */
function supposed(
  { at, show }: Place,
  { feet, words }: Instead,
  scene: {
    readonly tree: number;
    readonly baseFt: number;
    readonly eye: number | null;
    readonly eyeFt: number | null;
    /** Whether the distance is written under the ground already. */
    readonly under: boolean;
  },
): Mark[] {
  const { tree, baseFt, eye, eyeFt } = scene;
  const tip = at(tree, baseFt + feet);
  const marks: Mark[] = [
    { mark: 'line', from: [tip[0] - 14, tip[1]], to: [tip[0] + 10, tip[1]] },
    { mark: 'text', at: [tip[0] + 13, tip[1] + 5], text: `${show(feet, 0)}?` },
  ];
  if (eye !== null) {
    const seen = at(eye, eyeFt ?? 0);
    marks.push(
      { mark: 'line', style: 'thin', from: seen, to: tip },
      { mark: 'circle', style: 'open', at: seen, r: 3.5 },
      {
        mark: 'text',
        style: 'small',
        at: [at(tree, 0)[0] + 6, at(0, Math.min(0, baseFt))[1] + (scene.under ? 34 : 17)],
        anchor: 'end',
        text: `${words}?`,
      },
    );
  }
  return [{ mark: 'group', style: 'instead', title: `${words}?`, marks }];
}

/** A stem that tapers to its tip, with short strokes for the crown: a sign for a tree, not a picture of one. */
function stemPath([x, base]: DrawnPoint, [tipX, tip]: DrawnPoint): string {
  const length = base - tip;
  const foot = Math.min(4, Math.max(1.2, length / 30));
  const at = (up: number): DrawnPoint => [x + (tipX - x) * up, base - up * length];
  const strokes = [0.3, 0.45, 0.6, 0.75, 0.88].map((up) => {
    const reach = Math.min(13, length * 0.16) * (1.15 - up);
    const [middle, y] = at(up);
    return `M${middle - reach} ${y + reach * 0.7}L${middle} ${y}L${middle + reach} ${y + reach * 0.7}`;
  });
  return `M${x - foot} ${base}L${tipX} ${tip}L${x + foot} ${base}${strokes.join('')}`;
}

/** The sketch in words, for who cannot see it. */
function inWords({ sketch, sdFeet, takes: of }: Height, units: Units, instead: Instead | undefined): string {
  const say = (feet: number): string =>
    units === 'metres' ? `${feetToMetres(feet).toFixed(1)} metres` : `${feet.toFixed(0)} feet`;
  const parts = [`a tree of ${say(sketch.heightFt)}, uncertain by ${say(sdFeet)}`];
  if (sketch.distanceFt !== null && sketches[sketch.method].stands)
    parts.push(`seen from ${say(sketch.distanceFt)} away`);
  if (of && of.feet.length > 1) parts.push(`from ${of.feet.length} readings`);
  if (instead) parts.push(`in doubt; with ${instead.words} it would be ${say(instead.feet)}`);
  return `${parts.join(', ')}.`;
}
