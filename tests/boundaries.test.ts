/**
 * Reads every import of the sources and fails when an arrow of the flow turns round: shared <- grammar <- server and
 * client, which never meet. `shared` and `grammar` may name no platform.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';

const root = fileURLToPath(new URL('..', import.meta.url));

/** For each folder: the folders it may import from besides itself, and its packages (null: any). */
const allowed: Readonly<Record<string, { folders: readonly string[]; packages: readonly RegExp[] | null }>> =
  {
    shared: { folders: [], packages: [/^zod$/] },
    grammar: { folders: ['shared'], packages: [/^zod$/] },
    server: { folders: ['shared', 'grammar'], packages: null },
    client: {
      folders: ['shared', 'grammar'],
      packages: [
        /^zod$/,
        /^idb$/,
        /^preact(\/|$)/,
        /^d3-(array|scale|shape)$/,
        /^@xenova\/transformers$/,
        /^onnxruntime-web/,
      ],
    },
  };

/** The drawings, which page and report share, are reckoned with parts of d3 that know no platform either. */
const drawings = { folder: 'shared/charts/', packages: /^d3-(array|scale|shape)$/ } as const;

interface Source {
  readonly folder: string;
  /** Path below the root. */
  readonly path: string;
  readonly text: string;
}

function sourcesOf(folder: string): Source[] {
  return readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.(ts|mts|mjs|js|tsx)$/.test(name) && !name.includes('node_modules'))
    .map((name) => ({
      folder,
      path: join(folder, name),
      text: readFileSync(join(root, folder, name), 'utf8'),
    }));
}

const sources = Object.keys(allowed).flatMap(sourcesOf);

