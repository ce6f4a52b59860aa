/** Replies for the ear: digits as the words a person would say, signs as words. */
import { sayCount, sayDecimals } from '../description/spell-numbers.ts';

const digits = /(\d{1,3}(?:,\d{3})+|\d+)(?:\.(\d+))?/g;

/**
 * The words of a reply. Numbers beyond what the grammar says are read digit by digit.
 * Example: `aloud('48 feet, give or take 3.')` is "forty eight feet, give or take three."
 */
export function aloud(reply: string): string {
  return reply
    .replace(/\bft²/g, 'square feet')
    .replace(digits, (typed, whole: string, decimals?: string) => {
      const value = Number(whole.replaceAll(',', ''));
      const words = decimals === undefined ? sayCount(value) : sayDecimals(value, decimals);
      return (
        words ??
        [...typed].map((each) => (each === '.' ? 'point' : (sayCount(Number(each)) ?? each))).join(' ')
      );
    })
    .replace(/%/g, ' percent')
    .replace(/±\s*/g, 'plus or minus ')
    .replace(/\s+/g, ' ')
    .trim();
}
