/** Labels of a chart lie over no point and no other label, as long as there is room beside. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { DrawnPoint, Mark } from '../../shared/report/charts/drawing.ts';
import { Labels } from '../../shared/report/charts/labels.ts';

const field = { left: 44, right: 420, top: 0, bottom: 244 };

/** The box that a placed text covers: middle-anchored, at the letters' width of the charts. */
function boxOf(marks: readonly Mark[]) {
  const text = marks.find((mark) => mark.mark === 'text');
  if (text?.mark !== 'text') throw new Error('no text');
  const half = (text.text.length * 8.6) / 2;
  return {
    left: text.at[0] - half,
    right: text.at[0] + half,
    top: text.at[1] - 12.5,
    bottom: text.at[1] + 3.5,
  };
}

test('law: in a field with room, no label lies over a point, over another label or out of the field', () => {
  fc.assert(
    fc.property(
      // Points far enough apart that each has a free side: on a grid of 90 by 60.
      fc.uniqueArray(fc.tuple(fc.integer({ min: 0, max: 3 }), fc.integer({ min: 0, max: 3 })), {
        minLength: 1,
        maxLength: 8,
        selector: (at) => at.join(),
      }),
      fc.integer({ min: 1, max: 3 }),
      (cells, letters) => {
        const points = cells.map(([x, y]): DrawnPoint => [70 + 90 * x, 30 + 60 * y]);
        const labels = new Labels({ points, reach: 7, ...field });
        const boxes = points.map((at) => boxOf(labels.place(at, '8'.repeat(letters))));
        for (const [one, box] of boxes.entries()) {
          for (const [x, y] of points)
            expect(x > box.left && x < box.right && y > box.top && y < box.bottom).toBe(false);
          for (const other of boxes.slice(one + 1))
            expect(
              other.right > box.left &&
                other.left < box.right &&
                other.bottom > box.top &&
                other.top < box.bottom,
            ).toBe(false);
          expect(box.left).toBeGreaterThanOrEqual(field.left);
          expect(box.right).toBeLessThanOrEqual(field.right);
        }
      },
    ),
  );
});

test('a label that has to go further off has a line to its point', () => {
  const at: DrawnPoint = [200, 120];
  const crowd: DrawnPoint[] = [];
  for (let x = 160; x <= 240; x += 10) for (let y = 100; y <= 140; y += 10) crowd.push([x, y]);
  const marks = new Labels({ points: crowd, reach: 4, ...field }).place(at, '12?');
  expect(marks.map(({ mark, style }) => [mark, style])).toEqual([
    ['line', 'leader'],
    ['text', undefined],
  ]);
});
