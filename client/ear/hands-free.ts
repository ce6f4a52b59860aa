/**
 * Hands-free listening in the page: from the microphone to an ear, from what it heard to the book. It keeps the sound
 * until it knows what became of it, so an ear that is lost in the middle of a word loses no note.
 */
import type { Listened } from '../../grammar/decoding/listener.ts';
import type { ListeningGate } from '../../shared/sound/endpointing.ts';
import { ResampleStream } from '../../shared/sound/resample.ts';
import { wireLimits } from '../../shared/wire.ts';
import type { Conversation } from '../conversation/conversation.ts';
import { pcmRate } from '../conversation/ear.ts';
import type { EarParts, ListeningClient } from './listening-client.ts';
import type { Microphone, MicrophoneListener } from './microphone.ts';
import { toPcm } from './recorder.ts';
import { SoundRing } from './sound-ring.ts';

/** `held`: the tool speaks or the button is down; nothing is listened to. `paused`: another program has the microphone. */
export type FreeState = 'off' | 'opening' | 'listening' | 'speech' | 'held' | 'paused';

interface HandsFreeParts {
  readonly conversation: Pick<Conversation, 'hearFree' | 'hear' | 'hearWaiting' | 'notice' | 'settings'>;
  readonly microphone: Microphone;
  /** Opens an ear that hears, the best first; rejects with a sentence where there is none. */
  readonly openEar: (parts: EarParts) => Promise<ListeningClient>;
  /** An ear that only cuts. */
  readonly openBare: (parts: Pick<EarParts, 'tell'>) => ListeningClient;
}

/** Milliseconds after which a lost ear is tried again, doubled up to the greatest. */
const retry = { least: 2000, most: 30_000 } as const;
/** Samples kept whatever became of them: the pre-roll of what comes next. */
const kept = 2 * pcmRate;

