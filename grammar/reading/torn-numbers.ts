/**
 * A number that was written in figures is one number. Spelled out it may be read as two ("two point three" and "one metre"
 * of 2.31 m, "two hundred" and "fifty" of 250): such a reading is none.
 */
import { asWritten } from '../description/normalise.ts';

/** The two numbers that a number may be torn into: 2.31 into 2.3 and 1, 250 into 200 and 50. */
function halvesOf(written: string): readonly (readonly [number, number])[] {
  const whole = Number(written);
  const [, before, decimals] = /^(\d*)\.(\d\d+)$/.exec(written) ?? [];
  if (decimals !== undefined)
    return [...decimals].slice(1).map((_, at) => {
      const to = at + 1;
      return [Number(`${before}.${decimals.slice(0, to)}`), Number(decimals.slice(to))] as const;
    });
  if (!Number.isInteger(whole) || whole <= 100) return [];
  const unit = whole > 1000 ? 1000 : 100;
  const rest = whole % unit;
  return rest === 0 ? [] : [[whole - rest, rest]];
}

/** Every number in a value, at every depth. */
function numbersIn(value: unknown): number[] {
  if (typeof value === 'number') return [value];
  return typeof value === 'object' && value !== null ? Object.values(value).flatMap(numbersIn) : [];
}

/**
 * Says of notes whether they tear a number that was written in figures; undefined where the text has none that could be torn.
 * `tearing('girth 2.31 metres')` is true of a girth of 2.3 beside a length of 1.
 */
export function tearing(text: string): ((notes: readonly object[]) => boolean) | undefined {
  if (!/\d[\d.,]\d/.test(text)) return undefined;
  const written = asWritten(text).match(/\d+(?:\.\d+)?|\.\d+/g) ?? [];
  const all = written.map(Number);
  const torn = written
    .map((one) => ({ one: Number(one), halves: halvesOf(one) }))
    .filter(({ halves }) => halves.length > 0);
  if (torn.length === 0) return undefined;
  return (notes) => {
    const said = numbersIn(notes);
    const added = (value: number): boolean => said.includes(value) && !all.includes(value);
    return torn.some(
      ({ one, halves }) =>
        !said.includes(one) &&
        halves.some(([first, second]) => added(first) && (said.includes(second) || added(second))),
    );
  };
}
