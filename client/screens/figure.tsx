/** The place of the sketch beside a height. What draws it is fetched with the first: an answer does not wait for it. */
import type { ComponentProps } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { measure } from '../../shared/measuring/height/index.ts';
import type { HeightSettings } from '../../shared/measuring/height/types.ts';
import type { Doubt } from '../../shared/note/acts.ts';
import type { Note } from '../../shared/note/note.ts';
import type { Instead } from '../../shared/report/charts/sketch.ts';
import type { SketchFigure } from './sketch.tsx';

/** The likeliest slip as the sketch shows it: how it would have been said, and from where. Null when none gives a height. */
export function insteadOf(
  doubt: Doubt | undefined,
  settings: HeightSettings,
  speak: (note: Note) => string,
): Instead | undefined {
  const slip = doubt?.slips.find((one) => one.feet !== null);
  if (slip === undefined || slip.feet === null) return undefined;
  const meant = slip.note.kind === 'height' ? measure(slip.note.height, settings) : null;
  return {
    feet: slip.feet,
    words: speak(slip.note),
    distanceFt: meant?.ok ? meant.value.sketch.distanceFt : null,
  };
}

let drawn: typeof SketchFigure | undefined;

/** Nothing until it can be drawn, and where it cannot be fetched: the answer says all that counts. */
export function Sketch(props: ComponentProps<typeof SketchFigure>) {
  const [Drawn, setDrawn] = useState(() => drawn);
  useEffect(() => {
    if (!Drawn)
      import('./sketch.tsx').then(
        (module) => {
          drawn = module.SketchFigure;
          setDrawn(() => module.SketchFigure);
        },
        () => {},
      );
  }, [Drawn]);
  return Drawn ? <Drawn {...props} /> : null;
}
