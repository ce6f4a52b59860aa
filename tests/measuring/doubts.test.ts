/** Doubts: what cannot be, what does not fit, and what was most likely meant. Stories, then each check alone. */
import { describe, expect, it, test } from 'vitest';
import { misheard } from '../../shared/core/misheard-numbers.ts';
import { HeightCurve } from '../../shared/measuring/doubt/curve.ts';
import { askFrom, type DoubtContext, doubtsOf } from '../../shared/measuring/doubt/index.ts';
import { inWords } from '../../shared/measuring/doubt/wording.ts';
import { measure } from '../../shared/measuring/height/measure.ts';
import type { HeightSettings } from '../../shared/measuring/height/types.ts';
import type { Doubt } from '../../shared/note/acts.ts';
import { type Measurement, type Note, type NoteMeaning, noteSchema } from '../../shared/note/note.ts';
import { settingsWith } from './settings.ts';

const settings = settingsWith({ feet: 5.3, sdFeet: 0.1 }, { feet: 5.5, sdFeet: 0.15 });
const oak = 833;

interface Case {
  readonly settings?: Partial<HeightSettings>;
  readonly species?: number | null;
  readonly diameterIn?: number | null;
  readonly curve?: HeightCurve;
  readonly others?: readonly NoteMeaning[];
  readonly note?: Note;
  readonly marks?: readonly string[];
  readonly status?: 'live' | 'dead';
  readonly before?: NonNullable<DoubtContext['before']>;
}

function contextOf(c: Case): DoubtContext {
  const known = c.species !== undefined || c.diameterIn !== undefined || c.marks !== undefined;
  return {
    settings: { ...settings, ...c.settings },
    curve: c.curve ?? new HeightCurve(),
    others: c.others ?? [],
    ...(c.before ? { before: c.before } : {}),
    tree: known
      ? {
          species: c.species ?? null,
          diameterIn: c.diameterIn ?? null,
          heightFt: null,
          marks: c.marks ?? [],
          status: c.status ?? 'live',
        }
      : null,
  };
}

function ofHeight(measurement: Measurement, c: Case = {}): readonly Doubt[] {
  const context = contextOf(c);
  const height = measure(measurement, context.settings);
  if (!height.ok) throw new Error(JSON.stringify(height.error));
  const note = c.note ?? { kind: 'height', height: measurement };
  return doubtsOf({ kind: 'height', note, measurement, height: height.value }, context);
}

function ofTree(
  facts: Extract<Note, { kind: 'tree' }>['facts'],
  diameterIn: number,
  c: Case = {},
): readonly Doubt[] {
  const species = typeof facts.species === 'number' ? facts.species : null;
  return doubtsOf({ kind: 'tree', note: { kind: 'tree', facts }, diameterIn, species }, contextOf(c));
}

const paces = (count: number): Measurement => ({ method: 'stick', distance: { by: 'paces', count } });
const reading = (value: number): Measurement => ({ method: 'reading', takes: [{ value }] });
const asks = (doubts: readonly Doubt[]): boolean => doubts.some(({ strength }) => strength >= askFrom);

/** Twenty red oaks of 9 to 20 in, 55 to 78 ft, made up; scatter 6 percent. */
const wood = (): HeightCurve => {
  const curve = new HeightCurve();
  for (let i = 0; i < 20; i++) {
    const diameterIn = 9 + 0.58 * i;
    const stray = 1 + 0.06 * Math.sin(7.3 * i);
    curve.observe({
      species: oak,
      diameterIn,
      heightFt: (40 + 36 * (1 - Math.exp(-(diameterIn - 5) / 7))) * stray,
    });
  }
  return curve;
};

