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
  /** Inputs a second of processor time. */
  readonly speed: number;
  /** Seconds of processor time. */
  readonly seconds: number;
  readonly seed: number;
}

const page = fileURLToPath(new URL('results.md', import.meta.url));
const head = [
  '# What the fuzzer reached',
  '',
  'Written by `npm run fuzz -- TARGET`, as it comes, from 100 000 inputs on: the last run of each target that broke no promise. An',
  'input is "new" that reached a block of code that none had reached before, or more often in one run. Blocks are those of the',
  "whole script: the target's own code, what it uses, and the other targets', which it never runs. Seconds are processor time.",
  '',
  '| target | inputs | of them new | blocks reached | of | inputs a second | seconds | seed |',
  '|---|---|---|---|---|---|---|---|',
];

export function writeResult(of: Result): void {
  const rows = existsSync(page)
    ? readFileSync(page, 'utf8')
        .split('\n')
        .filter((line) => line.startsWith('| ') && !line.startsWith('| target'))
    : [];
  const own = `| ${of.target} | ${of.inputs} | ${of.news} | ${of.reached} | ${of.blocks} | ${of.speed} | ${of.seconds} | ${of.seed} |`;
  const others = rows.filter((line) => !line.startsWith(`| ${of.target} |`));
  writeFileSync(page, `${[...head, ...[...others, own].sort(), ''].join('\n')}`);
}
