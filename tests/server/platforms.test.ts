/** What the page of platforms says, beside the packages as they are installed here. */
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';

const at = (path: string): URL => new URL(`../../${path}`, import.meta.url);
const page = readFileSync(at('shared/docs/platforms.md'), 'utf8');
const { packages } = JSON.parse(readFileSync(at('package-lock.json'), 'utf8')) as {
  packages: Record<string, { os?: string[]; optional?: boolean; hasInstallScript?: boolean; dev?: boolean }>;
};
const row = (system: string): string[] =>
  page
    .split('\n')
    .find((line) => line.startsWith(`| ${system}`))!
    .split('|')
    .slice(1, -1)
    .map((cell) => cell.trim());

describe('the runtime of the models', () => {
  test.each(['linux x64', 'linux arm64', 'darwin arm64', 'darwin x64', 'win32 x64', 'win32 arm64'])(
    '%s has a binding in its package',
    (system) => {
      const folder = `node_modules/onnxruntime-node/bin/napi-v3/${system.replace(' ', '/')}`;
      expect([row(system)[1], existsSync(at(`${folder}/onnxruntime_binding.node`))]).toEqual(['yes', true]);
    },
  );

  test('there is none for 32 bits of arm', () => {
    expect(row('linux arm (32 bits)')[1]).toBe('no');
    expect(existsSync(at('node_modules/onnxruntime-node/bin/napi-v3/linux/arm'))).toBe(false);
  });
});

test.each([
  'linux-x64',
  'linux-arm64',
  'linux-arm',
  'darwin-arm64',
  'darwin-x64',
  'win32-x64',
  'win32-arm64',
])('the bundler is there for %s', (system) => {
  expect(packages[`node_modules/@esbuild/${system}`]?.optional).toBe(true);
});

test('SQLite is optional, and every other package that ships and compiles or fetches at install is named', () => {
  expect(packages['node_modules/better-sqlite3']).toMatchObject({ optional: true, hasInstallScript: true });
  const { allowScripts } = JSON.parse(readFileSync(at('package.json'), 'utf8')) as {
    allowScripts: Record<string, boolean>;
  };
  const scripted = Object.entries(packages).flatMap(([path, { dev, hasInstallScript }]) =>
    hasInstallScript && !dev ? [path.replace(/^.*node_modules\//, '')] : [],
  );
  expect(scripted.filter((name) => !(name in allowScripts) && name !== 'fsevents')).toEqual([]);
});
