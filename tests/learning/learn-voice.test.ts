import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  isBetter,
  type KnownClip,
  type LearningParts,
  learnVoice,
  lessonLimits,
  type VoiceMarks,
} from '../../grammar/learning/learn-voice.ts';
import { createLexicon } from '../../grammar/pronunciation/lexicon.ts';
import { createReader } from '../../grammar/reading/exact.ts';
import { places } from '../../server/program/places.ts';
import { loadAcousticModel } from '../../server/speech/acoustic.ts';
import { readWav } from '../../server/speech/audio.ts';
import { loadRecognizer } from '../../server/speech/recognizer.ts';
import { takeHeardFrom } from '../../shared/dialogue/choosing.ts';

const folder = fileURLToPath(new URL('../..', import.meta.url));
const clips: KnownClip[] = readFileSync(join(folder, 'tests/clips/clips.jsonl'), 'utf8')
  .trim()
  .split('\n')
  .map((line) => JSON.parse(line) as { file: string; text: string })
  .flatMap(({ file, text }) => {
    const sound = readWav(readFileSync(join(folder, file)));
    return sound.ok ? [{ samples: sound.value.samples, words: text }] : [];
  });

const { recognizer } = await loadRecognizer(places.model);
const { outputLayer } = await loadAcousticModel(places.model);
const parts: LearningParts = {
  hidden: (samples) => recognizer.hidden(samples),
  judge: (logp, frames, seconds) => recognizer.judge(logp, frames, seconds),
  shipped: outputLayer!,
  lexicon: createLexicon(),
  reader: createReader(recognizer.language!.automaton),
  keptFrom: takeHeardFrom,
  breathe: async () => {},
};

describe('learning a voice', () => {
  test('judges by clips that it did not learn from, and gives a layer only where they are heard better', async () => {
    const lesson = await learnVoice(parts, clips.slice(0, 15));
    expect(lesson.clips).toBeGreaterThanOrEqual(12);
    expect(lesson.heldOut).toBeGreaterThanOrEqual(4);
    expect(lesson.before.clean.belief).toBeGreaterThan(0.3);
    expect(lesson.layer !== null).toBe(isBetter(lesson.before, lesson.after));
  });

  test('gives none for clips whose words are other than what was said', async () => {
    // Each clip with the words of the next: who learns from it hears everything wrong.
    const mistaken = clips
      .slice(0, 15)
      .map(({ samples }, i) => ({ samples, words: clips[(i + 1) % 15]!.words }));
    expect((await learnVoice(parts, mistaken)).layer).toBeNull();
  });

  test('needs a few clips, and leaves out what is no note or too long', async () => {
    const few = await learnVoice(parts, clips.slice(0, lessonLimits.least - 1));
    expect(few.layer).toBeNull();
    const odd = clips.slice(0, 12).map(({ samples }) => ({ samples, words: 'the weather is fine' }));
    expect(await learnVoice(parts, odd)).toMatchObject({ clips: 0, layer: null });
    const long = { samples: new Float32Array(16_000 * (lessonLimits.seconds + 1)), words: 'twelve paces' };
    expect(await learnVoice(parts, Array<KnownClip>(12).fill(long))).toMatchObject({ clips: 0 });
  });
});

describe('the law of switching on', () => {
  const mark = fc.record({
    kept: fc.integer({ min: 0, max: 12 }),
    wrong: fc.integer({ min: 0, max: 3 }),
    belief: fc.double({ min: 0, max: 1, noNaN: true }),
  });
  const marks: fc.Arbitrary<VoiceMarks> = fc.record({
    clean: mark,
    noise: mark,
    near: fc.integer({ min: 0, max: 4 }),
  });

  test('never for more near misses, more kept wrong or fewer kept right, clean or in noise; never both ways', () => {
    fc.assert(
      fc.property(marks, marks, (before, after) => {
        if (!isBetter(before, after)) return;
        expect(after.near).toBeLessThanOrEqual(before.near);
        for (const how of ['clean', 'noise'] as const) {
          expect(after[how].kept).toBeGreaterThanOrEqual(before[how].kept);
          expect(after[how].wrong).toBeLessThanOrEqual(before[how].wrong);
        }
        expect(before).not.toEqual(after);
      }),
      { numRuns: 2000 },
    );
  });
});
