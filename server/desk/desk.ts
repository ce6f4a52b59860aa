/**
 * One open book with everything that works on it: the store, the conversation, the language and, where it can be
 * had, hearing. The server and the command line are two doors to the same desk.
 */

import type * as z from 'zod/mini';
import type { ClipResult } from '../../grammar/decoding/clip-result.ts';
import { asideSentences } from '../../shared/book/aside.ts';
import { saidBy, wordsSaid } from '../../shared/book/said.ts';
import { err, ok } from '../../shared/core/result.ts';
import { askTotals } from '../../shared/dialogue/ask-book.ts';
import { Session } from '../../shared/dialogue/session.ts';
import type { PhoneKeeper, Told, Utterance } from '../../shared/dialogue/types.ts';
import type { EdgeParts } from '../../shared/note/acts.ts';
import { deviceId, type Entry, MemoryJournal } from '../../shared/note/journal.ts';
import { lengths } from '../../shared/note/limits.ts';
import type { Candidate, Note } from '../../shared/note/note.ts';
import type { FileTable } from '../../shared/report/files/tables.ts';
import type { doubtsSchema, FileFormat } from '../../shared/wire.ts';
import { freshId } from '../journal/identity.ts';
import type { Store } from '../journal/store.ts';
import type { Language } from '../language/language.ts';
import type { Sound } from '../speech/audio.ts';
import { type Dictation, remarkText } from '../speech/dictation.ts';
import type { Hearing } from '../speech/hear.ts';
import type { SpeakerKnown } from '../speech/worker-messages.ts';
import { BusyError } from './busy.ts';
import { Learner } from './learner.ts';
import type { Voices } from './voices.ts';
import { fileOf } from './written.ts';

interface DeskParts {
  readonly store: Store;
  readonly language: Language;
  /** Missing: sounds are refused. */
  readonly hearing?: Hearing;
  /** Missing: everybody is heard as anybody. */
  readonly voices?: Pick<Voices, 'of'>;
  /** Missing, or without its files: remarks have the words that the grammar's ear knows. */
  readonly dictation?: Dictation;
  /** Missing: no phones are let in here. */
  readonly phones?: PhoneKeeper;
  /** Told of what failed behind an answer: one sentence. */
  readonly onTrouble?: (sentence: string) => void;
  /** Milliseconds since 1970. */
  readonly now?: () => number;
  /** Minutes that the clock here is ahead of universal time. */
  readonly zone?: (time: number) => number;
}

const localZone = (time: number): number => -new Date(time).getTimezoneOffset();

/** A store that forgets when the program ends: the default of the command line. */
export class MemoryStore extends MemoryJournal implements Store {
  readonly device = deviceId('d-memory');
  readonly shared = false;
  readonly aside: ReadonlyMap<number, string> = new Map();
  readonly #clips = new Map<string, Uint8Array>();

  stageClip(ref: string, wav: Uint8Array): void {
    this.#clips.set(ref, wav);
  }

  dropClip(ref: string): void {
    this.#clips.delete(ref);
  }

  async clip(ref: string): Promise<Uint8Array | null> {
    return this.#clips.get(ref) ?? null;
  }

  async clipSizes(): Promise<{ count: number; bytes: number }> {
    const bytes = [...this.#clips.values()].reduce((sum, wav) => sum + wav.length, 0);
    return { count: this.#clips.size, bytes };
  }

  async deleteClips(): Promise<number> {
    const { size } = this.#clips;
    this.#clips.clear();
    return size;
  }
}

const noHearing = 'Hearing is switched off here. Type the note.';
/** A remark heard with at least this belief keeps the words that were heard. */
const believedRemark = 0.9;

/** Notes that may wait at once; a person waits for them less than a second. */
const mostWaiting = 128;

export class Desk {
  readonly store: Store;
  readonly session: Session;
  readonly #learner: Learner;
  readonly #hearing: Hearing | undefined;
  readonly #dictation: Dictation | undefined;
  readonly #voices: DeskParts['voices'];
  readonly #now: () => number;
  #waiting = 0;

  private constructor(parts: DeskParts, session: Session) {
    this.store = parts.store;
    this.session = session;
    this.#hearing = parts.hearing;
    this.#learner = new Learner(parts.language, {
      learnt: (taught) => parts.hearing?.teach(taught),
      failed: parts.onTrouble ?? (() => {}),
    });
    this.#dictation = parts.dictation;
    this.#voices = parts.voices;
    this.#now = parts.now ?? Date.now;
  }

