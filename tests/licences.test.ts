/** Work of others: that THIRD-PARTY.md names every package that is installed at run time, and every foreign data set. */
import { execFileSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';

const read = (path: string): string => readFileSync(new URL(`../${path}`, import.meta.url), 'utf8');
const page = read('THIRD-PARTY.md');

interface Locked {
  readonly dev?: boolean;
  readonly license?: string;
}

/** Builds for one system each are one work; flatbuffers names its licence only in its text, which is Apache 2.0. */
const nameOf = (path: string): string =>
  path
    .replace(/^.*node_modules\//, '')
    .replace(/^@esbuild\/.*/, '@esbuild/*')
    .replace(/^@img\/sharp-libvips-.*/, '@img/sharp-libvips-*')
    .replace(/^@img\/sharp-(?!libvips).*/, '@img/sharp-*');
const licenceOf = (name: string, { license }: Locked): string =>
  name === 'flatbuffers' ? 'Apache-2.0' : (license ?? 'unknown');

/** "- ISC: chownr, d3-array, ...": one line for each licence, the commonest first. */
function runtimeList(): string {
  const packages = (JSON.parse(read('package-lock.json')) as { packages: Record<string, Locked> }).packages;
  const byLicence = new Map<string, Set<string>>();
  for (const [path, locked] of Object.entries(packages)) {
    if (path === '' || locked.dev === true) continue;
    const name = nameOf(path);
    const licence = licenceOf(name, locked);
    byLicence.set(licence, (byLicence.get(licence) ?? new Set()).add(name));
  }
  return [...byLicence]
    .sort(([a, x], [b, y]) => y.size - x.size || a.localeCompare(b))
    .map(([licence, names]) => `- ${licence}: ${[...names].sort().join(', ')}`)
    .join('\n');
}

describe('THIRD-PARTY.md', () => {
  test('names every package that is installed at run time, under its licence', () => {
    expect(page).toContain(runtimeList());
    expect(runtimeList()).not.toContain('unknown');
  });

  test('ships nothing under a licence that was not looked at', () => {
    // Free to ship with a program under MIT. The LGPL part is a library of its own that is never loaded.
    const known = [
      ...['MIT', 'ISC', '0BSD', 'Apache-2.0', 'BSD-3-Clause', 'BSD-4-Clause'],
      ...['(BSD-2-Clause OR MIT OR Apache-2.0)', '(MIT OR WTFPL)'],
    ];
    const others = runtimeList()
      .split('\n')
      .filter((line) => !known.includes(line.slice(2, line.indexOf(':'))));
    expect(others.map((line) => line.slice(line.indexOf(':') + 2).replaceAll('-libvips', ''))).toEqual(
      others.map(() => '@img/sharp-*'),
    );
    expect(runtimeList()).not.toMatch(/(?<!L)GPL-/);
  });

  test('says for what each package of our own choice is there', () => {
    const { dependencies } = JSON.parse(read('package.json')) as { dependencies: Record<string, string> };
    const table = page.slice(page.indexOf('| package |'), page.indexOf('Every package that is installed'));
    for (const name of Object.keys(dependencies)) expect(table, name).toContain(name);
  });

  test('keeps data under another licence out of the repository: they are fetched, and no program reads them', () => {
    const folder = 'tests/references/stands';
    const notice = read(`${folder}/README.md`);
    const script = read(`${folder}/fetch.R`);
    expect(page).toContain(folder);
    const kept = execFileSync('git', ['ls-files', 'tests'], {
      cwd: new URL('..', import.meta.url),
      encoding: 'utf8',
    });
    const tables = kept.split('\n').filter((name) => /\.(csv|json|tsv)$/.test(name));
    expect(tables.length).toBeGreaterThan(10);
    for (const file of tables.filter((name) => existsSync(new URL(`../${name}`, import.meta.url))))
      expect(read(file).slice(0, 400), file).not.toMatch(/\bGPL\b/);
    const rows = notice.split('\n').filter((line) => /^\| \w+\.csv/.test(line));
    expect(rows).toHaveLength(8);
    for (const row of rows) {
      expect(row).toMatch(/GPL-[23]/);
      expect(script).toContain(`${/^\| (\w+)\.csv/.exec(row)![1]} = list(`);
    }
    for (const room of ['shared', 'grammar', 'server', 'client']) {
      const files = readdirSync(new URL(`../${room}`, import.meta.url), {
        recursive: true,
        encoding: 'utf8',
      });
      for (const file of files.filter((name) => /\.(ts|tsx|mjs)$/.test(name)))
        expect(read(`${room}/${file}`), file).not.toContain('references/stands');
    }
  });
});
