/** The sketch beside a height, drawn from the same marks as the charts. */
import { useEffect, useState } from 'preact/hooks';
import { measure } from '../../shared/measuring/height/index.ts';
import type { Height, HeightSettings } from '../../shared/measuring/height/types.ts';
import type { Doubt } from '../../shared/note/acts.ts';
import type { Note } from '../../shared/note/note.ts';
import { type Instead, sketchDrawing } from '../../shared/report/charts/sketch.ts';
import { markElement } from './marks.tsx';

/** The likeliest slip as the sketch shows it: how it would have been said, and from where. Null when none gives a height. */
export function insteadOf(
  doubt: Doubt | undefined,
  settings: HeightSettings,
  speak: (note: Note) => string,
): Instead | undefined {
  const slip = doubt?.slips.find((one) => one.feet !== null);
  if (slip === undefined) return undefined;
  const meant = slip.note.kind === 'height' ? measure(slip.note.height, settings) : null;
  return {
    feet: slip.feet!,
    words: speak(slip.note),
    distanceFt: meant?.ok ? meant.value.sketch.distanceFt : null,
  };
}

export interface SketchProps {
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
