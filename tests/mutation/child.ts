/**
 * Tries the mutants of one source from a place on, and tells of each; -1 is the source as it is. Arguments: source, tests,
 * place, and how many mutants to draw at most, or those that are given (JSON, text and what is put there). All in this process: only the mutated source and what imports it are evaluated anew, a mutant is
 * done with at the first test that notices it, and the file of that test goes first from then on.
 */
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { startTests } from 'vitest/internal/browser';
import { createViteServer } from 'vitest/node';
import { drawn, given, mutantsOf, mutated } from './mutants.ts';
import type { Tried } from './run.ts';

/** What is used of the runner of modules. */
interface Evaluated {
  readonly importers: Set<string>;
}
interface Modules {
  import(path: string): Promise<unknown>;
  readonly evaluatedModules: {
    getModuleById(id: string): Evaluated | undefined;
    invalidateModule(node: Evaluated): void;
  };
}

const [source = '', tests = '[]', from = '-1', most = 'Infinity'] = process.argv.slice(2);
const path = resolve(source);
const original = readFileSync(path, 'utf8');
const mutants = most.startsWith('[')
  ? (JSON.parse(most) as [string, string][]).map(([find, instead]) => given(original, find, instead))
  : drawn(mutantsOf(original), Number(most));
let now = original;

const server = await createViteServer({
  configFile: false,
  appType: 'custom',
  logLevel: 'silent',
  server: { middlewareMode: true, watch: null, hmr: false, ws: false },
  optimizeDeps: { noDiscovery: true },
  plugins: [
    { name: 'mutant', enforce: 'pre', load: (id: string) => (id.split('?')[0] === path ? now : null) },
  ],
});
const { ssr } = server.environments;
if (!('runner' in ssr)) throw new Error('no runner of modules here');
const { runner: modules } = ssr as typeof ssr & { readonly runner: Modules };

/** Forgets what was evaluated of these modules and of all that import them. */
function forget(ids: Iterable<string>, seen: Set<string>): void {
  for (const id of ids) {
    const node = modules.evaluatedModules.getModuleById(id);
    if (node === undefined || seen.has(id)) continue;
    seen.add(id);
    forget(node.importers, seen);
    modules.evaluatedModules.invalidateModule(node);
  }
}

/** Tests that cannot run here, as they want the whole runner: they compare a file. */
const leftOut = new Set<string>();

/** Whether all tests of a file pass, and how many ran; the rest is skipped from the first that does not. */
async function run(file: string): Promise<{ readonly ran: number; readonly failed: number }> {
  let [ran, failed] = [0, 0];
  const files = await startTests([file], {
    config: {
      root: process.cwd(),
      name: undefined,
      setupFiles: [],
      passWithNoTests: false,
      allowOnly: true,
      testNamePattern: undefined,
      includeTaskLocation: undefined,
      sequence: { shuffle: false, concurrent: false, seed: 1, hooks: 'stack', setupFiles: 'list' },
      maxConcurrency: 1,
      testTimeout: 60_000,
      hookTimeout: 60_000,
      retry: 0,
      chaiConfig: undefined,
      diffOptions: undefined,
    } as never,
    importFile: async (filepath: string) => {
      forget([filepath], new Set());
      return modules.import(filepath);
    },
    onBeforeRunTask: (task) => {
      if (failed > 0 || leftOut.has(task.name)) task.mode = 'skip';
    },
    onAfterRunTask: (task) => {
      if (task.result?.state === 'skip' || leftOut.has(task.name)) return;
      if (task.result?.errors?.some(({ message }) => message.includes('SnapshotClient'))) {
        leftOut.add(task.name);
        return;
      }
      ran++;
      if (task.result?.state === 'fail') failed++;
    },
  });
  // A file that could not be read at all has no tests.
  if (ran === 0 && files.some(({ result }) => result?.state === 'fail')) failed++;
  return { ran, failed };
}

const files = (JSON.parse(tests) as string[]).map((name) => resolve(name));
/** How many tests of these files ran and failed, up to the first file with one that did. */
async function tryAll(at: number): Promise<Tried> {
  let [ran, failed] = [0, 0];
  for (const file of [...files]) {
    const one = await run(file);
    ran += one.ran;
    failed += one.failed;
    if (failed === 0) continue;
    if (at >= 0) files.splice(0, files.length, file, ...files.filter((other) => other !== file));
    break;
  }
  return { at, ran, failed };
}

for (let at = Number(from); at < mutants.length; at++) {
  now = at < 0 ? original : mutated(original, mutants[at]!);
  ssr.moduleGraph.onFileChange(path);
  forget([path], new Set());
  let tried = await tryAll(at);
  // Tests that pass only once would notice every mutant: the source as it is has to pass twice.
  if (at < 0 && tried.failed === 0) {
    forget([path], new Set());
    tried = await tryAll(at);
  }
  await new Promise((done) => process.send!(tried, done));
}
process.exit(0);
