/**
 * The rules by which a doubt is asked, told or left alone, each held from both sides on sweeps of heights and diameters. The
 * numbers are the program's own choices (`npm run bench -- doubts`), so they are written out here once more: none can move
 * unseen. What the belief itself is, is held against open tree data there.
 */
import { describe, expect, it } from 'vitest';
import { believedFor } from '../../shared/measuring/doubt/costs.ts';
import { HeightCurve } from '../../shared/measuring/doubt/curve.ts';
import { beliefIn, type DoubtContext, type Subject } from '../../shared/measuring/doubt/doubts.ts';
import { doubtsOf } from '../../shared/measuring/doubt/index.ts';
import { measure } from '../../shared/measuring/height/index.ts';
import type { HeightSettings } from '../../shared/measuring/height/types.ts';
import type { Measurement, NoteOf } from '../../shared/note/note.ts';
import { settings } from './settings.ts';

const oak = 833;

/** Forty red oaks of 10 to 19 inches that scatter so much (sd of the logarithm). */
function standOf(scatter: number, trees = 40): HeightCurve {
  const curve = new HeightCurve();
  for (let i = 0; i < trees; i++) {
    // Scattered by a sine that has the wanted root mean square.
    const above = (56 + (i % 10)) * Math.exp(Math.SQRT2 * scatter * Math.sin(7 * i + 1));
    curve.observe({ species: oak, diameterIn: 10 + (i % 10), heightFt: 4.5 + above });
  }
  return curve;
}

const read = (feet: number): Measurement => ({
  method: 'reading',
  device: 'tape',
  takes: [{ value: feet, unit: 'ft' }],
});

function subjectOf(measurement: Measurement, using = settings): Extract<Subject, { kind: 'height' }> {
  const height = measure(measurement, using);
  if (!height.ok) throw new Error(JSON.stringify(height.error));
  return { kind: 'height', note: { kind: 'height', height: measurement }, measurement, height: height.value };
}

const treeOf = (diameterIn: number | null, more: Partial<NonNullable<DoubtContext['tree']>> = {}) => ({
  species: oak,
  diameterIn,
  heightFt: null,
  marks: [],
  status: 'live' as const,
  ...more,
});

const contextOf = (curve: HeightCurve, tree: DoubtContext['tree']): DoubtContext => ({
  settings,
  curve,
  others: [],
  tree,
});

/** Every tenth foot and the whole of the doubts about it. */
function* sweep(curve: HeightCurve, diameterIn: number, from = 20, to = 130, step = 0.1) {
  const context = contextOf(curve, treeOf(diameterIn));
  for (let feet = from; feet < to; feet += step) {
    const subject = subjectOf(read(feet));
    const [first] = doubtsOf(subject, context);
    yield { feet, first, belief: beliefIn(subject, context)!, height: subject.height };
  }
}

/** Stems and paces as they are said. */
function* pacedSweep(curve: HeightCurve) {
  for (const diameterIn of [8, 17, 22])
    for (let count = 3; count < 60; count += 0.5) {
      const context = contextOf(curve, treeOf(diameterIn));
      const subject = subjectOf({ method: 'stick', distance: { by: 'paces', count } });
      const first = doubtsOf(subject, context).find(({ code }) => code !== 'wholeStand');
      yield { first, belief: beliefIn(subject, context)! };
    }
}

const believedFrom = (curve: HeightCurve, diameterIn: number): number => {
  const scatter = 0.75 * curve.scatter(diameterIn) + 0.25 * curve.predict(oak, diameterIn).sdLog;
  return Math.max(0.82, 0.94 - 0.5 * Math.max(0, scatter - 0.12));
};

