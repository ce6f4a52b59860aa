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

/**
 * Days on which caution is chosen: voices of the training, and who speaks with them (`turn`). No bench reports any of them, and
 * their near misses are those of `near.json` that none of the voices above speaks.
 */
export const cautionDays = [
  ['flite', 'slt', 20],
  ['flite', 'slt', 21],
  ['flite', 'rms', 22],
  ['flite', 'rms', 23],
  ['flite', 'kal16', 24],
  ['flite', 'kal16', 25],
  ['kokoro', 'bf_emma', 26],
  ['kokoro', 'am_michael', 27],
  ['flite', 'slt', 28],
  ['flite', 'rms', 29],
  ['flite', 'kal16', 30],
] as const;
/** Of every eleven near misses, those that no reported voice speaks. */
const unreported = [2, 5, 7, 8, 10] as const;

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
export const personClips = (voice: readonly [string, string], turn: number): PersonClips =>
  clipsOfPerson(voice, turn, turn * 3);

/** The lists of a day on which caution is chosen, by its place among them. */
export function cautionClips(day: number): PersonClips {
  const [engine, voice, turn] = cautionDays[day]!;
  return clipsOfPerson([engine, voice], turn, unreported[day % unreported.length]!);
}

function clipsOfPerson(
  [engine, voice]: readonly [string, string],
  turn: number,
  firstNear: number,
): PersonClips {
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
    (_, i) => nearMisses[(i * 11 + firstNear) % nearMisses.length]!,
  );
  return {
    voice,
    learn: clipsOf('learn', drawPersonsDay(counts.learn, person, 1000 + turn)),
    test: clipsOf('test', drawPersonsDay(counts.test, person, 2000 + turn)),
    near: clipsOf('near', near),
  };
}
