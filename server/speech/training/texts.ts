/**
 * What the training voices say: `node --import tsx server/speech/training/texts.ts COUNT SEED common.txt > texts.txt`.
 *
 * Half are notes drawn from the project's own grammar: single ones of every rule evenly, so that every word of it is
 * trained, ones as usual as in a day's work, and several in a breath. Besides: every name of a tree; general English words
 * in random order, so that the phones stay general and the vocabulary can grow without training; notes in which a word is
 * exchanged, so that the net writes what it hears and not what it expects; short words alone (digits, yes, no) and words
 * that are easily mixed, alone and in the places where they were mixed, because those are hardest to hear.
 */

import { readFileSync } from 'node:fs';
import { parseDescription } from '../../../grammar/automaton/compile.ts';
import { grammar } from '../../../grammar/description/grammar.ts';
import { ruleWeights } from '../../../grammar/description/rule-weights.ts';
import { createSampler } from '../../../grammar/writing/sample.ts';
import { seeded } from '../../../shared/core/random.ts';
import { required } from '../../../shared/core/required.ts';
import { speciesNames } from '../../../shared/note/species.ts';

const count = Number(process.argv[2] ?? 1000);
// Common English words, commonest first, one a line.
const words = readFileSync(process.argv[4]!, 'utf8').trim().split('\n');
const random = seeded(Number(process.argv[3] ?? 1));
const pick = <T>(items: readonly T[]): T => items[Math.floor(random() * items.length)]!;

const digits = 'zero one two three four five six seven eight nine'.split(' ');
const teens = 'thirteen fourteen fifteen sixteen seventeen eighteen nineteen'.split(' ');
const tens = 'twenty thirty forty fifty sixty seventy eighty ninety'.split(' ');
/** Told from the number alone by a last sound that a narrow microphone hardly carries. */
const ordinals = (
  'first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth fifteenth ' +
  'sixteenth seventeenth eighteenth nineteenth twentieth thirtieth fortieth fiftieth sixtieth seventieth eightieth ' +
  'ninetieth hundredth thousandth millionth'
).split(' ');
const short = [
  ...digits,
  ...digits,
  ...digits,
  ...teens,
  ...'ten eleven twelve'.split(' '),
  ...tens,
  ...'yes no keep again help stop why paces feet inches metres dead logs plot tree oh point'.split(' '),
  'keep it',
  'scratch that',
  'say again',
  'measure again',
  'next tree',
  'same again',
  'close plot',
  'how sure are you',
];
/** Words that were mixed by the model before, or differ in one sound. */
const alike = [
  ...'fir third fur first four for fourth five fire nine pine beech eight each beach elm round dead down'.split(
    ' ',
  ),
  ...'safety sixty six sixth leaning no know feet foot metre metres inch inches top stop tape taped ten tenth'.split(
    ' ',
  ),
  ...'ash has half have oak okay one run two through tree three base plus minus maple marker paces pace'.split(
    ' ',
  ),
  'leave it',
  'leaning it',
  'no eight',
  'no no',
  'keep it',
  'eye five',
  'five feet',
  'nine feet',
  'point five',
  'point nine',
  'and a half',
];
/** Pairs that are mixed where they stand beside other words; each side is drawn as often. */
const placed: readonly (readonly string[])[] = [
  ['<tree> <number> forked', '<tree> <number> four', '<tree> <number> inches forked', '<tree> forked'],
  ['forked', 'four', 'fork', 'for', 'four feet', 'forked at four feet', 'seven forked', 'seven four'],
  ['no', 'wrong', "that's wrong", 'no no', 'nope', 'no that is wrong', 'no eight', 'no <number>', 'now'],
  [
    'fir',
    'third',
    'balsam fir <number>',
    'third <number>',
    'fir <number> inches',
    'thirty <digit>',
    'the third one',
  ],
  [
    'beech',
    'eight',
    'beech <number>',
    'eight <number>',
    'beech eight',
    'eight beech',
    'eight inches',
    'beach',
    'each',
  ],
  [
    'elm',
    'american elm <number>',
    'elm <number> inches',
    'elm',
    'red elm',
    'elm eleven',
    'alm',
    'help',
    'all',
  ],
  ['left', 'lift', 'left side', 'lean left', 'leaf', 'laughed', 'lifted', 'loft'],
  [
    '<teen>',
    '<ty>',
    '<teen> paces',
    '<ty> paces',
    '<teen> feet',
    '<ty> feet',
    '<teen> inches',
    '<ty> inches',
  ],
  [
    '<tree> <teen>',
    '<tree> <ty>',
    'plot <teen>',
    'plot <ty>',
    'laser <teen>',
    'laser <ty>',
    '<teen> percent',
    '<ty> percent',
  ],
  [
    'five',
    'nine',
    'five paces',
    'nine paces',
    '<ty> five',
    '<ty> nine',
    '<ty> five feet',
    '<ty> nine feet',
    'point five',
    'point nine',
  ],
  [
    '<tree> five',
    '<tree> nine',
    'eye five',
    'eye nine',
    'no five',
    'no nine',
    'plot five',
    'plot nine',
    'five nine',
    'nine five',
  ],
  ['two', 'ten', 'twelve', 'too', 'two logs', 'ten logs', 'twelve two', 'two two', 'to', 'twenty two'],
  ['six', 'sixty', 'sixth', 'fix', 'sixteen', 'six feet', 'sixty six', 'sick'],
  ['ash', 'oak', 'ash <number>', 'oak <number>', 'white ash', 'white oak', 'has', 'okay', 'half'],
  ['base', 'paces', 'pace', 'face', 'base minus <digit>', '<number> paces', 'base plus <digit>', 'bass'],
  ['dead', 'ten', 'red', 'bed', 'dead <tree>', 'red <number>', 'head', 'did'],
  [
    '<tree> dead',
    '<tree> hollow',
    '<tree> leaning',
    '<tree> rotten',
    '<tree> broken top',
    '<tree> <number> dead',
    '<tree> <number> hollow',
  ],
  ['eleven', 'seven', 'eleven paces', 'seven paces', 'level', 'eleven feet', 'seven feet', 'heaven'],
  [
    'one log',
    'one lob',
    'two logs',
    'one and a half logs',
    'two and a half logs',
    'half a log',
    'log',
    'long',
  ],
  ['keep it', 'skip it', 'keep', 'leave it', 'deep', 'kept', 'keep that'],
  ['next', 'next tree', 'necks', 'text', 'mixed', 'nest', 'next one'],
  ['eight', 'eighty', 'a tree', 'eighteen', 'at', 'ate', 'eighty eight', 'eight eight'],
  ['oh', 'zero', 'o four', 'one oh four', 'point oh', 'owe', 'one oh one', 'two oh'],
  ['why', 'wide', 'white', 'wise', 'while', 'y', 'yes', 'yet'],
];

