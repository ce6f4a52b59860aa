/** Heights by a stick or an angle, and what each error comes to, reckoned by hand. */
import { describe, expect, it } from 'vitest';
import { measure } from '../../shared/measuring/height/index.ts';
import type { HeightSettings } from '../../shared/measuring/height/types.ts';
import type { Measurement } from '../../shared/note/note.ts';
import { settings } from './settings.ts';

const ft = (value: number) => ({ by: 'length', length: { value, unit: 'ft' }, taped: true }) as const;
const heightOf = (measurement: Measurement, using: HeightSettings = settings) => {
  const found = measure(measurement, using);
  if (!found.ok) throw new Error(JSON.stringify(found.error));
  return found.value;
};
const sdOf = (cause: string, ...of: Parameters<typeof heightOf>): number =>
  heightOf(...of).shares.find((share) => share.cause === cause)?.sdFeet ?? 0;
type Spans = Extract<Measurement, { method: 'spans' }>;
const spans = (more: Partial<Spans>): Measurement => ({ method: 'spans', distance: ft(70), ...more });
const radian = Math.PI / 180;

describe('a stick of another length than the reach', () => {
  it('24 over 27 inches at 70 feet is 62.2, which errs by a tenth of an inch of stick and 0.95 of reach', () => {
    const measurement = spans({ stick: { value: 24 }, arm: { value: 27 } });
    const { feet, steps } = heightOf(measurement);
    expect(feet).toBeCloseTo((70 * 24) / 27, 9);
    expect(steps.find(({ name }) => name === 'stick')!.value).toBeCloseTo(2, 12);
    expect(sdOf('scale', measurement)).toBeCloseTo(feet * Math.hypot(0.1 / 24, 0.95 / 27), 3);
  });

  it('takes both lengths in one unit, that of the one which has one', () => {
    for (const lengths of [
      { stick: { value: 60, unit: 'cm' }, arm: { value: 70 } },
      { stick: { value: 60 }, arm: { value: 70, unit: 'cm' } },
    ] as const)
      expect(heightOf(spans(lengths)).feet).toBeCloseTo((70 * 60) / 70, 9);
    expect(
      heightOf(spans({ stick: { value: 1, unit: 'ft' }, arm: { value: 24, unit: 'in' } })).feet,
    ).toBeCloseTo(35, 9);
  });

  it('has lengths above nothing, like one another', () => {
    const ok = (stick: number, arm: number) =>
      measure(spans({ stick: { value: stick, unit: 'in' }, arm: { value: arm, unit: 'in' } }), settings).ok;
    expect(ok(24, 27)).toBe(true);
    expect([ok(0, 27), ok(24, 0), ok(0.001, 11), ok(0.0001, 30)]).toEqual([false, false, false, false]);
    expect(measure(spans({ stick: { value: 24 } }), settings).ok).toBe(false);
    expect(measure(spans({ arm: { value: 24 } }), settings).ok).toBe(false);
  });
});

describe('a lean', () => {
  const angles: Measurement = {
    method: 'angles',
    scale: 'pct',
    top: 100,
    base: { by: 'angle', angle: { value: 0, unit: 'pct' } },
    distance: ft(66),
  };

  it('of no said direction errs by its part along the sight, 10 feet over the root of two, by the slope of the top', () => {
    const lean = { length: { value: 10, unit: 'ft' } } as const;
    expect(sdOf('lean', { ...angles, lean })).toBeCloseTo(10 / Math.SQRT2, 6);
    expect(sdOf('lean', { ...angles, top: 50, lean })).toBeCloseTo(5 / Math.SQRT2, 6);
  });

  it('told of a stick that spans takes the usual eye of 5.3 feet, half a foot off, where none was said', () => {
    const measurement = spans({ lean: { length: { value: 10, unit: 'ft' }, direction: 'toward' } });
    const bare = { ...settings, eye: null };
    // The eye sees 64.7 over 70 feet; the tip is 60 feet off.
    expect(heightOf(measurement, bare).feet).toBeCloseTo((60 * 64.7) / 70 + 5.3, 6);
    expect(sdOf('eye', measurement, bare)).toBeCloseTo(0.5 * (1 - 60 / 70), 6);
    expect(heightOf(measurement).feet).toBeCloseTo((60 * 65) / 70 + 5, 6);
    expect(sdOf('eye', measurement)).toBeCloseTo(0.1 * (1 - 60 / 70), 6);
  });
});

describe('a steep sight', () => {
  const steep = (top: number, distance: number): Measurement => ({
    method: 'angles',
    scale: 'pct',
    top,
    base: { by: 'angle', angle: { value: 0, unit: 'pct' } },
    distance: ft(distance),
  });

  it('is better from as far off as the tree is high: the top’s error falls as 2 h d to d d + h h, the base’s grows', () => {
    const height = heightOf(steep(200, 40));
    const sight = 0.7 * radian;
    const angle = sdOf('angle', steep(200, 40));
    expect(angle).toBeCloseTo(Math.hypot(40 * 5 * sight, 40 * sight), 1);
    const left = Math.sqrt(height.sdFeet ** 2 - angle ** 2);
    expect(height.advice?.action).toBe('standFurther');
    expect(height.advice!.sdFeet).toBeCloseTo(Math.hypot(left, 0.8 * 40 * 5 * sight, 2 * 40 * sight), 1);
  });

  it('is steep from 1.2 times as high as far on', () => {
    expect(heightOf(steep(119, 60)).advice?.action).not.toBe('standFurther');
  });
});
