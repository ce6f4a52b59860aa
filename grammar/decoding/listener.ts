/**
 * Listening without hands: sound comes in as it is recorded, notes come out as they are finished. Cuts the sound by
 * voice activity and grammar, hears while the person still speaks, and tells nothing of what was no note. Page and
 * server run the same one; the two networks are handed in.
 */
import type { Heard } from '../../shared/note/journal.ts';
import type { Candidate } from '../../shared/note/note.ts';
import {
  afterClip,
  type Decided,
  type EndpointState,
  endpointLimits,
  hasEnded,
  type ListeningGate,
  listen,
  quietState,
  type Standing,
} from '../../shared/sound/endpointing.ts';
import { GrowingFeatures } from '../../shared/sound/growing-features.ts';
import { type LogMel, sampleRate } from '../../shared/sound/log-mel.ts';
import { noiseOfLevels } from '../../shared/sound/noise-level.ts';
import {
  loudness,
  type VoiceActivity,
  voiceFrame,
  voiceFrameSeconds,
} from '../../shared/sound/voice-activity.ts';
import { type Frames, frameSeconds, overWindows, restSeconds } from '../../shared/sound/windows.ts';
import { withConfidence } from './confidence.ts';
import type { NoteEndings } from './endpointing.ts';
import type { Search, SearchResult } from './search.ts';

/** What listening tells; positions are samples since the first one pushed. */
export type Listened =
  | { readonly kind: 'speech'; readonly speaking: boolean }
  /** The words so far of what is being said. */
  | { readonly kind: 'partial'; readonly words: readonly string[] }
  | {
      readonly kind: 'heard';
      readonly from: number;
      readonly to: number;
      readonly candidates: readonly Candidate[];
      readonly facts: Heard;
      /** Where the sound was listened to in this very process. */
      readonly timings?: ListenTimings;
    }
  /** Speech that was no note, or too long for one. */
  | { readonly kind: 'ignored'; readonly from: number; readonly to: number; readonly why: string }
  /** Speech that could not be heard here: another ear may. */
  | { readonly kind: 'unheard'; readonly from: number; readonly to: number }
  /** Somebody spoke over the reply: it should stop. */
  | { readonly kind: 'interrupted' }
  /** Nothing before this sample will be looked at again. */
  | { readonly kind: 'passed'; readonly to: number };

/** Milliseconds of the last look at the words, and from the end of the clip to its answer. */
interface ListenTimings {
  readonly features: number;
  readonly encoder: number;
  readonly search: number;
  readonly afterEnd: number;
}

/** What the language in force gives to listening. */
export interface ListenLanguage {
  readonly search: Search;
  readonly endings: NoteEndings;
  /** Words that stand before every note and are no part of it. */
  readonly wakeWord: number;
}

/** What turns a clip into words. */
interface ListenEar {
  /** Runs the acoustic model on features: one row of natural log probabilities a frame. */
  readonly encode: (features: LogMel) => Promise<{ readonly data: Float32Array; readonly outputs: number }>;
  /** Outputs of the model a frame. */
  readonly outputs: number;
  /** The language in force when a clip begins. */
  readonly language: () => ListenLanguage;
}

interface ListenerParts {
  readonly voice: VoiceActivity;
  /** Null: nothing is heard, clips are only cut out by their silences. */
  readonly ear: ListenEar | null;
  readonly tell: (event: Listened) => void;
  /** Milliseconds, for the timings only. */
  readonly clock?: () => number;
}

/** The end of a note further behind the best path than this, in nats, is not looked at: more of it is being said. */
const behindAtMost = 20;
/** With less belief than this, 0 to 1, that a note is all that was said, more of it is waited for. */
const wholeFrom = 0.5;
/**
 * With less belief than this that it was any note at all, nothing is said: nobody pressed a button, so it is more
 * likely talk than a note to be asked about.
 */
const answeredFrom = 0.5;
/** Nats that an wake word may lose against the free phones: of words that were said 97 of 100 lose less. */
const attentionLoss = 12;
/**
 * Voice frames between two looks at the words while somebody speaks: at least so many, and so large a part of what was said
 * so far. A look hears all of it anew, so that looks at even distances would cost the square of its length.
 */
const lookEvery = { least: 10, part: 0.3 } as const;
/**
 * Nats, and more for each second, by which the best note is worse than the free phones once a clip can no longer become
 * one: losses only grow. Talk comes there after 1.5 s; of 1 257 notes in any noise none came nearer than 26
 * nats. From there on nothing is looked at until the clip has ended.
 */