/** An ordinal, the number it is made of, or both in a row; each as often. */
function ordinal(): string {
  const kind = random();
  if (kind < 0.35) return pick(ordinals);
  if (kind < 0.5)
    return pick([...teens, ...tens, 'eleven', 'twelve', 'six', 'seven', 'eight', 'nine', 'hundred']);
  if (kind < 0.65) return `${pick(tens)} ${pick(ordinals.slice(0, 9))}`;
  if (kind < 0.8) return `the ${pick(ordinals)} ${pick(['one', 'tree', 'plot', 'stem'])}`;
  return `${pick(ordinals)} ${pick([...short, ...ordinals])}`;
}

const number = () => (random() < 0.4 ? pick(teens) : `${pick(tens)} ${pick(digits.slice(1))}`);
const small = () => (random() < 0.5 ? pick(digits.slice(2)) : number());
/** Common words more often, as in talk: half of what is drawn stands in the first eighth of the list. */
const common = () => words[Math.floor(words.length * random() ** 3)]!;
const trees = parseDescription(grammar);
const evenly = createSampler(trees);
const usually = createSampler(
  { ...trees, roots: trees.roots.map((rule) => ({ ...rule, weight: ruleWeights[rule.id] ?? 1 })) },
  { again: 0.3, optional: 0.2, first: 0.4 },
);

/** A note in which one word gave way to another, or to two. */
function altered(): string {
  const said = usually.sample(random).words.split(' ');
  const other = random() < 0.5 ? common() : pick([...alike, ...short]);
  said.splice(Math.floor(random() * said.length), random() < 0.7 ? 1 : 0, other);
  return said.join(' ');
}

/** Longer breaths are cut by the search for the end of speech, and cost the accelerator more than they teach. */
const longestBreath = 17;

/** Two or three notes one after another, sometimes with an "and" between them. */
function breath(): string {
  let said = usually.sample(random).words;
  const notes = random() < 0.7 ? 2 : 3;
  for (let i = 1; i < notes; i++) {
    const longer = `${said} ${random() < 0.15 ? 'and ' : ''}${usually.sample(random).words}`;
    if (longer.split(' ').length <= longestBreath) said = longer;
  }
  return said;
}

/** A tree by one of its names, as it stands in a note. */
function named(): string {
  const name = pick(speciesNames);
  const kind = random();
  if (kind < 0.35) return name;
  if (kind < 0.65) return `${name} ${small()}${random() < 0.6 ? ' inches' : ''}`;
  if (kind < 0.75) return `${name} ${number()} point ${pick(digits)}`;
  if (kind < 0.85) return `next tree ${name}`;
  return `${name} ${pick([...alike, ...short])}`;
}

const filled = (pattern: string): string =>
  pattern.replace(/<(\w+)>/g, (_, part: string) => {
    if (part === 'tree') return pick(speciesNames);
    if (part === 'digit') return pick(digits.slice(1));
    if (part === 'teen') return pick(teens);
    return part === 'ty' ? pick(tens) : small();
  });

/** Shares of a thousand, and what is said. */
const kinds: readonly (readonly [number, () => string])[] = [
  [160, () => evenly.sample(random).words],
  [170, () => usually.sample(random).words],
  [90, breath],
  [50, named],
  [60, altered],
  [100, () => Array.from({ length: 2 + Math.floor(random() * 6) }, common).join(' ')],
  [60, () => Array.from({ length: 2 + Math.floor(random() * 4) }, () => pick(digits)).join(' ')],
  [
    40,
    () =>
      random() < 0.4 ? number() : `${number()} ${pick(['feet', 'metres', 'inches', 'paces', number()])}`,
  ],
  [40, () => Array.from({ length: 1 + Math.floor(random() * 3) }, () => pick(alike)).join(' ')],
  [75, () => filled(pick(pick(placed)))],
  [75, ordinal],
  [110, () => pick(short)],
  [30, common],
];
const total = kinds.reduce((sum, [share]) => sum + share, 0);

function text(): string {
  let at = random() * total;
  const kind = kinds.find(([share]) => {
    at -= share;
    return at < 0;
  });
  const [, say] = required(kind, 'a kind of text');
  return say();
}

for (let i = 0; i < count; i++) console.log(text());
