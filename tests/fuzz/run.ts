/**
 * `npm run fuzz -- TARGET [N] [SEED] [blind]`: N inputs (1 000 000) to one target. Inputs are mutated from those that reached new
 * code, which the engine's block counts tell; they are kept under node_modules/.cache/fuzz/TARGET and used the next time.
 * `blind`: from what was kept, without looking what has run, which is several times as fast.
 * An input that breaks a promise is printed and ends the run with status 1; it becomes a case in tests/safe/fuzzed.test.ts.
 */
import { createHash } from 'node:crypto';
import { mkdirSync, readdirSync, readFileSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { serialize } from '../../grammar/automaton/serialize.ts';
import { keptAutomaton } from '../../server/language/automaton-cache.ts';
import { seeded } from '../../shared/core/random.ts';
import { Coverage } from './coverage.ts';
import { type Target, type TargetName, targets } from './targets.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const cache = join(root, 'node_modules', '.cache', 'fuzz');
const longest = 4096;
/** Inputs between two looks at what has run. */
const batch = 200;
/** Milliseconds after which an input has hung. */
const patience = 10_000;

const [name = '', count = '1000000', seed = '1', looks = ''] = process.argv.slice(2);
if (!Object.hasOwn(targets, name)) {
  console.error(`npm run fuzz -- TARGET [N] [SEED] [blind]. Targets: ${Object.keys(targets).join(', ')}.`);
  process.exit(2);
}
process.exitCode = await run(name as TargetName, Number(count), Number(seed));

async function run(target: TargetName, wanted: number, from: number): Promise<number> {
  const corpus = join(cache, target);
  mkdirSync(corpus, { recursive: true });
  const bundle = await bundled(target);
  const { fuzz, seeds, blind } = createRequire(import.meta.url)(bundle) as Target;
  const coverage = blind || looks === 'blind' ? null : new Coverage((url) => url.endsWith(bundle));
  const known: Uint8Array[] = [
    ...seeds,
    ...readdirSync(corpus).map((file) => new Uint8Array(readFileSync(join(corpus, file)))),
  ];
  const random = seeded(from);
  const pick = (n: number) => Math.floor(random() * n);
  const began = performance.now();
  let done = 0;
  let broken: { input: Uint8Array; cause: unknown } | null = null;
  const attempt = async (input: Uint8Array): Promise<boolean> => {
    const start = performance.now();
    try {
      await fuzz(input);
      if (performance.now() - start > patience) throw new Error('it hung');
      return true;
    } catch (cause) {
      broken ??= { input, cause };
      return false;
    }
  };
  /** Which of these reached what none before did. */
  const telling = async (inputs: readonly Uint8Array[]): Promise<void> => {
    for (const input of inputs) await attempt(input);
    if (!coverage?.news(inputs.length === 1)) return;
    if (inputs.length > 1) {
      const half = Math.ceil(inputs.length / 2);
      await telling(inputs.slice(0, half));
      return telling(inputs.slice(half));
    }
    const [input] = inputs as [Uint8Array];
    known.push(input);
    writeFileSync(join(corpus, createHash('sha256').update(input).digest('hex').slice(0, 16)), input);
  };
  for (const input of known.slice()) await attempt(input);
  if (coverage?.news(true) === 0) throw new Error(`nothing that ran is of ${bundle}: it would not be seen`);
  while (done < wanted && broken === null) {
    const inputs: Uint8Array[] = [];
    while (inputs.length < Math.min(batch, wanted - done)) inputs.push(mutate(known, pick));
    for (const input of inputs) if (!(await attempt(input))) break;
    done += inputs.length;
    if (broken === null && coverage?.news(false)) await telling(inputs);
  }
  coverage?.close();
  rmSync(bundle);
  const seconds = ((performance.now() - began) / 1000).toFixed(0);
  const told = `${target}: ${done} inputs in ${seconds} s, ${known.length} of them telling, seed ${from}`;
  if (broken === null) {
    console.log(`${told}: no promise broken`);
    return 0;
  }
  const { input, cause } = broken as { input: Uint8Array; cause: unknown };
  console.error(`${told}: broken by ${Buffer.from(input).toString('base64')}`, cause);
  return 1;
}

/** One of the known inputs, often with a piece of another, some of its bytes changed, doubled or cut out. */
function mutate(known: readonly Uint8Array[], pick: (n: number) => number): Uint8Array {
  // The newest reached what is hardest to reach.
  const any = () => known[pick(2) === 0 ? pick(known.length) : Math.max(0, known.length - 1 - pick(16))]!;
  const bytes = [...any()];
  for (let changes = pick(6); changes >= 0; changes--) {
    const at = pick(bytes.length + 1);
    switch (pick(6)) {
      case 0:
        bytes[at] = pick(256);
        break;
      case 1:
        bytes.splice(at, 0, ...Array.from({ length: 1 + pick(16) }, () => pick(256)));
        break;
      case 2:
        bytes.splice(at, 1 + pick(8));
        break;
      case 3:
        bytes.splice(at, 0, ...bytes.slice(at, at + pick(16)));
        break;
      case 4: {
        const other = any();
        const begin = pick(other.length);
        bytes.splice(at, pick(16), ...other.subarray(begin, begin + 1 + pick(32)));
        break;
      }
      case 5:
        bytes[at] = (bytes[at] ?? 0) ^ (1 << pick(8));
        break;
    }
  }
  return Uint8Array.from(bytes.slice(0, longest));
}

/** The target as one script, so that what has run can be told by its characters. */
async function bundled(target: TargetName): Promise<string> {
  const automaton = join(cache, 'automaton');
  writeFileSync(automaton, serialize(keptAutomaton()));
  process.env.FUZZ_AUTOMATON = automaton;
  process.env.FUZZ_TARGET = target;
  const outfile = join(cache, `${target}-${process.pid}.cjs`);
  await build({
    entryPoints: [join(root, 'tests/fuzz/entry.ts')],
    outfile,
    bundle: true,
    external: ['ws'],
    platform: 'node',
    format: 'cjs',
    logLevel: 'error',
  });
  // The engine names a script by where it really lies, whatever links lead there.
  return realpathSync(outfile);
}
