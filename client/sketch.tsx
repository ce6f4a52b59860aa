/** The sketch beside a height, drawn from the same marks as the charts. */
import { type Instead, sketchDrawing } from '../shared/charts/sketch.ts';
import type { Height } from '../shared/height/types.ts';
import { markElement } from './marks.tsx';

export interface SketchProps {
  readonly height: Height;
  readonly units: 'feet' | 'metres';
  /** What was most likely meant, when the height is doubted. */
  readonly instead?: Instead | undefined;
}

export function Sketch({ height, units, instead }: SketchProps) {
  const { title, says, width, height: tall, marks } = sketchDrawing(height, units, instead);
  return (
    <svg
      class={instead ? 'sketch doubted' : 'sketch'}
      viewBox={`0 0 ${width} ${tall}`}
      role="img"
      aria-label={`${title}: ${says}`}
    >
      {marks.map(markElement)}
    </svg>
  );
}
