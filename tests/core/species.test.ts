import { describe, expect, test } from 'vitest';
import {
  jenkinsGroups,
  species,
  speciesByCode,
  speciesNames,
  speciesOfNickname,
} from '../../shared/note/species.ts';

/**
 * Source: USDA Forest Service, FIA Field Guide, Appendix 3N "FIA Tree Species Codes" (public domain). These ten rows
 * were seen in an excerpt of it; all rows are compared with the national reference table in `tests/totals/sources.test.ts`.
 */
const seen: readonly [code: string, symbol: string, common: string, scientific: string][] = [
  ['0012', 'ABBA', 'balsam fir', 'Abies balsamea'],
  ['0015', 'ABCO', 'white fir', 'Abies concolor'],
  ['0068', 'JUVI', 'eastern redcedar', 'Juniperus virginiana'],
  ['0071', 'LALA', 'tamarack', 'Larix laricina'],
  ['0091', 'PIAB', 'Norway spruce', 'Picea abies'],
  ['0094', 'PIGL', 'white spruce', 'Picea glauca'],
  ['0095', 'PIMA', 'black spruce', 'Picea mariana'],
  ['0097', 'PIRU', 'red spruce', 'Picea rubens'],
  ['0105', 'PIBA2', 'jack pine', 'Pinus banksiana'],
  ['0108', 'PICO', 'lodgepole pine', 'Pinus contorta'],
];

describe('the species table', () => {
  test.each(seen)('row %s agrees with FIA Appendix 3N', (code, symbol, common, scientific) => {
    const row = speciesByCode(Number(code));
    expect(row).toMatchObject({ symbol, commonName: common, scientificName: scientific });
  });

  test('no code and no symbol stands twice, and codes ascend', () => {
    const codes = species.map((each) => each.code);
    expect(codes).toEqual([...new Set(codes)].sort((a, b) => a - b));
    expect(new Set(species.map((each) => each.symbol)).size).toBe(66);
  });

  test('a PLANTS symbol begins with two letters of the genus and two of the epithet', () => {
    // Source: the PLANTS symbol rule of USDA NRCS; a digit only breaks ties.
    for (const { symbol, scientificName } of species) {
      const [genus = '', epithet = ''] = scientificName.toUpperCase().split(' ');
      expect(symbol.replace(/\d+$/, '')).toBe(genus.slice(0, 2) + epithet.slice(0, 2));
    }
  });

  test('heights are in order, and no usual height passes the tallest tree known', () => {
    // 380 ft: coast redwood 115.66 m, the tallest record seen.
    for (const { matureFt, tallest } of species) {
      expect(matureFt[0]).toBeGreaterThanOrEqual(30);
      expect(matureFt[1]).toBeGreaterThan(matureFt[0]);
      expect(matureFt[1]).toBeLessThanOrEqual(tallest?.feet ?? 380);
    }
  });

  test('every group of the biomass equations that is used is a named one', () => {
    for (const each of species) expect(jenkinsGroups).toContain(each.jenkinsGroup);
  });
});

describe('what a name may mean', () => {
  test('a common name means itself, whoever else bears it', () => {
    expect(speciesOfNickname('white oak')).toEqual([802]);
    expect(speciesOfNickname('white fir')).toEqual([15]);
    expect(speciesOfNickname('tamarack')).toEqual([71]);
    for (const { commonName, code } of species) expect(speciesOfNickname(commonName)).toEqual([code]);
  });

  test('the end of exactly one common name means that species', () => {
    expect(speciesOfNickname('red oak')).toEqual([833]);
  });

  test('the end of two common names stays open', () => {
    expect(speciesOfNickname('white pine')).toEqual([119, 129]);
    expect(speciesOfNickname('redcedar')).toEqual([68, 242]);
  });

  test('a genus word alone stays open', () => {
    // Common practice, no source: names that foresters of different regions use for different trees.
    for (const name of [
      ...['fir', 'cedar', 'pine', 'hemlock', 'larch', 'poplar', 'popple', 'gum', 'soft maple', 'norway'],
      ...['oak', 'maple', 'birch', 'spruce', 'ash', 'hickory', 'aspen', 'juniper'],
    ]) {
      expect(speciesOfNickname(name).length, name).toBeGreaterThan(1);
    }
  });

  test('a name borne by one species is clear, in any case and with hyphens', () => {
    expect(speciesOfNickname('hard maple')).toEqual([318]);
    expect(speciesOfNickname('Doug-fir')).toEqual([202]);
    expect(speciesOfNickname('beech')).toEqual([531]);
    expect(speciesOfNickname('popple tree')).toEqual([]);
  });

  test('every name is borne by something', () => {
    for (const name of speciesNames) expect(speciesOfNickname(name).length, name).toBeGreaterThan(0);
  });
});
