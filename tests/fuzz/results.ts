/** What the fuzzer reached, by target, in a document that each run brings up to date: tests/fuzz/results.md. */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

export interface Result {
  readonly target: string;
  readonly inputs: number;
  /** Of them, how many reached what none had reached before, from one block of the script to more rounds of a loop. */
  readonly news: number;
  readonly reached: number;
  readonly blocks: number;
  /** Seconds of processor time. */
  readonly seconds: number;
  readonly seeds: readonly number[];
}

const page = fileURLToPath(new URL('results.md', import.meta.url));
const head = [
  '# What the fuzzer reached',
  '',
  'Written by `npm run fuzz -- TARGET`, as it comes, from 10 000 inputs on; runs with other seeds add up, the last of a seed counts, and',
  'a run that breaks a promise takes its row away. An input is "new" that reached a block of code that none had reached before, or',
  "more often in one run. Blocks are those of the whole script: the target's own code, what it uses, and the other targets', which it",
  'never runs. Seconds are processor time.',
  '',
  '| target | inputs | of them new | blocks reached | of | inputs a second | seconds | seeds |',
  '|---|---|---|---|---|---|---|---|',
];

function kept(): Result[] {
  if (!existsSync(page)) return [];
  return readFileSync(page, 'utf8')
    .split('\n')
    .filter((line) => line.startsWith('| ') && !line.startsWith('| target'))
    .map((line) => {
      const [target = '', inputs, news, reached, blocks, , seconds, seeds = ''] = line
        .slice(2, -2)
        .split(' | ');
      return {
        target,
        inputs: Number(inputs),
        news: Number(news),
        reached: Number(reached),
        blocks: Number(blocks),
        seconds: Number(seconds),
        seeds: seeds.split(' ').map(Number),
      };
    });
}

/** What earlier runs of a target reached; null where there are none. */
export const resultOf = (target: string): Result | null =>
  kept().find((one) => one.target === target) ?? null;

export function forget(target: string): void {
  write(kept().filter((one) => one.target !== target));
}

/** Takes a run in, in addition to what runs with other seeds had reached before it. */
export function writeResult(run: Result, before: Result | null): void {
  const adds = before !== null && !before.seeds.includes(run.seeds[0] ?? 0);
  const sum = adds
    ? {
        ...run,
        inputs: before.inputs + run.inputs,
        news: before.news + run.news,
        seconds: before.seconds + run.seconds,
        seeds: [...before.seeds, ...run.seeds],
      }
    : run;
  write([...kept().filter((one) => one.target !== run.target), sum]);
}

function write(results: readonly Result[]): void {
  const rows = results.map(
    ({ target, inputs, news, reached, blocks, seconds, seeds }) =>
      `| ${target} | ${inputs} | ${news} | ${reached} | ${blocks} | ${Math.round(inputs / Math.max(1, seconds))} | ${seconds} | ${seeds.join(' ')} |`,
  );
  writeFileSync(page, [...head, ...rows.sort(), ''].join('\n'));
}
