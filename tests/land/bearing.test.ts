/**
 * Bearings. The rules of declination are those of the Engineering Aid training manual (NAVEDTRA 14069, Determining magnetic
 * declination, seen; no year on the page): an east declination is added to northeast and southwest magnetic bearings and
 * subtracted from southeast and northwest ones; a west one the other way.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  azimuthOf,
  azimuthWords,
  backBearing,
  bearingWords,
  quadrantDegrees,
  quadrantSymbol,
  quadrantWords,
  readBearing,
  toMagnetic,
  toTrue,
  turnBetween,
} from '../../shared/land/bearing.ts';
import { ellipseOf, radialSd, sdsAway } from '../../shared/land/error-ellipse.ts';

const degrees = fc.double({ min: 0, max: 360, noNaN: true, maxExcluded: true });
const declination = fc.double({ min: -40, max: 40, noNaN: true });

describe('declination', () => {
  test('by quadrants, as the manual has it', () => {
    const declined = (from: 'north' | 'south', towards: 'east' | 'west', by: number) =>
      quadrantWords(toTrue(quadrantDegrees(from, 40, towards), by));
    expect(declined('north', 'east', 5)).toBe('north 45 east');
    expect(declined('south', 'west', 5)).toBe('south 45 west');
    expect(declined('south', 'east', 5)).toBe('south 35 east');
    expect(declined('north', 'west', 5)).toBe('north 35 west');
    expect(declined('north', 'east', -5)).toBe('north 35 east');
    expect(declined('south', 'east', -5)).toBe('south 45 east');
  });

  test('to true and back is the same', () => {
    fc.assert(
      fc.property(degrees, declination, (bearing, by) => {
        expect(Math.abs(turnBetween(toMagnetic(toTrue(bearing, by), by), bearing))).toBeLessThan(1e-9);
      }),
    );
  });
});

describe('quadrants', () => {
  test('whole degrees are worded and read back', () => {
    for (let azimuth = 0; azimuth < 360; azimuth++) {
      const words = quadrantWords(azimuth).split(' ');
      const said =
        words[0] === 'due'
          ? ({ by: 'due', towards: words[1] as 'north' } as const)
          : ({
              by: 'quadrant',
              from: words[0] as 'north',
              degrees: Number(words[1]),
              towards: words[2] as 'east',
            } as const);
      expect(readBearing(said)).toEqual({ ok: true, value: azimuth });
    }
    expect([0, 40, 90, 150, 180, 230, 270, 320].map((azimuth) => quadrantSymbol(azimuth))).toEqual([
      'N0E',
      'N40E',
      'N90E',
      'S30E',
      'S0E',
      'S50W',
      'N90W',
      'N40W',
    ]);
    expect(quadrantWords(359.9)).toBe('due north');
    expect(azimuthWords(359.9)).toBe('0 degrees');
    expect(azimuthWords(1)).toBe('1 degree');
    expect(bearingWords({ by: 'quadrant', from: 'north', degrees: 40, towards: 'east' })).toBe(
      'north 40 east',
    );
  });

  test('back again twice is the same, and half a turn once', () => {
    fc.assert(
      fc.property(degrees, (bearing) => {
        expect(Math.abs(turnBetween(backBearing(backBearing(bearing)), bearing))).toBeLessThan(1e-9);
        expect(Math.abs(turnBetween(bearing, backBearing(bearing)))).toBeCloseTo(180, 9);
        expect(Math.abs(turnBetween(azimuthOf(bearing), bearing))).toBeLessThan(1e-9);
      }),
    );
  });

  test('over 360, over 90 and below 0 are refused; 360 is north', () => {
    expect(readBearing({ by: 'azimuth', degrees: 360 })).toEqual({ ok: true, value: 0 });
    for (const wrong of [361, -1, Number.NaN])
      expect(readBearing({ by: 'azimuth', degrees: wrong }).ok).toBe(false);
    expect(readBearing({ by: 'quadrant', from: 'north', degrees: 91, towards: 'east' })).toMatchObject({
      error: expect.stringContaining('from 0 to 90 degrees, such as north 40 east; found 91'),
    });
  });
});

test('the ellipse of an error has its axes and its lie', () => {
  const turn = (30 * Math.PI) / 180;
  const [sin, cos] = [Math.sin(turn), Math.cos(turn)];
  const covariance = {
    eastEast: 100 * sin * sin + 4 * cos * cos,
    eastNorth: 100 * sin * cos - 4 * sin * cos,
    northNorth: 100 * cos * cos + 4 * sin * sin,
  };
  const ellipse = ellipseOf(covariance);
  expect(ellipse.majorFt).toBeCloseTo(10, 9);
  expect(ellipse.minorFt).toBeCloseTo(2, 9);
  expect(ellipse.azimuth).toBeCloseTo(30, 9);
  expect(radialSd(covariance)).toBeCloseTo(Math.sqrt(104), 9);
  expect(sdsAway({ eastFt: 20 * sin, northFt: 20 * cos }, covariance)).toBeCloseTo(2, 9);
});