describe('a height is asked about', () => {
  it('as strongly as its belief and its distance from the curve say, in even and in uneven stands', () => {
    let [asked, told] = [0, 0];
    for (const [scatter, inches] of [
      [0.04, 14],
      [0.15, 14],
      [0.24, 14],
      [0.4, 14],
    ] as const) {
      const curve = standOf(scatter);
      const from = believedFrom(curve, inches);
      for (const { feet, first, belief, height } of sweep(curve, inches, 20, 102, 0.7)) {
        // Limits stand apart: an oak of 14 inches passes none below 102 feet, 1.3 times its usual height.
        const part = height.sdFeet / height.feet;
        const extra = Math.sqrt(Math.max(0, part ** 2 - 0.06 ** 2));
        const stray = Math.abs(curve.stray(oak, inches, feet, extra));
        const byStray = stray < 2.8 ? 0 : 0.5 + 0.48 * (1 - 2.8 / stray);
        const byBelief =
          belief.asSaid < from
            ? 0.5 + 0.48 * (1 - belief.asSaid / from)
            : (0.4995 * (1 - belief.asSaid)) / (1 - from);
        const strength = Math.max(byStray, byBelief);
        if (strength < 0.2) expect(first, `${feet} feet`).toBeUndefined();
        else {
          expect(first?.strength, `${feet} feet`).toBeCloseTo(strength, 9);
          if (strength >= 0.5) asked++;
          else told++;
          // Only a question has a cause in it, or asks for another measurement.
          expect(/\?/.test(first!.sentence)).toBe(strength >= 0.5);
        }
      }
    }
    expect(asked).toBeGreaterThan(50);
    expect(told).toBeGreaterThan(2);
  });

  it('below a belief of 0.82 at least, however much the trees scatter', () => {
    const curve = new HeightCurve();
    for (let i = 0; i < 40; i++) {
      const heightFt = 4.5 + 20 * Math.exp(0.7 * Math.sin(7 * i + 1));
      curve.observe({ species: oak, diameterIn: 2 + (i % 10) / 4, heightFt });
    }
    const inches = 3;
    expect(0.75 * curve.scatter(inches) + 0.25 * curve.predict(oak, inches).sdLog).toBeGreaterThan(0.37);
    const feet = Math.round(curve.predict(oak, inches).feet);
    let [below, above] = [0, 0];
    // The ear heard another height with more and more of the sound, so the belief in this one falls by small steps.
    for (let posterior = 0.01; posterior < 0.5; posterior += 0.005) {
      const note = { kind: 'height', height: read(feet + 1) } as const;
      const others = [{ note, words: 'another', posterior }];
      const context = { ...contextOf(curve, treeOf(inches)), others };
      const subject = subjectOf(read(feet));
      const { asSaid } = beliefIn(subject, context)!;
      const isAsked = doubtsOf(subject, context).some(({ strength }) => strength >= 0.5);
      expect(isAsked, `believed ${asSaid}`).toBe(asSaid < 0.82);
      if (asSaid > 0.8 && asSaid < 0.82) below++;
      if (asSaid > 0.82 && asSaid < 0.85) above++;
    }
    expect(Math.min(below, above)).toBeGreaterThan(0);
  });

  it('with the slips that are worth one in a hundred, five at most, the likeliest first', () => {
    const seen = new Set<number>();
    for (const { first, belief } of pacedSweep(standOf(0.15))) {
      if (first === undefined) continue;
      const worth = belief.causes.filter(({ posterior }) => posterior >= 0.01);
      expect(first.slips.map(({ posterior }) => posterior)).toEqual(
        worth.slice(0, 5).map(({ posterior }) => Math.min(posterior, 1)),
      );
      seen.add(worth.length);
      // A number at the limit itself, so that the limit cannot move by a quarter.
      for (const { posterior } of belief.causes)
        if (posterior > 0.008 && posterior < 0.0125) seen.add(posterior < 0.01 ? -1 : -2);
    }
    for (const n of [1, 2, -1, -2]) expect([...seen]).toContain(n);
    expect(Math.max(...seen)).toBeGreaterThan(4);
  });

  it('with a second cause where that is at least seven tenths as likely as the first', () => {
    let [near, far] = [0, 0];
    for (const { first, belief } of pacedSweep(standOf(0.15))) {
      const [one, two] = belief.causes;
      if (first === undefined || first.strength < 0.5 || one === undefined || two === undefined) continue;
      if (one.posterior < Math.max(0.01, 0.5 * belief.other)) {
        expect(first.sentence).toMatch(/Measure again, or keep it\?$/);
        continue;
      }
      const ratio = two.posterior / one.posterior;
      expect(/ Or /.test(first.sentence), `${first.sentence} ${ratio}`).toBe(ratio >= 0.7);
      if (ratio >= 0.7 && ratio < 0.87) near++;
      if (ratio > 0.57 && ratio < 0.7) far++;
    }
    expect(near).toBeGreaterThan(0);
    expect(far).toBeGreaterThan(0);
  });
});

