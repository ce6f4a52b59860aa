/**
 * One person's day: what one person says in one stand, by one voice, in two lists: notes to learn from and other notes
 * to be measured on. No sound is in both: the notes to learn from are spoken at other speeds.
 */
import { join } from 'node:path';
import { type Clip, cache, fileNameOf } from './clips.ts';
import { drawPersonsDay } from './day.ts';
import nearMisses from './near.json' with { type: 'json' };

/** The six voices that the model was never trained on, by ear the hardest last. */
export const heldOutVoices = [
  ['flite', 'awb'],
  ['piper', 'joe'],
  ['kokoro', 'bf_lily'],
  ['kokoro', 'bm_lewis'],
  ['kokoro', 'am_eric'],
  ['kokoro', 'af_sky'],
] as const;
/** Voices that the model was trained on: what is chosen is chosen on them. */
export const tuningVoices = [
  ['flite', 'slt'],
  ['flite', 'rms'],
  ['kokoro', 'bf_emma'],
] as const;

export interface PersonClips {
  readonly voice: string;
  /** In the order of the day; the first ten of them are the first ten to learn from. */
  readonly learn: readonly Clip[];
  readonly test: readonly Clip[];
  /** Notes with one foreign word. */
  readonly near: readonly Clip[];
}

const counts = { learn: 80, test: 90, near: 40 } as const;
const speedsOf = { learn: [0.95, 1.05, 1.15], test: [0.9, 1, 1.1, 1.2], near: [0.95, 1.05] } as const;

/** The lists of one voice; `turn` says who it is. */
export function personClips([engine, voice]: readonly [string, string], turn: number): PersonClips {
  const person = 500 + turn;
  const clipsOf = (kind: keyof typeof counts, texts: readonly string[]): Clip[] =>
    texts.map((text, i) => {
      const speed = speedsOf[kind][i % speedsOf[kind].length]!;
      return {
        set: 'person',
        list: kind,
        text,
        engine,
        voice,
        speed,
        file: join(cache, 'clips', voice, `${kind}-${speed}-${fileNameOf(text)}.wav`),
      };
    });
  const near = Array.from(
    { length: counts.near },
    (_, i) => nearMisses[(i * 11 + turn * 3) % nearMisses.length]!,
  );
  return {
    voice,
    learn: clipsOf('learn', drawPersonsDay(counts.learn, person, 1000 + turn)),
    test: clipsOf('test', drawPersonsDay(counts.test, person, 2000 + turn)),
    near: clipsOf('near', near),
  };
}
