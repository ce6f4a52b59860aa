/** The process that learns a voice: one lesson, then it ends. Started by `lesson.ts` only. */
import { learnFrom } from '../../grammar/learning/voice-lesson.ts';
import type { FromLesson, ToLesson } from './lesson.ts';
import { heardLanguage, loadRecognizer } from './recognizer.ts';

process.on('disconnect', () => process.exit());
process.once('message', async ({ model, taught, material }: ToLesson) => {
  let reply: FromLesson;
  try {
    const { recognizer, shipped } = await loadRecognizer(model);
    recognizer.learn(heardLanguage(taught));
    // Nobody else is heard here, so there is nobody to let in between.
    const learnt = await learnFrom(recognizer, material, {
      shipped,
      breathe: () => Promise.resolve(),
      clock: () => performance.now(),
    });
    reply = typeof learnt === 'string' ? { failed: learnt } : { learnt };
  } catch (problem) {
    reply = { failed: problem instanceof Error ? problem.message : String(problem) };
  }
  process.send?.(reply, () => process.disconnect());
});
