/**
 * Reads every import of the sources and fails when an arrow of the flow turns round: shared <- grammar <- server and
 * client, which never meet. `shared` and `grammar` may name no platform.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';

const root = fileURLToPath(new URL('..', import.meta.url));

/**
 * The rooms in their order: a room may import itself and any room of its own folder that stands before it, and any room
 * of the folders in `before`. A file that stands in no room of the list is a mistake.
 */
const folders = {
  shared: {
    before: [],
    rooms: [
      'core',
      'note',
      'measuring/height',
      'land',
      'totals',
      'measuring/doubt',
      'wording',
      'book',
      'dialogue',
      'sound',
      'report/files',
      'report/charts',
      'report/page',
      '.',
    ],
  },
  grammar: {
    before: ['shared'],
    rooms: ['description', 'automaton', 'pronunciation', 'reading', 'writing', 'decoding', 'learning'],
  },
  server: {
    before: ['shared', 'grammar'],
    rooms: [
      'program',
      'journal',
      'language',
      'speech',
      'language/training',
      'speech/training',
      'desk',
      'access',
      'http',
      'packaging',
      'commands',
      '.',
    ],
  },
  client: {
    before: ['shared', 'grammar'],
    rooms: ['device', 'journal', 'conversation', 'ear', 'screens', '.'],
  },
} as const satisfies Record<string, { before: readonly string[]; rooms: readonly string[] }>;
type Folder = keyof typeof folders;

/** Packages that a folder may import besides; null: any. */
const packages: Readonly<Record<Folder, readonly RegExp[] | null>> = {
  shared: [/^zod\/mini$/],
  grammar: [],
  server: null,
  client: [
    /^zod\/mini$/,
    /^idb$/,
    /^preact(\/|$)/,
    /^d3-(scale|shape)$/,
    /^@xenova\/transformers$/,
    /^onnxruntime-web/,
  ],
};

/** The drawings, which page and report share, are reckoned with parts of d3 that know no platform either. */
const drawings = { room: 'shared/report/charts/', packages: /^d3-(scale|shape)$/ } as const;

/** The folder and the place of its room in the order; rooms of `description/rules` and the like lie in their parent. */
function roomOf(path: string): { folder: Folder; order: number; room: string } | null {
  const [folder, ...rest] = path.split('/');
  if (folder === undefined || !(folder in folders)) return null;
  const { rooms } = folders[folder as Folder] as { rooms: readonly string[] };
  for (let parts = rest.slice(0, -1); parts.length > 0; parts = parts.slice(0, -1)) {
    const order = rooms.indexOf(parts.join('/'));
    if (order >= 0) return { folder: folder as Folder, order, room: `${folder}/${rooms[order]}` };
  }
  const order = rest.length === 1 ? rooms.indexOf('.') : -1;
  return order < 0 ? null : { folder: folder as Folder, order, room: folder };
}

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

const sources = Object.keys(folders).flatMap(sourcesOf);

