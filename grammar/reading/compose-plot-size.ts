/** How large plots are, and by which gauge, as it is said. */
import type { PlotSizeSaid } from '../../shared/note/quantities.ts';
import type { Quantity } from './said-numbers.ts';
import { plainLength, type Scan } from './scan.ts';

/** Factors in square metres a hectare are small; an area of a plot is not. */
const largestMetricFactor = 12;

/** The size that a stretch tells, and the numbers that tell it; `wrong`: numbers that it was not. */
export function sizeOf(scan: Scan, wrong: readonly number[]): { size: PlotSizeSaid; at: number } | undefined {
  const [sides] = scan.of('sides');
  if (sides !== undefined) {
    const { sides: [one, other] = [0, 0], unit } = scan.number(sides);
    const measured = plainLength({ value: one, length: 1, ...(unit === undefined ? {} : { unit }) });
    const size = { by: 'sides' as const, sides: [one, other] as [number, number] };
    return { size: measured.unit === undefined ? size : { ...size, unit: measured.unit }, at: sides };
  }
  const [area] = scan.of('area').filter((at) => !wrong.includes(at));
  if (area !== undefined) {
    const { value, unit } = scan.number(area);
    if (unit === 'm2' && value <= largestMetricFactor && scan.has('factor'))
      return { size: { by: 'factor', value, unit: 'm2/ha' }, at: area };
    if (unit === 'acre' || unit === 'ha' || unit === 'm2')
      return { size: { by: 'area', value, unit }, at: area };
  }
  const radius = scan.of('radius').find((at) => !wrong.includes(at)) ?? circleOf(scan, wrong);
  if (radius !== undefined)
    return { size: { by: 'radius', length: plainLength(withHundredths(scan, radius)) }, at: radius };
  const [metres, ...more] = scan.has('factor') ? scan.of('distance') : [];
  // "A two metre prism": square metres of a hectare.
  if (metres !== undefined && more.length === 0 && scan.number(metres).unit === 'm') {
    const { value } = scan.number(metres);
    const behind = scan.pieces[metres + 1]?.concepts.has('factor') === true;
    return behind && value <= largestMetricFactor
      ? { size: { by: 'factor', value, unit: 'm2/ha' }, at: metres }
      : undefined;
  }
  const factor = scan.of('factor').find((at) => !wrong.includes(at)) ?? gaugeOf(scan, wrong);
  if (factor === undefined) return undefined;
  const { value, unit } = scan.number(factor);
  const metric = unit === 'm2' || scan.pieces.some(({ text }) => text === 'metric');
  return { size: { by: 'factor', value, ...(metric ? { unit: 'm2/ha' as const } : {}) }, at: factor };
}

/** "Radius seven ninety eight": the place of the hundredths of a metre, as people say what is laid out. */
export function hundredthsOf(scan: Scan, radius: number): number | undefined {
  const [metres, part] = [scan.pieces[radius]?.number, scan.pieces[radius + 1]?.number];
  const plain = metres?.unit === undefined && metres !== undefined && metres.value < 30;
  const behind = part !== undefined && part.value >= 10 && part.value < 100 && Number.isInteger(part.value);
  return plain && behind && Number.isInteger(metres.value) && (part.unit ?? 'm') === 'm'
    ? radius + 1
    : undefined;
}

const withHundredths = (scan: Scan, radius: number): Quantity => {
  const metres = scan.number(radius);
  const part = hundredthsOf(scan, radius);
  return part === undefined ? metres : { ...metres, value: metres.value + scan.number(part).value / 100 };
};

/** "A circle of nine metres": its radius. */
function circleOf(scan: Scan, wrong: readonly number[]): number | undefined {
  const [at, ...others] = scan.of('distance').filter((one) => !wrong.includes(one));
  return at !== undefined && others.length === 0 && /\bcirc(?:le|ular)\b/.test(scan.text()) ? at : undefined;
}

/** "The wrong wedge, it was the three": a number that stands for a gauge. */
function gaugeOf(scan: Scan, wrong: readonly number[]): number | undefined {
  if (!scan.has('factor') && !isGauged(scan)) return undefined;
  const [at, ...others] = scan
    .of('bare')
    .filter((one) => !wrong.includes(one) && /^(?:the|an?)$/.test(scan.pieces[one - 1]?.text ?? ''));
  return at !== undefined && others.length === 0 ? at : undefined;
}

/** "I should have kept the ten on this point": what a number is of without a word for it, so it is asked. */
const isGauged = (scan: Scan): boolean =>
  /\b(?:kept|used|using|with)\b.* the\b/.test(scan.text()) && /\b(?:should|was|wrong)\b/.test(scan.text());
