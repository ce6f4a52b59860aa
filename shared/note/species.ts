/**
 * The species that can be named: 66 with all that was seen of them, more in `more-species.ts`, genera and kinds of wood.
 * Codes, names, nicknames, usual heights. Frozen data and look-ups.
 *
 * Provenance. Code, symbol and biomass group: seen in the FIA database's reference table REF_SPECIES (USDA Forest Service,
 * states of 2012 and 2021; public domain), all 66 alike. Nicknames: common practice, no source. Heights: each says where it
 * comes from; `tests/references/seen/species.csv` holds what was seen, `shared/docs/sources.md` the comparison.
 */

import {
  europeanSpecies,
  type GroupKey,
  genera,
  kindsOfWood,
  type MoreRow,
  moreSpecies,
  ownNumbersFrom,
} from './more-species.ts';
import { isOfRegions, meantElsewhere } from './species-regions.ts';
import { typedNicknames, typedSpecies } from './typed-species.ts';

/** Groups of the national biomass equations (Jenkins et al. 2003, Table 4). */
export const jenkinsGroups = [
  'Aspen/alder/cottonwood/willow',
  'Soft maple/birch',
  'Mixed hardwood',
  'Hard maple/oak/hickory/beech',
  'Cedar/larch',
  'Douglas-fir',
  'True fir/hemlock',
  'Pine',
  'Spruce',
  'Juniper/oak/mesquite',
] as const;
export type JenkinsGroup = (typeof jenkinsGroups)[number];

interface Species {
  /** FIA numeric code. */
  readonly code: number;
  /** PLANTS symbol; null where it is not known for certain. */
  readonly symbol: string | null;
  readonly commonName: string;
  readonly scientificName: string;
  /** What else it is called, as spoken: lower case, no hyphens. */
  readonly nicknames: readonly string[];
  readonly jenkinsGroup: JenkinsGroup;
  /** Usual height of a mature tree, feet, from..to. */
  readonly matureFt: readonly [low: number, high: number];
  readonly matureFrom: MatureSource;
  /** A tallest tree, where a figure was seen. */
  readonly tallest: Tallest | null;
}

/**
 * Where a usual height comes from. `P`: height of mature large trees after Preston 1976, North American Trees, as printed
 * in FHWA-RD-97-028 (US Department of Transportation 1997), Table 2 (seen). `M`: from memory, rounded from Burns & Honkala
 * 1990, Silvics of North America, USDA Agric. Handbook 654, where Preston's were not seen.
 */
type MatureSource = 'P' | 'M';

/**
 * `record`: the tallest tree known, from a copied encyclopaedia text (weak); no tree passes it. `seen`: the tallest
 * laser-measured tree known to the Eastern Native Tree Society about 2004; taller ones may stand.
 */
interface Tallest {
  readonly feet: number;
  readonly kind: 'record' | 'seen';
}

const record = (feet: number): Tallest => ({ feet, kind: 'record' });
const seen = (feet: number): Tallest => ({ feet, kind: 'seen' });

/** A name as it is spoken: lower case, hyphens as spaces. `spokenName('Douglas-fir') === 'douglas fir'` */
export const spokenName = (name: string): string =>
  name
    .toLowerCase()
    .replace(/[-\s]+/g, ' ')
    .trim();

function row(
  code: number,
  symbol: string,
  commonName: string,
  scientificName: string,
  nicknames: string,
  jenkinsGroup: JenkinsGroup,
  [low, high, matureFrom]: readonly [low: number, high: number, from: MatureSource],
  tallest: Tallest | null,
): Species {
  return Object.freeze({
    code,
    symbol,
    commonName,
    scientificName,
    nicknames: Object.freeze(nicknames === '' ? [] : nicknames.split('; ')),
    jenkinsGroup,
    matureFt: Object.freeze([low, high] as const),
    matureFrom,
    tallest,
  });
}

