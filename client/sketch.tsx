/**
 * The sketch beside a height: eye, line of sight, distance and tree, drawn to scale. The uncertain part is a band at
 * the tip; what a doubt supposes instead is a second, dashed tree mark.
 */
import type { Height, Sketch as Picture } from '../shared/height/types.ts';
import { feetToMetres } from '../shared/units.ts';

const width = 300;
const tall = 170;
const left = 46;
const right = 74;
const top = 16;
const bottom = 26;

export interface Instead {
  readonly feet: number;
  readonly label: string;
}

export interface SketchProps {
  readonly height: Height;
  readonly units: 'feet' | 'metres';
  /** What was most likely meant, when the height is doubted. */
  readonly instead?: Instead | undefined;
}

export function Sketch({ height, units, instead }: SketchProps) {
  const { sketch, sdFeet } = height;
  const heightFt = sketch.heightFt;
  const distance = sketch.distanceFt ?? 0;
  const low = Math.min(0, sketch.baseFt);
  const high = Math.max(sketch.baseFt + heightFt + sdFeet, sketch.eyeFt ?? 0);
  const scale = Math.min(
    (width - left - right) / Math.max(distance, 1),
    (tall - top - bottom) / Math.max(high - low, 1),
  );
  const x = (feet: number): number => left + feet * scale;
  const y = (feet: number): number => tall - bottom - (feet - low) * scale;
  const tree = x(distance);
  const base = y(sketch.baseFt);
  const tip = y(sketch.baseFt + heightFt);
  const band = Math.max(sdFeet * scale, 1.5);
  const eye = sketch.eyeFt;
  const show = (feet: number, decimals: number): string =>
    units === 'metres' ? feetToMetres(feet).toFixed(Math.max(1, decimals)) : feet.toFixed(decimals);
  const unit = units === 'metres' ? 'm' : 'ft';
  const sees = sketch.distanceFt !== null && distance > 0;
  return (
    <svg
      class={instead ? 'sketch doubted' : 'sketch'}
      viewBox={`0 0 ${width} ${tall}`}
      role="img"
      aria-label={describe(sketch, sdFeet, units, instead)}
    >
      <line class="ground" x1={8} y1={y(0)} x2={sees ? (x(0) + tree) / 2 : 8} y2={y(0)} />
      <line class="ground" x1={sees ? (x(0) + tree) / 2 : 8} y1={y(0)} x2={tree - 10} y2={base} />
      <line class="ground" x1={tree - 10} y1={base} x2={width - 8} y2={base} />
      <rect class="band" x={tree - 9} y={tip - band} width={18} height={2 * band} />
      <path class="stem" d={stemPath(tree, base, tip)} />
      {sees && (
        <>
          <line class="sight" x1={x(0)} y1={y(eye ?? 0)} x2={tree} y2={tip} />
          {eye === null && <line class="sight" x1={x(0)} y1={y(0)} x2={tree} y2={base} />}
          {eye !== null && <line class="level" x1={x(0)} y1={y(eye)} x2={tree} y2={y(eye)} />}
          {eye !== null && <line class="person" x1={x(0)} y1={y(0)} x2={x(0)} y2={y(eye)} />}
          <circle class="eye" cx={x(0)} cy={y(eye ?? 0)} r={3} />
          {eye !== null && (
            <text x={x(0) - 7} y={y(eye) - 4} text-anchor="end">
              {show(eye, 1)}
            </text>
          )}
          <text x={(x(0) + tree) / 2} y={Math.max(y(0), base) + 17} text-anchor="middle">
            {show(distance, distance < 100 ? 1 : 0)} {unit}
          </text>
        </>
      )}
      <text class="tip" x={tree + 13} y={tip + 5}>
        {show(heightFt, sdFeet < 1 ? 1 : 0)}
      </text>
      {band > 9 && (
        <text class="small" x={tree + 13} y={tip + 20}>
          ± {show(sdFeet, sdFeet < 1.95 ? 1 : 0)}
        </text>
      )}
      {instead && instead.feet < heightFt * 3 && (
        <g class="instead">
          <line
            x1={tree - 14}
            y1={y(sketch.baseFt + instead.feet)}
            x2={tree + 10}
            y2={y(sketch.baseFt + instead.feet)}
          />
          <text x={tree + 13} y={y(sketch.baseFt + instead.feet) + 5}>
            {show(instead.feet, 0)}?
          </text>
        </g>
      )}
    </svg>
  );
}

/** A stem that tapers to its tip, with short strokes for the crown: a sign for a tree, not a picture of one. */
function stemPath(x: number, base: number, tip: number): string {
  const length = base - tip;
  const foot = Math.min(4, Math.max(1.2, length / 30));
  const strokes = [0.3, 0.45, 0.6, 0.75, 0.88]
    .map((up) => {
      const reach = Math.min(13, length * 0.16) * (1.15 - up);
      const at = base - up * length;
      return `M${x - reach} ${at + reach * 0.7}L${x} ${at}L${x + reach} ${at + reach * 0.7}`;
    })
    .join('');
  return `M${x - foot} ${base}L${x} ${tip}L${x + foot} ${base}${strokes}`;
}

/** The sketch in words, for who cannot see it. */
function describe(
  sketch: Picture,
  sdFeet: number,
  units: 'feet' | 'metres',
  instead: Instead | undefined,
): string {
  const say = (feet: number): string =>
    units === 'metres' ? `${feetToMetres(feet).toFixed(1)} metres` : `${feet.toFixed(0)} feet`;
  const parts = [`Sketch to scale: a tree of ${say(sketch.heightFt)}, uncertain by ${say(sdFeet)}`];
  if (sketch.distanceFt !== null) parts.push(`seen from ${say(sketch.distanceFt)} away`);
  if (instead) parts.push(`doubted; ${say(instead.feet)} would be ${instead.label}`);
  return `${parts.join(', ')}.`;
}
