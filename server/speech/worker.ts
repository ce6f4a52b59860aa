/** The process that hears: loads the recogniser, then answers one clip after another. Started by `hear.ts` only. */
import type { Listener } from '../../grammar/decoding/listener.ts';
import type { FromWorker, ToWorker } from './heard.ts';
import { loadRecogniser, type Recogniser } from './recogniser.ts';

const post = (message: FromWorker) => process.send?.(message);
process.on('disconnect', () => process.exit());

/** What may come in for one recogniser. */
function answering(recogniser: Recogniser): (message: ToWorker) => Promise<void> {
  const streams = new Map<number, Listener>();
  return async (message) => {
    switch (message.type) {
      case 'teach':
        recogniser.teach(message.taught);
        return;
      case 'hear': {
        const { id, samples } = message;
        try {
          post({ type: 'heard', id, result: await recogniser.recognise(samples) });
        } catch (problem) {
          post({ type: 'broken', id, message: String(problem) });
        }
        return;
      }
      case 'follow': {
        const { stream, wakeWord } = message;
        streams.set(
          stream,
          recogniser.follow(wakeWord, (event) => post({ type: 'listened', stream, event })),
        );
        post({ type: 'following', stream, voice: recogniser.voice.kind });
        return;
      }
      case 'sound': {
        const { stream, samples } = message;
        await streams.get(stream)?.push(samples);
        post({ type: 'taken', stream, samples: samples.length });
        return;
      }
      case 'attend':
        streams.get(message.stream)?.attend(message.gate);
        return;
      case 'leave':
        streams.delete(message.stream);
    }
  };
}

try {
  const recogniser = await loadRecogniser(process.argv[2]!);
  process.on('message', answering(recogniser));
  if (recogniser.voice.trouble) console.error(recogniser.voice.trouble);
  post({ type: 'ready' });
} catch (problem) {
  post({ type: 'failed', message: problem instanceof Error ? problem.message : String(problem) });
}