  /** The phones that are let in here; missing where none are. */
  get phones(): PhoneKeeper | undefined {
    return this.session.surroundings.phones;
  }

  /** Milliseconds since 1970 by the clock that entries are stamped with. */
  now(): number {
    return this.#now();
  }

  /** Reads the whole book, so that the first answer already knows it. */
  static async open(parts: DeskParts): Promise<Desk> {
    const session = await Session.open(parts.store, parts.language.tongue, {
      device: parts.store.device,
      now: parts.now ?? Date.now,
      zone: parts.zone ?? localZone,
      id: (timeMs) => freshId(timeMs),
      ...(parts.phones ? { phones: parts.phones } : {}),
    });
    return new Desk(parts, session);
  }

  /** The language as far as what the book taught is learnt. */
  get language(): Language {
    return this.#learner.language;
  }

  /** Begins to learn what the book teaches, before anything is said; what is said begins it too. */
  learn(): void {
    this.#learner.teach(this.session.book.taught);
  }

  /** Tells the book. A word that it was taught by this is learnt behind the answer, by reader and ear. */
  async #tell(utterance: Utterance): Promise<Told> {
    const told = await this.session.tell(utterance);
    this.learn();
    return told;
  }

  /** Takes a piece of work in hand unless too many wait already. @throws BusyError */
  async #inTurn<T>(work: () => Promise<T>): Promise<T> {
    if (this.#waiting >= mostWaiting)
      throw new BusyError(
        `Too much at once: ${mostWaiting} notes wait already. Nothing of this was kept; send it again in a moment.`,
      );
    this.#waiting++;
    try {
      return await work();
    } finally {
      this.#waiting--;
    }
  }

  /** Who speaks at this desk: the person named on its device, else whoever has it. */
  get speaker(): string {
    return this.session.book.settings.personOn(this.store.device) ?? this.store.device;
  }

  /** What is known of who speaks here, by that person's leave. */
  #speaking(): SpeakerKnown | undefined {
    const known = this.#voices?.of(this.speaker) ?? null;
    if (known === null) return undefined;
    return { voice: known.voice, said: wordsSaid(saidBy(this.session.book, known.speaker)) };
  }

  /** Why sounds cannot be answered here, or null where they can. */
  get deaf(): string | null {
    return this.#hearing === undefined ? noHearing : this.#hearing.deaf;
  }

  /** One note as words. @throws BusyError */
  note(words: string, position?: Entry['position']): Promise<Told> {
    return this.#inTurn(() => this.#note(words, position));
  }

  async #note(words: string, position?: Entry['position']): Promise<Told> {
    if (words.length > lengths.words)
      return this.refuse(`A note has at most ${lengths.words} characters; this one has ${words.length}.`);
    if (this.store.shared) await this.session.refresh();
    this.learn();
    await this.#learner.knows(words);
    const read = this.language.read(words, this.session.before);
    return this.#tell({
      words,
      candidates: read.ok ? read.value : [],
      ...(read.ok ? {} : { refusal: read.error }),
      ...(position ? { position } : {}),
    });
  }

  /** An edge of a file, for the stand or stratum that the note names or that is in hand. @throws BusyError */
  edge(note: Note, words: string, edge: EdgeParts): Promise<Told> {
    return this.#inTurn(async () => {
      if (this.store.shared) await this.session.refresh();
      return this.#tell({ words, candidates: [{ notes: [note], words, posterior: 1 }], edge });
    });
  }

  /** One note as sound. `wav` is the clip that is kept with the entry. @throws BusyError */
  sound(sound: Sound, wav: Uint8Array, position?: Entry['position']): Promise<Told> {
    return this.#inTurn(() => this.#sound(sound, wav, position));
  }

  async #sound(sound: Sound, wav: Uint8Array, position?: Entry['position']): Promise<Told> {
    if (this.#hearing === undefined) return this.refuse(noHearing);
    this.learn();
    await this.#learner.settled();
    const heard = await this.#hearing.hear(sound.samples, this.#speaking());
    if (!heard.ok && heard.error.kind === 'busy') throw new BusyError(heard.error.message);
    if (!heard.ok) return this.refuse(heard.error.message);
    if (this.store.shared) await this.session.refresh();
    const { facts } = heard.value;
    const candidates = await this.#written(heard.value.candidates, sound.samples);
    const clip = freshId(this.#now());
    const utterance: Utterance = {
      words: candidates[0]?.words ?? '',
      candidates,
      heard: { ...facts, clip },
      ...(position ? { position } : {}),
    };
    this.store.stageClip(clip, wav);
    const told = await this.#tell(utterance);
    if (told.entry === null) this.store.dropClip(clip);
    return told;
  }

  /**
   * The candidates with a remark's text as dictation writes it, where there is dictation. A remark whose every word
   * the grammar's ear knows and believes needs none.
   */
  async #written(candidates: readonly Candidate[], samples: Float32Array): Promise<readonly Candidate[]> {
    const [best, ...others] = candidates;
    const unsure = best?.notes[0].kind === 'remark' && best.posterior < believedRemark;
    if (!unsure || !this.#dictation || this.#dictation.missing !== null) return candidates;
    const written = await this.#dictation.write(samples);
    const text = written.ok ? remarkText(written.value) : '';
    if (text === '') return candidates;
    // Other wordings of the remark are no other meaning any more.
    const rivals = others.filter(({ notes: [note] }) => note.kind !== 'remark');
    const posterior =
      candidates.reduce((sum, one) => sum + one.posterior, 0) -
      rivals.reduce((sum, one) => sum + one.posterior, 0);
    return [{ ...best, posterior, notes: [{ kind: 'remark', text }] }, ...rivals];
  }

  /** What a sound may mean, for a page that keeps its own book; nothing is kept here. */
  async hear(sound: Sound): Promise<ClipResult> {
    if (this.#hearing === undefined) return err({ kind: 'deaf', message: noHearing });
    this.learn();
    await this.#learner.settled();
    const heard = await this.#hearing.hear(sound.samples);
    if (!heard.ok) return heard;
    return ok({ ...heard.value, candidates: await this.#written(heard.value.candidates, sound.samples) });
  }

  /** The answer to an utterance that never became words. */
  refuse(sentence: string): Promise<Told> {
    return this.session.tell({ words: '', candidates: [], refusal: sentence });
  }

  /** Takes in entries of other devices; they are durable when this resolves. @throws BusyError */
  push(entries: readonly Entry[]): Promise<{ added: number; cursor: number }> {
    return this.#inTurn(() => this.#push(entries));
  }

  async #push(entries: readonly Entry[]): Promise<{ added: number; cursor: number }> {
    const pushed = await this.store.append(entries);
    if (pushed.added > 0) await this.session.refresh();
    this.learn();
    return pushed;
  }

  /** The usual questions on the whole book, each with its answer. */
  totals(): ReturnType<typeof askTotals> {
    return askTotals(this.session);
  }

  /** Every doubt ever raised, with what became of it. */
  doubts(): z.input<typeof doubtsSchema>['doubts'] {
    const { book } = this.session;
    return book.doubts.map(({ entry, tree, doubt, state }) => ({
      tree: book.tree(tree)?.number ?? null,
      entry,
      state,
      code: doubt.code,
      strength: doubt.strength,
      sentence: doubt.sentence,
    }));
  }

  /** What is kept but left out of the book, a sentence each. */
  get aside(): string[] {
    const rows = [...this.store.aside].map(
      ([row, why]) => `Row ${row} is kept but left out of the book: ${why}.`,
    );
    return [...rows, ...asideSentences(this.session.book)];
  }

  /** How many trees and plots stand. */
  get counts(): { readonly trees: number; readonly plots: number } {
    const { book } = this.session;
    let plots = 0;
    for (const _ of book.plots()) plots++;
    return { trees: book.ledger.treeCount, plots };
  }

  export(format: FileFormat, table: FileTable = 'all'): string {
    return fileOf(this.session, format, table);
  }

  async close(): Promise<void> {
    this.#learner.close();
    this.#dictation?.close();
    await Promise.all([this.store.close(), this.#hearing?.close()]);
  }
}
