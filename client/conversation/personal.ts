/**
 * What this device knows of who speaks: the profile of the voice, kept here and nowhere else, and what was said, which
 * is in the book anyway. Fetched when a person allows it, or forgets it.
 */
import { lessonLimits } from '../../grammar/learning/lesson-limits.ts';
import type { VoiceLearnt } from '../../grammar/learning/voice-lesson.ts';
import { learnable, saidBy, wordsSaid } from '../../shared/book/said.ts';
import { ok, type Result } from '../../shared/core/result.ts';
import type { VoiceProfile } from '../../shared/sound/voice-profile.ts';
import { voiceFromJson, voiceToJson } from '../../shared/sound/voice-profile-file.ts';
import type { PageStore } from '../journal/indexeddb.ts';
import type { Conversation } from './conversation.ts';
import type { Pcm } from './ear.ts';
import type { Messenger } from './messenger.ts';

/** Notes that were read aloud to be learnt from. */
interface ReadNote {
  readonly words: string;
  readonly pcm: Pcm;
}

interface Known {
  readonly profile: VoiceProfile | null;
  readonly read: readonly { readonly words: string; readonly pcm: ArrayBuffer }[];
  /** Notes of the book at hand when it was learnt last, better or not. */
  readonly tried: number;
}

const nothingKnown: Known = { profile: null, read: [], tried: 0 };
/** Notes that are worth a lesson; after one, so many times as many. */
const firstLesson = 20;
const nextLesson = 1.5;
/** Quiet before a lesson by itself, milliseconds: nobody waits for an answer. */
const quiet = 8000;

interface PersonalParts {
  readonly conversation: Conversation;
  readonly worker: Messenger;
  readonly store: PageStore;
  /** The person allows it. */
  readonly allowed: () => boolean;
  readonly now: () => number;
}

export class Personal {
  #known = nothingKnown;
  #speaker = '';
  #entries = -1;
  #busy = false;
  #timer: ReturnType<typeof setTimeout> | undefined;
  /** What the last lesson came to. */
  last: VoiceLearnt | null = null;

  private constructor(private readonly parts: PersonalParts) {}

  /** Takes up what is known of who speaks, and follows the book from now on. */
  static async open(parts: PersonalParts): Promise<Personal> {
    const personal = new Personal(parts);
    parts.worker.onRestart.push(() => void personal.#adapt());
    parts.conversation.subscribe(() => void personal.#follow());
    await personal.#follow();
    return personal;
  }

  get profile(): VoiceProfile | null {
    return this.#known.profile;
  }

  /** Whether the ear of the page is told how somebody sounds. */
  get isHeard(): boolean {
    return this.parts.allowed() && this.#known.profile !== null;
  }

  get read(): number {
    return this.#known.read.length;
  }

  /** Who speaks: the person named on this device, else whoever has it. */
  get speaker(): string {
    const { conversation } = this.parts;
    return conversation.settings.person ?? conversation.device;
  }

  /** Notes of who speaks that stood and whose sound is here. */
  async notes(): Promise<ReadNote[]> {
    const { conversation, store } = this.parts;
    // With a word before every note the sound holds more than the words.
    if (conversation.settings.wakeWord) return [];
    const found: ReadNote[] = [];
    for (const { words, clip } of learnable(saidBy(conversation.book, this.speaker))) {
      const pcm = await store.clip(clip);
      if (pcm !== null) found.unshift({ words, pcm: new Int16Array(pcm) });
      if (found.length === lessonLimits.most) break;
    }
    return found;
  }

  /** Keeps a note that was read aloud. */
  async addRead({ words, pcm }: ReadNote): Promise<void> {
    const read = [...this.#known.read.filter((one) => one.words !== words), { words, pcm: pcm.buffer }];
    await this.#keep({ ...this.#known, read });
  }

  /** Learns the voice from what was read and from notes that stood. Null while it learns already. */
  async learn(): Promise<VoiceLearnt | string | null> {
    if (this.#busy) return null;
    this.#busy = true;
    try {
      const notes = await this.notes();
      const read = this.#known.read.map(({ words, pcm }) => ({ words, pcm: new Int16Array(pcm) }));
      const clips = [...read, ...notes].slice(-lessonLimits.most);
      const material = { clips, speaker: this.speaker, time: this.parts.now() };
      const learnt = await this.parts.worker.call('learnVoice', material);
      if (typeof learnt === 'string') return learnt;
      this.last = learnt;
      // A lesson that gave nothing better leaves what an earlier one gave, which was judged in its turn.
      const profile = learnt.profile ?? this.#known.profile;
      await this.#keep({ ...this.#known, profile, tried: notes.length });
      await this.#adapt();
      return learnt;
    } catch (cause) {
      return cause instanceof Error ? cause.message : String(cause);
    } finally {
      this.#busy = false;
    }
  }

  /** Deletes all that is known of who speaks, readings too. */
  async forget(): Promise<void> {
    this.#known = nothingKnown;
    this.last = null;
    await this.parts.store.setPersonal(this.speaker, null);
    await this.#adapt();
  }

  /** The profile as the text of a file; null: there is none. */
  file(): string | null {
    return this.#known.profile === null ? null : voiceToJson(this.#known.profile);
  }

  /** Takes the profile of a file for who speaks. */
  async bring(text: string): Promise<Result<null, string>> {
    const read = voiceFromJson(text);
    if (!read.ok) return read;
    await this.#keep({ ...this.#known, profile: { ...read.value, speaker: this.speaker } });
    await this.#adapt();
    return ok(null);
  }

  /** After the person has allowed it, or no longer does. */
  async allowedOrNot(): Promise<void> {
    await this.#adapt();
  }

  async #follow(): Promise<void> {
    const { conversation, store } = this.parts;
    const { speaker } = this;
    const entries = conversation.book.entries.length;
    if (speaker === this.#speaker && entries === this.#entries) return;
    if (speaker !== this.#speaker) {
      this.#speaker = speaker;
      this.#known = (await store.personal<Known>(speaker)) ?? nothingKnown;
      this.last = null;
    }
    this.#entries = entries;
    await this.#adapt();
    clearTimeout(this.#timer);
    if (this.parts.allowed()) this.#timer = setTimeout(() => void this.#learnByItself(), quiet);
  }

  async #learnByItself(): Promise<void> {
    const { tried } = this.#known;
    if (!this.parts.allowed()) return;
    const notes = (await this.notes()).length;
    if (notes >= Math.max(firstLesson, nextLesson * tried) && notes > tried) await this.learn();
  }

  async #keep(known: Known): Promise<void> {
    this.#known = known;
    await this.parts.store.setPersonal(this.speaker, known);
  }

  /** Tells the worker who speaks; a profile of another model is dropped, since it would never be used again. */
  async #adapt(): Promise<void> {
    const { conversation, worker, allowed } = this.parts;
    const said = allowed() ? wordsSaid(saidBy(conversation.book, this.speaker)) : [];
    const voice = allowed() ? this.#known.profile : null;
    const fits = await worker.call('adapt', { voice, said }).catch(() => true);
    if (!fits) await this.#keep({ ...this.#known, profile: null, tried: 0 });
  }
}
