/**
 * The recognizer on the server: the acoustic model and the voice activity network on onnxruntime-node, the language from
 * the cache of compiled grammars. Runs where it is called and blocks there; servers go through `hear.ts`.
 */
import { type HeardLanguage, Recognizer } from '../../grammar/decoding/recognizer.ts';
import { grammar, withUserWords } from '../../grammar/description/grammar.ts';
import { nothingTaught, type Taught } from '../../shared/book/taught.ts';
import type { OutputLayer } from '../../shared/sound/output-layer.ts';
import type { VoiceActivity } from '../../shared/sound/voice-activity.ts';
import { keptAutomaton } from '../language/automaton-cache.ts';
import { loadAcousticModel } from './acoustic.ts';
import { loadActivity } from './voice-activity.ts';

export interface LoadedRecognizer {
  readonly recognizer: Recognizer;
  /** The last layer that the model came with; null where its file does not tell it. */
  readonly shipped: OutputLayer | null;
  /** How it tells a voice from other sounds, and why not by the network where it does not. */
  readonly voice: { readonly kind: VoiceActivity['kind']; readonly trouble: string | null };
}

/** The language of the program with what a book taught. Names change what is expected, not what can be said. */
export function heardLanguage({ words, names }: Taught = nothingTaught): HeardLanguage {
  return {
    automaton: keptAutomaton(withUserWords(grammar, words)),
    description: withUserWords(grammar, words, names),
  };
}

/** Loads the acoustic model of a folder. Throws an Error with a sentence for the user when it cannot. */
export async function loadRecognizer(folder: string): Promise<LoadedRecognizer> {
  const { phones, encode, outputLayer } = await loadAcousticModel(folder);
  let trouble: string | null = null;
  const voiceActivity = await loadActivity(undefined, (sentence) => {
    trouble = sentence;
  });
  const recognizer = new Recognizer({ encode, phones, voiceActivity, clock: () => performance.now() });
  recognizer.learn(heardLanguage());
  return { recognizer, shipped: outputLayer, voice: { kind: voiceActivity().kind, trouble } };
}
