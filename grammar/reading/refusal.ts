/** The sentence of a refusal: what was understood, what was not, and the nearest thing that can be said. */

import { normalise } from '../description/normalise.ts';
import type { Reader } from './exact.ts';
import type { RefusalParts, Unread } from './last-offer.ts';
import type { ReadFailure } from './reading.ts';

/** Unknown words that are named. */
const mostNamed = 3;
/** Words of the text that are repeated. */
const mostRepeated = 8;

/**
 * Words known but out of place are told apart from words that are not known; nothing is listed that might have come.
 * Of \"red oak fourteen blorp\": \"I do not know 'blorp'. I understood 'red oak fourteen'; nothing is kept yet.\" and an example.
 */
export function refusalSentence(
  text: string,
  failure: ReadFailure,
  said: Unread | undefined,
  { reader, frames }: RefusalParts,
): string {
  const words = normalise(text).replaceAll(',', '').split(' ');
  const unknown = said?.unknown ?? [
    ...new Set(words.filter((word) => !frames.knows(word) && frames.isTelling(word))),
  ];
  const parts: string[] = [];
  if (unknown.length > 0) {
    const named = unknown.slice(0, mostNamed).map((word) => `"${word.slice(0, 40)}"`);
    parts.push(
      `I do not know ${named.length < 2 ? named[0] : `${named.slice(0, -1).join(', ')} or ${named.at(-1)}`}.`,
    );
  } else if (failure.kind === 'incomplete') {
    parts.push(`Something is missing behind "${short(words.slice(-4))}".`);
  } else parts.push('I know these words, but not in this order.');
  const understood = longestRead(words, failure.at, reader);
  if (understood !== undefined) parts.push(`I understood "${understood}"; nothing is kept yet.`);
  const example = said === undefined ? frames.nearest(words)?.example : said.example;
  parts.push(example === undefined ? 'Say help to hear what can be said.' : `You can say: ${example}.`);
  return parts.join(' ');
}

const short = (words: readonly string[]): string => words.join(' ').slice(-120);

/** The longest beginning that is a note by itself, up to where reading stopped. */
function longestRead(words: readonly string[], at: number, reader: Reader): string | undefined {
  for (let count = Math.min(at, words.length - 1); count > 1; count--) {
    const read = reader.read(words.slice(0, count).join(' '));
    if (
      read.ok &&
      read.value.every(({ notes }) => notes.every(({ kind }) => kind !== 'number' && kind !== 'call'))
    )
      return count > mostRepeated
        ? `${words.slice(0, mostRepeated).join(' ')} …`
        : words.slice(0, count).join(' ');
  }
  return undefined;
}