/** What a file imports: static, re-exported, dynamic, and by URL against itself. Comments are not code. */
function importsOf(text: string): string[] {
  const code = withoutComments(text);
  const found: string[] = [];
  for (const pattern of [
    /^\s*(?:import|export)\b[^'"`;]*?\bfrom\s*['"]([^'"]+)['"]/gm,
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
function mistakeOf({ path }: Pick<Source, 'path'>, specifier: string): string | null {
  const from = roomOf(path);
  if (from === null) return `${path} stands in no room`;
  if (specifier.startsWith('.')) {
    const target = targetOf(path, specifier);
    const to = roomOf(target);
    if (to === null) return `${path} imports ${target}, which stands in no room`;
    if (to.folder !== from.folder) {
      const before: readonly string[] = folders[from.folder].before;
      return before.includes(to.folder) ? null : `${path} imports ${target}: ${from.folder} stands before it`;
    }
    return to.order <= from.order ? null : `${path} imports ${target}: ${from.room} stands before ${to.room}`;
  }
  const allowed = packages[from.folder];
  if (allowed === null || allowed.some((name) => name.test(specifier))) return null;
  if (path.startsWith(drawings.room) && drawings.packages.test(specifier)) return null;
  return `${path} imports ${specifier}`;
}

const targetOf = (path: string, specifier: string): string =>
  relative(root, normalize(join(root, dirname(path), specifier)));

/** Groups of files that import each other in a ring, types included (Tarjan's strongly connected components). */
function ringsOf(imports: ReadonlyMap<string, readonly string[]>): string[][] {
  const seen = new Map<string, number>();
  const low = new Map<string, number>();
  const stack: string[] = [];
  const rings: string[][] = [];
  const visit = (file: string): void => {
    seen.set(file, seen.size);
    low.set(file, seen.get(file)!);
    stack.push(file);
    for (const next of imports.get(file) ?? []) {
      if (!seen.has(next)) visit(next);
      if (stack.includes(next)) low.set(file, Math.min(low.get(file)!, low.get(next)!));
    }
    if (low.get(file) !== seen.get(file)) return;
    const ring = stack.splice(stack.indexOf(file));
    if (ring.length > 1) rings.push(ring.sort());
  };
  for (const file of imports.keys()) if (!seen.has(file)) visit(file);
  return rings;
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

  test('no room imports what stands after it', () => {
    const mistakes = sources.flatMap((source) =>
      importsOf(source.text).flatMap((specifier) => mistakeOf(source, specifier) ?? []),
    );
    expect(mistakes).toEqual([]);
  });

  test('no files import each other in a ring, types included', () => {
    const imports = new Map(
      sources.map(({ path, text }) => [
        path,
        importsOf(text)
          .filter((specifier) => specifier.startsWith('.'))
          .map((specifier) => targetOf(path, specifier)),
      ]),
    );
    expect(ringsOf(imports)).toEqual([]);
    expect(
      ringsOf(
        new Map([
          ['a', ['b']],
          ['b', ['c']],
          ['c', ['a', 'd']],
          ['d', []],
        ]),
      ),
    ).toEqual([['a', 'b', 'c']]);
  });

  test('no value is cast through unknown: what is not known is read, checked or typed where it comes from', () => {
    const cast = /\bas\s+unknown\s+as\b/;
    expect(sources.filter(({ text }) => cast.test(withoutComments(text))).map(({ path }) => path)).toEqual(
      [],
    );
    expect(cast.test('const note = fields as unknown as Note;')).toBe(true);
  });

  test('no clock is asked but the one that was handed in: where a program is put together it is handed on', () => {
    const asked = /\bDate\.now\(\)|\bMath\.random\(/;
    const together = /^(server|client)\/main\.ts$|^server\/commands\/(main|demo)\.ts$/;
    const files = sources.filter(
      ({ path, text }) => !together.test(path) && asked.test(withoutComments(text)),
    );
    expect(files.map(({ path }) => path)).toEqual([]);
    expect(asked.test('const made = Date.now();')).toBe(true);
  });

  test('what may be missing is never said to be there: such marks stand behind an index only', () => {
    const marks = (text: string): string[] =>
      [
        ...withoutComments(text)
          .replace(/'(?:\\.|[^'\\\n])*'|"(?:\\.|[^"\\\n])*"/g, "''")
          .matchAll(/[\w)]!(?=[.,;:)\]}[]|\n)[^\n]*/g),
      ].map(([found]) => found);
    // The pattern finds what it looks for.
    expect(marks('const a = list.at(-1)!;')).toHaveLength(1);
    expect(marks('const a = list[0]!; if (a != b) c = `d!`;')).toHaveLength(0);
    const found = sources.flatMap(({ path, text }) => marks(text).map((mark) => `${path}: ${mark}`));
    expect(found).toEqual([]);
  });

  test('each exported name has one owner', () => {
    const owners = new Map<string, string[]>();
    const pattern =
      /^export (?:abstract )?(?:async )?(?:function\*?|const|class|interface|type|enum) (\w+)/gm;
    for (const { path, text } of sources)
      for (const [, name] of withoutComments(text).matchAll(pattern))
        owners.set(name!, [...(owners.get(name!) ?? []), path]);
    expect(owners.size).toBeGreaterThan(500);
    expect([...owners].filter(([, paths]) => new Set(paths).size > 1)).toEqual([]);
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
      "import { a } from '../../server/journal/sqlite.ts';",
      "import type { A } from '../../server/journal/sqlite.ts';",
      "export * from '../../server/journal/sqlite.ts';",
      "export {\n  a,\n  b,\n} from '../../server/journal/sqlite.ts';",
      "import '../../server/journal/sqlite.ts';",
      "const a = await import('../../server/journal/sqlite.ts');",
      "new Worker(new URL('../../server/journal/sqlite.ts', import.meta.url));",
    ];
    for (const text of turned) {
      const found = importsOf(text);
      expect(found).toEqual(['../../server/journal/sqlite.ts']);
      for (const path of ['shared/core/x.ts', 'grammar/reading/x.ts', 'client/ear/x.ts']) {
        expect(mistakeOf({ path }, found[0]!)).toContain('server/journal/sqlite.ts');
      }
    }
    const cases: readonly (readonly [path: string, specifier: string, mistake: string | null])[] = [
      ['server/speech/x.ts', '../../client/main.ts', 'client'],
      ['shared/core/x.ts', 'node:fs', 'node:fs'],
      ['shared/core/x.ts', '../note/note.ts', 'shared/core stands before shared/note'],
      ['shared/book/x.ts', '../dialogue/session.ts', 'shared/book stands before shared/dialogue'],
      ['shared/book/x.ts', 'd3-scale', 'd3-scale'],
      ['shared/report/charts/x.ts', 'd3-selection', 'd3-'],
      ['shared/report/charts/x.ts', 'd3-scale', null],
      ['shared/book/x.ts', '../note/note.ts', null],
      ['grammar/description/rules/x.ts', '../model.ts', null],
      ['grammar/reading/x.ts', '../decoding/search.ts', 'grammar/reading stands before grammar/decoding'],
      ['grammar/x.ts', './description/model.ts', 'stands in no room'],
    ];
    for (const [path, specifier, mistake] of cases) {
      const found = mistakeOf({ path }, specifier);
      if (mistake === null) expect(found).toBeNull();
      else expect(found).toContain(mistake);
    }
    const commented = "// import { a } from '../server/x.ts';\n/* from '../server/x.ts' */";
    expect(importsOf(commented)).toEqual([]);
  });
});
