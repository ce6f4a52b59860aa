/** The way that is being walked, in the largest type of the page, and the device's compass. */
import { useEffect, useState } from 'preact/hooks';
import { noSurvey } from '../../shared/dialogue/land/closing.ts';
import { wayShown } from '../../shared/dialogue/land/leading.ts';
import { type CompassReading, watchCompass } from '../device/compass.ts';
import { usePage } from './page.tsx';

export function TheWay() {
  const { conversation } = usePage();
  const { book, device } = conversation;
  const way = wayShown(book, device);
  return (
    <section class="ground">
      <h2>The way</h2>
      {way === null ? (
        <p class="none">No way was asked for yet. Say way to the next plot.</p>
      ) : (
        <>
          <p class="nextleg" role="status">
            <b>{way.bearing}°</b>
            <span>{way.distance}</span>
            {way.paces !== null && (
              <>
                <b>{way.paces}</b>
                <span>{way.counted}</span>
              </>
            )}
            <span>{way.to}</span>
          </p>
          <p class="aside">
            {way.north} {way.unsure}
          </p>
        </>
      )}
      <Compass
        target={way?.bearing ?? null}
        declination={conversation.settings.declination}
        north={conversation.settings.north}
      />
      <p class="aside">
        Dead reckoning knows no cliff, water or road: look up from the compass, tell somebody where you walk,
        carry a map and a light. {noSurvey}
      </p>
    </section>
  );
}

/** The device's own compass, only after it was asked for; it says which north it shows. */
function Compass({
  target,
  declination,
  north,
}: {
  /** By the person's own north, degrees. */
  readonly target: number | null;
  readonly declination: number | null;
  readonly north: 'true' | 'magnetic';
}) {
  const [on, setOn] = useState(false);
  const [reading, setReading] = useState<CompassReading | null>(null);
  const [trouble, setTrouble] = useState('');
  useEffect(() => {
    if (!on) return;
    return watchCompass(setReading, (sentence) => {
      setTrouble(sentence);
      setOn(false);
    });
  }, [on]);
  if (!on)
    return (
      <p class="compass">
        <button type="button" onClick={() => setOn(true)}>
          Compass of this device
        </button>
        <span role="status">{trouble}</span>
      </p>
    );
  if (reading === null)
    return (
      <p class="compass" role="status">
        Waiting for the compass.
      </p>
    );
  const turn = north === 'magnetic' ? -(declination ?? 0) : 0;
  const shown =
    Math.round((((reading.degrees + (reading.of === 'true' ? turn : 0)) % 360) + 360) % 360) % 360;
  const off = target === null ? null : ((((target - shown + 180) % 360) + 360) % 360) - 180;
  return (
    <div class="compass">
      <p class="nextleg">
        <b>{shown}°</b>
        <span>
          {off === null
            ? ''
            : Math.abs(off) < 3
              ? 'on the line'
              : `turn ${off > 0 ? 'right' : 'left'} ${Math.round(Math.abs(off))}°`}
        </span>
      </p>
      <p class="aside">
        The device points to {reading.of === 'true' ? 'true' : 'magnetic'} north, shown from {north} north.
        Hold it flat, away from iron; a compass in the hand is surer.
      </p>
      <button type="button" onClick={() => setOn(false)}>
        Compass off
      </button>
    </div>
  );
}
