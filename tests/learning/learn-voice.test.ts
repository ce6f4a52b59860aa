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
} from '../../grammar/learning/learn-voice.ts';
import { lessonLimits } from '../../grammar/learning/lesson-limits.ts';
import { createLexicon } from '../../grammar/pronunciation/lexicon.ts';
import { createReader } from '../../grammar/reading/exact.ts';
import { places } from '../../server/program/places.ts';
import { loadAcousticModel } from '../../server/speech/acoustic.ts';
import { readWav } from '../../server/speech/audio.ts';
import { loadRecognizer } from '../../server/speech/recognizer.ts';
import { seeded } from '../../shared/core/random.ts';
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
  judge: (logp, frames, facts) => recognizer.judge(logp, frames, facts),
  asAnybody: (work) => work(),
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
    expect(lesson.gains).toHaveLength(lesson.clips);
    expect(lesson.before.clean.belief).toBeGreaterThan(0.3);
    expect(lesson.layer !== null).toBe(isBetter(lesson.gains));
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
  const gain = fc.record({
    kept: fc.double({ min: -1, max: 1, noNaN: true }),
    worth: fc.double({ min: -3, max: 3, noNaN: true }),
  });
  const gains = fc.array(gain, { minLength: 15, maxLength: 80 });
  const alike = (worth: number) => ({ kept: worth, worth });

  test('never for clips that lost on the whole, never both ways, and not for what one clip alone gained', () => {
    fc.assert(
      fc.property(gains, (some) => {
        if (!isBetter(some)) return;
        for (const what of ['kept', 'worth'] as const)
          expect(some.reduce((all, one) => all + one[what], 0)).toBeGreaterThan(0);
        expect(isBetter(some.map(({ kept, worth }) => ({ kept: -kept, worth: -worth })))).toBe(false);
      }),
      { numRuns: 2000 },
    );
    for (const one of [0.2, 0.9, 3])
      expect(isBetter([alike(one), ...Array.from({ length: 29 }, () => alike(-0.01))])).toBe(false);
  });

  // Student's test of paired differences (Gosset 1908): a true gain of nothing passes one standard error 16 times in 100.
  test('chance alone switches it on about once in six times, a gain of three standard errors nearly always', () => {
    const random = seeded(4);
    const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
    const share = (mean: number) => {
      let on = 0;
      for (let i = 0; i < 2000; i++)
        if (isBetter(Array.from({ length: 30 }, () => alike(mean + 0.1 * normal())))) on++;
      return on / 2000;
    };
    expect(share(0)).toBeGreaterThan(0.1);
    expect(share(0)).toBeLessThan(0.2);
    expect(share((3 * 0.1) / Math.sqrt(30))).toBeGreaterThan(0.95);
  });
});
