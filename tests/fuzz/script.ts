/** A target of the fuzzer as one script with counters, loaded into this process. */
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { serialize } from '../../grammar/automaton/serialize.ts';
import { keptAutomaton } from '../../server/language/automaton-cache.ts';
import { instrumented } from './instrument.ts';
import type { Target, TargetName } from './targets.ts';

export interface Loaded {
  readonly target: Target;
  /** The counters of its blocks; what ran while it was loaded is in them. */
  readonly counts: Uint8Array;
  /** What it compares with, as bytes. */
  readonly tokens: readonly Uint8Array[];
}

const entry = fileURLToPath(new URL('entry.ts', import.meta.url));
/** Texts of the script that are put into inputs: the first are those that it compares with. */
const mostTexts = 6000;

/** `cache`: a folder for what is made on the way. */
export async function loaded(name: TargetName, cache: string): Promise<Loaded> {
  mkdirSync(cache, { recursive: true });
  const automaton = join(cache, `automaton-${process.pid}`);
  const file = join(cache, `${name}-${process.pid}.cjs`);
  try {
    writeFileSync(automaton, serialize(keptAutomaton()));
    process.env.FUZZ_AUTOMATON = automaton;
    process.env.FUZZ_TARGET = name;
    const { outputFiles } = await build({
      entryPoints: [entry],
      write: false,
      bundle: true,
      external: ['bufferutil', 'utf-8-validate'],
      platform: 'node',
      format: 'cjs',
      logLevel: 'error',
    });
    const { code, blocks, texts, numbers } = instrumented(outputFiles[0]!.text, 'fuzzCounts');
    const counts = new Uint8Array(4 * Math.ceil(blocks / 4));
    Reflect.set(globalThis, 'fuzzCounts', counts);
    writeFileSync(file, code);
    const target = createRequire(import.meta.url)(file) as Target;
    return { target, counts, tokens: [...texts.slice(0, mostTexts).map(utf8), ...numbers.flatMap(bytesOf)] };
  } finally {
    rmSync(file, { force: true });
    rmSync(automaton, { force: true });
  }
}

const utf8 = (text: string) => new TextEncoder().encode(text);

/** A number as text, and a whole one as the bytes of 8, 16 or 32 bits, the lowest first. */
function bytesOf(value: number): Uint8Array[] {
  const all = [utf8(String(value))];
  if (!Number.isInteger(value) || value < 0 || value >= 2 ** 32) return all;
  const size = value < 256 ? 1 : value < 65_536 ? 2 : 4;
  return [...all, Uint8Array.from({ length: size }, (_, at) => value / 256 ** at)];
}
