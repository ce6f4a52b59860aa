/** The sketch of a measurement is to scale: the same feet are as long along the ground as up the stem, in every way of measuring. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { firstSettings, withSetting } from '../../shared/book/settings.ts';
import { measure } from '../../shared/measuring/height/index.ts';
import type { Height } from '../../shared/measuring/height/types.ts';
import type { Measurement } from '../../shared/note/note.ts';
import type { Mark } from '../../shared/report/charts/drawing.ts';
import { type Instead, sketchDrawing } from '../../shared/report/charts/sketch.ts';

const settings = [{ what: 'pace', feet: 5.3 } as const, { what: 'eye', feet: 5.5 } as const].reduce(
  withSetting,
  firstSettings,
);
const ft = (value: number) => ({ value, unit: 'ft' as const });
const off = (feet: number) => ({ by: 'length' as const, length: ft(feet) });

function heightOf(measurement: Measurement): Height {
  const height = measure(measurement, settings);
  if (!height.ok) throw new Error(JSON.stringify(height.error));
  return height.value;
}

/** Marks of one style, those in groups too. */
function styled(marks: readonly Mark[], style: string): Mark[] {
  return marks.flatMap((mark) => [
    ...(mark.style === style ? [mark] : []),
    ...(mark.mark === 'group' ? styled(mark.marks, style) : []),
  ]);
}
const line = (marks: readonly Mark[], style: string, at = 0) => {
  const found = styled(marks, style)[at];
  if (found?.mark !== 'line') throw new Error(`no line ${style}`);
  const [[x1, y1], [x2, y2]] = [found.from, found.to];
  return { across: x2 - x1, up: y1 - y2 };
};
const texts = (marks: readonly Mark[]): string[] =>
  marks.flatMap((mark) =>
    mark.mark === 'text' ? [mark.text] : mark.mark === 'group' ? texts(mark.marks) : [],
  );
const band = (marks: readonly Mark[]) => {
  const found = styled(marks, 'band')[0];
  if (found?.mark !== 'box') throw new Error('no band');
  return found.height;
};

const ways: readonly (readonly [string, Measurement])[] = [
  ['stick', { method: 'stick', distance: { by: 'paces', count: 8 } }],
  ['spans', { method: 'spans', distance: off(70) }],
  [
    'ratio',
    { method: 'ratio', distance: off(70), stick: { value: 24, unit: 'in' }, arm: { value: 27, unit: 'in' } },
  ],
  ['laid', { method: 'laid', distance: off(61) }],
  ['pole', { method: 'pole', pole: ft(6), poleReads: 2, treeReads: 19 }],
  ['shadow', { method: 'shadow', shadow: ft(84), pole: ft(6), poleShadow: ft(7.5) }],
  [
    'angles',
    {
      method: 'angles',
      scale: 'deg',
      top: 42,
      distance: off(66),
      base: { by: 'angle', angle: { value: -4 } },
    },
  ],
  ['ranges', { method: 'ranges', topRange: ft(105), topAngle: 47, baseRange: ft(70), baseAngle: -3 }],
  ['reading', { method: 'reading', device: 'laser', takes: [ft(92), ft(97), ft(60)] }],
];

