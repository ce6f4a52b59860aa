/** Slips of a leg: one put into each of a thousand simulated traverses, and which is named first. */
import { describe, expect, test } from 'vitest';
import { legSlipSentence, weighLegs } from '../../shared/land/leg-slips.ts';
import { measured, told } from './slipped-walks.ts';
import { azimuth, paced, read, settings } from './support.ts';

describe('one slip in each of 1 000 traverses, where it spoils the closing', () => {
  test.each(['paced', 'taped'] as const)('%s', (by) => {
    const { all, of } = measured(by, 1919);
    console.log([told(by, all), ...[...of].map(([name, tally]) => told(`  ${name}`, tally))].join('\n'));
    expect(all.leg / all.told).toBeGreaterThanOrEqual(0.8);
    expect(all.first / all.told).toBeGreaterThanOrEqual(0.8);
  });
});

test('a leg the other way is named with what it would close to', () => {
  const legs = [0, 90, 0, 270].map((degrees) => read(paced(azimuth(degrees), 60)));
  const { causes, asSaid } = weighLegs(legs, settings);
  expect(legSlipSentence(causes[0]!, 'feet')).toBe('Leg 1 the other way would close to 0 feet.');
  expect(asSaid).toBeLessThan(0.001);
});