/** All species, by code. */
// biome-ignore format: a table, one row a line
export const species: readonly Species[] = Object.freeze([
  row(12, 'ABBA', 'balsam fir', 'Abies balsamea', 'fir; balsam; blister fir', 'True fir/hemlock', [40, 60, 'M'], null),
  row(15, 'ABCO', 'white fir', 'Abies concolor', 'concolor', 'True fir/hemlock', [121, 151, 'P'], null),
  row(17, 'ABGR', 'grand fir', 'Abies grandis', 'grand; white fir; lowland fir', 'True fir/hemlock', [141, 161, 'P'], null),
  row(19, 'ABLA', 'subalpine fir', 'Abies lasiocarpa', 'alpine fir; sub alp; alpine', 'True fir/hemlock', [59, 98, 'P'], null),
  row(68, 'JUVI', 'eastern redcedar', 'Juniperus virginiana', 'cedar; redcedar; juniper; red cedar', 'Cedar/larch', [40, 50, 'M'], null),
  row(71, 'LALA', 'tamarack', 'Larix laricina', 'larch; tam; hackmatack; juniper', 'Cedar/larch', [50, 75, 'M'], null),
  row(73, 'LAOC', 'western larch', 'Larix occidentalis', 'larch; tamarack; wl', 'Cedar/larch', [141, 180, 'P'], null),
  row(81, 'CADE27', 'incense-cedar', 'Calocedrus decurrens', 'incense; cedar', 'Cedar/larch', [75, 110, 'M'], null),
  row(91, 'PIAB', 'Norway spruce', 'Picea abies', 'norway; spruce', 'Spruce', [80, 120, 'M'], null),
  row(93, 'PIEN', 'Engelmann spruce', 'Picea engelmannii', 'engelmann; spruce', 'Spruce', [59, 121, 'P'], null),
  row(94, 'PIGL', 'white spruce', 'Picea glauca', 'cat spruce; skunk spruce', 'Spruce', [80, 100, 'M'], null),
  row(95, 'PIMA', 'black spruce', 'Picea mariana', 'bog spruce; swamp spruce', 'Spruce', [30, 50, 'M'], null),
  row(97, 'PIRU', 'red spruce', 'Picea rubens', 'spruce', 'Spruce', [69, 79, 'P'], seen(152)),
  row(98, 'PISI', 'Sitka spruce', 'Picea sitchensis', 'sitka; spruce', 'Spruce', [180, 200, 'P'], record(317)),
  row(105, 'PIBA2', 'jack pine', 'Pinus banksiana', 'jack; scrub pine; jackpine', 'Pine', [55, 65, 'M'], null),
  row(108, 'PICO', 'lodgepole pine', 'Pinus contorta', 'lodgepole; lp; black pine', 'Pine', [69, 79, 'P'], null),
  row(110, 'PIEC2', 'shortleaf pine', 'Pinus echinata', 'shortleaf; short; yellow pine', 'Pine', [80, 100, 'M'], null),
  row(111, 'PIEL', 'slash pine', 'Pinus elliottii', 'slash', 'Pine', [79, 98, 'P'], null),
  row(117, 'PILA', 'sugar pine', 'Pinus lambertiana', 'sugar', 'Pine', [174, 200, 'P'], null),
  row(119, 'PIMO3', 'western white pine', 'Pinus monticola', 'white pine; western white; idaho white', 'Pine', [89, 180, 'P'], null),
  row(121, 'PIPA2', 'longleaf pine', 'Pinus palustris', 'longleaf; long; yellow pine', 'Pine', [80, 120, 'M'], null),
  row(122, 'PIPO', 'ponderosa pine', 'Pinus ponderosa', 'p pine; ponderosa; yellow pine; bull pine', 'Pine', [151, 180, 'P'], null),
  row(125, 'PIRE', 'red pine', 'Pinus resinosa', 'norway pine; norway', 'Pine', [59, 79, 'P'], null),
  row(129, 'PIST', 'eastern white pine', 'Pinus strobus', 'white pine; pumpkin pine; ewp; eastern white', 'Pine', [89, 180, 'P'], seen(185.5)),
  row(130, 'PISY', 'Scots pine', 'Pinus sylvestris', 'scotch pine; scots', 'Pine', [60, 100, 'M'], null),
  row(131, 'PITA', 'loblolly pine', 'Pinus taeda', 'loblolly; lob; old field pine', 'Pine', [89, 112, 'P'], seen(167.2)),
  row(132, 'PIVI2', 'Virginia pine', 'Pinus virginiana', 'scrub pine', 'Pine', [40, 70, 'M'], null),
  row(202, 'PSME', 'Douglas-fir', 'Pseudotsuga menziesii', 'doug fir; df; fir; red fir', 'Douglas-fir', [150, 250, 'M'], record(326)),
  row(211, 'SESE3', 'redwood', 'Sequoia sempervirens', 'coast redwood', 'Cedar/larch', [200, 276, 'P'], record(379)),
  row(212, 'SEGI2', 'giant sequoia', 'Sequoiadendron giganteum', 'big tree; sequoia', 'Cedar/larch', [200, 275, 'M'], record(314)),
  row(221, 'TADI2', 'baldcypress', 'Taxodium distichum', 'cypress; bald cypress', 'Cedar/larch', [98, 121, 'P'], null),
  row(241, 'THOC2', 'northern white-cedar', 'Thuja occidentalis', 'cedar; arborvitae; white cedar', 'Cedar/larch', [40, 50, 'M'], null),
  row(242, 'THPL', 'western redcedar', 'Thuja plicata', 'cedar; red cedar; rc; redcedar', 'Cedar/larch', [151, 200, 'P'], null),
  row(261, 'TSCA', 'eastern hemlock', 'Tsuga canadensis', 'hemlock; hem', 'True fir/hemlock', [60, 100, 'M'], seen(169.5)),
  row(263, 'TSHE', 'western hemlock', 'Tsuga heterophylla', 'hemlock; hem; wh', 'True fir/hemlock', [125, 174, 'P'], null),
  row(312, 'ACMA3', 'bigleaf maple', 'Acer macrophyllum', 'bigleaf; oregon maple; maple', 'Soft maple/birch', [79, 98, 'P'], null),
  row(316, 'ACRU', 'red maple', 'Acer rubrum', 'soft maple; swamp maple', 'Soft maple/birch', [59, 79, 'P'], null),
  row(317, 'ACSA2', 'silver maple', 'Acer saccharinum', 'soft maple', 'Soft maple/birch', [59, 79, 'P'], null),
  row(318, 'ACSA3', 'sugar maple', 'Acer saccharum', 'hard maple; rock maple', 'Hard maple/oak/hickory/beech', [59, 79, 'P'], null),
  row(351, 'ALRU2', 'red alder', 'Alnus rubra', 'alder', 'Aspen/alder/cottonwood/willow', [79, 98, 'P'], null),
  row(371, 'BEAL2', 'yellow birch', 'Betula alleghaniensis', '', 'Soft maple/birch', [59, 79, 'P'], null),
  row(375, 'BEPA', 'paper birch', 'Betula papyrifera', 'white birch; canoe birch', 'Soft maple/birch', [50, 70, 'M'], null),
  row(403, 'CAGL8', 'pignut hickory', 'Carya glabra', 'pignut; hickory', 'Hard maple/oak/hickory/beech', [80, 100, 'M'], seen(163.3)),
  row(407, 'CAOV2', 'shagbark hickory', 'Carya ovata', 'shagbark; hickory', 'Hard maple/oak/hickory/beech', [70, 90, 'M'], null),
  row(531, 'FAGR', 'American beech', 'Fagus grandifolia', 'beech', 'Hard maple/oak/hickory/beech', [59, 79, 'P'], null),
  row(541, 'FRAM2', 'white ash', 'Fraxinus americana', 'ash', 'Mixed hardwood', [70, 90, 'M'], seen(165.8)),
  row(543, 'FRNI', 'black ash', 'Fraxinus nigra', 'brown ash; basket ash', 'Mixed hardwood', [50, 70, 'M'], null),
  row(602, 'JUNI', 'black walnut', 'Juglans nigra', 'walnut', 'Mixed hardwood', [80, 120, 'M'], null),
  row(611, 'LIST2', 'sweetgum', 'Liquidambar styraciflua', 'gum; red gum; sweet gum', 'Mixed hardwood', [79, 121, 'P'], seen(157.1)),
  row(621, 'LITU', 'yellow-poplar', 'Liriodendron tulipifera', 'poplar; tulip; tulip poplar', 'Mixed hardwood', [79, 98, 'P'], seen(177.4)),
  row(693, 'NYSY', 'black tupelo', 'Nyssa sylvatica', 'blackgum; tupelo; gum; black gum', 'Mixed hardwood', [60, 90, 'M'], null),
  row(731, 'PLOC', 'American sycamore', 'Platanus occidentalis', 'sycamore; buttonwood; plane', 'Mixed hardwood', [80, 120, 'M'], seen(162.3)),
  row(742, 'PODE3', 'eastern cottonwood', 'Populus deltoides', 'cottonwood', 'Aspen/alder/cottonwood/willow', [80, 130, 'M'], null),
  row(743, 'POGR4', 'bigtooth aspen', 'Populus grandidentata', 'bigtooth; popple; aspen', 'Aspen/alder/cottonwood/willow', [60, 80, 'M'], null),
  row(746, 'POTR5', 'quaking aspen', 'Populus tremuloides', 'aspen; popple; quakie; poplar', 'Aspen/alder/cottonwood/willow', [50, 80, 'M'], null),
  row(762, 'PRSE2', 'black cherry', 'Prunus serotina', 'cherry', 'Mixed hardwood', [60, 100, 'M'], null),
  row(802, 'QUAL', 'white oak', 'Quercus alba', 'wo', 'Hard maple/oak/hickory/beech', [79, 98, 'P'], null),
  row(806, 'QUCO2', 'scarlet oak', 'Quercus coccinea', 'scarlet; red oak', 'Hard maple/oak/hickory/beech', [60, 80, 'M'], null),
  row(815, 'QUGA4', 'Oregon white oak', 'Quercus garryana', 'white oak; garry oak', 'Hard maple/oak/hickory/beech', [50, 80, 'M'], null),
  row(832, 'QUPR2', 'chestnut oak', 'Quercus prinus (syn. Q. montana)', 'rock oak; mountain oak', 'Hard maple/oak/hickory/beech', [60, 80, 'M'], null),
  row(833, 'QURU', 'northern red oak', 'Quercus rubra', 'red oak; nro', 'Hard maple/oak/hickory/beech', [59, 79, 'P'], null),
  row(835, 'QUST', 'post oak', 'Quercus stellata', '', 'Hard maple/oak/hickory/beech', [50, 60, 'M'], null),
  row(837, 'QUVE', 'black oak', 'Quercus velutina', 'red oak', 'Hard maple/oak/hickory/beech', [60, 80, 'M'], null),
  row(901, 'ROPS', 'black locust', 'Robinia pseudoacacia', 'locust', 'Mixed hardwood', [50, 80, 'M'], seen(162)),
  row(951, 'TIAM', 'American basswood', 'Tilia americana', 'basswood; linden; bass', 'Mixed hardwood', [59, 79, 'P'], null),
  row(972, 'ULAM', 'American elm', 'Ulmus americana', 'elm; white elm', 'Mixed hardwood', [75, 98, 'P'], null),
]);

