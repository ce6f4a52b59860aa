import { describe, expect, it } from 'vitest';
import { aloud } from '../../grammar/writing/aloud.ts';

describe('a reply read aloud', () => {
  it.each([
    ['48 feet, give or take 3.', 'forty eight feet, give or take three.'],
    ['Pace 5.26 feet, give or take 0.1.', 'Pace five point two six feet, give or take zero point one.'],
    ['Tree 12, northern red oak, 16.2 inches.', 'Tree twelve, northern red oak, sixteen point two inches.'],
    ['No numbers here.', 'No numbers here.'],
  ])('says "%s" as "%s"', (written, spoken) => {
    expect(aloud(written)).toBe(spoken);
  });

  it('leaves no digit behind, however large the number', () => {
    for (const value of [0, 7, 430, 1464, 99999, 1234567, 0.05, 1048576.25])
      expect(aloud(`${value} feet`)).not.toMatch(/\d/);
  });
});