describe('a diameter before its height', () => {
  it('is asked about below a belief of 0.85', () => {
    const curve = standOf(0.1);
    const context = contextOf(curve, null);
    let [near, asked] = [0, 0];
    for (let inches = 4; inches < 60; inches += 0.5) {
      const diameter = { value: Math.round(10 * inches) / 10 };
      const note: NoteOf<'tree'> = { kind: 'tree', facts: { species: oak, diameter } };
      const subject: Subject = { kind: 'tree', note, diameterIn: diameter.value, species: oak };
      const { asSaid } = beliefIn(subject, context)!;
      const isAsked = doubtsOf(subject, context).some(({ strength }) => strength >= 0.5);
      expect(isAsked, `${inches} inches believed ${asSaid}`).toBe(asSaid < 0.85);
      if (isAsked) asked++;
      if (asSaid > 0.7 && asSaid < 0.94) near++;
    }
    expect(asked).toBeGreaterThan(10);
    expect(near).toBeGreaterThan(10);
  });
});

describe('a height with nothing beside it', () => {
  it('is asked about below a belief of 0.85 as long as the stand has taught nothing, and as any other after that', () => {
    const tree = treeOf(null, { species: null });
    let near = 0;
    for (const trees of [0, 1, 8]) {
      const curve = standOf(0.15, trees);
      const context = contextOf(curve, tree);
      for (let count = 2; count < 60; count += 0.5) {
        const subject = subjectOf({ method: 'stick', distance: { by: 'paces', count } });
        const { asSaid } = beliefIn(subject, context)!;
        const middleIn = curve.diameters.middleIn;
        const scatter = 0.75 * curve.scatter(middleIn) + 0.25 * curve.predict(null, middleIn).sdLog;
        const from = trees === 0 ? 0.85 : Math.max(0.82, 0.94 - 0.5 * Math.max(0, scatter - 0.12));
        const isAsked = doubtsOf(subject, context).some(
          ({ code, strength }) => code === 'misfit' && strength >= 0.5,
        );
        expect(isAsked, `${trees} trees, ${count} paces, believed ${asSaid}`).toBe(asSaid < from);
        if (Math.abs(asSaid - from) < 0.1) near++;
      }
    }
    expect(near).toBeGreaterThan(3);
  });
});

describe('a take apart from the others', () => {
  it('is offered to be left out, and that alone', () => {
    const measurement: Measurement = {
      method: 'reading',
      device: 'laser',
      takes: [50, 55, 120, 52].map((value) => ({ value, unit: 'ft' })),
    };
    const found = doubtsOf(subjectOf(measurement), contextOf(standOf(0.15), treeOf(14)));
    const { slips, sentence } = found.find(({ code }) => code === 'takes')!;
    expect(sentence).toBe('120 stands apart from the other takes and is left out.');
    expect(slips.map(({ slip }) => slip)).toEqual(['strayTake']);
    expect(slips[0]!.note).toMatchObject({
      height: { takes: [{ value: 50 }, { value: 55 }, { value: 52 }] },
    });
  });
});

