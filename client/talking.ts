/**
 * Half-duplex talk: pressing hushes the voice and records, letting go hears; a reply is spoken only while nobody
 * talks. One press at a time, whether by thumb, key or switch.
 */
import type { Told } from '../shared/book/types.ts';
import { buzz, type Earcons } from './earcons.ts';
import type { Host } from './host.ts';
import type { Prefs } from './prefs.ts';
import { Recorder } from './recorder.ts';
import type { Voice } from './voice.ts';

export type TalkState = 'idle' | 'opening' | 'talking' | 'hearing';

export class Talking {
  state: TalkState = 'idle';
  level = 0;
  onChange: () => void = () => {};
  readonly #recorder = new Recorder();
  #released = false;

  constructor(
    readonly host: Host,
    readonly voice: Voice,
    readonly earcons: Earcons,
    readonly prefs: () => Prefs,
  ) {
    this.#recorder.onLevel = (level) => {
      this.level = level;
      this.onChange();
    };
    host.onReply = (told) => this.reply(told);
  }

  async press(): Promise<void> {
    if (this.state !== 'idle') return;
    this.voice.hush();
    this.#released = false;
    this.#set('opening');
    try {
      await this.#recorder.press();
    } catch (cause) {
      this.#set('idle');
      this.host.notice(
        'microphone',
        cause instanceof Error ? cause.message : 'The microphone could not be opened.',
      );
      return;
    }
    this.host.notice('microphone', null);
    this.#set('talking');
    buzz(this.prefs(), 'press');
    // Let go while the browser was still asking for permission: nothing was said.
    if (this.#released) this.cancel();
  }

  async release(): Promise<void> {
    this.#released = true;
    if (this.state !== 'talking') return;
    this.#set('hearing');
    const recorded = await this.#recorder.release();
    this.level = 0;
    if (!recorded.ok) {
      this.host.notice('talk', recorded.sentence);
      this.#set('idle');
      return;
    }
    this.host.notice('talk', null);
    performance.mark('released');
    try {
      await this.host.hear(recorded.pcm);
    } finally {
      // For the benchmark, and for anyone who looks at the browser's timeline.
      performance.measure('released-answered', 'released');
      this.#set('idle');
    }
  }

  cancel(): void {
    this.#released = true;
    this.#recorder.cancel();
    this.level = 0;
    if (this.state !== 'hearing') this.#set('idle');
  }

  /** Lets the microphone go, for instance when the page is hidden. */
  rest(): void {
    this.cancel();
    this.#recorder.close();
  }

  /** The sounds and the voice of an answer. */
  reply(told: Told): void {
    const prefs = this.prefs();
    const { state, reply } = told.answer;
    if (prefs.sounds) this.earcons.play(state);
    buzz(prefs, state);
    const { quiet, rate } = this.host.settings;
    if (prefs.mute || quiet || this.state === 'talking') return;
    // A question is always said in full: half a question cannot be answered.
    const short = prefs.said === 'first' && state === 'kept';
    const sentence = short ? (reply.match(/^.*?[.?!](?=\s|$)/)?.[0] ?? reply) : reply;
    void this.voice.say(sentence, rate * prefs.rate);
  }

  #set(state: TalkState): void {
    this.state = state;
    this.onChange();
  }
}
