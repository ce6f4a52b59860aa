import { describe, expect, test } from 'vitest';
import {
  european,
  genusOfName,
  jenkinsGroups,
  more,
  species,
  speciesByCode,
  speciesNames,
  speciesOfNickname,
} from '../../shared/note/species.ts';
import { namedIn, regions } from '../../shared/note/species-regions.ts';

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

const all = [...species, ...more, ...european];

describe('the species table', () => {
  test.each(seen)('row %s agrees with FIA Appendix 3N', (code, symbol, common, scientific) => {
    const row = speciesByCode(Number(code));
    expect(row).toMatchObject({ symbol, commonName: common, scientificName: scientific });
  });

  test('no code and no symbol stands twice, and codes ascend', () => {
    const codes = species.map((each) => each.code);
    expect(codes).toEqual([...new Set(codes)].sort((a, b) => a - b));
    expect(new Set(species.map((each) => each.symbol)).size).toBe(66);
    const symbols = all.flatMap(({ symbol }) => (symbol === null ? [] : symbol));
    expect(new Set(symbols).size).toBe(symbols.length);
    expect(new Set(all.map(({ code }) => code)).size).toBe(all.length);
    expect(all.length).toBeGreaterThanOrEqual(150);
  });

  test('a PLANTS symbol begins with two letters of the genus and two of the epithet', () => {
    // Source: the PLANTS symbol rule of USDA NRCS; a digit only breaks ties.
    for (const { symbol, scientificName } of all) {
      if (symbol === null) continue;
      const [genus = '', epithet = ''] = scientificName.toUpperCase().split(' ');
      expect(symbol.replace(/\d+$/, '')).toBe(genus.slice(0, 2) + epithet.slice(0, 2));
    }
  });

  test('heights are in order, and no usual height passes the tallest tree known', () => {
    // 380 ft: coast redwood 115.66 m, the tallest record seen.
    for (const { matureFt, tallest } of all) {
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
  test('a rarer tree never takes the name of a common one, and its full name means it', () => {
    expect(speciesOfNickname('dogwood')).toEqual([491]);
    expect(speciesOfNickname('pin cherry')).toEqual([761]);
    expect(speciesOfNickname('European beech')).toEqual([90014]);
    for (const { commonName, code } of [...more, ...european])
      expect(speciesOfNickname(commonName), commonName).toEqual([code]);
  });

  test('a name of two continents means both, and what grows in one of them there', () => {
    // Common practice, no source.
    expect(speciesOfNickname('beech')).toEqual([531, 90014]);
    expect(namedIn('beech', 'europe', [531, 90014])).toEqual([90014]);
    expect(namedIn('beech', 'america', [531, 90014])).toEqual([531]);
    expect(namedIn('hemlock', 'east', speciesOfNickname('hemlock'))).toEqual([261]);
    expect(namedIn('hemlock', 'america', speciesOfNickname('hemlock'))).toEqual([261, 263]);
    expect(speciesOfNickname('silver birch')).toEqual([90010]);
  });

  test('no region is without a tree for a name that means something', () => {
    for (const name of speciesNames)
      for (const region of regions)
        expect(namedIn(name, region, speciesOfNickname(name)).length, `${name} in ${region}`).toBeGreaterThan(
          0,
        );
  });

  test('one name of two trees stays open', () => {
    expect(speciesOfNickname('ironwood')).toEqual([391, 701]);
    expect(speciesOfNickname('buckeye')).toEqual([331, 332]);
  });

  test('genera and kinds of wood have codes of their own', () => {
    // From memory of FIA Appendix 3N: Quercus spp. 800, Carya spp. 400, other or unknown hardwood 998.
    expect(genusOfName('oak')).toBe(800);
    expect(genusOfName('hickory')).toBe(400);
    expect(genusOfName('red oak')).toBeUndefined();
    expect(speciesOfNickname('unknown hardwood')).toEqual([998]);
    expect(speciesOfNickname('other softwood')).toEqual([299]);
  });

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
    expect(speciesOfNickname('basswood')).toEqual([951]);
    expect(speciesOfNickname('popple tree')).toEqual([]);
  });

  test('every name is borne by something', () => {
    for (const name of speciesNames) expect(speciesOfNickname(name).length, name).toBeGreaterThan(0);
  });
});
