/**
 * Tries the mutants of one source from a place on, and tells of each; -1 is the source as it is. Arguments: source, tests,
 * place, most mutants to draw. A mutant is done with at the first test that notices it, and the file of that test goes first
 * from then on.
 */
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { createVitest } from 'vitest/node';
import { drawn, mutantsOf, mutated } from './mutants.ts';
import type { Tried } from './run.ts';

const [source = '', tests = '[]', from = '-1', most = 'Infinity'] = process.argv.slice(2);
const path = resolve(source);
const original = readFileSync(path, 'utf8');
const mutants = drawn(mutantsOf(original), Number(most));
let now = original;

const vitest = await createVitest(
  'test',
  {
    config: false,
    watch: true,
    include: JSON.parse(tests) as string[],
    pool: 'threads',
    maxWorkers: 1,
    bail: 1,
    reporters: [{}],
    testTimeout: 60_000,
  },
  {
    server: { watch: null },
    plugins: [
      {
        name: 'mutant',
        enforce: 'pre',
        load: (id: string) => (id.split('?')[0] === path ? now : null),
      },
    ],
  },
);
const found = await vitest.globTestSpecifications();
/** In the order in which they were named; a file that is not there yet has no tests. */
const specifications = (JSON.parse(tests) as string[]).flatMap((name) =>
  found.filter(({ moduleId }) => moduleId === resolve(name)),
);
function first(specification: (typeof specifications)[number]): void {
  const others = specifications.filter((other) => other !== specification);
  specifications.splice(0, specifications.length, specification, ...others);
}

for (let at = Number(from); at < mutants.length; at++) {
  now = at < 0 ? original : mutated(original, mutants[at]!);
  vitest.invalidateFile(path);
  let [ran, failed] = [0, 0];
  for (const specification of [...specifications]) {
    const { unhandledErrors } = await vitest.runTestSpecifications([specification]);
    failed += unhandledErrors.length;
    const { testModule } = specification;
    if (testModule?.state() !== 'passed') failed++;
    for (const _ of testModule?.children.allTests() ?? []) ran++;
    if (failed > 0) {
      if (at >= 0) first(specification);
      break;
    }
  }
  const tried: Tried = { at, ran, failed };
  await new Promise((done) => process.send!(tried, done));
}
process.exit(0);
