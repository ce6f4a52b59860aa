/**
 * Hearing in the page: the same acoustic model, search and judgement as on the server, on the web runtime of
 * @xenova/transformers. Everything it loads comes from this page's own address and stays in the browser's cache.
 */
import { AutoModelForCTC, env, Tensor } from '@xenova/transformers';
import type { Automaton } from '../../grammar/automaton/automaton.ts';
import { withConfidence } from '../../grammar/decoding/confidence.ts';
import { createNoteEndings, type NoteEndings } from '../../grammar/decoding/endpointing.ts';
import { withLanguageModel } from '../../grammar/decoding/language-model.ts';
import { type Listened, Listener, type ListenLanguage } from '../../grammar/decoding/listener.ts';
import { Search } from '../../grammar/decoding/search.ts';
import { earGraph, wakeWords } from '../../grammar/decoding/wake-word.ts';
import type { Description } from '../../grammar/description/model.ts';
import { createLexicon } from '../../grammar/pronunciation/lexicon.ts';
import { bands, type LogMel, sampleRate } from '../../shared/sound/log-mel.ts';
import { featuresOf, overWindows } from '../../shared/sound/windows.ts';
import type { HeardSound } from '../conversation/ear.ts';
import { openActivity } from './voice-activity.ts';

export interface Ear {
  /** Spells a language out for the search; takes some tenths of a second. */
  learn(automaton: Automaton, description: Description): void;
  hear(samples: Float32Array): Promise<HeardSound>;
  /** Listens without a button, with these words before every note; each listener replaces the one before. */
  follow(wakeWord: string | null, tell: (event: Listened) => void): Promise<Listener>;
}

/** Where the network is that tells a voice from other sounds. */
const activityFile = '/voice-activity/silero_vad.onnx';

/** `model` is the address of the model's folder, `runtime` of the folder of its WebAssembly. */
export async function openEar(where: { readonly model: string; readonly runtime: string }): Promise<Ear> {
  const folder = where.model.replace(/\/$/, '');
  env.allowRemoteModels = false;
  env.allowLocalModels = true;
  env.localModelPath = folder.slice(0, folder.lastIndexOf('/') + 1);
  env.useBrowserCache = true;
  // Threads need isolation from other pages; one is fast enough for three seconds of sound.
  env.backends.onnx.wasm.numThreads = 1;
  env.backends.onnx.wasm.wasmPaths = where.runtime;
  const phones = (await (await cached(`${folder}/phones.txt`)).text()).trim().split('\n');
  const model = (await AutoModelForCTC.from_pretrained(folder.slice(folder.lastIndexOf('/') + 1), {
    quantized: true,
  })) as unknown as (inputs: object) => Promise<{ logits: { data: Float32Array; dims: number[] } }>;
  // With the rest of the ear, so that it is there without a network, too.
  const activity = await openActivity(await cached(activityFile).then(bytes, () => null));
  const encode = async (window: LogMel) => {
    const input = new Tensor('float32', window.data, [1, bands, window.frames]);
    const { logits } = await model({ input_features: input });
    return { data: logits.data, outputs: logits.dims[2]! };
  };
  let search: Search | null = null;
  let endings: NoteEndings | null = null;
  let attended: readonly string[] = [];
  let following: ListenLanguage | null = null;
  /** A search of its own where notes begin with an attention word. */
  let spelled: (wakeWord: readonly string[]) => Search;
  const language = (): ListenLanguage => {
    following ??= {
      search: attended.length === 0 ? search! : spelled(attended),
      endings: endings!,
      wakeWord: attended.length,
    };
    return following;
  };
  return {
    learn(automaton, description) {
      const lexicon = createLexicon();
      const weighed = automaton.arcWeights ? automaton : withLanguageModel(automaton, description);
      spelled = (wakeWord) => new Search(earGraph(weighed, description, lexicon, wakeWord));
      search = spelled([]);
      endings = createNoteEndings(weighed, description);
      following = null;
    },
    async follow(wakeWord, tell) {
      attended = wakeWords(wakeWord);
      following = null;
      return new Listener({
        voice: activity(),
        ear: { encode, outputs: phones.length, language: () => language() },
        tell,
        clock: () => performance.now(),
      });
    },
    async hear(samples) {
      if (search === null) return { kind: 'deaf', sentence: 'The ear of this page knows no language yet.' };
      const acoustics = await overWindows(featuresOf(samples), phones.length, encode);
      search.reset();
      search.push(acoustics.logp, acoustics.frames);
      const judged = withConfidence(search.finish(), samples.length / sampleRate);
      return judged.ok
        ? { kind: 'heard', candidates: judged.value.candidates, facts: judged.value.facts }
        : { kind: 'nothing', sentence: judged.error.message };
    },
  };
}

/** A small file from this address, or as it was when there was a network. */
async function cached(address: string): Promise<Response> {
  const cache = await caches.open('transformers-cache');
  const known = await cache.match(address);
  if (known) return known;
  const response = await fetch(address);
  if (!response.ok) throw new Error(`the model is missing (${address})`);
  await cache.put(address, response.clone());
  return response;
}

const bytes = async (response: Response): Promise<Uint8Array> => new Uint8Array(await response.arrayBuffer());
