/** Heights from what a device showed, reckoned by hand: ranges along the line of sight, and takes. */
import { describe, expect, it } from 'vitest';
import { measure } from '../../shared/measuring/height/index.ts';
import type { Measurement } from '../../shared/note/note.ts';
import { settings } from './settings.ts';

const heightOf = (measurement: Measurement) => {
  const found = measure(measurement, settings);
  if (!found.ok) throw new Error(JSON.stringify(found.error));
  return found.value;
};

type Ranges = Extract<Measurement, { method: 'ranges' }>;
const ranges = (
  [topRange, topAngle]: readonly [number, number],
  [baseRange, baseAngle]: readonly [number, number],
): Ranges => ({
  method: 'ranges',
  topRange: { value: topRange, unit: 'ft' },
  topAngle,
  baseRange: { value: baseRange, unit: 'ft' },
  baseAngle,
});
const sin = (degrees: number): number => Math.sin((degrees * Math.PI) / 180);
const cos = (degrees: number): number => Math.cos((degrees * Math.PI) / 180);

describe('ranges along the line of sight', () => {
  it('105 feet at 47 degrees over 70 at 3 below: 76.8 over the eye (Eastern Native Tree Society), 3.7 below it', () => {
    const { feet, sketch, steps } = heightOf(ranges([105, 47], [70, -3]));
    expect(feet).toBeCloseTo(76.8 + 3.66, 1);
    // Level: to the stem 70 cos 3, and the top 1.7 feet beyond it, 105 cos 47 less that.
    expect(sketch.distanceFt).toBeCloseTo(69.904, 3);
    expect(steps.find(({ name }) => name === 'tipOffset')!.value).toBeCloseTo(1.706, 3);
    // The base lies 3.66 feet below an eye of 5.
    expect(sketch.baseFt).toBeCloseTo(5 - 70 * sin(3), 6);
  });

  it('a base twenty degrees down is that much nearer, level, and lower', () => {
    const { sketch, steps } = heightOf(ranges([100, 60], [60, -20]));
    expect(sketch.distanceFt).toBeCloseTo(60 * cos(20), 9);
    expect(steps.find(({ name }) => name === 'tipOffset')!.value).toBeCloseTo(50 - 60 * cos(20), 9);
    expect(sketch.baseFt).toBeCloseTo(5 - 60 * sin(20), 6);
  });

  it('angles run to below ninety degrees, up and down', () => {
    for (const at of [90, -90, 95, 100]) {
      expect(measure(ranges([100, at], [60, 0]), settings)).toMatchObject({
        error: { kind: 'impossible', sentence: expect.stringContaining(`${at} degrees`) },
      });
      expect(measure(ranges([100, 40], [60, at]), settings).ok).toBe(false);
    }
    expect(measure(ranges([100, 89.9], [60, -89]), settings).ok).toBe(true);
  });

  it('errs by half a foot a range, by a tenth of a range below five feet', () => {
    const sdOf = (range: number): number =>
      heightOf(ranges([100, 30], [range, -45])).shares.find(({ cause }) => cause === 'device')!.sdFeet;
    // The top by sin 30, the base by sin 45.
    expect(sdOf(60)).toBeCloseTo(Math.hypot(0.5 * 0.5, 0.5 * sin(45)), 6);
    expect(sdOf(4)).toBeCloseTo(Math.hypot(0.5 * 0.5, 0.4 * sin(45)), 6);
  });
});

describe('takes of a device', () => {
  const takes = (...values: number[]): Measurement => ({
    method: 'reading',
    device: 'laser',
    sdFeet: 4,
    takes: values.map((value) => ({ value, unit: 'ft' })),
  });

  it('two more of one are three, which err by 1.04 over the root of three', () => {
    const { sdFeet, advice } = heightOf(takes(60));
    expect(sdFeet).toBeCloseTo(4, 9);
    expect(advice).toMatchObject({ action: 'moreTakes', cause: 'device' });
    expect(advice!.sdFeet).toBeCloseTo((4 * 1.04) / Math.sqrt(3), 9);
  });

  it('two more than those that were kept: of three with one left out, four', () => {
    const { sdFeet, advice } = heightOf(takes(60, 62, 120));
    // Kept are 60 and 62: squares 2, pooled with the expected as four takes.
    expect(sdFeet).toBeCloseTo(Math.sqrt((4 * 16 + 2) / 5) / Math.SQRT2, 9);
    expect(advice!.sdFeet).toBeCloseTo((sdFeet * (1.04 / 2)) / (1 / Math.SQRT2), 9);
  });

  it('in two units are refused', () => {
    const mixed: Measurement = {
      method: 'reading',
      takes: [
        { value: 60, unit: 'ft' },
        { value: 18, unit: 'm' },
      ],
    };
    expect(measure(mixed, settings)).toMatchObject({
      error: { sentence: 'Expected all takes in one unit; found ft and m.' },
    });
  });
});
