/**
 * Near misses in number, for choices that a few hundred cannot make: notes of one person's day in which a common word stands in the
 * place of one of theirs, or behind it. No word of `near.json` is among them, so what is chosen on them has not met those.
 */
import { join } from 'node:path';
import type { PhoneGraph } from '../../../grammar/pronunciation/phone-graph.ts';
import type { Reader } from '../../../grammar/reading/exact.ts';
import { seeded } from '../../../shared/core/random.ts';
import { type Clip, cache, fileNameOf } from './clips.ts';
import { drawPersonsDay } from './day.ts';
import nearMisses from './near.json' with { type: 'json' };

/** Of one person, and notes to draw them from. */
const count = 200;
const drawn = 900;
/** How often the word stands behind one of the note, not in its place. */
const behind = 0.2;
const speeds = [0.95, 1.05] as const;

/** Near misses by the voice of `turn`, none of which is a note after all. */
export function foreignClips(
  { automaton, lexicon }: PhoneGraph,
  reader: Reader,
  [engine, voice, turn]: readonly [engine: string, voice: string, turn: number],
): Clip[] {
  const met = new Set(nearMisses.flatMap((text) => text.split(' ')));
  const foreign = lexicon.words.filter(
    (word) => !automaton.wordId.has(word) && word.length > 1 && !word.includes("'") && !met.has(word),
  );
  const random = seeded(9900 + turn);
  const clips: Clip[] = [];
  for (const note of new Set(drawPersonsDay(drawn, 500 + turn, 4000 + turn))) {
    if (clips.length === count) break;
    const words = note.split(' ');
    const at = Math.floor(random() * words.length);
    const word = foreign[Math.floor(random() * foreign.length)]!;
    const isBehind = random() < behind;
    words.splice(isBehind ? at + 1 : at, isBehind ? 0 : 1, word);
    const text = words.join(' ');
    if (reader.read(text).ok) continue;
    const speed = speeds[clips.length % 2]!;
    const file = join(cache, 'clips', voice, `near-${speed}-${fileNameOf(text)}.wav`);
    clips.push({ set: 'person', list: 'foreign', text, engine, voice, speed, file });
  }
  return clips;
}
