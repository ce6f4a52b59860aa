/**
 * Half-duplex talk: pressing hushes the voice and records, letting go hears; or a tap begins and the next tap ends. A
 * hold that the device ends (a call, a turn of the phone, a dark screen) counts as let go: no word is lost. A reply is
 * spoken only while nobody talks; what came meanwhile is read back in its order, each with its tree. While it is spoken
 * nothing is listened to, or only who speaks clearly over a long one. One press at a time, whether by thumb, key,
 * switch or headset.
 */

import type { Told } from '../../shared/dialogue/types.ts';
import { treeOfEntry } from '../../shared/note/journal.ts';
import type { ListeningGate } from '../../shared/sound/endpointing.ts';
import { wireLimits } from '../../shared/wire.ts';
import type { Conversation } from '../conversation/conversation.ts';
import type { Voice } from '../conversation/voice.ts';
import type { Preferences } from '../device/preferences.ts';
import { buzz, type Earcons } from './earcons.ts';
import type { HandsFree } from './hands-free.ts';
import type { Microphone } from './microphone.ts';
import { Recorder } from './recorder.ts';

export type PushToTalkState = 'idle' | 'opening' | 'talking' | 'hearing';

/** Characters of a reply over which one may speak: about four seconds. */
const shortReplyLetters = 60;
/** Milliseconds in which a voice has said so many characters at the latest, then it is not waited for. */
const longestSaying = (characters: number, rate: number): number => 2000 + (130 * characters) / rate;
/** Milliseconds after which a reply is said into whatever goes on. */
const longestNoteMs = 10_000;
/** Milliseconds: a shorter press is a tap, and it goes on until the next one. */
const longestTapMs = 300;
/** Milliseconds of a hold that may hold a word: ended by the device, it counts as let go. */
const leastWordMs = 500;
/** Answers that are read back one after another; of more than these the earlier ones are on the page. */
const mostReadBack = 4;
/** Milliseconds of the sounds, and of the room's echo after a voice. */
const soundsLastMs = 450;
const echoLasts = 150;

/** What talk is made of; each can be put in the place of another in a test. */
interface PushToTalkParts {
  readonly conversation: Conversation;
  readonly voice: Voice;
  readonly earcons: Earcons;
  readonly prefs: () => Preferences;
  readonly free: HandsFree;
  readonly microphone: Microphone;
}

export class PushToTalk {
  readonly conversation: Conversation;
  readonly voice: Voice;
  readonly earcons: Earcons;
  readonly prefs: () => Preferences;
  readonly free: HandsFree;
  state: PushToTalkState = 'idle';
  /** Begun with a tap: it goes on without a finger, until the next tap. */
  tapped = false;
  level = 0;
  /** Called when listening without a button began or ended. */
  readonly onListening: (() => void)[] = [];
  /** Called when the person wants this device to forget how they sound. */
  onForget: () => void = () => {};
  readonly #watching = new Set<() => void>();
  readonly #recorder: Recorder;
  /** When the button went down, and how long it was held if it is up again; `performance.now()`. */
  #pressed = 0;
  #held: number | null = null;
  #longest: ReturnType<typeof setTimeout> | undefined;
  /** How to listen while the tool itself is heard; null while it is silent. */
  #speaking: ListeningGate | null = null;
  /** Answers that nobody has heard yet, because somebody spoke. */
  #unsaid: Told[] = [];
  #patience: ReturnType<typeof setInterval> | undefined;
  #sounds = 0;