const hopeless = { least: 30, perSecond: 20 } as const;
/**
 * Frames in which the acoustic model hears no phone behind a whole note, after which the note has ended though somebody
 * speaks: other people do, further away, whom the model takes for noise and the voice network for a voice.
 */
const alone = Math.round(0.5 / voiceFrameSeconds);
/** Silent frames that a look must have seen for its words to be final. */
const settled = endpointLimits.paused;
/** Frames kept from before the present one, for the pre-roll and an interruption. */
const keptFrames = 4 * endpointLimits.preroll;
/** Frames of quiet after which `passed` is told again. */
const passedEvery = 31;

interface Clip {
  readonly from: number;
  readonly features: GrowingFeatures;
  /** Loudness of its frames, decibels of full scale. */
  readonly levels: number[];
  readonly language: ListenLanguage | null;
  standing: Standing;
  /** What the last look found, where it found a whole note. */
  found: SearchResult | null;
  /** Frames of the machine when the words were last looked at. */
  looked: number;
  shown: string;
  /** Whatever still comes, it is no note. */
  hopeless: boolean;
  /** Seconds behind the last phone that the last look heard. */
  rested: number;
  timings: { features: number; encoder: number; search: number };
}

export class Listener {
  #state: EndpointState = quietState;
  #clip: Clip | null = null;
  /** Samples that do not fill a frame yet. */
  #rest = new Float32Array(0);
  /** The last frames, the newest last; frame f is at `f - #keptFrom`. */
  #kept: Float32Array[] = [];
  #gate: ListeningGate = 'open';
  #quiet = 0;
  #work: Promise<void> = Promise.resolve();
  readonly #clock: () => number;

  constructor(private readonly parts: ListenerParts) {
    this.#clock = parts.clock ?? (() => 0);
  }

  /** Takes more sound: 16 kHz, mono, -1 to 1, any length. Resolves when it was listened to. */
  push(samples: Float32Array): Promise<void> {
    const done = this.#work.then(() => this.#take(samples));
    this.#work = done.catch(() => undefined);
    return done;
  }

