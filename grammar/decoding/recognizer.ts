/**
 * One clip, or a stream of sound, to what it may mean: features, acoustic model, search of the grammar, confidence. The
 * server and the page run the same one; each hands in how its runtime runs the two networks.
 */
import { err } from '../../shared/core/result.ts';
import { type LogMel, sampleRate } from '../../shared/sound/log-mel.ts';
import { noiseLevelOf } from '../../shared/sound/noise-level.ts';
import { applyOutputLayer, type OutputLayer } from '../../shared/sound/output-layer.ts';
import { behindGate } from '../../shared/sound/quiet-gate.ts';
import type { VoiceActivity } from '../../shared/sound/voice-activity.ts';
import { type Encoded, featuresOf, overWindows } from '../../shared/sound/windows.ts';
import type { ArcWeights, Automaton } from '../automaton/automaton.ts';
import type { Description } from '../description/model.ts';
import { createLexicon } from '../pronunciation/lexicon.ts';
import { CacheModel, type SaidNote } from './cache-model.ts';
import type { ClipResult } from './clip-result.ts';
import { type ClipFacts, withConfidence } from './confidence.ts';
import { createNoteEndings, type NoteEndings } from './endpointing.ts';
import { withLanguageModel } from './language-model.ts';
import { type Listened, Listener, type ListenLanguage } from './listener.ts';
import { Search } from './search.ts';
import { earGraph, wakeWords, withWakeWordWeights } from './wake-word.ts';

/** A language as it is heard: what can be said, and the names that a book makes likelier in it. */
export interface HeardLanguage {
  readonly automaton: Automaton;
  readonly description: Description;
}

interface RecognizerParts {
  /** Runs the acoustic model on one window of features: log-probabilities, `outputs` a frame, frame by frame. */
  encode(window: LogMel): Promise<Encoded>;
  /** Names of the model's outputs: blank first, then the phones in the order of the lexicon. */
  readonly phones: readonly string[];
  /** Each call gives a voice activity of its own, for one stream. */
  voiceActivity(): VoiceActivity;
  /** Milliseconds, for the timings of streams only. */
  clock(): number;
}

/** One person, as far as hearing can know one. */
export interface HeardPerson {
  /** The last layer fitted to the voice; null: the one that the model came with. */
  readonly voice: OutputLayer | null;
  /** What was said in this stand and whether it stood, the latest last. */
  readonly said: readonly SaidNote[];
}

