/** The sketch beside a height, drawn from the same marks as the charts. */

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

export function SketchFigure({ height, units, instead }: SketchProps) {
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
