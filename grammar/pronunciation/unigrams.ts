/**
 * What a free word costs the ear: words of the trade are likelier in a remark than their share of all talk says, and
 * of all talk's words some are said every minute and some once a year.
 */
import lists from './unigrams.json' with { type: 'json' };

/** Shares of free words: names that the book knows, where it knows any, and of the rest the words that are expected. */
const knownShare = 0.6;
const expectedShare = 0.5;
/** Nats for a word that the counts do not know. */
const unknown = 13;

const common: ReadonlySet<string> = new Set(Object.values(lists).flatMap((list) => list.split(' ')));

/** Whether people say it in talk of anything: of some five thousand words. `isCommonWord('love')`. */
export const isCommonWord = (word: string): boolean => common.has(word);

/**
 * Nats for each of the words, given those that are expected where free words stand, and those of known names.
 *
 * @example unigramCosts(['the', 'ridge', 'telephone'], ['ridge'])[1] < 2 // true
 */
export function unigramCosts(
  words: readonly string[],
  expected: readonly string[],
  known: readonly string[] = [],
): Float64Array {
  const natsOf = new Map<string, number>();
  for (const [nats, list] of Object.entries(lists))
    for (const word of list.split(' ')) natsOf.set(word, Number(nats));
  const listed = new Set(expected);
  const even = listed.size === 0 ? 0 : expectedShare / listed.size;
  const familiar = new Set(known);
  const own = familiar.size === 0 ? 0 : knownShare;
  return Float64Array.from(words, (word) => {
    const talk = (1 - (even > 0 ? expectedShare : 0)) * Math.exp(-(natsOf.get(word) ?? unknown));
    const share = (1 - own) * (talk + (listed.has(word) ? even : 0));
    return -Math.log(share + (familiar.has(word) ? own / familiar.size : 0));
  });
}