describe('stories', () => {
  it('asks whether eighty paces were eight, with no tree before it', () => {
    const [doubt] = ofHeight({ ...paces(80), eye: { value: 5.5 } } as Measurement, {
      settings: { eye: null },
    });
    expect(doubt!.strength).toBe(1);
    expect(doubt!.sentence).toBe('Eighty paces gives 430 feet. Did you mean eight? That gives 48.');
    // 8 x 5.3 + 5.5, by hand.
    expect(doubt!.slips[0]!.feet).toBeCloseTo(47.9, 6);
    expect(doubt!.slips[0]!.note).toEqual({
      kind: 'height',
      height: { method: 'stick', distance: { by: 'paces', count: 8 }, eye: { value: 5.5 } },
    });
  });

  it('asks whether thirty paces at a sixteen inch red oak were thirteen', () => {
    const mine = { pace: { feet: 5.23, sdFeet: 0.1 }, eye: { feet: 5 + 4 / 12, sdFeet: 0.1 } };
    const [doubt] = ofHeight(paces(30), { settings: mine, species: oak, diameterIn: 16.2 });
    expect(doubt!.strength).toBeGreaterThanOrEqual(askFrom);
    expect(doubt!.slips[0]!.slip).toBe('teenTy');
    // 13 x 5.23 + 5.33, by hand.
    expect(doubt!.slips[0]!.feet).toBeCloseTo(73.32, 1);
    expect(doubt!.sentence).toBe(
      'Thirty paces gives 162 feet, too tall for a 16 inch northern red oak. Did you mean thirteen? That gives 73.',
    );
    expect(asks(ofHeight(paces(13), { settings: mine, species: oak, diameterIn: 16.2 }))).toBe(false);
  });

  it('lets a sound note pass: eight paces, eye five and a half', () => {
    expect(ofHeight(paces(8))).toEqual([]);
  });

  it('weighs what else the recogniser heard', () => {
    const note = (count: number): Note => ({ kind: 'height', height: paces(count) });
    const others = [{ note: note(15), words: 'fifteen paces', posterior: 0.3 }];
    const plain = ofHeight(paces(50), { species: oak, diameterIn: 16, curve: wood() });
    const heard = ofHeight(paces(50), { species: oak, diameterIn: 16, curve: wood(), others });
    expect(heard[0]!.slips[0]!.note).toEqual(note(15));
    expect(heard[0]!.strength).toBeGreaterThanOrEqual(plain[0]!.strength);
    // Even where the height alone raises no doubt, a likelier other meaning is asked about.
    const close = [{ note: note(12), words: 'twelve paces', posterior: 0.45 }];
    expect(asks(ofHeight(paces(17), { species: oak, diameterIn: 14, curve: wood(), others: close }))).toBe(
      true,
    );
  });

  it('offers only notes that the book can take', () => {
    const cases = [
      ofHeight(paces(80), { species: oak, diameterIn: 16 }),
      ofHeight(reading(250), { species: oak, diameterIn: 16, curve: wood() }),
      ofTree({ species: oak, diameter: { value: 162 } }, 162),
    ];
    for (const doubts of cases) {
      for (const { slips } of doubts)
        for (const { note } of slips) expect(noteSchema.safeParse(note).success).toBe(true);
      expect(doubts.length).toBeGreaterThan(0);
    }
  });

  it('keeps the posteriors of its slips in order and within one', () => {
    const [doubt] = ofHeight(paces(40), { species: oak, diameterIn: 16, curve: wood() });
    const posteriors = doubt!.slips.map(({ posterior }) => posterior);
    expect([...posteriors].sort((a, b) => b - a)).toEqual(posteriors);
    expect(posteriors.reduce((sum, p) => sum + p, 0)).toBeLessThanOrEqual(1);
  });
});

