/**
 * A lesson in a process of its own: it takes seconds of a whole core, and what runs the model may not be a thread (see
 * `hear.ts`). The program hears and answers meanwhile.
 */
import type { VoiceLearnt, VoiceMaterial } from '../../grammar/learning/voice-lesson.ts';
import type { Taught } from '../../shared/book/taught.ts';
import { err, ok, type Result } from '../../shared/core/result.ts';
import { places } from '../program/places.ts';
import { startProcess } from '../program/processes.ts';

/** To the process, once. */
export interface ToLesson {
  /** Folder of the acoustic model. */
  readonly model: string;
  readonly taught: Taught;
  readonly material: VoiceMaterial;
}
/** From the process, once. */
export type FromLesson = { readonly learnt: VoiceLearnt } | { readonly failed: string };

/** A lesson that takes longer hangs: eighty clips take half a minute. */
const patienceMs = 300_000;

/** Learns a voice, or the sentence why it could not. Never rejects. */
export function learnVoiceElsewhere(
  material: VoiceMaterial,
  taught: Taught,
  model = places.model,
): Promise<Result<VoiceLearnt, string>> {
  const lesson = startProcess('lesson');
  return new Promise((resolve) => {
    const settle = (result: Result<VoiceLearnt, string>) => {
      clearTimeout(timer);
      lesson.kill('SIGKILL');
      resolve(result);
    };
    const timer = setTimeout(() => settle(err('The lesson took too long; nothing is changed.')), patienceMs);
    lesson.once('message', (message: FromLesson) =>
      settle('learnt' in message ? ok(message.learnt) : err(message.failed)),
    );
    lesson.once('error', (cause) => settle(err(`The lesson could not be begun: ${cause.message}`)));
    lesson.once('close', () => settle(err('The lesson stopped; nothing is changed.')));
    lesson.send({ model, taught, material } satisfies ToLesson);
  });
}