describe('a tree that may be broken', () => {
  const curve = standOf(0.1);
  const strengthOf = (tree: DoubtContext['tree'], feet: number): number =>
    doubtsOf(subjectOf(read(feet)), contextOf(curve, tree)).find(({ code }) => code === 'misfit')?.strength ??
    0;

  it('is not judged by the curve where its top is said to be broken, or where it is dead and shorter than expected', () => {
    expect(strengthOf(treeOf(14), 25)).toBeGreaterThan(0.5);
    expect(strengthOf(treeOf(14, { marks: ['broken top'] }), 25)).toBe(0);
    expect(strengthOf(treeOf(14, { marks: ['broken top'] }), 100)).toBe(0);
    expect(strengthOf(treeOf(14, { status: 'dead' }), 25)).toBe(0);
    expect(strengthOf(treeOf(14, { status: 'dead' }), 100)).toBeGreaterThan(0.5);
    expect(strengthOf(treeOf(14, { status: 'cull' }), 25)).toBeGreaterThan(0.5);
  });
});

describe('the same tree twice', () => {
  const curve = standOf(0.1);
  const told = (before: DoubtContext['before'], diameterIn = 14, feet = 66) =>
    doubtsOf(subjectOf(read(feet)), { ...contextOf(curve, treeOf(diameterIn)), before: before ?? null }).find(
      ({ code }) => code === 'repeated',
    );
  const before = { number: 7, species: oak, diameterIn: 14, heightFt: 66 };

  it('is told where species, diameter and height are those of the tree before, to their last digit', () => {
    expect(told(before)).toMatchObject({
      strength: 0.35,
      sentence: 'The same as tree 7. Is it the same tree?',
    });
    expect(told({ ...before, species: 316 })).toBeUndefined();
    expect(told({ ...before, diameterIn: 14.04 })).toBeDefined();
    expect(told({ ...before, diameterIn: 14.06 })).toBeUndefined();
    expect(told({ ...before, heightFt: 66.45 })).toBeDefined();
    expect(told({ ...before, heightFt: 66.55 })).toBeUndefined();
    expect(told({ ...before, heightFt: null })).toBeUndefined();
    expect(told(null)).toBeUndefined();
  });
});

describe('a number carried over from the tree before', () => {
  const curve = standOf(0.1);
  const paced = (count: number): Measurement => ({ method: 'stick', distance: { by: 'paces', count } });
  const sighted = (top: number): Measurement => ({
    method: 'angles',
    scale: 'deg',
    top,
    distance: { by: 'length', length: { value: 66, unit: 'ft' } },
  });
  const doubt = (measurement: Measurement, earlier: Measurement | null, diameterIn = 14) =>
    doubtsOf(subjectOf(measurement), {
      ...contextOf(curve, treeOf(diameterIn)),
      before: { number: 7, species: oak, diameterIn: 18, heightFt: 70, measurement: earlier },
    }).find(({ code }) => code === 'misfit');
  const strength = (...of: Parameters<typeof doubt>): number => doubt(...of)?.strength ?? 0;

  it('is asked about where it would not have been: 15 paces, 85 feet, among oaks of 65', () => {
    expect(strength(paced(14.5), null)).toBeLessThan(0.5);
    expect(strength(paced(14.5), paced(14))).toBe(strength(paced(14.5), null));
    const asked = doubt(paced(14.5), paced(14.5));
    expect(asked!.strength).toBeGreaterThan(0.5);
    expect(asked!.sentence).toContain(', and the same as for tree 7.');
  });

  it('is left alone where it fits', () => {
    expect(doubt(paced(11), paced(11))).toBeUndefined();
  });

  it('tells nothing where only the distance is the same: who sights angles may stand as far from every tree', () => {
    for (const top of [38, 41, 44, 47])
      expect(strength(sighted(top), sighted(top + 1))).toBe(strength(sighted(top), null));
  });

  it('has the belief of its model: half a slip in a thousand times 4.3, as dense as half paces lie', () => {
    const measurement = paced(13.5);
    const context = contextOf(curve, treeOf(14));
    const before = { number: 7, species: oak, diameterIn: 18, heightFt: 70, measurement };
    const alone = beliefIn(subjectOf(measurement), context)!;
    const both = beliefIn(subjectOf(measurement), { ...context, before })!;
    // By hand: 27 half paces, so 27 a unit of ln(height); beside it the density of the height itself.
    const feet = subjectOf(measurement).height.feet;
    const odds = (0.5 * 0.0043 * 27) / Math.exp(curve.logDensity(oak, 14, feet));
    expect(both.other / both.asSaid - alone.other / alone.asSaid).toBeCloseTo(odds, 9);
  });
});

