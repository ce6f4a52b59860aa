/** The sketch beside a height, drawn from the same marks as the charts. */
import { useEffect, useState } from 'preact/hooks';
import type { Height } from '../../shared/measuring/height/types.ts';
import { type Instead, sketchDrawing } from '../../shared/report/charts/sketch.ts';
import { markElement } from './marks.tsx';

interface SketchProps {
  readonly height: Height;
  readonly units: 'feet' | 'metres';
  /** What was most likely meant, when the height is doubted. */
  readonly instead?: Instead | undefined;
}

/** How wide a sketch is in a narrow window, points: it is drawn point for point, so its labels keep their size. */
const widths = [
  ['(max-width: 299px)', 136],
  ['(max-width: 359px)', 196],
  ['(max-width: 389px)', 232],
  ['(max-width: 429px)', 256],
  // Two columns on a phone that lies on its side.
  ['(max-height: 500px) and (max-width: 899px)', 220],
] as const;
const widest = 300;
const steps = widths.map(([query]) => matchMedia(query));
const widthNow = (): number => widths[steps.findIndex((step) => step.matches)]?.[1] ?? widest;

function useSketchWidth(): number {
  const [width, setWidth] = useState(widthNow);
  useEffect(() => {
    const follow = () => setWidth(widthNow());
    for (const step of steps) step.addEventListener('change', follow);
    return () => {
      for (const step of steps) step.removeEventListener('change', follow);
    };
  }, []);
  return width;
}

export function SketchFigure({ height, units, instead }: SketchProps) {
  const wanted = useSketchWidth();
  const { title, says, width, height: tall, marks } = sketchDrawing(height, units, instead, wanted);
  return (
    <svg
      class={instead ? 'sketch doubted' : 'sketch'}
      width={width}
      viewBox={`0 0 ${width} ${tall}`}
      role="img"
      aria-label={`${title}: ${says}`}
    >
      {marks.map(markElement)}
    </svg>
  );
}