describe('the sketch', () => {
  test.each(ways)('of %s has its tree, its band, its error, and lies within the paper', (_, measurement) => {
    const height = heightOf(measurement);
    const { marks, width, height: tall, says } = sketchDrawing(height, 'feet');
    expect(styled(marks, 'stem')).toHaveLength(1);
    expect(band(marks)).toBeGreaterThan(0);
    expect(texts(marks).some((text) => text.startsWith('± '))).toBe(true);
    expect(says).toContain(`a tree of ${height.feet.toFixed(0)} feet`);
    expect(JSON.stringify(marks)).not.toMatch(/NaN|null/);
    for (const mark of marks) {
      const points = mark.mark === 'line' ? [mark.from, mark.to] : 'at' in mark ? [mark.at] : [];
      for (const [x, y] of points) {
        expect(x).toBeGreaterThanOrEqual(0);
        expect(x).toBeLessThanOrEqual(width);
        expect(y).toBeGreaterThanOrEqual(0);
        expect(y).toBeLessThanOrEqual(tall);
      }
    }
  });

  test('of a stick as long as the reach sights the tip at 45 degrees', () => {
    const sight = line(sketchDrawing(heightOf(ways[0]![1]), 'feet').marks, 'sight');
    expect(sight.up / sight.across).toBeCloseTo(1, 9);
  });

  test('of two angles draws both at their tangents', () => {
    const { marks } = sketchDrawing(heightOf(ways[6]![1]), 'feet');
    const [top, base] = [line(marks, 'sight', 0), line(marks, 'sight', 1)];
    expect(top.up / top.across).toBeCloseTo(Math.tan((42 * Math.PI) / 180), 9);
    expect(base.up / base.across).toBeCloseTo(Math.tan((-4 * Math.PI) / 180), 9);
    expect(texts(marks)).toContain('42°');
  });

  test('of two ranges draws both as long as they were, at their angles', () => {
    const { marks } = sketchDrawing(heightOf(ways[7]![1]), 'feet');
    const [top, base] = [line(marks, 'sight', 0), line(marks, 'sight', 1)];
    expect(Math.hypot(top.across, top.up) / Math.hypot(base.across, base.up)).toBeCloseTo(105 / 70, 9);
    expect(top.up / top.across).toBeCloseTo(Math.tan((47 * Math.PI) / 180), 9);
  });

  test('of a shadow draws the pole and the tree in one light', () => {
    const { marks } = sketchDrawing(heightOf(ways[5]![1]), 'feet');
    const [ray, pole, shade] = [line(marks, 'sight'), line(marks, 'aid'), line(marks, 'shade')];
    // 6 / 7.5 of pole and its shadow is the slope of the ray; the pole is 6 where the shadow is 84.
    expect(-ray.up / ray.across).toBeCloseTo(6 / 7.5, 9);
    expect(pole.up / shade.across).toBeCloseTo(6 / 84, 9);
  });

  test('of a pole draws it as high as it is against the tree', () => {
    const height = heightOf(ways[4]![1]);
    const { marks } = sketchDrawing(height, 'feet');
    const [stem] = styled(marks, 'stem');
    const ys = [...(stem as { d: string }).d.matchAll(/[ML][-\d.]+ ([-\d.]+)/g)]
      .slice(0, 2)
      .map((found) => Number(found[1]));
    // 19 / 2 x 6 = 57
    expect(height.feet).toBeCloseTo(57, 6);
    expect(line(marks, 'aid').up / (ys[0]! - ys[1]!)).toBeCloseTo(6 / 57, 6);
    expect(texts(marks)).toEqual(expect.arrayContaining(['2', '19', 'pole 6.0 ft']));
  });

  test('of several readings draws each, and tells those apart that stand apart', () => {
    const { marks } = sketchDrawing(heightOf(ways[8]![1]), 'feet');
    expect(styled(marks, 'take')).toHaveLength(2);
    expect(styled(marks, 'take apart')).toHaveLength(1);
  });

  test('law: the band is the error on both sides, at the scale of the stem', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 20, max: 60, noNaN: true }),
        fc.integer({ min: 4, max: 30 }),
        (top, paces) => {
          const height = heightOf({
            method: 'angles',
            scale: 'deg',
            top,
            distance: { by: 'paces', count: paces },
          });
          const { marks } = sketchDrawing(height, 'feet');
          const sight = line(marks, 'sight');
          const perFoot = sight.across / height.sketch.distanceFt!;
          expect(band(marks)).toBeCloseTo(Math.max(3, 2 * height.sdFeet * perFoot), 6);
        },
      ),
    );
  });

  test('of a height in doubt draws where the tip and the eye would be instead', () => {
    const height = heightOf({ method: 'stick', distance: { by: 'paces', count: 80 } });
    const meant: Instead = { feet: 47.9, words: 'eight paces', distanceFt: 42.4 };
    const { marks, says } = sketchDrawing(height, 'feet', meant);
    const sight = line(marks, 'sight');
    const thin = line(marks, 'thin');
    // Both at 45 degrees, and as far off as they were said: 8 paces of 80.
    expect(thin.up / thin.across).toBeCloseTo(1, 6);
    expect(thin.across / sight.across).toBeCloseTo(8 / 80, 6);
    expect(texts(marks)).toEqual(expect.arrayContaining(['48?', 'eight paces?', '80 paces, 424 ft']));
    expect(says).toContain('in doubt; with eight paces it would be 48 feet');
  });

  test('of a leaning tree has its tip where it is', () => {
    const upright = line(
      sketchDrawing(heightOf({ method: 'stick', distance: off(60) }), 'feet').marks,
      'sight',
    );
    expect(upright.up / upright.across).toBeCloseTo(1, 9);
    const height = heightOf({
      method: 'angles',
      scale: 'deg',
      top: 45,
      distance: off(60),
      lean: { length: ft(6), direction: 'toward' },
    });
    // The eye sees the tip at 45 degrees over the point 6 ft nearer than the foot.
    const { marks } = sketchDrawing(height, 'feet');
    const sight = line(marks, 'sight');
    expect(sight.up / sight.across).toBeCloseTo(1, 6);
  });
});
