/** Names: species with all that they are called, marks of a tree, people, and the words that stand in free places. */
import type { TaughtWord } from '../../../shared/book/taught.ts';
import {
  species,
  speciesByCode,
  speciesNames,
  speciesOfNickname,
  spokenName,
} from '../../../shared/note/species.ts';
import type { Rule } from '../model.ts';

/** More than one of them; read, never spoken. "beech" -> "beeches", "cherry" -> "cherries". */
function plural(word: string): string {
  if (/[^aeiou]y$/.test(word)) return `${word.slice(0, -1)}ies`;
  return /(s|sh|ch|x)$/.test(word) ? `${word}es` : `${word}s`;
}

/** Words that end names of the commonest trees, and may stand in the plural. */
const counted = new Set(
  species.flatMap(({ commonName, nicknames }) =>
    [spokenName(commonName), ...nicknames].map((name) => name.split(' ').at(-1) ?? ''),
  ),
);

/** "red oak" as a pattern: the last word may be in the plural, where one is ever counted. */
function namePattern(name: string, taught = false): string {
  const words = name.split(' ');
  const last = words.pop() ?? '';
  return [...words, taught || counted.has(last) ? `(${last} | ${plural(last)})` : last].join(' ');
}

/**
 * What a name means in a note: the code when only one species bears it, else the name itself, for the book to ask. Two
 * spellings that sound alike mean one name.
 */
function speciesMeaning(name: string): number | string {
  const codes = speciesOfNickname(name);
  if (codes.length === 1 && codes[0] !== undefined) return codes[0];
  return spokenName(name).replace(/^redcedar$/, 'red cedar');
}

/** Common names stand first, so that a code is spoken by its common name. */
const ordered = [...speciesNames].sort((a, b) => Number(isCommon(b)) - Number(isCommon(a)));
function isCommon(name: string): boolean {
  const meaning = speciesMeaning(name);
  return typeof meaning === 'number' && spokenName(speciesByCode(meaning)?.commonName ?? '') === name;
}

/** Marks: the word that stands in the note, and how else it is said. */
const marks: readonly (readonly [mark: string, ...also: string[]])[] = [
  ['forked', 'fork', 'forked top', 'double stem', 'split top'],
  ['hollow', 'cavity', 'hollow base', 'hollow butt', 'hollow at the base'],
  [
    'broken top',
    'top broken',
    'broken off',
    'top gone',
    '[the] top is (broken | gone)',
    "top's (broken | gone)",
  ],
  ['dead top', 'top dead', '[the] top is dead', "top's dead"],
  ['leaning', 'leaner'],
  ['sweep', 'swept'],
  ['crooked', 'crook'],
  ['rotten', 'rot', 'butt rot'],
  ['fire scar', 'burnt', 'burned'],
  ['lightning scar'],
  ['frost crack', 'seam'],
  ['canker'],
  ['burl'],
  ['limby', 'rough'],
  ['sound', 'straight', 'clean'],
  ['veteran', 'wolf tree'],
  ['den tree', 'den'],
  ['ivy', 'vines'],
  ['bark beetle', 'beetle'],
  ['barked', 'bark off', 'skinned'],
  ['suppressed', 'overtopped'],
  ['dominant'],
  ['codominant'],
  ['edge tree', 'border tree'],
  ['painted', 'flagged', 'marked'],
];

/** Made-up people of our own crew. */
export const people: readonly string[] =
  'wren linnet heron robin marten finch teal lark sorrel flint rowan tamsin corin edda bryn isla orla perrin quill merle'.split(
    ' ',
  );

const places = (
  'alder hollow ridge creek lot bottom north south east west mill back forty home hill river brook pond lake bog swamp ' +
  'marsh meadow field pasture orchard farm barn road gate corner line fence wall stone rock ledge cliff bluff bench slope side ' +
  'face top upper lower middle long short big little old new far near high low wet dry spring sugar bush camp cabin ' +
  'landing skid trail path bridge ford crossing dam island point neck head cove gulch draw ravine gully valley glen dale ' +
  'vale notch gap saddle pass summit knob knoll mound flat plain prairie sand gravel clay burn cut block unit piece tract ' +
  'stand grove wood woods forest park garden acre acres quarter half section parcel boundary east wester inner outer ' +
  'beaver bear deer moose fox owl hawk eagle crow raven otter badger turkey birch maple oak pine spruce cedar beech ash ' +
  'elm hemlock cherry aspen willow hazel holly fern moss lichen heather bracken laurel apple plum rose thorn briar clover ' +
  'schoolhouse church chapel quarry mine kiln furnace sawmill county town village common first second third red black white ' +
  'green blue brown grey silver gold'
).split(' ');

/** Words of remarks beyond those that the rules use themselves. */
const remarkWords = (
  'fork at feet scar fire sign bear woodpecker holes hole ground steep bank nest stick water wind storm snow ice ' +
  'frost lightning damage insect bugs beetle fungus conk rot crack seam bark root roots stump stumps brush thick thin young ' +
  'regeneration seedlings saplings browse rub vine ivy wire nail tap bucket blaze paint ribbon flag post pin stake monument lost ' +
  'found moved check again later photo picture taken left right behind above below near next to by the a of in on and with ' +
  'from over under along no not is was needs too very some many few two three four five six ten twenty leaning dead down ' +
  'broken top crown live heavy light good bad better worst bees wasps hornets careful danger hung limb limbs widow maker'
).split(' ');

/** Words of names, without those that say an area of their own. */
export const nameWords: readonly string[] = Object.freeze([
  ...new Set([
    ...places.filter((word) => !/^(half|quarter|point|acres?)$/.test(word)),
    ...people,
    'hard',
    'swamp',
    'bull',
    'sprig',
    'partner',
    'notebook',
  ]),
]);

