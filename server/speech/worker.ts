/** The process that hears: loads the recognizer, then answers one clip after another. Started by `hear.ts` only. */
import type { Listener } from '../../grammar/decoding/listener.ts';
import { type HeardPerson, nobodyKnown } from '../../grammar/decoding/recognizer.ts';
import type { OutputLayer } from '../../shared/sound/output-layer.ts';
import { unpackVoice } from '../../shared/sound/voice-profile.ts';
import { heardLanguage, type LoadedRecognizer, loadRecognizer } from './recognizer.ts';
import type { FromWorker, SpeakerKnown, ToWorker } from './worker-messages.ts';

const post = (message: FromWorker) => process.send?.(message);
process.on('disconnect', () => process.exit());

const personOf = ({ voice, said }: SpeakerKnown, shipped: OutputLayer | null): HeardPerson => ({
  voice: voice === null || shipped === null ? null : unpackVoice(voice, shipped),
  said,
});

/** What may come in for one recognizer. */
function answering({ recognizer, shipped, voice }: LoadedRecognizer): (message: ToWorker) => Promise<void> {
  const streams = new Map<number, Listener>();
  return async (message) => {
    switch (message.type) {
      case 'teach':
        recognizer.learn(heardLanguage(message.taught));
        return;
      case 'hear': {
        const { id, samples, speaker } = message;
        try {
          const person = speaker === undefined ? nobodyKnown : personOf(speaker, shipped);
          post({ type: 'heard', id, result: await recognizer.recognize(samples, person) });
        } catch (problem) {
          post({ type: 'broken', id, message: String(problem) });
        }
        return;
      }
      case 'follow': {
        const { stream, wakeWord } = message;
        streams.set(
          stream,
          recognizer.follow(wakeWord, (event) => post({ type: 'listened', stream, event })),
        );
        post({ type: 'following', stream, voice: voice.kind });
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
  const loaded = await loadRecognizer(process.argv[2]!);
  process.on('message', answering(loaded));
  if (loaded.voice.trouble) console.error(loaded.voice.trouble);
  post({ type: 'ready' });
} catch (problem) {
  post({ type: 'failed', message: problem instanceof Error ? problem.message : String(problem) });
}
