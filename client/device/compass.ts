/**
 * Which way the device points, where it can tell (W3C Device Orientation Events). Some browsers ask the person first, and
 * some give magnetic north by a field of their own; what is told says which north it is.
 */
export interface CompassReading {
  /** Clockwise from that north, 0 up to 360. */
  readonly degrees: number;
  readonly of: 'true' | 'magnetic';
}

interface OrientationEvent extends Event {
  readonly alpha: number | null;
  readonly absolute: boolean;
  /** Degrees from magnetic north, where a browser has it. */
  readonly webkitCompassHeading?: number;
}

interface AskedOrientation {
  requestPermission?(): Promise<'granted' | 'denied'>;
}

/** A device that says nothing for so long has no compass, milliseconds. */
const patienceMs = 3000;

/** Tells of every turn until the function that it gives is called; why there is none is told once. */
export function watchCompass(
  onReading: (reading: CompassReading) => void,
  onTrouble: (sentence: string) => void,
): () => void {
  let over = false;
  let heard = false;
  const listen = (event: Event) => {
    const { alpha, absolute, webkitCompassHeading } = event as OrientationEvent;
    if (webkitCompassHeading !== undefined) {
      heard = true;
      onReading({ degrees: webkitCompassHeading, of: 'magnetic' });
    } else if (absolute && alpha !== null) {
      heard = true;
      // Absolute angles are of the magnetic field: nothing in them knows the declination.
      onReading({ degrees: (360 - alpha) % 360, of: 'magnetic' });
    }
  };
  const kinds = ['deviceorientationabsolute', 'deviceorientation'] as const;
  const stop = () => {
    over = true;
    for (const kind of kinds) removeEventListener(kind, listen);
  };
  const asked = (globalThis as { DeviceOrientationEvent?: AskedOrientation }).DeviceOrientationEvent;
  if (asked === undefined) {
    onTrouble('This device has no compass.');
    return stop;
  }
  Promise.resolve(asked.requestPermission?.() ?? 'granted').then(
    (answer) => {
      if (over) return;
      if (answer !== 'granted') {
        onTrouble('The compass may not be used here: allow it in the browser.');
        return;
      }
      for (const kind of kinds) addEventListener(kind, listen);
      setTimeout(() => {
        if (!over && !heard) onTrouble('This device tells no direction.');
      }, patienceMs);
    },
    () => onTrouble('The compass may not be used here: allow it in the browser.'),
  );
  return stop;
}
