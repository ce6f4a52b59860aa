/**
 * What the training voices say: `node --import tsx server/speech/training/texts.ts COUNT SEED common.txt > texts.txt`.
 *
 * Mostly notes drawn from the project's own grammar, so that every word of it is trained; general English words in
 * random order, so that the phones stay general and the vocabulary can grow without training; notes in which a word is
 * exchanged, so that the net writes what it hears and not what it expects; and short words alone (digits, yes, no) and
 * words that are easily mixed, because those are hardest to hear.
 */
import { readFileSync } from 'node:fs';
import { parseDescription } from '../../../grammar/automaton/compile.ts';
import { grammar } from '../../../grammar/description/grammar.ts';
import { createSampler } from '../../../grammar/writing/sample.ts';
import { seeded } from '../../../shared/core/random.ts';

const count = Number(process.argv[2] ?? 1000);
// Common English words, commonest first, one a line.
const words = readFileSync(process.argv[4]!, 'utf8').trim().split('\n');
const random = seeded(Number(process.argv[3] ?? 1));
const pick = <T>(items: readonly T[]): T => items[Math.floor(random() * items.length)]!;

const digits = 'zero one two three four five six seven eight nine'.split(' ');
const teens = 'thirteen fourteen fifteen sixteen seventeen eighteen nineteen'.split(' ');
const tens = 'twenty thirty forty fifty sixty seventy eighty ninety'.split(' ');
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
const number = () => (random() < 0.4 ? pick(teens) : `${pick(tens)} ${pick(digits.slice(1))}`);
/** Common words more often, as in talk: half of what is drawn stands in the first eighth of the list. */
const common = () => words[Math.floor(words.length * random() ** 3)]!;
const sampler = createSampler(parseDescription(grammar));

/** A note in which one word gave way to another, or to two. */
function altered(): string {
  const said = sampler.sample(random).words.split(' ');
  const other = random() < 0.5 ? common() : pick([...alike, ...short]);
  said.splice(Math.floor(random() * said.length), random() < 0.7 ? 1 : 0, other);
  return said.join(' ');
}

function text(): string {
  const kind = random();
  if (kind < 0.5) return sampler.sample(random).words;
  if (kind < 0.57) return altered();
  if (kind < 0.69) return Array.from({ length: 2 + Math.floor(random() * 6) }, common).join(' ');
  if (kind < 0.75) return Array.from({ length: 2 + Math.floor(random() * 4) }, () => pick(digits)).join(' ');
  if (kind < 0.79)
    return random() < 0.4 ? number() : `${number()} ${pick(['feet', 'metres', 'inches', 'paces', number()])}`;
  if (kind < 0.84) return Array.from({ length: 1 + Math.floor(random() * 3) }, () => pick(alike)).join(' ');
  if (kind < 0.96) return pick(short);
  return common();
}

for (let i = 0; i < count; i++) console.log(text());
