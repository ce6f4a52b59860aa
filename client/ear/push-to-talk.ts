/**
 * Half-duplex talk: pressing hushes the voice and records, letting go hears; a reply is spoken only while nobody
 * talks, and while it is spoken nothing is listened to, or only who speaks clearly over a long one. One press at a
 * time, whether by thumb, key, switch or headset.
 */
import type { Told } from '../../shared/dialogue/types.ts';
import type { ListeningGate } from '../../shared/sound/endpointing.ts';
import type { Conversation } from '../conversation/conversation.ts';
import type { Voice } from '../conversation/voice.ts';
import type { Preferences } from '../device/preferences.ts';
import { buzz, type Earcons } from './earcons.ts';
import type { HandsFree } from './hands-free.ts';
import type { Microphone } from './microphone.ts';
import { Recorder } from './recorder.ts';

export type PushToTalkState = 'idle' | 'opening' | 'talking' | 'hearing';

/** Characters of a reply over which one may speak: about four seconds. */
const shortReply = 60;
/** Milliseconds in which a voice has said so many characters at the latest, then it is not waited for. */
const longestSaying = (characters: number, rate: number): number => 2000 + (130 * characters) / rate;
/** Milliseconds after which a reply is said into whatever goes on. */
const longestNote = 10_000;
/** Milliseconds of the sounds, and of the room's echo after a voice. */
const soundsLast = 450;
const echoLasts = 150;

export class PushToTalk {
  state: PushToTalkState = 'idle';
  level = 0;
  onChange: () => void = () => {};
  /** Called when listening without a button began or ended. */
  readonly onListening: (() => void)[] = [];
  readonly #recorder: Recorder;
  #released = false;
  /** How to listen while the tool itself is heard; null while it is silent. */
  #speaking: ListeningGate | null = null;
  #reply = 0;
  #sounds = 0;

  constructor(
    readonly conversation: Conversation,
    readonly voice: Voice,
    readonly earcons: Earcons,
    readonly prefs: () => Preferences,
    readonly free: HandsFree,
    microphone: Microphone,
  ) {
    this.#recorder = new Recorder(microphone);
    this.#recorder.onLevel = (level) => {
      this.level = level;
      this.onChange();
    };
    conversation.onReply = (told) => this.reply(told);
    let on = false;
    free.onChange = () => {
      if (free.on !== on) {
        on = free.on;
        for (const told of this.onListening) told();
      }
      this.onChange();
    };
    free.onInterrupted = () => {
      this.#reply++;
      this.#sounds++;
      this.#speaking = null;
      voice.hush();
    };
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
      this.conversation.notice(
        'microphone',
        cause instanceof Error ? cause.message : 'The microphone could not be opened.',
      );
      return;
    }
    this.conversation.notice('microphone', null);
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
      this.conversation.notice('talk', recorded.sentence);
      this.#set('idle');
      return;
    }
    this.conversation.notice('talk', null);
    performance.mark('released');
    try {
      await this.conversation.hear(recorded.pcm);
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

  /** The sounds and the voice of an answer; not into the next note, if that is being said already. */
  reply(told: Told): void {
    const { note } = told.answer;
    if (note?.kind === 'control' && note.op === 'stop') this.stopListening();
    if (note?.kind === 'control' && note.op === 'start') void this.listen();
    const turn = ++this.#reply;
    if (this.free.state !== 'speech') {
      this.#say(told);
      return;
    }
    const until = performance.now() + longestNote;
    const wait = setInterval(() => {
      if (turn === this.#reply && this.free.state === 'speech' && performance.now() < until) return;
      clearInterval(wait);
      // A newer reply says what is still open.
      if (turn === this.#reply) this.#say(told);
    }, 50);
  }

  #say(told: Told): void {
    const prefs = this.prefs();
    const { state, reply } = told.answer;
    if (prefs.sounds) {
      this.earcons.play(state);
      this.#heard('muted', new Promise((resolve) => setTimeout(resolve, soundsLast)));
    }
    buzz(prefs, state);
    const { quiet, rate } = this.conversation.settings;
    if (prefs.mute || quiet || this.state === 'talking') return;
    // A question is always said in full: half a question cannot be answered.
    const short = prefs.said === 'first' && state === 'kept';
    const sentence = short ? (reply.match(/^.*?[.?!](?=\s|$)/)?.[0] ?? reply) : reply;
    const late = new Promise<void>((resolve) =>
      setTimeout(resolve, longestSaying(sentence.length, rate * prefs.rate)),
    );
    const said = this.voice.say(sentence, rate * prefs.rate);
    this.#heard(
      sentence.length > shortReply ? 'guarded' : 'muted',
      Promise.race([said, late]).then(() => new Promise((resolve) => setTimeout(resolve, echoLasts))),
    );
  }

  /** Turns listening without a button on; a sound tells that it is. */
  async listen(): Promise<void> {
    if (this.free.on) return;
    await this.free.start();
    // Not muted for it: people begin at once, and a tone is no voice.
    if (this.free.on && this.prefs().sounds) this.earcons.play('listening');
  }

  stopListening(): void {
    if (!this.free.on) return;
    this.free.stop();
    if (this.prefs().sounds) this.earcons.play('deaf');
  }

  /** The tool itself is heard until then, unless it says something else meanwhile. */
  #heard(how: ListeningGate, until: Promise<unknown>): void {
    const mine = ++this.#sounds;
    this.#speaking = how;
    this.#mind();
    void until.then(() => {
      if (mine !== this.#sounds) return;
      this.#speaking = null;
      this.#mind();
    });
  }

  #mind(): void {
    this.free.attend(this.state === 'idle' ? (this.#speaking ?? 'open') : 'muted');
  }

  #set(state: PushToTalkState): void {
    this.state = state;
    this.#mind();
    this.onChange();
  }
}