/** What a file imports: static, re-exported, dynamic, and by URL against itself. Comments are not code. */
function importsOf(text: string): string[] {
  const code = withoutComments(text);
  const found: string[] = [];
  for (const pattern of [
    /\b(?:import|export)\b[^'"`;]*?\bfrom\s*['"]([^'"]+)['"]/g,
    /\bimport\s*['"]([^'"]+)['"]/g,
    /\bimport\s*\(\s*['"]([^'"]+)['"]/g,
    /\brequire\s*\(\s*['"]([^'"]+)['"]/g,
    /\bnew URL\(\s*['"](\.[^'"]+\.[cm]?[jt]s)['"]\s*,\s*import\.meta\.url/g,
  ]) {
    for (const match of code.matchAll(pattern)) found.push(match[1]!);
  }
  return found;
}

/** Removes comments, keeps strings and the number of lines. */
function withoutComments(text: string): string {
  return text.replace(
    /("(?:\\.|[^"\\\n])*"|'(?:\\.|[^'\\\n])*'|`(?:\\.|[^`\\])*`)|\/\*[\s\S]*?\*\/|(?<!:)\/\/[^\n]*/g,
    (whole, string: string | undefined) => string ?? whole.replace(/[^\n]/g, ' '),
  );
}

/** The mistake in one import, or null. */
function mistakeOf(source: Pick<Source, 'folder' | 'path'>, specifier: string): string | null {
  const rule = allowed[source.folder]!;
  if (specifier.startsWith('.')) {
    const target = relative(root, normalize(join(root, dirname(source.path), specifier)));
    const folder = target.split('/')[0]!;
    if (folder === source.folder || rule.folders.includes(folder)) return null;
    return `${source.path} imports ${target}: ${source.folder} may import ${['itself', ...rule.folders].join(', ')}`;
  }
  if (rule.packages === null || rule.packages.some((name) => name.test(specifier))) return null;
  if (source.path.startsWith(drawings.folder) && drawings.packages.test(specifier)) return null;
  return `${source.path} imports ${specifier}`;
}

/** Names that would make `shared` or `grammar` depend on where and when they run. */
const platform: readonly (readonly [RegExp, string])[] = [
  [
    /\bDate\.now\b|\bnew Date\(\s*\)|\bDate\(\s*\)|\bperformance\.|\bprocess\.|\bsetTimeout\b|\bsetInterval\b|\bsetImmediate\b/,
    'a clock or the process',
  ],
  [/\bMath\.random\b|\bcrypto\b/, 'randomness'],
  [/\bwindow\b\.|\bdocument\.|\bnavigator\.|\blocalStorage\b|\bindexedDB\b/, 'the page'],
  [/\bfetch\(|\bXMLHttpRequest\b|\bWebSocket\(/, 'the network'],
  [/\bBuffer\.|\b__dirname\b|\bglobalThis\b|\bimport\.meta\b/, 'Node'],
  [/\bIntl\.|\.toLocale(?!LowerCase|UpperCase)\w*\(|\.localeCompare\(/, 'the language of the machine'],
];

describe('the arrows of the flow', () => {
  test('there are sources to look at, and imports in them', () => {
    expect(sources.length).toBeGreaterThan(20);
    expect(sources.flatMap((source) => importsOf(source.text)).length).toBeGreaterThan(100);
  });

  test('no folder imports what stands after it', () => {
    const mistakes = sources.flatMap((source) =>
      importsOf(source.text).flatMap((specifier) => mistakeOf(source, specifier) ?? []),
    );
    expect(mistakes).toEqual([]);
  });

  test('shared and grammar know no clock, no chance, no page, no network, no Node', () => {
    const mistakes = sources
      .filter(({ folder }) => folder === 'shared' || folder === 'grammar')
      .flatMap(({ path, text }) =>
        withoutComments(text)
          .split('\n')
          .flatMap((line, at) =>
            platform.flatMap(([pattern, what]) =>
              pattern.test(line.replace(/(['"`])(?:\\.|(?!\1).)*\1/g, ''))
                ? [`${path}:${at + 1} names ${what}: ${line.trim()}`]
                : [],
            ),
          ),
      );
    expect(mistakes).toEqual([]);
  });

  test('no source imports a test, and no import leaves out its extension', () => {
    const mistakes = sources.flatMap(({ path, text }) =>
      importsOf(text)
        .filter(
          (specifier) => specifier.startsWith('.') && !/\.(ts|tsx|mts|mjs|js|json|css|wasm)$/.test(specifier),
        )
        .map((specifier) => `${path} imports ${specifier}`),
    );
    expect(mistakes).toEqual([]);
  });

  test('a turned arrow is found in each of the ways in which it can be written', () => {
    const turned = [
      "import { a } from '../server/journal/sqlite.ts';",
      "import type { A } from '../server/journal/sqlite.ts';",
      "export * from '../server/journal/sqlite.ts';",
      "export {\n  a,\n  b,\n} from '../server/journal/sqlite.ts';",
      "import '../server/journal/sqlite.ts';",
      "const a = await import('../server/journal/sqlite.ts');",
      "new Worker(new URL('../server/journal/sqlite.ts', import.meta.url));",
    ];
    for (const text of turned) {
      expect(importsOf(text)).toEqual(['../server/journal/sqlite.ts']);
      for (const folder of ['shared', 'grammar', 'client']) {
        expect(mistakeOf({ folder, path: `${folder}/x.ts` }, '../server/journal/sqlite.ts')).toContain(
          'server/store.ts',
        );
      }
    }
    expect(mistakeOf({ folder: 'server', path: 'server/speech/x.ts' }, '../../client/main.ts')).toContain(
      'client',
    );
    expect(mistakeOf({ folder: 'shared', path: 'shared/x.ts' }, 'node:fs')).toContain('node:fs');
    expect(mistakeOf({ folder: 'shared', path: 'shared/book/x.ts' }, 'd3-scale')).toContain('d3-scale');
    expect(mistakeOf({ folder: 'shared', path: 'shared/charts/x.ts' }, 'd3-selection')).toContain('d3-');
    expect(mistakeOf({ folder: 'shared', path: 'shared/charts/x.ts' }, 'd3-scale')).toBeNull();
    expect(mistakeOf({ folder: 'shared', path: 'shared/book/x.ts' }, '../note.ts')).toBeNull();
    expect(
      importsOf(
        "// import { a } from '../server/journal/sqlite.ts';\n/* from '../server/journal/sqlite.ts' */",
      ),
    ).toEqual([]);
  });
});
