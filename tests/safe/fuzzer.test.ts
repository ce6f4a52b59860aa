/** The fuzzer is led by what has run: it finds a fault that chance alone does not, in a target as it is really run. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { seeded } from '../../shared/core/random.ts';
import { Coverage } from '../fuzz/coverage.ts';
import { type Hunted, hunt } from '../fuzz/hunt.ts';
import { instrumented } from '../fuzz/instrument.ts';
import { type Loaded, loaded } from '../fuzz/script.ts';

const most = 200_000;

const hunted = ({ target, counts, tokens }: Loaded, seed: number, guided: boolean): Promise<Hunted> =>
  hunt({
    fuzz: target.fuzz,
    known: target.seeds,
    tokens,
    coverage: guided ? new Coverage(counts) : null,
    wanted: most,
    random: seeded(seed),
    clock: () => 0,
  });

test('a planted fault behind three conditions is found when led by what has run, and not without', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'fuzzer-'));
  const planted = await loaded('planted', folder);
  rmSync(folder, { recursive: true });
  for (const seed of [1, 2, 3]) {
    const { broken, done } = await hunted(planted, seed, true);
    expect(String(broken?.cause)).toBe('Error: planted');
    const [first, second, third] = broken!.input;
    expect([first, second, third]).toEqual([13, 197, 103]);
    expect(done).toBeLessThan(most / 2);
  }
  const blind = await hunted(planted, 1, false);
  expect(blind).toMatchObject({ done: most, broken: null, news: 0 });
}, 240_000);

test('an input that hangs is a fault, by its processor time and not by a slow clock', async () => {
  let now = 0;
  const on = { known: [Uint8Array.of(1)], tokens: [], coverage: null, wanted: 10, random: seeded(1) };
  const slowClock = await hunt({ ...on, fuzz: () => {}, clock: () => (now += 60_000) });
  expect(slowClock).toMatchObject({ done: 10, broken: null });
});

test('a script with counters does what it did, and counts each block that ran', () => {
  const source = `"use strict";
    function kind(n) { if (n > 9) return 'many'; else if (n < 0) throw new Error('less'); switch (n) { case 0: return 'none'; default: return n === 1 ? 'one' : 'some' } }
    const all = []; for (const n of [0, 1, 2, 12]) all.push(kind(n));
    try { kind(-1) } catch { all.push('caught') }
    const or = (a, b) => a || b;
    globalThis.instrumentedTest = [...all, or('', 'b'), typeof this];`;
  const { code, blocks, texts, numbers } = instrumented(source, 'instrumentedCounts');
  const counts = new Uint8Array(blocks);
  Reflect.set(globalThis, 'instrumentedCounts', counts);
  new Function(code)();
  expect(Reflect.get(globalThis, 'instrumentedTest')).toEqual([
    ...['none', 'one', 'some', 'many', 'caught', 'b', 'undefined'],
  ]);
  // The function, many, not many, less, none, the other case, one, some; the loop, the catch, the arrow, its second half.
  expect([...counts]).toEqual([5, 1, 4, 1, 1, 2, 1, 1, 4, 1, 1, 1]);
  expect(numbers).toEqual([9, 0, 1]);
  expect(texts).toContain('caught');
});
