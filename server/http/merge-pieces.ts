/**
 * Pieces of the page that are always fetched together become one file. The bundler cuts a piece for every set of users,
 * some thirty of them before the first note: each has a header of its own, and small files pack badly.
 */
import { rm } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { type BuildOptions, build, type Metafile, type Plugin } from 'esbuild';
import { required } from '../../shared/core/required.ts';

/** A piece by the name of its file. */
type Pieces = Metafile['outputs'];

/** A piece in a merged file, with what its exports are called there. */
interface Merged {
  /** The merged file, beside the pieces. */
  readonly file: string;
  readonly names: ReadonlyMap<string, string>;
}

/**
 * Merges what `entries` fetch at once: the pieces of all of them, and those of each alone. Rewrites the files in `target`
 * that import them. `outputs` are those of the build with splitting, whose `options` are kept.
 */
export async function mergePieces(
  target: string,
  outputs: Pieces,
  entries: readonly string[],
  options: BuildOptions,
): Promise<void> {
  const scripts = new Map(
    Object.entries(outputs).flatMap(([path, output]) =>
      path.endsWith('.js') ? [[basename(path), output] as const] : [],
    ),
  );
  const closures = entries.map((entry) => closureOf(entry, scripts));
  const [first, ...others] = closures.map((closure) => new Set(closure));
  if (first === undefined) return;
  const inAll = closures[0]!.filter((name) => others.every((other) => other.has(name)));
  const groups = [inAll, ...closures.map((closure) => closure.filter((name) => !inAll.includes(name)))];
  const merged = new Map<string, Merged>();
  const plugin = standIns(merged);
  const again: BuildOptions = { ...options, absWorkingDir: target, outdir: target, plugins: [plugin] };
  for (const group of groups) {
    // A piece that is also fetched by itself keeps its file; merged, it and its users would import each other.
    if (group.length < 2 || group.some((name) => scripts.get(name)?.entryPoint !== undefined)) continue;
    const named = group.map((name, at) => [name, namesOf(required(scripts.get(name), name), at)] as const);
    const made = await build({
      ...again,
      stdin: {
        contents: named
          .map(
            ([name, names]) =>
              `export {${[...names].map(([own, there]) => `${own} as ${there}`).join()}} from './${name}';`,
          )
          .join('\n'),
        resolveDir: target,
        sourcefile: 'pieces.js',
      },
      entryNames: 'piece-[hash]',
      plugins: [standIns(merged, new Set(group))],
      metafile: true,
    });
    const file = basename(
      required(
        Object.keys(made.metafile.outputs).find((path) => path.endsWith('.js')),
        'a file',
      ),
    );
    for (const [name, names] of named) merged.set(name, { file, names });
  }
  const rest = [...scripts.keys()].filter((name) => !merged.has(name));
  await build({
    ...again,
    entryPoints: rest.map((name) => join(target, name)),
    entryNames: '[name]',
    allowOverwrite: true,
  });
  for (const name of merged.keys())
    for (const old of [name, `${name}.map`]) await rm(join(target, old), { force: true });
}

/** The pieces that a file imports at once, and those that they do, each behind what it needs. */
function closureOf(entry: string, scripts: ReadonlyMap<string, Pieces[string]>): string[] {
  const found = new Set<string>();
  const visit = (name: string): void => {
    for (const { path, kind } of scripts.get(name)?.imports ?? []) {
      const piece = basename(path);
      if (kind !== 'import-statement' || found.has(piece) || !scripts.has(piece)) continue;
      visit(piece);
      found.add(piece);
    }
  };
  visit(entry);
  return [...found];
}

const namesOf = ({ exports }: Pieces[string], at: number): ReadonlyMap<string, string> =>
  new Map(exports.map((name) => [name, `${name}${at}`]));

/** Imports of pieces that are in a merged file come from there; other pieces stay files of their own. */
function standIns(merged: ReadonlyMap<string, Merged>, inlined: ReadonlySet<string> = new Set()): Plugin {
  return {
    name: 'stand-ins',
    setup(plugin) {
      plugin.onResolve({ filter: /\/piece-\w+\.js$/ }, ({ path, kind }) => {
        const name = basename(path);
        if (kind === 'entry-point' || inlined.has(name)) return undefined;
        return merged.has(name) && kind === 'import-statement'
          ? { path: name, namespace: 'merged' }
          : { path: `./${name}`, external: true };
      });
      plugin.onLoad({ filter: /./, namespace: 'merged' }, ({ path }) => {
        const { file, names } = required(merged.get(path), path);
        return {
          contents: `export {${[...names].map(([own, there]) => `${there} as ${own}`).join()}} from './${file}';`,
        };
      });
    },
  };
}
