/** Builds the page from `client/`: bundles its scripts, packs the language, copies the rest. */

import { createHash } from 'node:crypto';
import { existsSync } from 'node:fs';
import { cp, mkdir, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { type BuildOptions, build, type Plugin, stop } from 'esbuild';
import { serialize } from '../../grammar/automaton/serialize.ts';
import { grammar } from '../../grammar/description/grammar.ts';
import { ruleHelp } from '../../grammar/description/rule-help.ts';
import { err, ok, type Result } from '../../shared/core/result.ts';
import { keptAutomaton } from '../language/automaton-cache.ts';
import { places, plainFormsPiece } from '../program/places.ts';
import { writeDocuments } from './documents.ts';
import { mergePieces } from './merge-pieces.ts';
import { pagePolicy } from './page-policy.ts';

/** Scripts that may share pieces, and scripts that must each be one file (audio thread, service worker). */
const shared = ['main.ts', 'worker.ts'];
const alone = ['ear/capture.worklet.ts'];
const serviceWorker = 'sw.ts';
/** Pieces that are fetched by who wants them, not kept for everyone. */
const onlyOnUse = /client\/ear\/page-ear\.ts$/;
const styles = ['styles/styles.css', 'styles/document.css'];
const copied = /\.(html|svg|png|ico|webmanifest|woff2)$/;
const languageFile = 'language.bin';

/** zod brings its messages in fifty languages, a quarter megabyte; the page shows one. */
const oneLanguage: Plugin = {
  name: 'one-language',
  setup(plugin) {
    plugin.onLoad({ filter: /zod[\\/]v4[\\/]locales[\\/]index\.js$/ }, () => ({
      contents: "export { default as en } from './en.js';",
    }));
  },
};

/** A list or a text that stands in a table of rules under this name. */
const helpField = /\n\s*(?:examples: \[|help:\s*(?='|"))/g;

/** The source of rules without their help and examples: each is cut out from its name to the comma behind it. */
function withoutHelpText(source: string): string {
  let kept = '';
  let from = 0;
  for (const { 0: head, index } of source.matchAll(helpField)) {
    if (index < from) continue;
    kept += source.slice(from, index);
    from = endOfValue(source, index + head.length - (head.endsWith('[') ? 1 : 0));
  }
  return kept + source.slice(from);
}

/** Behind the comma that ends a list or a text in a source. */
function endOfValue(source: string, start: number): number {
  let depth = 0;
  let quote = '';
  for (let at = start; at < source.length; at++) {
    const char = source.charAt(at);
    if (quote !== '') {
      if (char === '\\') at++;
      else if (char === quote) quote = '';
    } else if (char === "'" || char === '"' || char === '`') quote = char;
    else if ('[{('.includes(char)) depth++;
    else if (depth > 0 && ']})'.includes(char)) depth--;
    else if (depth === 0 && char === ',') return at + 1;
  }
  return source.length;
}

/**
 * The description without its help and examples, which are a third of it and wait in a piece of their own
 * (`grammar/description/rule-help.ts`).
 */
const helpApart: Plugin = {
  name: 'help-apart',
  setup(plugin) {
    plugin.onLoad({ filter: /[\\/]grammar[\\/]description[\\/]rules[\\/]\w+\.ts$/ }, async ({ path }) => ({
      contents: withoutHelpText(await readFile(path, 'utf8')),
      loader: 'ts',
    }));
    plugin.onLoad({ filter: /[\\/]grammar[\\/]description[\\/]rule-help\.ts$/ }, async ({ path }) => {
      const text = await readFile(path, 'utf8');
      const made = /Object\.fromEntries\([\s\S]*?\n\);/;
      if (!made.test(text)) throw new Error('rule-help.ts no longer makes its table as the build expects.');
      return { contents: text.replace(made, () => `${JSON.stringify(ruleHelp)};`), loader: 'ts' };
    });
  },
};

interface BuiltPage {
  /** Folders of the packages that went into its scripts. */
  readonly packages: readonly string[];
}

interface PageBuild {
  /** Folder that the page goes to; `dist` of the root where missing. */
  readonly target?: string;
  /** The page as a folder for any host: it asks no server, and carries no source maps. */
  readonly withoutServer?: boolean;
  /** No source maps: they help its makers and treble its size. */
  readonly withoutMaps?: boolean;
}

/** What zod would write a schema as JSON Schema with: every schema refers to it, and the page never does it. */
const noJsonSchema: Plugin = {
  name: 'no-json-schema',
  setup(plugin) {
    plugin.onLoad(
      { filter: /zod[\\/]v4[\\/]core[\\/](to-json-schema|json-schema-processors)\.js$/ },
      async ({ path }) => {
        const exported = /^export (?:(?:const|function|class) (\w+)|\{ \w+ as (\w+) \})/gm;
        const names = [...(await readFile(path, 'utf8')).matchAll(exported)];
        return {
          contents: names
            .map(([, one, other]) => `export const ${one ?? other} = () => () => ({});`)
            .join('\n'),
        };
      },
    );
  },
};

/** Resolves to the page that there is now; a mistake in its sources is a sentence, not the end of the server. */
export async function buildPage(
  root: string,
  { target = join(root, 'dist'), withoutServer = false, withoutMaps = withoutServer }: PageBuild = {},
): Promise<Result<BuiltPage, string>> {
  const source = join(root, 'client');
  const there = (names: readonly string[]) =>
    names.map((name) => join(source, name)).filter((file) => existsSync(file));
  if (there(shared).length === 0) return err('There is no page to build: client/ has no main.ts.');
  const options: BuildOptions = {
    absWorkingDir: root,
    outdir: target,
    bundle: true,
    minify: true,
    sourcemap: withoutMaps ? false : 'linked',
    format: 'esm',
    target: 'es2022',
    jsx: 'automatic',
    jsxImportSource: 'preact',
    plugins: [oneLanguage, noJsonSchema, helpApart],
    logLevel: 'silent',
  };
  try {
    await mkdir(target, { recursive: true });
    // Pieces of earlier builds have other names and would pile up.
    for (const name of await readdir(target))
      if (/^(piece-.*\.(js(\.map)?|bin|gz)|document-.*\.html|language\.bin\.gz)$/.test(name))
        await rm(join(target, name));
    const spoken = await packLanguage(target);
    const learned = await writePiece(target, await readFile(places.plainForms), plainFormsPiece);
    const documents = await writeDocuments(join(root, 'shared', 'docs'), target, policyTag);
    const { metafile } = await build({
      ...options,
      entryPoints: there(shared),
      splitting: true,
      chunkNames: 'piece-[hash]',
      // The documents as a text: a list would become a piece that all others fetch and begin with.
      define: {
        SPOKEN_FILE: JSON.stringify(spoken),
        LEARNED_FILE: JSON.stringify(learned),
        DOCUMENTS: JSON.stringify(JSON.stringify(documents)),
      },
      metafile: true,
    });
    const large = Object.entries(metafile.outputs).flatMap(([file, { entryPoint }]) =>
      entryPoint !== undefined && onlyOnUse.test(entryPoint) ? [basename(file)] : [],
    );
    await mergePieces(
      target,
      metafile.outputs,
      shared.map((name) => name.replace(/ts$/, 'js')),
      options,
    );
    await build({ ...options, entryPoints: there(alone) });
    await build({ ...options, sourcemap: false, entryPoints: there(styles) });
    for (const name of await readdir(source, { recursive: true })) {
      if (copied.test(name)) await cp(join(source, name), join(target, name));
    }
    const index = join(target, 'index.html');
    await writeFile(index, withPolicy(await readFile(index, 'utf8'), withoutServer));
    // Last, because it holds the names and the fingerprint of everything before it.
    const [service] = there([serviceWorker]);
    if (service !== undefined) {
      const shell = await shellOf(target, [...large, spoken, learned]);
      await build({
        ...options,
        format: 'iife',
        entryPoints: [service],
        define: { SHELL: JSON.stringify(shell.names), SHELL_VERSION: JSON.stringify(shell.version) },
      });
    }
    return ok({ packages: packagesOf(Object.keys(metafile.inputs)) });
  } catch (cause) {
    return err(`The page could not be built: ${cause instanceof Error ? cause.message : cause}`);
  } finally {
    // Its helper process would stay and hold sixty megabytes.
    await stop();
  }
}

const policyTag = `<meta http-equiv="content-security-policy" content="${pagePolicy.join('; ')}" />`;

/** The page with its policy in it, for hosts that set no header, and with the mark of a page that has no server. */
function withPolicy(html: string, withoutServer: boolean): string {
  const marked = withoutServer ? html.replace('<html ', '<html data-server="none" ') : html;
  return marked.replace('<meta charset="utf-8" />', `$&\n    ${policyTag}`);
}

/** Folders of packages among the files that were bundled, `.../node_modules/zod`, each once. */
function packagesOf(files: readonly string[]): string[] {
  const found = files.flatMap((file) => /^([^(]*\bnode_modules\/(?:@[^/]+\/)?[^/]+)\//.exec(file)?.[1] ?? []);
  return [...new Set(found)].sort();
}

/** What a page needs to start without a network, and one name for exactly these bytes. */
async function shellOf(
  target: string,
  without: readonly string[],
): Promise<{ names: string[]; version: string }> {
  const names = (await readdir(target))
    .filter(
      (name) =>
        // The large icons are for the device at the moment of installing, which has a network.
        /\.(html|css|js|svg|webmanifest|bin)$/.test(name) && name !== 'sw.js' && !without.includes(name),
    )
    .sort();
  const hash = createHash('sha256');
  for (const name of names) hash.update(name).update(await readFile(join(target, name)));
  return {
    names: names.map((name) => (name === 'index.html' ? '' : name)),
    version: hash.digest('hex').slice(0, 16),
  };
}

/**
 * The compiled language for the page, from where the server keeps its own. How usual each word is matters to hearing
 * alone and is two fifths of it, so there is a second file with it; gives the name of that one, a piece like others.
 */
async function packLanguage(target: string): Promise<string> {
  const whole = keptAutomaton(grammar);
  const { arcWeights: _, ...automaton } = whole;
  await writeFile(join(target, languageFile), serialize(automaton));
  return writePiece(target, serialize(whole));
}

/** A file of its own that is fetched by who wants it; gives its name, which is its fingerprint. */
async function writePiece(target: string, bytes: Uint8Array, called = 'piece-'): Promise<string> {
  const name = `${called}${createHash('sha256').update(bytes).digest('hex').slice(0, 8)}.bin`;
  await writeFile(join(target, name), bytes);
  return name;
}