const groupOf = {
  A: 'Aspen/alder/cottonwood/willow',
  SM: 'Soft maple/birch',
  MH: 'Mixed hardwood',
  HM: 'Hard maple/oak/hickory/beech',
  CL: 'Cedar/larch',
  DF: 'Douglas-fir',
  TF: 'True fir/hemlock',
  P: 'Pine',
  S: 'Spruce',
  J: 'Juniper/oak/mesquite',
} as const satisfies Record<GroupKey, JenkinsGroup>;

const fromMemory = ([code, symbol, name, latin, nicknames, group, low, high]: MoreRow): Species => ({
  ...row(code, '', name, latin, nicknames, groupOf[group], [low, high, 'M'], null),
  symbol,
});

/** Species of North America beyond those whose figures were seen, by code. */
export const more: readonly Species[] = Object.freeze(moreSpecies.map(fromMemory));
/** Trees of Europe, known by their full names. */
export const european: readonly Species[] = Object.freeze(europeanSpecies.map(fromMemory));
/** Trees that are known by what is typed alone; the ear knows no name of them. */
export const typedOnly: readonly Species[] = Object.freeze(typedSpecies.map(fromMemory));
/** Genera, and wood of which only the kind is known. A tree stays at this depth until somebody says more. */
const broader: readonly Species[] = Object.freeze([
  ...genera.map(([code, name, latin, group, low, high]) =>
    fromMemory([code, null, name, latin, '', group, low, high]),
  ),
  ...kindsOfWood.map(fromMemory),
]);

