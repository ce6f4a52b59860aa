/** Each promise of the docs names a test; a test that was renamed or removed takes its promise with it, and is missed here. */
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';

const root = fileURLToPath(new URL('..', import.meta.url));
const page = readFileSync(join(root, 'shared', 'docs', 'promises.md'), 'utf8');
const promises = [...page.matchAll(/^\| ([^|]+) \| `([^`]+)`: ([^|]+) \|$/gm)].map(
  ([, promise, file, name]) => ({ promise: promise!, file: file!, name: name! }),
);

test('there are promises, and every row of the tables is one', () => {
  const rows = page.split('\n').filter((line) => /^\|/.test(line) && !/^\|(---| promise)/.test(line));
  expect(promises).toHaveLength(rows.length);
  expect(promises.length).toBeGreaterThan(20);
});

test.each(promises)('$promise', ({ file, name }) => {
  expect(existsSync(join(root, file))).toBe(true);
  const code = readFileSync(join(root, file), 'utf8').replace(/\s+/g, ' ');
  // A name in the code may begin with a place for what it is run with.
  const found = ["'", '"', '`', '%s '].some((before) => code.includes(`${before}${name}`));
  expect(found, `${file} has no test "${name}"`).toBe(true);
});