  /** How to listen to what is pushed from now on; what waits is listened to as it was said. */
  attend(gate: ListeningGate): void {
    this.#work = this.#work.then(() => {
      if (gate === 'muted' && this.#gate !== 'muted') this.parts.voice.reset();
      this.#gate = gate;
    });
  }

  /** Sound pushed is taken frame by frame; the part of a frame that is left waits for more. */
  async #take(samples: Float32Array): Promise<void> {
    const all = new Float32Array(this.#rest.length + samples.length);
    all.set(this.#rest);
    all.set(samples, this.#rest.length);
    let at = 0;
    for (; at + voiceFrame <= all.length; at += voiceFrame) await this.#frame(all.slice(at, at + voiceFrame));
    this.#rest = all.slice(at);
  }

  async #frame(samples: Float32Array): Promise<void> {
    const gate = this.#gate;
    // While nothing is listened to the network need not run; it begins anew afterwards.
    const voice = gate === 'muted' ? 0 : await this.parts.voice.probability(samples);
    this.#kept.push(samples);
    if (this.#kept.length > keptFrames) this.#kept.shift();
    this.#clip?.features.push(samples);
    this.#clip?.levels.push(loudness(samples));
    const { state, decided } = listen(this.#state, {
      voice,
      level: gate === 'guarded' ? loudness(samples) : 0,
      standing: this.#clip?.standing ?? 'unknown',
      rested: this.#restedAt(this.#state.now + 1),
      gate,
    });
    this.#state = state;
    if (decided) await this.#act(decided);
    else if (state.phase === 'speech' && this.#clip && isDue(this.#clip, state.now)) await this.#lookOn();
    this.#quiet = state.phase === 'idle' ? this.#quiet + 1 : 0;
    if (this.#quiet > 0 && this.#quiet % passedEvery === 0)
      this.parts.tell({ kind: 'passed', to: Math.max(0, state.now - keptFrames) * voiceFrame });
  }

  async #act(decided: Decided): Promise<void> {
    const { tell } = this.parts;
    switch (decided.kind) {
      case 'interrupted':
        this.#gate = 'open';
        tell({ kind: 'interrupted' });
        this.#begin(this.#state.from);
        return;
      case 'began':
        this.#begin(decided.from);
        return;
      case 'paused':
        await this.#look();
        await this.#endIf((clip) => {
          const { now, silent } = this.#state;
          return hasEnded({ silent, standing: clip.standing, rested: this.#restedAt(now) });
        });
        return;
      case 'resumed':
        return;
      case 'ended':
        await this.#end(decided.from * voiceFrame, decided.to * voiceFrame);
        return;
      case 'dropped':
      case 'overlong': {
        this.#clip = null;
        tell({ kind: 'speech', speaking: false });
        const span = { from: decided.from * voiceFrame, to: decided.to * voiceFrame };
        if (decided.kind === 'overlong')
          tell({ kind: 'ignored', ...span, why: 'That was longer than any note. Say one note at a time.' });
        return;
      }
    }
  }

  #begin(from: number): void {
    const features = new GrowingFeatures();
    const first = this.#state.now - this.#kept.length;
    const levels: number[] = [];
    for (const frame of this.#kept.slice(Math.max(0, from - first))) {
      features.push(frame);
      levels.push(loudness(frame));
    }
    this.#clip = {
      from,
      features,
      levels,
      language: this.parts.ear?.language() ?? null,
      standing: 'unknown',
      found: null,
      looked: this.#state.now,
      shown: '',
      hopeless: false,
      rested: 0,
      timings: { features: 0, encoder: 0, search: 0 },
    };
    this.parts.tell({ kind: 'speech', speaking: true });
  }

  /** Looks while somebody speaks, whose note may have ended all the same. */
  async #lookOn(): Promise<void> {
    await this.#look();
    await this.#endIf((clip) => isNote(clip) && restedFrames(clip) >= alone);
  }

  /** Ends the clip in hand with the present frame, if it is to end. */
  async #endIf(isOver: (clip: Clip) => boolean): Promise<void> {
    const clip = this.#clip;
    if (clip === null || !isOver(clip)) return;
    const { now } = this.#state;
    this.#state = afterClip(this.#state);
    await this.#end(clip.from * voiceFrame, now * voiceFrame);
  }

  /** At a frame, the frames since the last sound of the words; unless they were looked at in the silence in hand, nothing. */
  #restedAt(now: number): number | undefined {
    const clip = this.#clip;
    if (clip === null || clip.found === null || this.#isStale(clip)) return undefined;
    return restedFrames(clip) + now - clip.looked;
  }

  /** Somebody spoke since the last look at the words. */
  #isStale({ looked }: Clip): boolean {
    const { now, silent } = this.#state;
    return now - looked > silent - settled;
  }

  /** Hears the clip so far and shows its words; `last` hears out what is no whole note, too. */
  async #look(last = false): Promise<void> {
    const clip = this.#clip;
    if (clip === null) return;
    const { ear } = this.parts;
    if (clip.hopeless) return;
    clip.looked = this.#state.now;
    clip.found = null;
    if (ear === null || clip.language === null) return;
    const { search, endings, wakeWord } = clip.language;
    const begun = this.#clock();
    const features = clip.features.now();
    const made = this.#clock();
    let acoustics: Frames;
    try {
      acoustics = await overWindows(features, ear.outputs, ear.encode);
    } catch {
      // Told at the end of the clip, which is then for another ear.
      clip.standing = 'unknown';
      return;
    }
    const encoded = this.#clock();
    search.reset();
    search.push(acoustics.logp, acoustics.frames);
    const partial = search.partial();
    clip.rested = restBehind(acoustics, ear.outputs);
    const seconds = acoustics.frames * frameSeconds;
    clip.hopeless = partial.lost > hopeless.least + hopeless.perSecond * seconds;
    if (clip.hopeless) return this.#giveUp(clip);
    const ends = partial.complete !== undefined && partial.complete.behind <= behindAtMost;
    if (ends || last) clip.found = search.finish();
    const whole = ends && clip.found !== null && isWhole(clip.found, clip.levels);
    const best = clip.found?.hypotheses[0]?.words.map((word) => word.word);
    const attended = clip.found === null ? wakeWord === 0 : saysFirst(clip.found, wakeWord);
    const words = attended ? (whole && best ? best : partial.words).slice(wakeWord) : [];
    clip.standing = words.length === 0 ? 'unknown' : whole ? endings.standing(words) : 'open';
    clip.timings = { features: made - begun, encoder: encoded - made, search: this.#clock() - encoded };
    const shown = words.join(' ');
    if (shown === clip.shown) return;
    clip.shown = shown;
    this.parts.tell({ kind: 'partial', words });
  }

  /** The words that were shown were none. */
  #giveUp(clip: Clip): void {
    clip.standing = 'unknown';
    if (clip.shown === '') return;
    clip.shown = '';
    this.parts.tell({ kind: 'partial', words: [] });
  }

  async #end(from: number, to: number): Promise<void> {
    const clip = this.#clip;
    if (clip === null) return;
    const { tell } = this.parts;
    const begun = this.#clock();
    // The words were looked at in the silence already; that look stands when nobody spoke since.
    if (this.#isStale(clip) || clip.found === null) await this.#look(true);
    this.#clip = null;
    tell({ kind: 'speech', speaking: false });
    if (clip.hopeless) return tell({ kind: 'ignored', from, to, why: 'That was no note that I know.' });
    if (clip.found === null) return tell({ kind: 'unheard', from, to });
    const wakeWord = clip.language?.wakeWord ?? 0;
    if (!saysFirst(clip.found, wakeWord))
      return tell({ kind: 'ignored', from, to, why: 'That did not begin with the wake word.' });
    const judged = withConfidence(clip.found, {
      seconds: (to - from) / sampleRate,
      noise: noiseOfLevels(clip.levels),
    });
    if (!judged.ok) return tell({ kind: 'ignored', from, to, why: judged.error.message });
    const { candidates, facts } = judged.value;
    if (candidates.reduce((sum, one) => sum + one.posterior, 0) < answeredFrom)
      return tell({
        kind: 'ignored',
        from,
        to,
        why: 'That was hardly a note. Say it again, or hold the button.',
      });
    tell({
      kind: 'heard',
      from,
      to,
      candidates: candidates.map((one) => ({ ...one, words: without(one.words, wakeWord) })),
      facts: { ...facts, ...(facts.times ? { times: facts.times.slice(wakeWord) } : {}) },
      timings: { ...clip.timings, afterEnd: this.#clock() - begun },
    });
  }
}

