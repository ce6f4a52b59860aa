import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { compile } from '../../grammar/automaton/compile.ts';
import { withLanguageModel } from '../../grammar/decoding/language-model.ts';
import type { Description } from '../../grammar/description/model.ts';
import { keptAutomaton } from '../../server/language/automaton-cache.ts';

const folder = mkdtempSync(join(tmpdir(), 'automaton-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const small = (version: string, pattern: string): Description => ({
  version,
  rules: [{ id: 'next', family: 'tree', patterns: [pattern], sets: ['kind=next'] }],
  fillers: [],
  freeWords: [],
});
const one = small('1', 'next tree');
const compiled = withLanguageModel(compile(one), one);

test('what is read back is what was compiled, and it is read from the file', () => {
  expect(keptAutomaton(one, folder)).toEqual(compiled);
  const [file] = readdirSync(folder);
  const before = readFileSync(join(folder, file!));
  expect(keptAutomaton(one, folder)).toEqual(compiled);
  expect(readFileSync(join(folder, file!))).toEqual(before);
});

test('another description is never answered with the kept one, and old ones make room', () => {
  for (let version = 0; version < 12; version++) {
    expect(keptAutomaton(small(String(version), `next stem${'s'.repeat(version)}`), folder).version).toBe(
      String(version),
    );
  }
  expect(readdirSync(folder)).toHaveLength(8);
});

test('a spoiled file costs a compilation, nothing else', () => {
  const alone = join(folder, 'alone');
  keptAutomaton(one, alone);
  const file = join(alone, readdirSync(alone)[0]!);
  for (const spoiled of [
    Buffer.alloc(0),
    Buffer.from('not an automaton'),
    readFileSync(file).subarray(0, 100),
  ]) {
    writeFileSync(file, spoiled);
    expect(keptAutomaton(one, alone)).toEqual(compiled);
  }
});

test('a folder that cannot be written is no failure', () => {
  const file = join(folder, 'file');
  writeFileSync(file, '');
  expect(keptAutomaton(one, join(file, 'below'))).toEqual(compiled);
});
