/**
 * What the training voices say: `node --import tsx server/speech/training/texts.ts COUNT SEED common.txt > texts.txt`.
 *
 * Mostly notes drawn from the project's own grammar, so that every word of it is trained; general English words in
 * random order, so that the phones stay general and the vocabulary can grow without training; and short words alone
 * (digits, yes, no), because those are hardest to hear.
 */
import { readFileSync } from 'node:fs';
import { parseDescription } from '../../../grammar/compile.ts';
import { grammar } from '../../../grammar/grammar.ts';
import { createSampler } from '../../../grammar/sample.ts';
import { seeded } from '../../../shared/seeded.ts';

const count = Number(process.argv[2] ?? 1000);
// Common English words, commonest first, one a line.
const words = readFileSync(process.argv[4]!, 'utf8').trim().split('\n');
const random = seeded(Number(process.argv[3] ?? 1));
const pick = <T>(items: readonly T[]): T => items[Math.floor(random() * items.length)]!;

const digits = 'zero one two three four five six seven eight nine'.split(' ');
const short = [
  ...digits,
  ...digits,
  ...'ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety'.split(
    ' ',
  ),
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
/** Common words more often, as in talk: half of what is drawn stands in the first eighth of the list. */
const common = () => words[Math.floor(words.length * random() ** 3)]!;
const sampler = createSampler(parseDescription(grammar));

function text(): string {
  const kind = random();
  if (kind < 0.62) return sampler.sample(random).words;
  if (kind < 0.78) return Array.from({ length: 2 + Math.floor(random() * 6) }, common).join(' ');
  if (kind < 0.84) return Array.from({ length: 2 + Math.floor(random() * 4) }, () => pick(digits)).join(' ');
  if (kind < 0.94) return pick(short);
  return common();
}

for (let i = 0; i < count; i++) console.log(text());
