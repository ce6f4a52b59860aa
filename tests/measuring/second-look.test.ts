/** The second look on a curve by itself: which accepted trees are told, in what order, and which never. */
import { describe, expect, it } from 'vitest';
import { HeightCurve } from '../../shared/measuring/doubt/curve.ts';
import { type Accepted, askFrom, doubtsOf, secondLook } from '../../shared/measuring/doubt/index.ts';
import { measure } from '../../shared/measuring/height/index.ts';
import type { Measurement } from '../../shared/note/note.ts';
import { settings } from './settings.ts';

const species = 833;

function accepted(id: string, diameterIn: number, feet: number, more: Partial<Accepted> = {}): Accepted {
  const measurement: Measurement = {
    method: 'reading',
    device: 'tape',
    takes: [{ value: feet, unit: 'ft' }],
  };
  const height = measure(measurement, settings);
  if (!height.ok) throw new Error('no height');
  return {
    tree: { id, species, diameterIn, heightFt: feet, marks: [], status: 'live' },
    taught: { species, diameterIn, heightFt: feet },
    measured: { measurement, height: height.value },
    settings,
    ...more,
  };
}

/** Trees about a line of 4 feet an inch, with a few inches between them. */
const usual = (n: number): Accepted[] =>
  Array.from({ length: n }, (_, i) =>
    accepted(`tree ${i}`, 12 + (i % 7), 58 + 3 * (i % 7) + 2 * Math.sin(5 * i)),
  );

function look(trees: readonly Accepted[]) {
  const curve = new HeightCurve();
  for (const { taught } of trees) if (taught) curve.observe(taught);
  const before = curve.predict(species, 14);
  const found = secondLook(trees, curve);
  expect(curve.predict(species, 14)).toEqual(before);
  return found;
}
const told = (trees: readonly Accepted[]): string[] => look(trees).map(({ tree }) => tree);

describe('the second look', () => {
  it('tells of the first tree of 112 feet among oaks of 60 to 80, with what is expected of it', () => {
    const [first, ...rest] = look([accepted('first', 14, 112), ...usual(12)]);
    expect(rest).toEqual([]);
    expect(first).toMatchObject({ tree: 'first' });
    expect(first!.strength).toBeGreaterThanOrEqual(askFrom);
    expect(first!.expectedFt).toBeGreaterThan(60);
    expect(first!.expectedFt).toBeLessThan(72);
  });

  it('tells from 2.5 standard deviations on, where a question at the tree takes 2.8', () => {
    const trees = usual(20);
    const curve = new HeightCurve();
    for (const { taught } of trees) if (taught) curve.observe(taught);
    let [between, told, silent] = [0, 0, 0];
    for (let feet = 66; feet < 100; feet += 0.2) {
      const one = accepted('one', 14, feet);
      const { measurement, height } = one.measured!;
      // The diameter is sure, so that the height alone is judged, by its distance from the curve.
      const part = height.sdFeet / height.feet;
      const stray = curve.stray(species, 14, feet, Math.sqrt(Math.max(0, part ** 2 - 0.06 ** 2)));
      const subject = {
        kind: 'height',
        note: { kind: 'height', height: measurement },
        measurement,
        height,
      } as const;
      const strength = (broughtUp: 'question' | 'line'): number =>
        doubtsOf(subject, { settings, curve, others: [], tree: one.tree, sureDiameter: true, broughtUp })[0]
          ?.strength ?? 0;
      if (stray < 2.5) {
        silent++;
        expect(strength('line')).toBe(strength('question'));
      } else {
        told++;
        expect(strength('line')).toBeGreaterThanOrEqual(0.5 + 0.48 * (1 - 2.5 / stray) - 1e-9);
      }
      if (stray >= 2.5 && stray < 2.8 && strength('question') < askFrom) between++;
    }
    expect(Math.min(between, told, silent)).toBeGreaterThan(0);
  });

  it('has nothing to say below five trees, and may at five', () => {
    expect(told([accepted('first', 14, 150), ...usual(3)])).toEqual([]);
    expect(told([accepted('first', 14, 150), ...usual(4)])).toEqual(['first']);
  });

  it('tells the strongest first, whichever came first', () => {
    const [near, far] = [accepted('near', 14, 104), accepted('far', 15, 150)];
    expect(told([near, far, ...usual(14)])).toEqual(['far', 'near']);
    expect(told([far, near, ...usual(14)])).toEqual(['far', 'near']);
  });

  it('tells of a diameter that is far from all others although its height fits it', () => {
    // A giant among poles: nothing but its size is odd, and its curve is carried on from the others.
    const giant = accepted('giant', 60, 110);
    expect(told([giant, ...usual(14)])).toEqual(['giant']);
  });

  it('judges each tree by all the others and not by itself', () => {
    const trees = [accepted('first', 14, 112), ...usual(12)];
    const curve = new HeightCurve();
    for (const { taught, tree } of trees) if (taught && tree.id !== 'first') curve.observe(taught);
    const { tree, measured } = trees[0]!;
    const { measurement, height } = measured!;
    const note = {
      kind: 'tree' as const,
      facts: { diameter: { value: 14, unit: 'in' as const } },
      height: measurement,
    };
    const [alone] = doubtsOf(
      { kind: 'height', note, measurement, height },
      { settings, curve, tree, others: [] },
    );
    const [found] = look(trees);
    expect(found!.strength).toBeCloseTo(alone!.strength, 9);
    expect(found!.expectedFt).toBeCloseTo(curve.predict(species, 14).feet, 9);
  });

  it('leaves out what taught nothing, was not measured or has no diameter', () => {
    const tall = accepted('first', 14, 112);
    expect(told([{ ...tall, taught: null }, ...usual(12)])).toEqual([]);
    expect(told([{ ...tall, measured: null }, ...usual(12)])).toEqual([]);
    expect(told([{ ...tall, tree: { ...tall.tree, diameterIn: null } }, ...usual(12)])).toEqual([]);
    expect(told([{ ...tall, tree: { ...tall.tree, heightFt: null } }, ...usual(12)])).toEqual([]);
    expect(told([tall, ...usual(12)])).toEqual(['first']);
  });

  it('says nothing of how a height was measured: a steep sight is no matter of the stand', () => {
    // 79 degrees from 12 feet and 5 feet of eye: 66.7 feet, as tall as such a tree is here.
    const measurement: Measurement = {
      method: 'angles',
      scale: 'deg',
      top: 79,
      distance: { by: 'length', length: { value: 12, unit: 'ft' } },
    };
    const height = measure(measurement, settings);
    if (!height.ok) throw new Error('no height');
    const steep = accepted('steep', 15, height.value.feet, {
      measured: { measurement, height: height.value },
    });
    expect(told([steep, ...usual(12)])).toEqual([]);
  });
});
