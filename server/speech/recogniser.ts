/**
 * One clip to what it may mean: features, acoustic model, search of the grammar, belief. Runs where it is called
 * and blocks there; servers go through `hear.ts`.
 */

import { withConfidence } from '../../grammar/decoding/confidence.ts';
import { createNoteEndings } from '../../grammar/decoding/endpointing.ts';
import { type Listened, Listener, type ListenLanguage } from '../../grammar/decoding/listener.ts';
import { Search } from '../../grammar/decoding/search.ts';
import { earGraph, wakeWords } from '../../grammar/decoding/wake-word.ts';
import { grammar, withUserWords } from '../../grammar/description/grammar.ts';
import { createLexicon, type Lexicon } from '../../grammar/pronunciation/lexicon.ts';
import type { PhoneGraph } from '../../grammar/pronunciation/phone-graph.ts';
import { nothingTaught, type Taught } from '../../shared/book/taught.ts';
import { err, ok, type Result } from '../../shared/core/result.ts';
import { sampleRate } from '../../shared/sound/log-mel.ts';
import { keptAutomaton } from '../language/automaton-cache.ts';
import { type AcousticModel, loadAcousticModel } from './acoustic.ts';
import { longest } from './audio.ts';
import type { HeardClip, Refusal } from './heard.ts';
import { loadActivity } from './voice-activity.ts';

export interface Recogniser {
  /** Samples: 16 kHz, mono, -1 to 1. */
  recognise(samples: Float32Array): Promise<Result<HeardClip, Refusal>>;
  /** Hears these words of the user and names of the book from the next clip on, and none taught before. Blocks about half a second. */
  teach(taught: Taught): void;
  /** Listens without a button, with these words before every note; tells what it hears as it comes. */
  follow(wakeWord: string | null, tell: (event: Listened) => void): Listener;
  /** How it tells a voice from other sounds, and why not by the network where it does not. */
  readonly voice: { readonly kind: 'network' | 'energy'; readonly trouble: string | null };
}

/**
 * Spells the grammar of the program out for the search, with the user's words and, where there is one, the attention
 * word before every note. Takes a moment: once a process.
 */
export function ownGraph(
  { words, names }: Taught = nothingTaught,
  lexicon: Lexicon = createLexicon(),
  wakeWord: readonly string[] = [],
): PhoneGraph {
  // Names change what is expected, not what can be said: the automaton is that of the words alone.
  const automaton = keptAutomaton(withUserWords(grammar, words));
  return earGraph(automaton, withUserWords(grammar, words, names), lexicon, wakeWord);
}

/** Attention words whose language is kept: each holds some megabytes. */
const mostLanguages = 3;

/** Loads the acoustic model of a folder. Throws an Error with a sentence for the user when it cannot. */
export async function loadRecogniser(folder: string, graph?: PhoneGraph): Promise<Recogniser> {
  const model = await loadAcousticModel(folder);
  let trouble: string | null = null;
  const activity = await loadActivity(undefined, (sentence) => {
    trouble = sentence;
  });
  let taught = nothingTaught;
  let search = new Search(graph ?? ownGraph());
  /** What listening needs of the language, by attention word; made anew when words are taught. */
  const languages = new Map<string, ListenLanguage>();
  const languageOf = (wakeWord: readonly string[]): ListenLanguage => {
    const key = wakeWord.join(' ');
    let language = languages.get(key);
    if (language === undefined) {
      const plain = wakeWord.length === 0;
      const description = withUserWords(grammar, taught.words);
      language = {
        search: plain ? search : new Search(ownGraph(taught, undefined, wakeWord)),
        endings: createNoteEndings(keptAutomaton(description), description),
        wakeWord: wakeWord.length,
      };
      if (languages.size >= mostLanguages) languages.delete(languages.keys().next().value!);
      languages.set(key, language);
    }
    return language;
  };
  return {
    recognise: (samples) => recognise(model, search, samples),
    teach(now) {
      taught = now;
      search = new Search(ownGraph(now));
      languages.clear();
    },
    follow(wakeWord, tell) {
      const words = wakeWords(wakeWord);
      languageOf(words);
      return new Listener({
        voice: activity(),
        ear: { encode: model.encode, outputs: model.phones.length, language: () => languageOf(words) },
        tell,
        clock: () => performance.now(),
      });
    },
    voice: { kind: activity().kind, trouble },
  };
}

async function recognise(
  model: AcousticModel,
  search: Search,
  samples: Float32Array,
): Promise<Result<HeardClip, Refusal>> {
  if (samples.length > longest * sampleRate) {
    const message = `A clip may last ${longest} s; this one lasts ${(samples.length / sampleRate).toFixed(1)} s.`;
    return err({ kind: 'tooLong', message, phones: '', timings: { features: 0, encoder: 0, search: 0 } });
  }
  const acoustics = await model.run(samples);
  const start = performance.now();
  search.reset();
  search.push(acoustics.logp, acoustics.frames);
  const found = search.finish();
  const timings = { ...acoustics.milliseconds, search: performance.now() - start };
  const phones = Array.from(found.phones, (phone) => model.phones[phone]!).join(' ');
  const judged = withConfidence(found, samples.length / sampleRate);
  return judged.ok ? ok({ ...judged.value, phones, timings }) : err({ ...judged.error, phones, timings });
}