const byCode = new Map(
  [...species, ...more, ...european, ...typedOnly, ...broader].map((each) => [each.code, each]),
);

/** The species, genus or kind of wood of a code; undefined when there is none. `speciesByCode(833)` is northern red oak. */
export const speciesByCode = (code: number): Species | undefined => byCode.get(code);

/** The code as FIA knows it; null where it is none of theirs. Example: `fiaCode(833) === 833`. */
export const fiaCode = (code: number | null): number | null =>
  code === null || code >= ownNumbersFrom ? null : code;

const genusByName = new Map(genera.map(([code, name]) => [name, code]));

/** The code of the genus that a name says: `genusOfName('oak')` is 800. Undefined for every other name. */
export const genusOfName = (name: string): number | undefined => genusByName.get(spokenName(name));

const isTail = (name: string, whole: string): boolean => whole.endsWith(` ${name}`);

/** Last words of several common names, said alone: "oak", "birch". */
function sharedLastWords(list: readonly Species[]): string[] {
  const last = list.map((each) => spokenName(each.commonName).split(' ').at(-1) ?? '');
  return last.filter((word, index) => last.indexOf(word) !== index);
}

/** Those of a list that bear a name: as common name, as nickname, or (with `tails`) as the end of the common name. */
const bearing = (list: readonly Species[], name: string, tails = true): readonly number[] =>
  list
    .filter((each) => {
      const whole = spokenName(each.commonName);
      return whole === name || each.nicknames.includes(name) || (tails && isTail(name, whole));
    })
    .map((each) => each.code);

