/**
 * `npm run fuzz -- TARGET [N] [SEED] [blind]`: N inputs (1 000 000) to one target. Inputs are changed from those that reached new
 * code, which counters in every block of the target tell after each input; they are kept under node_modules/.cache/fuzz/TARGET
 * and used the next time. `blind`: from what was kept, without looking what has run.
 * An input that breaks a promise is printed and ends the run with status 1; it becomes a case in tests/safe/fuzzed.test.ts.
 * From 10 000 inputs on, what was reached is written to tests/fuzz/results.md as it comes. STEMSAY_SECONDS ends a run after so long:
 * runs of one target with other seeds go on from what was kept, and their inputs add up.
 */
import { createHash } from 'node:crypto';
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { seeded } from '../../shared/core/random.ts';
import { Coverage } from './coverage.ts';
import { type Hunted, hunt } from './hunt.ts';
import { forget, resultOf, writeResult } from './results.ts';
import { loaded } from './script.ts';
import { type TargetName, targets } from './targets.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const cache = join(root, 'node_modules', '.cache', 'fuzz');
/** Inputs from which on a run says something, and between two records of it. */
const telling = 10_000;
const seconds = Number(process.env.STEMSAY_SECONDS ?? Number.POSITIVE_INFINITY);

const [name = '', count = '1000000', seed = '1', looks = ''] = process.argv.slice(2);
if (!Object.hasOwn(targets, name)) {
  console.error(`npm run fuzz -- TARGET [N] [SEED] [blind]. Targets: ${Object.keys(targets).join(', ')}.`);
  process.exit(2);
}
process.exitCode = await run(name as TargetName, Number(count), Number(seed));

async function run(name: TargetName, wanted: number, from: number): Promise<number> {
  const corpus = join(cache, name);
  mkdirSync(corpus, { recursive: true });
  const { target, counts, tokens } = await loaded(name, cache);
  const coverage = target.blind || looks === 'blind' ? null : new Coverage(counts);
  const kept = readdirSync(corpus)
    .sort()
    .map((file) => new Uint8Array(readFileSync(join(corpus, file))));
  const began = process.cpuUsage();
  const told = ({ done, news, known }: Hunted) => {
    const { user, system } = process.cpuUsage(began);
    const seconds = (user + system) / 1e6;
    return {
      target: name,
      inputs: done,
      news,
      known,
      reached: coverage?.reached ?? 0,
      blocks: counts.length,
      seconds: Math.round(seconds),
      seeds: [from],
    };
  };
  const record = (so: Hunted) => {
    if (coverage !== null && so.done >= telling) writeResult(told(so), before);
  };
  const said = (so: Hunted) => {
    const { inputs, news, known, reached, blocks, seconds } = told(so);
    const speed = Math.round(inputs / Math.max(1, seconds));
    return `${name}: ${inputs} inputs in ${seconds} s of processor time (${speed} a second), ${news} reached something new, ${known} are changed on, ${reached} of ${blocks} blocks reached, seed ${from}`;
  };
  let words = performance.now();
  const until = words + 1000 * seconds;
  const before = resultOf(name);
  const end = await hunt({
    fuzz: target.fuzz,
    known: [...target.seeds, ...kept],
    tokens,
    coverage,
    wanted,
    random: seeded(from),
    clock: () => performance.now(),
    keep: (input) =>
      writeFileSync(join(corpus, createHash('sha256').update(input).digest('hex').slice(0, 16)), input),
    enough: () => performance.now() > until,
    progress(so) {
      record(so);
      if (performance.now() - words < 60_000) return;
      words = performance.now();
      console.log(said(so));
    },
  });
  if (coverage?.reached === 0) throw new Error(`nothing of ${name} was seen to run`);
  if (end.broken === null) {
    record(end);
    console.log(`${said(end)}: no promise broken`);
    return 0;
  }
  forget(name);
  const { input, cause } = end.broken;
  console.error(`${said(end)}: broken by ${Buffer.from(input).toString('base64')}`, cause);
  return 1;
}
