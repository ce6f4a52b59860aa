/**
 * Sentences drawn from the description, and the phrases of the tests, as pairs that read as they stand: so the learned
 * reader sees all that the notebook can say.
 * Usage: node --import tsx server/language/training/drawn.ts OUT.tsv COUNT SEED [PHRASES.txt ...]
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { grammar } from '../../../grammar/description/grammar.ts';
import { parseDescription } from '../../../grammar/description/syntax.ts';
import { createSampler } from '../../../grammar/writing/sample.ts';
import { seeded } from '../../../shared/core/random.ts';

const [out = 'drawn.tsv', count = '8000', seed = '1', ...files] = process.argv.slice(2);
const random = seeded(Number(seed));
const sampler = createSampler(parseDescription(grammar), { again: 0.3, optional: 0.35, first: 0.3 });
const lines = new Set<string>();
while (lines.size < Number(count)) lines.add(sampler.sample(random).written);
for (const file of files) {
  for (const line of readFileSync(file, 'utf8').split('\n')) {
    if (/^[a-z0-9]/i.test(line) && !line.includes('{')) lines.add(line);
  }
}
writeFileSync(out, `${[...lines].map((line) => `${line}\t=`).join('\n')}\n`);