/** Anybody. */
export const nobodyKnown: HeardPerson = { voice: null, said: [] };

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
  #person = nobodyKnown;
  #cacheModel: CacheModel | null = null;
  /** Weights of persons, with the automaton that they are of. */
  readonly #weights = new WeakMap<HeardPerson, { readonly of: Automaton; readonly weights: ArcWeights }>();
  /** What listening needs of the language, by wake word; made anew when another language is learnt. */
  readonly #following = new Map<string, ListenLanguage>();

  constructor(parts: RecognizerParts) {
    this.#parts = parts;
  }

  /** Spells a language out for the search, in the place of the one before. Blocks some tenths of a second. */
  learn({ automaton, description }: HeardLanguage): void {
    const weighted = automaton.arcWeights ? automaton : withLanguageModel(automaton, description);
    this.#language = { automaton: weighted, description };
    this.#cacheModel = null;
    this.#search = this.#spelled([]);
    this.#endings = createNoteEndings(weighted, description);
    this.#following.clear();
    if (this.#person.said.length > 0) this.#weigh();
  }

  /** Who speaks from the next clip on. What was said is taken in within milliseconds, once the language is learnt. */
  adapt(person: HeardPerson): void {
    const silent = person.said.length === 0 && this.#person.said.length === 0;
    this.#person = person;
    if (!silent) this.#weigh();
  }

  /** What the encoder makes of a clip of at most one window, rest included; null where the model does not tell it. */
  async hidden(samples: Float32Array): Promise<Float32Array | null> {
    const { hidden } = await this.#parts.encode(featuresOf(samples));
    return hidden?.slice() ?? null;
  }

  /** What log probabilities of a clip may mean to the person in force. */
  judge(logp: Float32Array, frames: number, facts: ClipFacts): ClipResult {
    const search = this.#search;
    if (search === null) return err({ kind: 'deaf', message: 'No language was learnt yet.' });
    search.reset();
    search.push(logp, frames);
    return withConfidence(search.finish(), facts);
  }

  /** The language in force. */
  get language(): HeardLanguage | null {
    return this.#language;
  }

  /** Does something, at once, with the language of somebody else. */
  as<T>(person: HeardPerson, work: () => T): T {
    if (person === this.#person) return work();
    const weights = this.#weightsOf(person);
    const before = this.#weightsOf(this.#person);
    if (weights === null || before === null || weights === before) return work();
    this.#search?.weigh(weights);
    try {
      return work();
    } finally {
      this.#search?.weigh(before);
    }
  }

  /** How usual words are for a person; null before a language is learnt. */
  #weightsOf(person: HeardPerson): ArcWeights | null {
    const automaton = this.#language?.automaton;
    if (automaton?.arcWeights === undefined) return null;
    if (person.said.length === 0) return automaton.arcWeights;
    const known = this.#weights.get(person);
    if (known?.of === automaton) return known.weights;
    this.#cacheModel ??= new CacheModel(automaton, automaton.arcWeights);
    const weights = this.#cacheModel.weights(person.said);
    this.#weights.set(person, { of: automaton, weights });
    return weights;
  }

  #weigh(): void {
    const weights = this.#weightsOf(this.#person);
    if (weights === null) return;
    this.#search?.weigh(weights);
    for (const { search, wakeWord } of this.#following.values())
      if (wakeWord > 0) search.weigh(withWakeWordWeights(weights, wakeWord));
  }

  async #encode(window: LogMel, { voice } = this.#person): Promise<Encoded> {
    const encoded = await this.#parts.encode(window);
    if (voice === null || encoded.hidden === undefined) return encoded;
    return { ...encoded, data: applyOutputLayer(voice, encoded.hidden) };
  }

  /** Hears one clip: 16 kHz, mono, -1 to 1; by the person in force unless another one is named. */
  async recognize(samples: Float32Array, person = this.#person): Promise<ClipResult> {
    const search = this.#search;
    if (search === null) return err({ kind: 'deaf', message: 'No language was learnt yet.' });
    const seconds = samples.length / sampleRate;
    if (seconds > longestClipSeconds) {
      const message = `A clip may last ${longestClipSeconds} s; this one lasts ${seconds.toFixed(1)} s.`;
      return err({ kind: 'tooLong', message });
    }
    const outputs = this.#parts.phones.length;
    const { logp, frames } = await overWindows(featuresOf(samples), outputs, (window) =>
      this.#encode(window, person),
    );
    return this.as(person, () => this.judge(logp, frames, { seconds, noise: noiseLevelOf(samples) }));
  }

  /** Listens without a button, with this wake word before every note (none: null); tells what it hears as it comes. */
  follow(wakeWord: string | null, tell: (event: Listened) => void): Listener {
    const words = wakeWords(wakeWord);
    const { phones, voiceActivity, clock } = this.#parts;
    const voice = voiceActivity();
    return new Listener({
      voice: voice.kind === 'network' ? behindGate(voice) : voice,
      ear: {
        encode: (window) => this.#encode(window),
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
    const search = new Search(earGraph(automaton, description, this.#lexicon, wakeWord));
    const weights = this.#person.said.length > 0 ? this.#weightsOf(this.#person) : null;
    if (weights !== null) {
      search.weigh(wakeWord.length === 0 ? weights : withWakeWordWeights(weights, wakeWord.length));
    }
    return search;
  }
}
