/**
 * What short names of trees mean where: "beech" is another tree in Europe than in North America, and "hemlock" another in
 * the east of it than in the west. And which trees tell where a stand is.
 *
 * Provenance: common practice, no source; all from memory.
 */

/** Parts of the world whose trees are called alike; `america`: North America, east or west not known. */
export const regions = ['europe', 'america', 'east', 'west'] as const;
export type Region = (typeof regions)[number];

type Row = readonly [
  name: string,
  europe: readonly number[],
  east?: readonly number[],
  west?: readonly number[],
];

/** The likely ones, the likeliest first; nothing where the name means what it means all over North America. */
const rows: readonly Row[] = [
  ['alder', [90008], [], [351]],
  ['ash', [90015], [541, 544, 543], [542]],
  ['aspen', [90017], [746, 743], [746]],
  ['beech', [90014]],
  ['birch', [90010, 90011], [371, 375, 372, 373], [375]],
  ['black pine', [136], [136], [108]],
  ['cedar', [90104, 90105, 90106, 242], [68, 241], [242, 81]],
  ['cherry', [90019]],
  ['chestnut', [90013]],
  ['cypress', [90107, 90108]],
  ['elm', [90028, 90276]],
  ['fir', [90001, 90231, 17], [12], [17, 15, 19, 202]],
  ['hemlock', [263], [261], [263, 264]],
  ['holly', [90213]],
  ['hornbeam', [90012]],
  ['juniper', [90241], [68], [64, 66]],
  ['larch', [90002, 90110], [71], [73]],
  ['linden', [90026, 90027]],
  ['maple', [90005, 90006, 320], [316, 318, 317], [312, 90287]],
  ['mountain ash', [90024]],
  ['norway', [91], [125, 91]],
  ['oak', [90020, 90021]],
  ['pine', [130, 136]],
  ['plane', [90109]],
  ['poplar', [90018, 90111], [], [746, 747]],
  ['popple', [90018], [743, 746], [746]],
  ['red cedar', [242], [68], [242]],
  ['redcedar', [242], [68], [242]],
  ['spruce', [91, 98], [97, 94, 95, 91], [93, 98, 94]],
  ['sugar', [318], [318], [117]],
  ['sycamore', [90006]],
  ['turkey oak', [90022], [819]],
  ['walnut', [90016]],
  ['white birch', [90010]],
  ['white pine', [129], [129], [119]],
  ['willow', [90029, 90030]],
  ['yew', [90003]],
];

const byName: ReadonlyMap<string, Row> = new Map(rows.map((row) => [row[0], row]));

/** Codes that a name means in Europe, beyond those by which it is known in North America. */
export const meantElsewhere = (name: string): readonly number[] => byName.get(name)?.[1] ?? [];

/** True for a name that is told apart by where the stand is. */
export const isOfRegions = (name: string): boolean => byName.has(name);

/**
 * What a short name means in a region, of all that it may mean somewhere (`all`): without the trees of the other continent.
 * Example: `namedIn('beech', 'europe', [531, 90014])` is European beech alone.
 */
export function namedIn(name: string, region: Region, all: readonly number[]): readonly number[] {
  const row = byName.get(name);
  if (row === undefined) return all;
  const [, europe, east = [], west = []] = row;
  const own = region === 'europe' ? europe : region === 'east' ? east : region === 'west' ? west : [];
  if (own.length > 0) return own;
  const american = all.filter((code) => !europe.includes(code) || [...east, ...west].includes(code));
  return american.length > 0 ? american : all;
}

/** Planted on both sides of the ocean: they tell nothing of where a stand is. */
const planted: ReadonlySet<number> = new Set([
  ...[17, 22, 41, 91, 96, 98, 108, 129, 130, 136, 202, 211, 212, 242, 263, 313, 320, 341, 602, 611, 621, 651],
  ...[830, 833, 901, 90007, 90019, 90029],
]);
const western: ReadonlySet<number> = new Set([
  ...[
    11, 15, 17, 19, 20, 22, 41, 64, 66, 73, 81, 93, 98, 101, 108, 113, 116, 117, 119, 122, 127, 202, 211, 212,
  ],
  ...[42, 72, 92, 114, 133, 139, 352, 475, 748, 749],
  ...[231, 242, 263, 264, 312, 351, 361, 542, 631, 747, 801, 805, 815, 818, 981],
]);
/** Of North America from coast to coast, or brought there. */
const anywhere: ReadonlySet<number> = new Set([
  61, 91, 94, 95, 96, 130, 136, 313, 320, 341, 375, 741, 746, 974,
]);
/** Of hedges, orchards and parks anywhere, among those that are typed. */
const ofGardens: ReadonlySet<number> = new Set([
  ...[90204, 90205, 90206, 90207, 90211, 90215, 90225, 90226, 90227, 90228, 90237, 90242, 90243, 90244],
  ...[90252, 90262, 90263, 90264, 90265, 90267, 90268, 90272, 90275],
]);

/** The continent that a tree tells of by standing there, and in North America the side; null where it tells nothing. */
export function nativeTo(code: number): {
  readonly europe: boolean | null;
  readonly side: 'east' | 'west' | null;
} {
  const own = code >= 90_000;
  const ofEurope =
    own && (code <= 90_030 || code === 90_101 || (code >= 90_201 && code <= 90_281)) && !ofGardens.has(code);
  // Genera and kinds of wood have round numbers, and grow everywhere.
  const ofAmerica = !own && code % 10 !== 0 && code < 990 && code !== 299;
  const europe = planted.has(code) || !(ofEurope || ofAmerica) ? null : ofEurope;
  const side = !ofAmerica || anywhere.has(code) ? null : western.has(code) ? 'west' : 'east';
  return { europe, side };
}
