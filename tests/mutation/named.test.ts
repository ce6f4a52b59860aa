/** The named thresholds stand in their sources as they are written, so that `npm run mutation -- named` runs. */
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { drawn, given, mutantsOf, mutated } from './mutants.ts';
import { named } from './named.ts';

describe('mutants', () => {
  it('of the named thresholds change one place each, and their tests are there', () => {
    for (const { name, source, find, instead, test } of named) {
      const text = readFileSync(source, 'utf8');
      expect(mutated(text, given(text, find, instead)), name).not.toBe(text);
      expect(existsSync(test), test).toBe(true);
    }
    expect(new Set(named.map(({ name }) => name)).size).toBe(named.length);
  });

  it('of a line are its numbers, comparisons and signs; words and comments are left alone', () => {
    const source = "// 5 > 4\nconst far = 10; // feet\nif (a < far && b) say('7 < 8');\n";
    expect(mutantsOf(source).map(({ line, change }) => `${line} ${change}`)).toEqual([
      '2 10 -> 12.5',
      '2 10 -> 8',
      '3 < -> <=',
      '3 && -> ||',
    ]);
  });

  it('are drawn the same every time, in their order', () => {
    const all = mutantsOf('const a = [10, 20, 30, 40, 50];');
    const some = drawn(all, 4);
    expect(some).toHaveLength(4);
    expect(drawn(all, 4)).toEqual(some);
    expect([...some].sort((a, b) => a.from - b.from)).toEqual(some);
    expect(drawn(all, 99)).toEqual(all);
  });
});
