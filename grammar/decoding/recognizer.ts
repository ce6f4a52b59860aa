/**
 * One clip, or a stream of sound, to what it may mean: features, acoustic model, search of the grammar, confidence. The
 * server and the page run the same one; each hands in how its runtime runs the two networks.
 */
import { err } from '../../shared/core/result.ts';
import { type LogMel, sampleRate } from '../../shared/sound/log-mel.ts';
import type { VoiceActivity } from '../../shared/sound/voice-activity.ts';
import { featuresOf, overWindows } from '../../shared/sound/windows.ts';
import type { Automaton } from '../automaton/automaton.ts';
import type { Description } from '../description/model.ts';
import { createLexicon } from '../pronunciation/lexicon.ts';
import type { ClipResult } from './clip-result.ts';
import { withConfidence } from './confidence.ts';
import { createNoteEndings, type NoteEndings } from './endpointing.ts';
import { withLanguageModel } from './language-model.ts';
import { type Listened, Listener, type ListenLanguage } from './listener.ts';
import { Search } from './search.ts';
import { earGraph, wakeWords } from './wake-word.ts';

/** A language as it is heard: what can be said, and the names that a book makes likelier in it. */
export interface HeardLanguage {
  readonly automaton: Automaton;
  readonly description: Description;
}

export interface RecognizerParts {
  /** Runs the acoustic model on one window of features: log-probabilities, `outputs` a frame, frame by frame. */
  encode(window: LogMel): Promise<{ readonly data: Float32Array; readonly outputs: number }>;
  /** Names of the model's outputs: blank first, then the phones in the order of the lexicon. */
  readonly phones: readonly string[];
  /** Each call gives a voice activity of its own, for one stream. */
  voiceActivity(): VoiceActivity;
  /** Milliseconds, for the timings of streams only. */
  clock(): number;
}

/** The longest clip that is heard, seconds. */
export const longestClipSeconds = 30;
/** Wake words whose language is kept: each holds some megabytes. */
const mostLanguages = 3;

export class Recognizer {
  readonly #parts: RecognizerParts;
  readonly #lexicon = createLexicon();
  #language: HeardLanguage | null = null;
  #search: Search | null = null;
  #endings: NoteEndings | null = null;
  /** What listening needs of the language, by wake word; made anew when another language is learnt. */
  readonly #following = new Map<string, ListenLanguage>();

  constructor(parts: RecognizerParts) {
    this.#parts = parts;
  }

  /** Spells a language out for the search, in the place of the one before. Blocks some tenths of a second. */
  learn({ automaton, description }: HeardLanguage): void {
    const weighted = automaton.arcWeights ? automaton : withLanguageModel(automaton, description);
    this.#language = { automaton: weighted, description };
    this.#search = this.#spelled([]);
    this.#endings = createNoteEndings(weighted, description);
    this.#following.clear();
  }

  /** Hears one clip: 16 kHz, mono, -1 to 1. */
  async recognize(samples: Float32Array): Promise<ClipResult> {
    const search = this.#search;
    if (search === null) return err({ kind: 'deaf', message: 'No language was learnt yet.' });
    const seconds = samples.length / sampleRate;
    if (seconds > longestClipSeconds) {
      const message = `A clip may last ${longestClipSeconds} s; this one lasts ${seconds.toFixed(1)} s.`;
      return err({ kind: 'tooLong', message });
    }
    const { phones, encode } = this.#parts;
    const acoustics = await overWindows(featuresOf(samples), phones.length, (window) => encode(window));
    search.reset();
    search.push(acoustics.logp, acoustics.frames);
    return withConfidence(search.finish(), seconds);
  }

  /** Listens without a button, with this wake word before every note (none: null); tells what it hears as it comes. */
  follow(wakeWord: string | null, tell: (event: Listened) => void): Listener {
    const words = wakeWords(wakeWord);
    const { phones, encode, voiceActivity, clock } = this.#parts;
    return new Listener({
      voice: voiceActivity(),
      ear: {
        encode: (window) => encode(window),
        outputs: phones.length,
        language: () => this.#listening(words),
      },
      tell,
      clock,
    });
  }

  #listening(wakeWord: readonly string[]): ListenLanguage {
    const key = wakeWord.join(' ');
    const known = this.#following.get(key);
    if (known !== undefined) return known;
    if (this.#search === null || this.#endings === null) throw new Error('no language was learnt yet');
    const language = {
      search: wakeWord.length === 0 ? this.#search : this.#spelled(wakeWord),
      endings: this.#endings,
      wakeWord: wakeWord.length,
    };
    if (this.#following.size >= mostLanguages)
      this.#following.delete(this.#following.keys().next().value ?? '');
    this.#following.set(key, language);
    return language;
  }

  #spelled(wakeWord: readonly string[]): Search {
    const { automaton, description } = this.#language ?? {};
    if (automaton === undefined || description === undefined) throw new Error('no language was learnt yet');
    return new Search(earGraph(automaton, description, this.#lexicon, wakeWord));
  }
}