describe('what a mistake and a question cost', () => {
  it('decides from which belief on it is brought up: twelve seconds of two hundred are six in a hundred', () => {
    expect(believedFor('question')).toBeCloseTo(0.94, 12);
    expect(believedFor('early')).toBeCloseTo(0.85, 12);
    expect(believedFor('line')).toBeCloseTo(0.94, 12);
  });
});

describe('a stand as a whole', () => {
  const fresh = (inches: number, times: number): number =>
    times * new HeightCurve().predict(oak, inches).feet;
  const stand = (n: number, times: number, inches = 14) => {
    const curve = new HeightCurve();
    for (let i = 0; i < n; i++)
      curve.observe({ species: oak, diameterIn: inches + (i % 3) / 10, heightFt: fresh(inches, times) });
    return {
      curve,
      doubt: doubtsOf(subjectOf(read(60)), contextOf(curve, treeOf(14))).find(
        ({ code }) => code === 'wholeStand',
      ),
    };
  };

  it('is told at 6 trees and at each doubling, when it is twice or half as tall as usual', () => {
    for (const [n, is] of [
      [5, false],
      [6, true],
      [7, false],
      [11, false],
      [12, true],
      [13, false],
      [24, true],
    ] as const)
      expect(stand(n, 2.2).doubt !== undefined, `${n} trees`).toBe(is);
    expect(stand(6, 2.2).doubt).toMatchObject({
      strength: 0.4,
      sentence: expect.stringContaining('single steps'),
    });
    expect(stand(6, 0.5).doubt).toMatchObject({
      strength: 0.4,
      sentence: expect.stringContaining('two steps'),
    });
    expect(stand(6, 1).doubt).toBeUndefined();
  });

  it('from 1.8 prior standard deviations on', () => {
    let [below, above] = [0, 0];
    for (let times = 1.3; times < 2.6; times += 0.05) {
      const { curve, doubt } = stand(6, times);
      const { z } = curve.standDeparture();
      expect(doubt !== undefined, `${z}`).toBe(Math.abs(z) >= 1.8);
      if (z > 1.45 && z < 1.8) below++;
      if (z >= 1.8 && z < 2.24) above++;
    }
    expect(Math.min(below, above)).toBeGreaterThan(2);
  });

  it('not of thickets below 5 inches, whose heights no one knows beforehand', () => {
    for (const inches of [3, 4, 4.5, 5.5, 6, 7]) {
      const { curve, doubt } = stand(6, 2.6, inches);
      if (Math.abs(curve.standDeparture().z) < 1.8) continue;
      expect(doubt !== undefined, `${inches}`).toBe(curve.diameters.middleIn >= 5);
    }
  });
});

describe('metric numbers', () => {
  it('of an earlier diameter are doubted as the book would say them: 14 inches are 35.6 centimetres', () => {
    const metric: HeightSettings = { ...settings, units: 'metres' };
    const curve = standOf(0.1);
    const measurement: Measurement = { method: 'reading', takes: [{ value: 6, unit: 'm' }] };
    const context: DoubtContext = { ...contextOf(curve, treeOf(14)), settings: metric };
    const { causes } = beliefIn(subjectOf(measurement, metric), context)!;
    const said = causes.flatMap(({ meant }) =>
      meant.changes === 'diameter' && meant.said !== null ? [meant.said] : [],
    );
    expect(new Set(said)).toEqual(new Set([35.6]));
  });
});