  constructor({ conversation, voice, earcons, prefs, free, microphone }: PushToTalkParts) {
    this.conversation = conversation;
    this.voice = voice;
    this.earcons = earcons;
    this.prefs = prefs;
    this.free = free;
    this.#recorder = new Recorder(microphone);
    this.#recorder.onLevel = (level) => {
      this.level = level;
      this.#changed();
    };
    this.#recorder.onLost = () => void this.interrupt().then(() => this.#recorder.close());
    conversation.onReply = (told) => this.reply(told);
    let on = false;
    free.onChange = () => {
      if (free.on !== on) {
        on = free.on;
        for (const told of this.onListening) told();
      }
      this.#changed();
    };
    free.onInterrupted = () => {
      this.#sounds++;
      this.#speaking = null;
      voice.hush();
    };
  }

  /** Told of every change that can be seen; returns what ends the telling. */
  subscribe(listener: () => void): () => void {
    this.#watching.add(listener);
    return () => this.#watching.delete(listener);
  }

  async press(): Promise<void> {
    if (this.state === 'talking' && this.tapped) return this.#end();
    if (this.state !== 'idle') return;
    this.voice.hush();
    this.#pressed = performance.now();
    this.#held = null;
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
    if (!this.#is('opening')) return this.#recorder.cancel();
    // Let go while the browser was still asking for permission: nothing was said.
    if (this.#held !== null && this.#held >= longestTapMs) {
      this.#forget('The microphone is open now. Hold the button, or tap it, and speak.');
      return;
    }
    this.tapped = this.#held !== null;
    this.#set('talking');
    buzz(this.prefs(), 'press');
    this.#longest = setTimeout(() => void this.interrupt(), wireLimits.soundSeconds * 1000);
  }

  /** The finger is up: what was said is heard; after a tap it goes on. */
  async release(): Promise<void> {
    this.#held ??= performance.now() - this.#pressed;
    if (this.state !== 'talking' || this.tapped) return;
    if (this.#held >= longestTapMs) return this.#end();
    this.tapped = true;
    this.#changed();
  }

  /** The device ends the hold, not the person: a call, a turned phone, a dark screen, a microphone pulled out. */
  async interrupt(): Promise<void> {
    if (this.state === 'opening') this.#forget(null);
    if (this.state !== 'talking') return;
    if (performance.now() - this.#pressed >= leastWordMs) return this.#end();
    this.#forget('The device ended that before anything was said. Hold the button, or tap it, and say it.');
  }

  async #end(): Promise<void> {
    clearTimeout(this.#longest);
    this.tapped = false;
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

  #forget(sentence: string | null): void {
    clearTimeout(this.#longest);
    this.#recorder.cancel();
    this.tapped = false;
    this.level = 0;
    if (sentence !== null) this.conversation.notice('talk', sentence);
    this.#set('idle');
  }

  /** The page is not seen any more: what was being said is heard, then the microphone is let go. */
  async rest(): Promise<void> {
    await this.interrupt();
    if (this.#is('idle')) this.#recorder.close();
  }

  /** The sounds and the voice of an answer; not into the next note, if that is being said already. */
  reply(told: Told): void {
    const { note } = told.answer;
    if (note?.kind === 'control' && note.op === 'stop') this.stopListening();
    if (note?.kind === 'control' && note.op === 'start') void this.listen();
    if (note?.kind === 'control' && note.op === 'forget') this.onForget();
    this.#unsaid.push(told);
    if (!this.#somebodySpeaks) {
      this.#sayAll();
      return;
    }
    clearInterval(this.#patience);
    const until = performance.now() + longestNoteMs;
    this.#patience = setInterval(() => {
      if (this.#somebodySpeaks && performance.now() < until) return;
      clearInterval(this.#patience);
      this.#sayAll();
    }, 50);
  }

  get #somebodySpeaks(): boolean {
    return this.free.state === 'speech' || this.state === 'talking' || this.state === 'opening';
  }

  /** Everything that nobody has heard yet: the newest whole, those before it with their trees. */
  #sayAll(): void {
    const newest = this.#unsaid.at(-1);
    if (newest === undefined) return;
    const before = this.#unsaid.slice(0, -1);
    this.#unsaid = [];
    const left = before.length - (mostReadBack - 1);
    const earlier = before.slice(-(mostReadBack - 1)).map((told) => firstOf(this.#withTree(told)));
    if (left > 0) earlier.unshift(`${left} more ${left === 1 ? 'answer is' : 'answers are'} on the page.`);
    this.#say(newest, earlier);
  }

  /** An answer with the tree that it is about, where it does not begin with it. */
  #withTree({ answer, entry }: Told): string {
    const number = entry ? this.conversation.book.tree(treeOfEntry(entry))?.number : undefined;
    return number === undefined || /^tree /i.test(answer.reply)
      ? answer.reply
      : `Tree ${number}: ${answer.reply}`;
  }

  #say(told: Told, earlier: readonly string[]): void {
    const prefs = this.prefs();
    const { state } = told.answer;
    if (prefs.sounds) {
      this.earcons.play(state);
      this.#heard('muted', new Promise((resolve) => setTimeout(resolve, soundsLastMs)));
    }
    buzz(prefs, state);
    const { quiet, rate } = this.conversation.settings;
    if (prefs.mute || quiet || this.#somebodySpeaks) return;
    const reply = earlier.length > 0 ? this.#withTree(told) : told.answer.reply;
    // A question is always said in full: half a question cannot be answered.
    const short = prefs.said === 'first' && state === 'kept';
    const sentence = [...earlier, short ? firstOf(reply) : reply].join(' ');
    const late = new Promise<void>((resolve) =>
      setTimeout(resolve, longestSaying(sentence.length, rate * prefs.rate)),
    );
    const said = this.voice.say(sentence, rate * prefs.rate);
    this.#heard(
      sentence.length > shortReplyLetters ? 'guarded' : 'muted',
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

  /** Asked after an await, in which the state may have changed. */
  #is(state: PushToTalkState): boolean {
    return this.state === state;
  }

  #set(state: PushToTalkState): void {
    this.state = state;
    this.#mind();
    this.#changed();
  }

  #changed(): void {
    for (const listener of this.#watching) listener();
  }
}

const firstOf = (reply: string): string => reply.match(/^.*?[.?!](?=\s|$)/)?.[0] ?? reply;
