/**
 * A drawing as data: marks in a box, each with the style that the page or the report gives it. Both draw from here, so
 * that no chart is computed twice; `svgText` writes one as text, the page makes elements of the same marks.
 */

import type { ScaleLinear } from 'd3-scale';
import { centimetresPerInch, metresPerFoot } from '../../core/units.ts';
import { thousands } from '../../wording/wording.ts';

export type Mark =
  | { readonly mark: 'line'; readonly style?: string; readonly from: DrawnPoint; readonly to: DrawnPoint }
  | { readonly mark: 'path'; readonly style?: string; readonly d: string }
  | { readonly mark: 'circle'; readonly style?: string; readonly at: DrawnPoint; readonly r: number }
  | {
      readonly mark: 'box';
      readonly style?: string;
      readonly at: DrawnPoint;
      readonly width: number;
      readonly height: number;
    }
  | {
      readonly mark: 'text';
      readonly style?: string;
      readonly at: DrawnPoint;
      readonly text: string;
      readonly anchor?: 'start' | 'middle' | 'end';
    }
  /** Marks of one thing; `title` says which. */
  | {
      readonly mark: 'group';
      readonly style: string;
      readonly title?: string;
      readonly marks: readonly Mark[];
    };

export type DrawnPoint = readonly [x: number, y: number];

export interface Drawing {
  readonly title: string;
  /** What it shows, in a sentence or two: the caption, and all that a reader without eyes gets. */
  readonly says: string;
  readonly width: number;
  readonly height: number;
  readonly marks: readonly Mark[];
  /** True when a mark is filled with the hatch, which the renderer then defines. */
  readonly hatched?: boolean;
}

/** Box of a chart with axes, and where its field lies within. */
export const frame = { width: 420, height: 290, left: 44, right: 12, top: 28, bottom: 46 } as const;

type DrawingScale = ScaleLinear<number, number>;

/** What feet and inches are shown as. */
interface Shown {
  readonly metric: boolean;
  readonly perFoot: number;
  readonly length: 'm' | 'ft';
  readonly perInch: number;
  readonly diameter: 'cm' | 'in';
}

export function shownIn(units: 'feet' | 'metres'): Shown {
  return units === 'metres'
    ? { metric: true, perFoot: metresPerFoot, length: 'm', perInch: centimetresPerInch, diameter: 'cm' }
    : { metric: false, perFoot: 1, length: 'ft', perInch: 1, diameter: 'in' };
}

/** Grid, ticks and names of two scales. `whole`: only whole numbers can be. */
export function axes(of: {
  readonly x: DrawingScale;
  readonly y: DrawingScale;
  readonly xName: string;
  readonly yName: string;
  readonly wholeX?: boolean;
  readonly wholeY?: boolean;
}): Mark {
  const { x, y } = of;
  const kept = (ticks: readonly number[], whole = false) =>
    ticks.filter((at) => !whole || Number.isInteger(at));
  const right = frame.width - frame.right;
  const marks: Mark[] = kept(y.ticks(5), of.wholeY).flatMap((value): Mark[] => [
    { mark: 'line', style: 'grid', from: [frame.left, y(value)], to: [right, y(value)] },
    { mark: 'text', at: [frame.left - 8, y(value) + 5], anchor: 'end', text: thousands(value) },
  ]);
  marks.push({ mark: 'line', from: [frame.left, y(y.domain()[0]!)], to: [right, y(y.domain()[0]!)] });
  for (const value of kept(x.ticks(6), of.wholeX)) {
    marks.push({
      mark: 'text',
      at: [x(value), frame.height - frame.bottom + 19],
      anchor: 'middle',
      text: thousands(value),
    });
  }
  marks.push(
    { mark: 'text', style: 'name', at: [right, frame.height - 6], anchor: 'end', text: of.xName },
    { mark: 'text', style: 'name', at: [4, 14], text: of.yName },
  );
  return { mark: 'group', style: 'axes', marks };
}

const escaped = (text: string): string =>
  text.replace(/[&<>"']/g, (character) => `&#${character.charCodeAt(0)};`);
/** A coordinate, to a hundredth of a unit. */
const number = (value: number): string => String(Math.round(value * 100) / 100);

/** The drawing as an SVG element that needs nothing else; styles by class. */
export function svgText(drawing: Drawing): string {
  const { width, height, title, says } = drawing;
  const hatch = drawing.hatched
    ? '<defs><pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><line class="hatch" x1="0" y1="0" x2="0" y2="6"/></pattern></defs>'
    : '';
  const label = escaped(`${title}. ${says}`);
  return `<svg viewBox="0 0 ${number(width)} ${number(height)}" role="img" aria-label="${label}">${hatch}${drawing.marks.map(markText).join('')}</svg>`;
}

function markText(mark: Mark): string {
  const style = mark.style === undefined ? '' : ` class="${escaped(mark.style)}"`;
  switch (mark.mark) {
    case 'line':
      return `<line${style} x1="${number(mark.from[0])}" y1="${number(mark.from[1])}" x2="${number(mark.to[0])}" y2="${number(mark.to[1])}"/>`;
    case 'path':
      return `<path${style} d="${escaped(mark.d)}"/>`;
    case 'circle':
      return `<circle${style} cx="${number(mark.at[0])}" cy="${number(mark.at[1])}" r="${number(mark.r)}"/>`;
    case 'box':
      return `<rect${style} x="${number(mark.at[0])}" y="${number(mark.at[1])}" width="${number(mark.width)}" height="${number(mark.height)}"/>`;
    case 'text': {
      const anchor = mark.anchor === undefined ? '' : ` text-anchor="${mark.anchor}"`;
      return `<text${style} x="${number(mark.at[0])}" y="${number(mark.at[1])}"${anchor}>${escaped(mark.text)}</text>`;
    }
    case 'group': {
      const title = mark.title === undefined ? '' : `<title>${escaped(mark.title)}</title>`;
      return `<g${style}>${title}${mark.marks.map(markText).join('')}</g>`;
    }
  }
}
