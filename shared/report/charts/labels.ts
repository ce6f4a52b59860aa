/** Places labels beside their points so that they lie over no point and over no other label. */
import type { DrawnPoint, Mark } from './drawing.ts';

interface LabelSpace {
  /** Points that are to be seen, and how far each reaches. */
  readonly points: readonly DrawnPoint[];
  readonly reach: number;
  /** The field of the drawing. */
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Width of a letter and height of a line, in the units of the drawing, at the size that charts write. */
const letter = 8.6;
const line = 16;

interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

export class Labels {
  readonly #taken: Box[] = [];

  constructor(private readonly space: LabelSpace) {}

  /**
   * A text near a point, at the place of least overlap: right, left, above, below, then further off. One that is far
   * off has a line to its point.
   */
  place(at: DrawnPoint, text: string, style?: string): Mark[] {
    const width = text.length * letter;
    const options: { readonly box: Box; readonly far: boolean }[] = [];
    for (const off of [10, 26, 42])
      for (const [dx, dy] of ways) {
        const x = at[0] + dx * off + (dx < 0 ? -width : dx === 0 ? -width / 2 : 0);
        const y = at[1] + dy * off - line / 2;
        options.push({
          box: { left: x, right: x + width, top: y, bottom: y + line },
          far: off > 20,
        });
      }
    let best = options[0]!;
    let least = Number.POSITIVE_INFINITY;
    for (const [order, option] of options.entries()) {
      const cost = 100 * this.#overlaps(option.box) + order;
      if (cost < least) [best, least] = [option, cost];
    }
    const { box, far } = best;
    this.#taken.push(box);
    const anchor: DrawnPoint = [(box.left + box.right) / 2, box.bottom - 3.5];
    return [
      ...(far
        ? [
            {
              mark: 'line',
              style: 'leader',
              from: at,
              to: [
                Math.min(Math.max(at[0], box.left), box.right),
                Math.min(Math.max(at[1], box.top), box.bottom),
              ],
            } as const,
          ]
        : []),
      { mark: 'text', ...(style ? { style } : {}), at: anchor, anchor: 'middle', text },
    ];
  }

  #overlaps(box: Box): number {
    const { points, reach, left, right, top, bottom } = this.space;
    let count = 0;
    for (const [x, y] of points)
      if (x + reach > box.left && x - reach < box.right && y + reach > box.top && y - reach < box.bottom)
        count++;
    for (const other of this.#taken)
      if (
        other.right > box.left &&
        other.left < box.right &&
        other.bottom > box.top &&
        other.top < box.bottom
      )
        count += 2;
    if (box.left < left || box.right > right || box.top < top || box.bottom > bottom) count += 4;
    return count;
  }
}

/** Directions from a point, the usual first. */
const ways: readonly DrawnPoint[] = [
  [1, 0],
  [-1, 0],
  [0, -1],
  [0, 1],
  [1, -1],
  [-1, -1],
  [1, 1],
  [-1, 1],
];