/** A true note and the same note with one slip; both in the made-up wood, tree of 14 in and about 66 ft. */
const slips: [slip: string, said: Measurement, meant: Partial<Measurement>, c?: Case][] = [
  ['stepsForPaces', paces(23), { distance: { by: 'steps', count: 23 } } as Partial<Measurement>],
  [
    'pacesForSteps',
    { method: 'stick', distance: { by: 'steps', count: 11.5 } },
    { distance: { by: 'paces', count: 11.5 } } as Partial<Measurement>,
  ],
  ['teenTy', paces(60), { distance: { by: 'paces', count: 16 } } as Partial<Measurement>, { diameterIn: 20 }],
  ['tenfold', paces(110), { distance: { by: 'paces', count: 11 } } as Partial<Measurement>, {}],
  ['digit', paces(91), { distance: { by: 'paces', count: 11 } } as Partial<Measurement>],
  [
    'swapped',
    paces(31),
    { distance: { by: 'paces', count: 13 } } as Partial<Measurement>,
    { diameterIn: 18 },
  ],
  ['metresForFeet', reading(20), { takes: [{ value: 20, unit: 'm' }] } as Partial<Measurement>],
  [
    'feetForMetres',
    { method: 'reading', takes: [{ value: 66, unit: 'm' }] },
    { takes: [{ value: 66, unit: 'ft' }] } as Partial<Measurement>,
  ],
  [
    'percentForDegrees',
    { method: 'angles', scale: 'deg', top: 78, distance: { by: 'length', length: { value: 78 } } },
    { scale: 'pct' } as Partial<Measurement>,
  ],
  [
    'degreesForPercent',
    { method: 'angles', scale: 'pct', top: 42, distance: { by: 'length', length: { value: 67 } } },
    { scale: 'deg' } as Partial<Measurement>,
  ],
  [
    'baseSign',
    {
      method: 'angles',
      scale: 'pct',
      top: 48,
      base: { by: 'angle', angle: { value: 32 } },
      distance: { by: 'length', length: { value: 82 } },
    },
    { base: { by: 'angle', angle: { value: -32 } } } as Partial<Measurement>,
  ],
];

describe('slips of a height', () => {
  test.each(slips)('%s is found and can be taken back', (slip, said, meant, c = {}) => {
    const [doubt] = ofHeight(said, { species: oak, diameterIn: 14, curve: wood(), ...c });
    expect(doubt!.strength).toBeGreaterThanOrEqual(askFrom);
    const place = doubt!.slips.findIndex((found) => found.slip === slip);
    expect(place, JSON.stringify(doubt!.slips)).toBeGreaterThanOrEqual(0);
    expect(place).toBeLessThan(2);
    const note = doubt!.slips[place]!.note;
    expect(note).toEqual({ kind: 'height', height: { ...said, ...meant } });
  });

  it('offers the spanning stick where the eye height was added, and the other way, though neither is large enough to ask', () => {
    const curve = new HeightCurve();
    for (let i = 0; i < 40; i++) curve.observe({ species: oak, diameterIn: 8 + 0.01 * i, heightFt: 20 });
    const added = ofHeight(
      { method: 'stick', distance: { by: 'length', length: { value: 20 } } },
      { species: oak, diameterIn: 8.2, curve },
    );
    expect(added[0]!.slips.map(({ slip }) => slip)).toContain('spannedEyeAdded');
    const left = ofHeight(
      { method: 'spans', distance: { by: 'length', length: { value: 14 } } },
      { species: oak, diameterIn: 8.2, curve },
    );
    expect(left[0]!.slips.map(({ slip }) => slip)).toContain('eyeForgotten');
  });
});