const named = [...species, ...more, ...european, ...kindsOfWood.map(fromMemory)];

/** Name as spoken -> what it may mean. */
const meanings: ReadonlyMap<string, readonly number[]> = new Map(
  [
    ...new Set([
      ...named.flatMap((each) => [spokenName(each.commonName), ...each.nicknames]),
      ...sharedLastWords([...species, ...more]),
    ]),
  ].map((name) => [name, [...new Set([...meaningOf(name), ...meantElsewhere(name), ...typedMeaning(name)])]]),
);

/** Trees that are typed alone, by a name that is another tree's elsewhere: "turkey oak". */
function typedMeaning(name: string): readonly number[] {
  return isOfRegions(name) ? bearing(typedOnly, name, false) : [];
}

function meaningOf(name: string): readonly number[] {
  const own = named.filter((each) => spokenName(each.commonName) === name);
  if (own.length === 1) return own.map((each) => each.code);
  const common = bearing(species, name);
  const ends = common.filter((code) => isTail(name, spokenName(byCode.get(code)?.commonName ?? '')));
  if (name.includes(' ') && ends.length === 1) return ends;
  if (common.length > 0) return common;
  return [...bearing(more, name), ...bearing(named.slice(species.length + more.length), name, false)];
}

/** Names that are read when they are typed, with their species; none of them is a name of another tree. */
export const typedNames: ReadonlyMap<string, number> = new Map(
  [
    ...typedNicknames,
    ...typedOnly.flatMap(({ code, commonName, nicknames }) =>
      [spokenName(commonName), ...nicknames].map((name) => [name, code] as const),
    ),
  ].filter(([name]) => !meanings.has(name)),
);

/** Every name by which a species or a kind of wood can be called, as spoken, each once. */
export const speciesNames: readonly string[] = Object.freeze([...meanings.keys()]);

/**
 * Codes of the species that a name may mean: one when the name is clear, several when the user must be asked, none
 * when nothing bears it.
 *
 * - A common name means itself: "white oak" is 802, although Oregon white oak is called so too.
 * - A name of two or more words that ends exactly one common name of the 66 means that species: "red oak" is northern
 *   red oak. One word is too little for that: "larch" ends only "western larch" but is tamarack in the east.
 * - A name that any of the 66 bear means those, although a rarer tree is called so too: "cherry" is black cherry.
 * - Otherwise all that bear it: `speciesOfNickname('fir')` are the true firs and Douglas-fir.
 * - Names that mean another tree elsewhere (`species-regions.ts`) mean that too: "beech" is American or European beech.
 */
export const speciesOfNickname = (name: string): readonly number[] => {
  const spoken = spokenName(name);
  const typed = typedNames.get(spoken);
  return meanings.get(spoken) ?? (typed === undefined ? [] : [typed]);
};

/**
 * The group of the biomass equations that all species share which a name may mean; undefined where they differ, or
 * where no species bears it. `groupOfName('oak')` is hard maple, oak, hickory and beech.
 */
export function groupOfName(name: string): JenkinsGroup | undefined {
  const groups = new Set(speciesOfNickname(name).map((code) => speciesByCode(code)?.jenkinsGroup));
  return groups.size === 1 ? [...groups][0] : undefined;
}

/**
 * Words that tell species apart of two short names or more, and are no name by themselves: "white" of the ashes and of the
 * oaks, in the order of the alphabet.
 */
export const tellingWords: readonly string[] = Object.freeze(
  [...speciesNames]
    .flatMap((name) => {
      const names = speciesOfNickname(name).map((code) =>
        spokenName(byCode.get(code)?.commonName ?? '').split(' '),
      );
      const all = names.flat();
      return names.length < 2 ? [] : all.filter((word) => all.indexOf(word) === all.lastIndexOf(word));
    })
    .filter((word, at, all) => all.indexOf(word) < at && all.indexOf(word, at + 1) < 0)
    .filter((word) => !meanings.has(word) && genusOfName(word) === undefined)
    .sort(),
);