/** What the ear may hear where free words stand. */
export const freeWords: readonly string[] = Object.freeze([
  ...new Set([...places, ...nameWords, ...remarkWords]),
]);

/** Words that a pattern can hold; a name with anything else in it cannot be said. */
const sayable = (word: string): boolean => /^[a-z][a-z']*( [a-z][a-z']*)*$/.test(word);

/**
 * The rules that user words change: species and marks. A taught word takes the place of the same name in the
 * description: after "call Douglas-fir fir", "fir" is no longer open.
 */
export function namingRules(user: readonly TaughtWord[]): readonly Rule[] {
  const taught = user.filter((each) => sayable(each.word));
  const has = (word: string): boolean => taught.some((each) => each.word === word);
  const names = [
    ...ordered
      .filter((name) => isCommon(name) || !has(name))
      .map((name) => `${namePattern(name)} {species=${speciesMeaning(name)}}`),
    ...taught
      .filter((each) => each.species !== undefined)
      .map((each) => `${namePattern(each.word, true)} {species=${each.species}}`),
  ];
  const marking = (path: string): string[] => [
    ...marks.map(([mark, ...also]) => {
      const words = [mark, ...also.filter((word) => !has(word))];
      return `(${words.join(' | ')}) {${path}=${mark}}`;
    }),
    ...taught.filter((each) => each.mark !== undefined).map((each) => `${each.word} {${path}=${each.mark}}`),
  ];
  return [
    { id: 'species', patterns: names },
    {
      id: 'which',
      patterns: [
        '[last] <species>',
        '(first {nth=1} | second {nth=2} | third {nth=3} | fourth {nth=4}) (<species> | tree | one)',
        '<n.below100:5..40> [point {point} <n.decimal>] {diameter=#} [inch] <species>',
      ],
    },
    { id: 'mark', patterns: marking('marks[]') },
    { id: 'callMark', patterns: marking('mark') },
  ];
}

/** What help can be asked about (a family or a rule), and how it is called. */
const helpTopics: readonly (readonly [topic: string, ...words: string[]])[] = [
  ['stick', 'stick', 'the stick'],
  ['spans', 'spans'],
  ['laid', 'stick down'],
  ['pole', 'pole', 'a pole'],
  ['shadow', 'shadow', 'shadows', 'a shadow'],
  ['angles', 'angles', 'angle', 'clinometer'],
  ['ranges', 'ranges', 'range'],
  ['reading', 'laser', 'device'],
  ['slope', 'slope'],
  ['heights', 'heights', 'height'],
  ['trees', 'trees', 'tree', 'species'],
  ['plots', 'plots', 'plot', 'a plot'],
  ['borderline', 'borderline', 'in or out'],
  ['mending', 'corrections', 'undo'],
  ['asking', 'questions', 'totals'],
  ['settings', 'settings', 'pace', 'eye'],
  ['names', 'names', 'words'],
  ['remarks', 'remarks', 'remark'],
  ['listening', 'listening'],
];

export const nameRules: readonly Rule[] = [
  {
    id: 'asking.helpAbout',
    family: 'Asking',
    weight: 0.2,
    help: 'What can be said about one thing, with an example.',
    sets: ['kind=ask', 'about=help'],
    patterns: [
      `help [me] [with | on | about] (${helpTopics.map(([topic, ...words]) => `(${words.join(' | ')}) {topic=${topic}}`).join(' | ')})`,
    ],
    examples: [
      { words: 'help shadow', note: { kind: 'ask', about: 'help', topic: 'shadow' } },
      { words: 'help with plots', note: { kind: 'ask', about: 'help', topic: 'plots' } },
      { words: 'help angles', note: { kind: 'ask', about: 'help', topic: 'angles' } },
    ],
  },
  ...namingRules([]),
  { id: 'name', patterns: ['<word+> {name=@}'] },
  /** Names behind "I am", which is also said of much else: only those of the list. */
  { id: 'byPerson', patterns: people.map((each) => `${each} {person=${each}}`) },
  { id: 'person', patterns: people.map((each) => `${each} {name=${each}}`) },
  {
    id: 'names.call',
    family: 'Names',
    weight: 0.3,
    help: 'Teaches a word of your own: what you call a species, or a mark you give to trees.',
    sets: ['kind=call'],
    patterns: [
      'call <species> <word+> {word=@}',
      'call [the] <callMark> [ones | trees] <word+> {word=@}',
      'new word <word+> {word=@} (means | for | is) (<species> | <callMark>)',
    ],
    examples: [
      {
        words: 'call sugar maple hard rock',
        note: { kind: 'call', word: 'hard rock', species: 318 },
      },
      {
        words: 'new word pitch tree means red pine',
        note: { kind: 'call', word: 'pitch tree', species: 125 },
      },
      { words: 'call hollow chimney', note: { kind: 'call', word: 'chimney', mark: 'hollow' } },
    ],
  },
  {
    id: 'names.remark',
    family: 'Remarks',
    help: 'Keeps your words as they are, with the tree or plot in hand.',
    sets: ['kind=remark'],
    patterns: ['remark <text+> {text=@}', '(make a note | take a note | note) [that] <text+> {text=@}'],
    examples: [
      { words: 'remark fork at twenty feet', note: { kind: 'remark', text: 'fork at twenty feet' } },
      {
        words: 'note old fire scar on the north side',
        note: { kind: 'remark', text: 'old fire scar on the north side' },
      },
      { words: 'remark woodpecker holes', note: { kind: 'remark', text: 'woodpecker holes' } },
    ],
  },
];