describe('slips of a diameter', () => {
  test.each([
    ['girthForDiameter', { value: 44 }, 44, { value: 44, girth: true }],
    ['centimetresForInches', { value: 38 }, 38, { value: 38, unit: 'cm' }],
    ['inchesForCentimetres', { value: 14, unit: 'cm' }, 14 / 2.54, { value: 14, unit: 'in' }],
    ['diameterForGirth', { value: 14, girth: true }, 14 / Math.PI, { value: 14 }],
    ['tenfold', { value: 140 }, 140, { value: 14 }],
  ] as const)('%s is found beside a sound height', (slip, said, diameterIn, meant) => {
    const note: Note = { kind: 'tree', facts: { species: oak, diameter: { ...said } }, height: reading(67) };
    const [doubt] = ofHeight(reading(67), { species: oak, diameterIn, curve: wood(), note });
    expect(doubt!.strength).toBeGreaterThanOrEqual(askFrom);
    const place = doubt!.slips.findIndex((found) => found.slip === slip);
    expect(place, JSON.stringify(doubt!.slips)).toBeGreaterThanOrEqual(0);
    expect(place).toBeLessThan(2);
    expect(doubt!.slips[place]!.feet).toBeNull();
    expect(doubt!.slips[place]!.note).toEqual({ ...note, facts: { species: oak, diameter: meant } });
  });

  it('changes the diameter of the tree in hand where an earlier breath gave it', () => {
    const [doubt] = ofHeight(reading(67), { species: oak, diameterIn: 44, curve: wood() });
    const girth = doubt!.slips.find(({ slip }) => slip === 'girthForDiameter');
    expect(girth!.note).toEqual({
      kind: 'change',
      facts: { diameter: { value: 44, unit: 'in', girth: true } },
    });
  });

  it('asks about a diameter alone that is far from the trees of the stand', () => {
    const [doubt] = ofTree({ species: oak, diameter: { value: 44 } }, 44, { curve: wood() });
    expect(doubt!.code).toBe('diameter');
    expect(doubt!.strength).toBeGreaterThanOrEqual(askFrom);
    expect(doubt!.slips.slice(0, 2).map(({ slip }) => slip)).toContain('girthForDiameter');
    expect(ofTree({ species: oak, diameter: { value: 15 } }, 15, { curve: wood() })).toEqual([]);
  });
});

describe('fixed limits', () => {
  it('calls 381 feet taller than any tree (record 379.5 ft, coast redwood, 115.7 m)', () => {
    expect(ofHeight(reading(381), { species: 211, diameterIn: 200 })[0]).toMatchObject({
      code: 'record',
      strength: 1,
    });
    expect(
      ofHeight(reading(370), { species: 211, diameterIn: 200 }).some(({ code }) => code === 'record'),
    ).toBe(false);
  });

  it('calls a Douglas-fir of 340 feet taller than any known (record 326 ft)', () => {
    expect(ofHeight(reading(340), { species: 202, diameterIn: 90 })[0]!.code).toBe('speciesRecord');
  });

  it('warns of a red oak half again above its usual 70 to 90 feet, and asks far above', () => {
    const tall = ofHeight(reading(125), { species: oak, diameterIn: 40 });
    expect(tall.map(({ code }) => code)).toContain('tallForSpecies');
    expect(asks(tall)).toBe(false);
    expect(asks(ofHeight(reading(180), { species: oak, diameterIn: 40 }))).toBe(true);
  });

  it('calls a height below breast height impossible for a tree with a diameter there', () => {
    expect(asks(ofHeight(reading(4), { species: oak, diameterIn: 6 }))).toBe(true);
    expect(ofHeight(reading(4)).map(({ code }) => code)).not.toContain('belowBreastHeight');
  });

  it('warns of slenderness, but never of a sapling', () => {
    const codes = (heightFt: number, diameterIn: number) =>
      ofHeight(reading(heightFt), { diameterIn, species: 131 }).map(({ code }) => code);
    // 31 felled black cherries reach 101 (R data set `trees`): no word below 120.
    expect(codes(70, 8)).not.toContain('slender');
    expect(ofHeight(reading(62), { diameterIn: 5, species: 131 })[0]!.strength).toBeLessThan(askFrom);
    expect(codes(62, 5).length).toBeGreaterThan(0);
    expect(codes(12, 0.9)).toEqual([]);
  });

  it('names the take that stands apart and was left out, and offers to strike it', () => {
    const takes = ofHeight(
      {
        method: 'reading',
        device: 'laser',
        takes: [{ value: 92 }, { value: 93 }, { value: 91 }, { value: 47 }],
      },
      { species: 202, diameterIn: 14 },
    );
    const doubt = takes.find(({ code }) => code === 'takes');
    expect(doubt!.sentence).toBe('47 stands apart from the other takes and is left out.');
    expect(doubt!.slips[0]).toMatchObject({ slip: 'strayTake' });
  });

  it('warns of a sight steeper than sixty degrees and of standing near', () => {
    const at = (top: number, distance: number): Measurement => ({
      method: 'angles',
      scale: 'deg',
      top,
      distance: { by: 'length', length: { value: distance } },
    });
    expect(ofHeight(at(65, 30)).map(({ code }) => code)).toContain('steep');
    expect(ofHeight(at(58, 40)).map(({ code }) => code)).toContain('near');
    expect(ofHeight(at(42, 66))).toEqual([]);
  });

  it('notices the same tree measured twice', () => {
    const before = { number: 4, species: oak, diameterIn: 14, heightFt: 66 };
    expect(ofHeight(reading(66), { species: oak, diameterIn: 14, curve: wood(), before })).toMatchObject([
      { code: 'repeated', sentence: 'The same as tree 4. Is it the same tree?' },
    ]);
    expect(ofHeight(reading(64), { species: oak, diameterIn: 14, curve: wood(), before })).toEqual([]);
  });

  it('says once in a while that a whole stand is twice as tall as usual', () => {
    const doubled = (n: number) => {
      const curve = new HeightCurve();
      for (let i = 0; i < n; i++)
        curve.observe({ species: oak, diameterIn: 11 + 0.3 * i, heightFt: 2 * (60 + 0.8 * i) });
      return ofHeight(reading(124), { species: oak, diameterIn: 12, curve }).map(({ code }) => code);
    };
    expect(doubled(6)).toContain('wholeStand');
    expect(doubled(7)).not.toContain('wholeStand');
    expect(doubled(12)).toContain('wholeStand');
    const curve = new HeightCurve();
    for (let i = 0; i < 6; i++) curve.observe({ species: oak, diameterIn: 11 + 0.3 * i, heightFt: 62 + i });
    expect(ofHeight(reading(64), { species: oak, diameterIn: 12, curve })).toEqual([]);
  });

  it('leaves a broken top alone, and a short dead tree', () => {
    const short: Case = { species: oak, diameterIn: 18, curve: wood() };
    expect(asks(ofHeight(reading(25), short))).toBe(true);
    expect(asks(ofHeight(reading(25), { ...short, marks: ['broken top'] }))).toBe(false);
    expect(asks(ofHeight(reading(25), { ...short, status: 'dead' }))).toBe(false);
    expect(asks(ofHeight(reading(200), { ...short, status: 'dead' }))).toBe(true);
  });
});

