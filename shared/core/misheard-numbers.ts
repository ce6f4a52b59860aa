/** How a said number goes wrong: teen for ty, a digit misheard or mistyped, digits changed round, a nought or point lost. */

export type NumberSlip = 'teenTy' | 'tenfold' | 'digit' | 'swapped';

interface Misheard {
  readonly slip: NumberSlip;
  readonly value: number;
  /** Share of this value among all that the slip can give; the shares of one slip sum to at most 1. */
  readonly share: number;
}

const tidy = (value: number): number => Number(value.toPrecision(10));

/** What may have been meant where `value` was taken down. Zero and negative numbers have none. */
export function misheard(value: number): readonly Misheard[] {
  if (!(value > 0) || !Number.isFinite(value)) return [];
  const found = new Map<number, Misheard>();
  const put = (slip: NumberSlip, to: number, share: number) => {
    const next = tidy(to);
    if (next > 0 && next !== value && !found.has(next)) found.set(next, { slip, value: next, share });
  };
  for (const to of teenTy(value)) put('teenTy', to, 1);
  if (value % 10 === 0) put('tenfold', value / 10, 1);
  else if (Number.isInteger(value)) put('tenfold', value / 10, 0.5);
  if (value < 10 || !Number.isInteger(value)) put('tenfold', value * 10, 0.5);
  const text = String(value);
  const places = [...text].map((c, i) => (c >= '0' && c <= '9' ? i : -1)).filter((i) => i >= 0);
  for (let k = 0; k + 1 < places.length; k++) {
    const [i, j] = [places[k]!, places[k + 1]!];
    if (text[i] === text[j] || (i === 0 && text[j] === '0')) continue;
    put(
      'swapped',
      Number(replaced(replaced(text, i, text.charAt(j)), j, text.charAt(i))),
      1 / (places.length - 1),
    );
  }
  for (const i of places) {
    for (const digit of '0123456789') {
      if (digit === text[i] || (digit === '0' && i === 0)) continue;
      put('digit', Number(replaced(text, i, digit)), 1 / (9 * places.length));
    }
  }
  return [...found.values()];
}

const replaced = (text: string, at: number, by: string): string =>
  text.slice(0, at) + by + text.slice(at + 1);

/** thirteen and thirty ... nineteen and ninety, alone or after hundreds: 80 gives 18, 113 gives 130. */
function teenTy(value: number): number[] {
  if (!Number.isInteger(value)) {
    // "sixteen point two" and "sixty point two"
    const whole = Math.floor(value);
    return teenTy(whole).map((to) => to + (value - whole));
  }
  const rest = value % 100;
  if (rest >= 13 && rest <= 19) return [value - rest + 10 * (rest - 10)];
  if (rest >= 30 && rest <= 90 && rest % 10 === 0) return [value - rest + 10 + rest / 10];
  return [];
}