export class HandsFree {
  state: FreeState = 'off';
  /** Words so far of what is being said. */
  words = '';
  /** What became of the last speech that was no note. */
  aside = '';
  /** Where it is listened to; null while it is not. */
  ear: ListeningClient['kind'] | null = null;
  /** Told of every change that can be seen. */
  onChange: () => void = () => {};
  /** Somebody speaks over the reply. */
  onInterrupted: () => void = () => {};
  #open: ListeningClient | null = null;
  /** Numbers the ears, so that a late word of an old one is told from the present one's. */
  #turn = 0;
  /** Recorded sample that is the present ear's first. */
  #base = 0;
  #passed = 0;
  #ring = new SoundRing((wireLimits.soundSeconds + 5) * pcmRate);
  #stream: ResampleStream | null = null;
  #gate: ListeningGate = 'open';
  #wait: number = retry.least;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #word: string | null = null;
  /** One clip after another, in the order in which they were said. */
  #clips: Promise<unknown> = Promise.resolve();
  readonly #listener: MicrophoneListener = {
    block: (samples, rate) => this.#take(samples, rate),
    gone: () => {
      this.stop();
      this.parts.conversation.notice('microphone', 'The microphone went away. Turn hands-free on again.');
    },
    paused: (away) => {
      if (!this.on || this.state === 'opening') return;
      this.words = '';
      this.#set(away ? 'paused' : this.#gate === 'open' ? 'listening' : 'held');
    },
  };

  constructor(private readonly parts: HandsFreeParts) {}

  get on(): boolean {
    return this.state !== 'off';
  }

  async toggle(): Promise<void> {
    return this.on ? this.stop() : this.start();
  }

  async start(): Promise<void> {
    if (this.on) return;
    this.#set('opening');
    const { conversation, microphone } = this.parts;
    try {
      await microphone.listen(this.#listener);
    } catch (cause) {
      this.#set('off');
      return conversation.notice('microphone', cause instanceof Error ? cause.message : String(cause));
    }
    if (!this.on) return microphone.leave(this.#listener);
    conversation.notice('microphone', null);
    this.#ring = new SoundRing((wireLimits.soundSeconds + 5) * pcmRate);
    this.#stream = null;
    this.#base = this.#passed = 0;
    this.#gate = 'open';
    await this.#connect();
  }

  stop(): void {
    if (!this.on) return;
    clearTimeout(this.#timer);
    this.#turn++;
    this.#open?.close();
    this.#open = null;
    this.ear = null;
    this.words = this.aside = '';
    this.parts.conversation.notice('free', null);
    this.parts.microphone.leave(this.#listener);
    this.#set('off');
  }

  /** While the tool speaks, or somebody holds the button. */
  attend(gate: ListeningGate): void {
    if (!this.on || this.#gate === gate) return;
    this.#gate = gate;
    this.#open?.attend(gate);
    this.words = '';
    if (this.state !== 'opening') this.#set(gate === 'open' ? 'listening' : 'held');
  }

  /** The book changed: another wake word needs another ear. */
  follow(): void {
    if (this.#open === null || this.#open.kind === 'none') return;
    if (this.#word !== this.parts.conversation.settings.wakeWord) void this.#connect();
  }

  /** Opens the best ear there is; while there is none, clips are cut and kept. */
  async #connect(): Promise<void> {
    clearTimeout(this.#timer);
    const turn = ++this.#turn;
    const old = this.#open;
    this.#word = this.parts.conversation.settings.wakeWord || null;
    let base = 0;
    let ear: ListeningClient;
    try {
      ear = await this.parts.openEar({
        wakeWord: this.#word,
        tell: (event) => turn === this.#turn && this.#told(event, base),
        lost: (sentence) => turn === this.#turn && this.#lose(sentence),
      });
    } catch (cause) {
      if (turn === this.#turn) this.#lose(cause instanceof Error ? cause.message : String(cause));
      return;
    }
    if (turn !== this.#turn || !this.on) return ear.close();
    old?.close();
    this.#wait = retry.least;
    this.parts.conversation.notice('free', null);
    base = this.#begin(ear);
    // What was cut while there was no ear.
    void this.parts.conversation.hearWaiting().catch(() => undefined);
  }

  /** Gives an ear everything that nobody has dealt with yet, then what comes. */
  #begin(ear: ListeningClient): number {
    const from = Math.max(this.#passed, this.#ring.end - (wireLimits.soundSeconds + 5) * pcmRate);
    const missed = this.#ring.cut(from);
    this.#base = this.#ring.end - missed.length;
    this.#open = ear;
    this.ear = ear.kind;
    ear.attend(this.#gate);
    if (missed.length > 0) ear.push(missed);
    this.#set(this.#gate === 'open' ? 'listening' : 'held');
    return this.#base;
  }

  #lose(sentence: string): void {
    if (!this.on) return;
    const turn = ++this.#turn;
    this.#open?.close();
    this.words = '';
    this.parts.conversation.notice(
      'free',
      `${sentence} What you say is kept and answered when there is an ear again.`,
    );
    let base = 0;
    const bare = this.parts.openBare({ tell: (event) => turn === this.#turn && this.#told(event, base) });
    base = this.#begin(bare);
    this.#timer = setTimeout(() => void this.#connect(), this.#wait);
    this.#wait = Math.min(retry.most, 2 * this.#wait);
  }

  #take(samples: Float32Array, rate: number): void {
    this.#stream ??= new ResampleStream(rate, pcmRate);
    const sound = Float32Array.from(this.#stream.push(samples));
    if (sound.length === 0) return;
    this.#ring.push(sound);
    this.#open?.push(sound);
    // Nobody listens yet: what is said while the ear opens is kept for it.
    if (this.#open !== null) this.#ring.drop(Math.min(this.#passed, this.#ring.end - kept));
  }

  #told(event: Listened, base: number): void {
    switch (event.kind) {
      case 'speech':
        this.words = '';
        if (event.speaking) this.aside = '';
        if (this.#gate === 'open') this.#set(event.speaking ? 'speech' : 'listening');
        return;
      case 'partial':
        this.words = event.words.join(' ');
        this.onChange();
        return;
      case 'interrupted':
        this.#gate = 'open';
        this.#set('speech');
        this.onInterrupted();
        return;
      case 'passed':
        this.#passed = base + event.to;
        return;
      case 'ignored':
        this.#passed = base + event.to;
        this.aside = event.why;
        this.onChange();
        return;
      case 'heard':
      case 'unheard': {
        const pcm = toPcm(this.#ring.cut(base + event.from, base + event.to));
        this.#passed = base + event.to;
        const { conversation } = this.parts;
        this.#clips = this.#clips.then(() =>
          event.kind === 'heard'
            ? conversation.hearFree(pcm, { candidates: event.candidates, facts: event.facts })
            : conversation.hear(pcm, true),
        );
      }
    }
  }

  #set(state: FreeState): void {
    this.state = state;
    this.onChange();
  }
}