describe('numbers gone wrong', () => {
  it('knows the ways of eighty', () => {
    const found = new Map(misheard(80).map(({ slip, value }) => [value, slip]));
    expect(found.get(8)).toBe('tenfold');
    expect(found.get(18)).toBe('teenTy');
    expect(found.get(30)).toBe('digit');
    expect(found.has(80)).toBe(false);
  });

  it('gives shares of at most one to each way, and positive numbers only', () => {
    for (let value = 0.5; value < 200; value += 0.5) {
      const shares: Record<string, number> = {};
      for (const { slip, value: to, share } of misheard(value)) {
        expect(to).toBeGreaterThan(0);
        shares[slip] = (shares[slip] ?? 0) + share;
      }
      for (const share of Object.values(shares)) expect(share).toBeLessThanOrEqual(1 + 1e-9);
    }
    expect(misheard(0)).toEqual([]);
    expect(misheard(Number.NaN)).toEqual([]);
  });

  it('words small counts as people say them', () => {
    expect([8, 8.5, 13, 42, 90, 0.5, 16.2, 130].map(inWords)).toEqual([
      'eight',
      'eight and a half',
      'thirteen',
      'forty two',
      'ninety',
      '0.5',
      '16.2',
      '130',
    ]);
  });
});

describe('in metres', () => {
  it('speaks of metres and centimetres', () => {
    const [doubt] = ofHeight(reading(80), { settings: { units: 'metres' }, species: oak, diameterIn: 16 });
    expect(doubt!.sentence).toContain('80.0 metres');
    const feet = doubt!.slips.slice(0, 2).find(({ slip }) => slip === 'feetForMetres');
    expect(feet!.feet).toBeCloseTo(80, 6);
  });
});
