/** What follows from a table, and what does not compile without its row: `tsc` fails where an expected error is not one. */
import { describe, expect, it } from 'vitest';
import { grammar } from '../../grammar/description/grammar.ts';
import type { settingRow } from '../../shared/book/settings.ts';
import { SettingsLine } from '../../shared/book/settings-line.ts';
import { columnsOf, keysOf, keysWhere } from '../../shared/core/tables.ts';
import { angleUnits, areaUnits, lengthUnits, unitTable } from '../../shared/core/units.ts';
import { heightMethodKeys, type WithUnits } from '../../shared/measuring/height/methods.ts';
import { deviceId } from '../../shared/note/journal.ts';
import { type LogRuleRow, logRuleKeys } from '../../shared/note/log-rules.ts';
import { type Distance, type Measurement, noteSchema } from '../../shared/note/note.ts';
import { settingNames } from '../../shared/note/settings.ts';
import { columnCount, sumColumns } from '../../shared/totals/cells.ts';

describe('a table', () => {
  it('gives its members in the order of its rows, and those that fit', () => {
    const table = { b: 1, a: 2 };
    expect(keysOf(table)).toEqual(['b', 'a']);
    expect(keysWhere(table, (key): key is 'a' => table[key] > 1)).toEqual(['a']);
    expect(() => keysOf({})).toThrow();
    expect(() => keysWhere(table, (key): key is 'a' => table[key] > 2)).toThrow();
  });

  it('of columns refuses a name that stands twice, whose sums would be one', () => {
    expect(columnsOf(['n', 'w'])).toEqual({ n: 0, w: 1 });
    expect(() => columnsOf(['n', 'w', 'n'])).toThrow(/n stands twice/);
  });
});

describe('what follows from the tables', () => {
  it('every log rule has its column in the sums, each column its own place', () => {
    const places = Object.values(sumColumns);
    expect([...places].sort((a, b) => a - b)).toEqual(Array.from({ length: columnCount }, (_, i) => i));
    for (const rule of logRuleKeys) expect(sumColumns[rule]).toBeGreaterThan(0);
  });

  it('every log rule can be set and asked by', () => {
    for (const rule of logRuleKeys) {
      expect(noteSchema.safeParse({ kind: 'setting', set: { what: 'logRule', rule } }).success).toBe(true);
      expect(noteSchema.safeParse({ kind: 'ask', about: 'volume', rule }).success).toBe(true);
    }
    expect(noteSchema.safeParse({ kind: 'ask', about: 'volume', rule: 'none' }).success).toBe(false);
  });

  it('every height method has a phrase with an example', () => {
    const said = grammar.rules.flatMap(({ examples }) =>
      (examples ?? []).flatMap(({ note }) => (note.kind === 'height' ? note.height.method : [])),
    );
    expect([...new Set(said)].sort()).toEqual([...heightMethodKeys].sort());
  });

  it('every setting that is said has a phrase with an example, and is kept under its own name', () => {
    const said = grammar.rules.flatMap(({ examples }) =>
      (examples ?? []).flatMap(({ note }) => (note.kind === 'setting' ? note.set.what : [])),
    );
    const kept = new Set<string>(settingNames);
    expect([...new Set(said)].filter((what) => !kept.has(what))).toEqual([]);
    // Some are no settings as notes: said of plots, the answer to a question, and what the commands of listening set.
    expect([...kept].filter((what) => !said.some((one) => one === what))).toEqual([
      'plotSize',
      'planned',
      'leastDiameter',
      'nickname',
      'voice',
    ]);
  });

  it('every unit is of one kind', () => {
    expect([...lengthUnits, ...angleUnits, ...areaUnits].sort()).toEqual(Object.keys(unitTable).sort());
  });
});

describe('does not compile', () => {
  it('a log rule without its formula, or without its source', () => {
    const rules = {
      // @ts-expect-error: no formula, so its board feet would be 0
      unscaled: { name: 'Unscaled', regression: null, source: 'none' },
      // @ts-expect-error: no source to answer "why" with
      unsourced: { name: 'Unsourced', regression: null, log: () => 1 },
    } satisfies Record<string, LogRuleRow>;
    expect(Object.keys(rules)).toHaveLength(2);
  });

  it('a setting without its words or its value in the book', () => {
    type Row = ReturnType<typeof settingRow>;
    const rows = {
      // @ts-expect-error: nothing says how it is named when it is taken back
      unnamed: { after: (settings) => settings, told: () => '', changesHeights: false },
      // @ts-expect-error: nothing says what it changes
      idle: { named: () => '', told: () => '', changesHeights: false },
      // @ts-expect-error: nothing says whether heights hang on it
      unweighed: { after: (settings) => settings, named: () => '', told: () => '' },
    } satisfies Record<string, Row>;
    expect(Object.keys(rows)).toHaveLength(3);
  });

  it('the id of an entry in the place of a device, which stands beside it in many calls', () => {
    const line = new SettingsLine();
    const device = deviceId('d-one');
    // @ts-expect-error: the two are the wrong way round
    line.add(device, 'e-one', { what: 'eye', feet: 5.5 });
    line.add('e-one', device, { what: 'eye', feet: 5.4 });
    expect(line.of(device).eye?.feet).toBe(5.4);
    expect(() => deviceId('')).toThrow();
  });

  it('a measurement kept with a length that has lost its unit', () => {
    const bare: Distance = { by: 'length', length: { value: 70 } };
    // @ts-expect-error: the length of the distance has no unit
    const kept: WithUnits<Measurement> = { method: 'laid', distance: bare };
    const named: WithUnits<Measurement> = {
      method: 'laid',
      distance: { by: 'length', length: { value: 70, unit: 'ft' } },
    };
    expect(kept).not.toEqual(named);
  });
});
