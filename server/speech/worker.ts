/** The process that hears: loads the recogniser, then answers one clip after another. Started by `hear.ts` only. */
import type { FromWorker, ToWorker } from './heard.ts';
import { loadRecogniser } from './recogniser.ts';

const post = (message: FromWorker) => process.send?.(message);
process.on('disconnect', () => process.exit());

try {
  const recogniser = await loadRecogniser(process.argv[2]!);
  process.on('message', async (message: ToWorker) => {
    if (message.type === 'teach') {
      recogniser.teach(message.words);
      return;
    }
    const { id, samples } = message;
    try {
      post({ type: 'heard', id, result: await recogniser.recognise(samples) });
    } catch (problem) {
      post({ type: 'broken', id, message: String(problem) });
    }
  });
  post({ type: 'ready' });
} catch (problem) {
  post({ type: 'failed', message: problem instanceof Error ? problem.message : String(problem) });
}