/** Whether the words are to be looked at again while somebody speaks; behind a whole note, when its rest could be long enough. */
function isDue(clip: Clip, now: number): boolean {
  const since = now - clip.looked;
  if (!isNote(clip)) return since >= Math.max(lookEvery.least, lookEvery.part * (now - clip.from));
  const rested = restedFrames(clip);
  return since >= (rested < restSure ? lookEvery.least : Math.max(settled, alone - rested));
}

/** Frames behind the last sound of the words, as of the last look; and so many from which on it is a rest and no stop in a word. */
const restedFrames = ({ rested }: Clip): number => Math.floor(rested / voiceFrameSeconds);
const restSure = 3;

/** The words so far are a whole note. */
const isNote = ({ standing }: Clip): boolean => standing !== 'unknown' && standing !== 'open';

/** Seconds of the clip behind the last frame in which a phone is likelier than none. */
function restBehind({ logp, frames }: Frames, outputs: number): number {
  let last = frames - 1;
  const isSilent = (frame: number) => {
    const row = frame * outputs;
    for (let k = 1; k < outputs; k++) if (logp[row + k]! > logp[row]!) return false;
    return true;
  };
  while (last >= 0 && isSilent(last)) last--;
  return Math.max(0, (frames - 1 - last) * frameSeconds - restSeconds);
}

/**
 * Whether what was found explains all that was said. Nobody answers behind a note in one breath: "ten paces, aye" is on its
 * way to "ten paces eye five".
 */
function isWhole({ hypotheses, ...found }: SearchResult, levels: readonly number[]): boolean {
  const behind = hypotheses[0]?.notes.slice(1) ?? [];
  if (behind.some(({ kind }) => kind === 'answer' || kind === 'pick')) return false;
  const facts = { seconds: Number.POSITIVE_INFINITY, noise: noiseOfLevels(levels) };
  const judged = withConfidence({ hypotheses, ...found }, facts);
  return judged.ok && judged.value.candidates[0]!.posterior >= wholeFrom;
}

/** Whether the first words of what was found were really said, not only the least unlikely of what must come first. */
function saysFirst({ hypotheses }: SearchResult, count: number): boolean {
  const best = hypotheses[0];
  if (count === 0 || best === undefined) return true;
  return (
    best.lead <= attentionLoss && best.words.slice(0, count).every((word) => word.margin <= attentionLoss)
  );
}

const without = (words: string, first: number): string =>
  first === 0 ? words : words.split(' ').slice(first).join(' ');
