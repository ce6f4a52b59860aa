/**
 * `npm run mutation [-- N] [PART OF A NAME ...]`: how many mutants of the sources in `targets.ts` their tests notice, and which
 * not; with a number, so many drawn of each source (always the same), and the score says so. Minutes to an hour. Ours, because the one for this language that is kept leaves numbers alone, and here the numbers
 * are what must not move unseen; it also wants a newer Node. A child process tries one mutant after the other in a runner
 * that stays; one that never ends is noticed as such, and the child is made anew.
 */
import { type ChildProcess, fork } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { drawn, given, type Mutant, mutantsOf } from './mutants.ts';
import { named } from './named.ts';
import { type Target, targets } from './targets.ts';

export interface Tried {
  readonly at: number;
  /** How many tests ran and how many of them failed; of the source as it is (`at` -1) none should. */
  readonly ran: number;
  readonly failed: number;
}

/** A mutant that has not ended after this long never will. */
const longestMs = 60_000;
const child = fileURLToPath(new URL('./child.ts', import.meta.url));

/** `npm run mutation -- named`: each threshold of `named.ts`, and whether the test beside it notices. */
async function runNamed(): Promise<void> {
  let noticed = 0;
  for (const { name, source, find, instead, test } of named) {
    const mutant = given(readFileSync(source, 'utf8'), find, instead);
    const lived = await survivorsOf({ source, tests: [test] }, [mutant], JSON.stringify([[find, instead]]));
    if (lived.length === 0) noticed++;
    console.log(`mutation.named ${name}: ${lived.length === 0 ? 'noticed by' : 'NOT noticed by'} ${test}`);
  }
  console.log(`mutation.named ${share(noticed, named.length)}`);
}

async function main(words: readonly string[]): Promise<void> {
  if (words.includes('named')) return runNamed();
  const most = Number(words.find((word) => /^\d+$/.test(word)) ?? Number.POSITIVE_INFINITY);
  const wanted = words.filter((word) => !/^\d+$/.test(word));
  const chosen = targets.filter(
    ({ source }) => wanted.length === 0 || wanted.some((part) => source.includes(part)),
  );
  let [all, noticed] = [0, 0];
  for (const target of chosen) {
    const possible = mutantsOf(readFileSync(target.source, 'utf8'));
    const mutants = drawn(possible, most);
    const lived = await survivorsOf(target, mutants, String(most));
    all += mutants.length;
    noticed += mutants.length - lived.length;
    const of = mutants.length < possible.length ? ` drawn of ${possible.length}` : '';
    console.log(`mutation.${target.source} ${share(mutants.length - lived.length, mutants.length)}${of}`);
    for (const { line, change } of lived) console.log(`  ${target.source}:${line} ${change}`);
  }
  console.log(`mutation.all ${share(noticed, all)}`);
}

const share = (part: number, all: number): string => `${((100 * part) / all).toFixed(1)} % of ${all}`;

/** Mutants that no test noticed. Throws where the tests fail without any. */
async function survivorsOf(target: Target, mutants: readonly Mutant[], which: string): Promise<Mutant[]> {
  const lived: Mutant[] = [];
  let next = -1;
  while (next < mutants.length) {
    const process = fork(child, [target.source, JSON.stringify(target.tests), String(next), which], {
      execArgv: ['--import', 'tsx'],
      stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
    });
    next = await follow(process, next, ({ at, ran, failed }) => {
      if (at < 0 && (failed > 0 || ran === 0))
        throw new Error(`${target.source}: ${failed} of ${ran} tests fail as it is`);
      if (at >= 0 && failed === 0) lived.push(mutants[at]!);
    });
    process.kill('SIGKILL');
  }
  return lived;
}

/** The place after the last mutant that was tried, or after the one that never ended. */
function follow(process: ChildProcess, from: number, take: (tried: Tried) => void): Promise<number> {
  return new Promise((resolve, reject) => {
    let next = from;
    let timer = setTimeout(() => resolve(next + 1), longestMs);
    process.on('message', (tried: Tried) => {
      clearTimeout(timer);
      next = tried.at + 1;
      timer = setTimeout(() => resolve(next + 1), longestMs);
      try {
        take(tried);
      } catch (cause) {
        clearTimeout(timer);
        process.kill('SIGKILL');
        reject(cause);
      }
    });
    process.on('exit', (code) => {
      clearTimeout(timer);
      resolve(code === 0 ? Number.POSITIVE_INFINITY : next + 1);
    });
  });
}

await main(process.argv.slice(2));
