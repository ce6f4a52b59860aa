/**
 * The conversation of this page: it holds the session with the book, the lines that were said, the ear, what waits for
 * an ear (`waiting-sounds.ts`) and the way to the server, and tells the screens when something changed. It draws nothing.
 */
import { type ClipResult, type HeardClip, isDeaf } from '../../grammar/decoding/clip-result.ts';
import type { Understanding } from '../../grammar/reading/understand.ts';
import { asideNotice } from '../../shared/book/aside.ts';
import type { Book } from '../../shared/book/book.ts';
import type { Settings } from '../../shared/book/settings.ts';
import { ok } from '../../shared/core/result.ts';
import { Session } from '../../shared/dialogue/session.ts';
import type { PhoneKeeper, Told, Utterance } from '../../shared/dialogue/types.ts';
import { type DeviceId, type Entry, momentOf } from '../../shared/note/journal.ts';
import type { Note } from '../../shared/note/note.ts';
import { askServer, hasServer } from '../device/home.ts';
import { freshPageId } from '../journal/identity.ts';
import type { PageStore } from '../journal/indexeddb.ts';
import { type ServerFacts, Sync, type SyncState } from '../journal/sync.ts';
import { ClockWatch } from './clock.ts';
import { FirstHearing, type PageHearing, type Pcm, ServerHearing } from './ear.ts';
import type { PageLanguage } from './language.ts';
import { WaitingSounds } from './waiting-sounds.ts';

/** One exchange of the conversation. */
export interface Line {
  readonly key: string;
  readonly words: string;
  readonly how: 'typed' | 'spoken' | 'picked' | 'elsewhere';
  readonly time: number;
  /** Null while it is being answered, or for an entry that another device answered. */
  readonly told: Told | null;
  /** Who said it, where it was not said here. */
  readonly who?: string;
  /** Something that went wrong on this device, instead of an answer. */
  readonly trouble?: string;
}

/** Lines shown of the days before, and of what other devices bring at once. */
const remembered = 60;
/** Rows shown of each part of a book that is being taken in: the next part comes at once. */
const fewRows = 6;
/** Milliseconds in which a part of a book is taken in where nothing has to be played again. */
const slowMs = 150;
/** Lines kept in all: the earlier ones are in the book. */
const mostLines = 240;

interface ConversationParts {
  readonly store: PageStore;
  readonly language: PageLanguage;
  readonly now?: () => number;
  readonly fetcher?: typeof fetch;
  /** An ear in the page itself, where there is one. */
  readonly ownEar?: () => PageHearing | null;
  /** True where the page's own ear knows who speaks: then it hears before the server's does. */
  readonly ownEarFirst?: () => boolean;
  /** True for a practice book: nothing of it leaves this browser. */
  readonly apart?: boolean;
  /** Whether the sound of a note is kept with it; it is where missing. */
  readonly keepsSounds?: () => boolean;
}

export class Conversation {
  readonly lines: Line[] = [];
  sync: SyncState = { kind: 'asking' };
  server: ServerFacts | null = null;
  /** Sentences that stand over the conversation until they are dealt with. */
  readonly notices = new Map<string, string>();
  /** Changes with every change: what screens watch. */
  version = 0;
  /** Told of each reply as it is given, to be spoken. */
  onReply: (told: Told, line: Line) => void = () => {};
  /** Where the phone is, when the person wants it beside the notes. */
  position: () => Entry['position'] | undefined = () => undefined;
  /** Ends with the last note that was typed or pressed. */
  #turn: Promise<unknown> = Promise.resolve();
  readonly #listeners = new Set<() => void>();
  /** Null for a book that stays apart: it is sent nowhere and meets no other tab. */
  readonly #sync: Sync | null;
  readonly #channel: BroadcastChannel | null;
  readonly #ear: PageHearing;
  readonly #now: () => number;
  readonly #waiting: WaitingSounds;
  readonly #clock = new ClockWatch((sentence) => this.notice('clock', sentence));
  /** Entries of others that came in with a note of this page: drawn with the next that come in. */
  readonly #undrawn: Entry[] = [];
  /** The last part of a book that came took long. */
  #slow = false;
  #key = 0;
  /** Notes that are being answered: what is taken in waits for them. */
  readonly #writing = new Set<Promise<unknown>>();

  private constructor(
    readonly parts: ConversationParts,
    readonly session: Session,
  ) {
    this.#now = parts.now ?? Date.now;
    const server = new ServerHearing(parts.fetcher);
    this.#ear = new FirstHearing(() => {
      const own = parts.ownEar?.() ?? null;
      if (!hasServer) return own === null ? [] : [own];
      if (own === null) return [server];
      // The server's ear is as good and quicker; the page's own is for where there is none.
      return this.server?.hears && !parts.ownEarFirst?.() ? [server, own] : [own, server];
    });
    this.#waiting = new WaitingSounds({
      store: parts.store,
      ear: this.#ear,
      isAnswered: (ref) => [...this.book.entries].some((entry) => entry.heard?.clip === ref),
      answer: async ({ ref, pcm, time }, lineKey, heard) => {
        const begun = this.lines.find((line) => line.key === lineKey);
        const line = begun ?? this.#begin({ words: '', how: 'spoken', time });
        await this.#answerSound(line, ref, new Int16Array(pcm), heard);
      },
      onEmpty: () => this.notice('waiting', null),
    });
    this.#sync = parts.apart
      ? null
      : new Sync({
          store: parts.store,
          ...(parts.fetcher ? { fetcher: parts.fetcher } : {}),
          onEntries: async (entries, more) => {
            // Where what comes late has the whole book played again, that is done once, at the end.
            if (more && this.#slow && entries.some(({ time }) => time < this.book.lastTime)) return;
            const begun = performance.now();
            await this.#takeIn(more ? fewRows : remembered);
            this.#slow = more && performance.now() - begun > slowMs;
            this.#channel?.postMessage('entries');
          },
          whenFree: async () => {
            while (this.#writing.size > 0) await Promise.allSettled(this.#writing);
          },
          onState: (state, facts) => {
            this.sync = state;
            if (facts !== null && facts !== this.server) this.#clock.compare(facts.now, this.#now());
            this.server = facts;
            this.#changed();
            if (facts?.hears && this.#waiting.count > 0) this.hearWaiting().catch(() => undefined);
          },
        });
    this.#channel =
      parts.apart || typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel('stemsay');
    if (this.#channel) this.#channel.onmessage = () => void this.#takeIn();
  }

  /** Milliseconds since 1970 by the clock that the notes are stamped with. */
  now(): number {
    return this.#now();
  }

  /** Opens the book of this browser; resolves when the first note can be answered. */
  static async open(parts: ConversationParts): Promise<Conversation> {
    const device = await parts.store.device(() => `p-${freshPageId((parts.now ?? Date.now)()).slice(-12)}`);
    const session = await Session.open(parts.store, parts.language.tongue, {
      device,
      now: parts.now ?? Date.now,
      zone: (time) => -new Date(time).getTimezoneOffset(),
      id: freshPageId,
      ...(hasServer && !parts.apart ? { phones: phonesOfServer(parts.fetcher ?? askServer) } : {}),
    });
    const conversation = new Conversation(parts, session);
    await conversation.#remember();
    await conversation.#waiting.load();
    conversation.#checkClock();
    conversation.#tellAside();
    return conversation;
  }

  get book(): Book {
    return this.session.book;
  }

  /** Settings in force for who speaks here. */
  get settings(): Settings {
    return this.session.settings;
  }

  get device(): DeviceId {
    return this.session.surroundings.device;
  }

  subscribe(listener: () => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  /** Writes everything that this page holds once more, after the browser has cleared what it kept. */
  async writeAgain(): Promise<void> {
    const { store } = this.parts;
    await locked(async () => {
      await store.device(() => this.device);
      await store.append([...this.book.entries]);
      for (const { told } of this.lines) if (told) await store.give(told);
      this.session.rewind();
      await this.session.refresh();
    });
    this.notice(
      'cleared',
      `The browser cleared what it kept of this page. All ${this.book.entries.length} entries were written again; sounds of notes may be gone. Ask it in Setup never to clear them.`,
    );
    this.#sync?.kick();
  }

  /** Begins to exchange entries with the server. */
  startSync(): void {
    this.#sync?.kick();
  }

  /** Words as typed; behind what was typed or pressed before, which may wait for its reader. */
  say(words: string): Promise<Told | null> {
    const line = this.#begin({ words, how: 'typed', time: this.#now() });
    return this.#inTurn(() => this.#sayRead(words, line));
  }

  async #sayRead(words: string, line: Line): Promise<Told | null> {
    let read: Understanding;
    try {
      await this.#learn();
      read = await this.parts.language.read(words, this.session.before);
    } catch (cause) {
      this.#end(line, { trouble: `${cause instanceof Error ? cause.message : cause} Type it again.` });
      return null;
    }
    return this.#tell(
      {
        words,
        candidates: read.ok ? read.value : [],
        ...(read.ok ? {} : { refusal: read.error }),
      },
      'typed',
      line,
    );
  }

  /** A note whose meaning is certain: a button. `answers`: the entry whose question or doubt it answers; `edge`: of a file. */
  do(
    note: Note,
    words = this.session.tongue.speak(note),
    { answers, edge }: Pick<Utterance, 'answers' | 'edge'> = {},
  ): Promise<Told | null> {
    const line = this.#begin({ words, how: 'picked', time: this.#now() });
    const utterance: Utterance = {
      words,
      candidates: [{ notes: [note], words, posterior: 1 }],
      ...(answers ? { answers } : {}),
      ...(edge ? { edge } : {}),
    };
    return this.#inTurn(() => this.#tell(utterance, 'picked', line));
  }

  /** Behind all that was typed or pressed before. */
  #inTurn(tell: () => Promise<Told | null>): Promise<Told | null> {
    const told = this.#turn.then(tell);
    this.#turn = told.catch(() => null);
    return told;
  }

  /** What the book taught, before anything is read or heard with them. */
  async #learn(): Promise<void> {
    await this.parts.language.teach(this.book.taught);
  }

  /**
   * Sound from the talk button; or, where it is `free`, a clip that was cut while nobody pressed anything: then what
   * is no note is not worth a word.
   */
  async hear(pcm: Pcm, free = false): Promise<void> {
    const time = this.#now();
    const ref = freshPageId(time);
    const begin = () => this.#begin({ words: '', how: 'spoken', time });
    const begun = free ? null : begin();
    await this.#learn().catch(() => undefined);
    const heard = await this.#ear.hear(pcm);
    const noEar = !heard.ok && isDeaf(heard.error);
    if (free && !heard.ok && !noEar) return;
    if (free && noEar && (await this.#waiting.keep(ref, pcm, { time, free: true }))) {
      this.notice('waiting', waitingSentence(this.#waiting.count));
      this.#sync?.kick();
      return;
    }
    const line = begun ?? begin();
    if (noEar) await this.#endUnheard(line, ref, pcm, heard.error.message);
    else await this.#answerSound(line, ref, pcm, heard);
  }

  /** A sound from the talk button while there is no ear: kept, and the line says so. */
  async #endUnheard(line: Line, ref: string, pcm: Pcm, message: string): Promise<void> {
    if (!(await this.#waiting.keep(ref, pcm, { time: line.time }))) {
      this.#end(line, { trouble: `${message} The sound could not be kept: type the note.` });
      return;
    }
    const ended = this.#end(line, {
      trouble: `${message} The sound is kept and will be answered when there is an ear again. Or type it.`,
    });
    this.#waiting.showAs(ref, ended.key);
    this.#sync?.kick();
  }

  /** A note that listening without a button heard. */
  async hearFree(pcm: Pcm, heard: HeardClip): Promise<void> {
    const time = this.#now();
    const line = this.#begin({ words: heard.candidates[0]?.words ?? '', how: 'spoken', time });
    await this.#answerSound(line, freshPageId(time), pcm, ok(heard));
    // What it taught is known to the ear from the next word on.
    await this.#learn().catch(() => undefined);
  }

  /** Hears the sounds that were kept while there was no ear, in their order, as far as there is one now. */
  hearWaiting(): Promise<void> {
    return this.#waiting.hear();
  }

  /** Takes in entries from a file, as if another device had sent them; gives how many were not here. */
  async bring(entries: readonly Entry[]): Promise<number> {
    const { added } = await locked(() => this.parts.store.append(entries));
    await this.#takeIn();
    this.#channel?.postMessage('entries');
    this.#sync?.kick();
    return added;
  }

  notice(key: string, sentence: string | null): void {
    if (sentence === null) this.notices.delete(key);
    else this.notices.set(key, sentence);
    this.#changed();
  }

  close(): void {
    this.#sync?.close();
    this.#channel?.close();
    void this.parts.store.close();
  }

  async #answerSound(line: Line, ref: string, pcm: Pcm, heard: ClipResult): Promise<void> {
    if (!heard.ok) {
      await this.#tell({ words: '', candidates: [], refusal: heard.error.message }, 'spoken', line);
      return;
    }
    const { candidates, facts } = heard.value;
    const words = candidates[0]?.words ?? '';
    const wanted = this.parts.keepsSounds?.() ?? true;
    const kept =
      wanted &&
      (await this.parts.store.keepClip(ref, pcm).then(
        () => true,
        () => false,
      ));
    const told = await this.#tell(
      {
        words,
        candidates,
        heard: { ...facts, ...(kept ? { clip: ref } : {}) },
      },
      'spoken',
      line,
    );
    if (kept && !told?.entry) await this.parts.store.dropClip(ref).catch(() => undefined);
  }

  #tell(utterance: Utterance, how: Line['how'], begun?: Line): Promise<Told | null> {
    const writing = this.#write(utterance, how, begun).finally(() => this.#writing.delete(writing));
    this.#writing.add(writing);
    return writing;
  }

  async #write(utterance: Utterance, how: Line['how'], begun?: Line): Promise<Told | null> {
    const position = this.position();
    const line = begun ?? this.#begin({ words: utterance.words, how, time: this.#now() });
    try {
      // One tab at a time: what another one said has its number already when this note takes the next.
      const told = await locked(async () => {
        this.#undrawn.push(...(await this.session.refresh()));
        return this.session.tell({ ...utterance, ...(position ? { position } : {}) });
      });
      // Only for the next start; the note itself is durable already.
      this.parts.store.give(told).catch(() => undefined);
      this.notices.delete('full');
      if (told.entry !== null) this.#clock.note(momentOf(told.entry).time);
      const ended = this.#end(line, { words: utterance.words, told });
      this.onReply(told, ended);
      this.#channel?.postMessage('entries');
      this.#sync?.kick();
      return told;
    } catch (cause) {
      const full = cause instanceof DOMException && cause.name === 'QuotaExceededError';
      const trouble = full
        ? 'This browser has no room left. The note is not kept: free some space and say it again.'
        : 'The browser could not keep this note. Say it again; if it happens once more, reload the page.';
      if (full) this.notices.set('full', 'No room left in this browser: nothing new is kept until there is.');
      this.#end(line, { words: utterance.words, trouble });
      return null;
    }
  }

  #begin(line: Pick<Line, 'words' | 'how' | 'time'>): Line {
    const made: Line = { ...line, key: `l${++this.#key}`, told: null };
    this.lines.push(made);
    this.#trim();
    this.#changed();
    return made;
  }

  #end(line: Line, change: Partial<Line>): Line {
    const at = this.lines.findIndex((one) => one.key === line.key);
    const { trouble: _, ...begun } = line;
    const ended = { ...begun, ...change };
    if (at >= 0) this.lines[at] = ended;
    this.#changed();
    return ended;
  }

  /** The conversation of before, from the journal and the replies kept beside it. */
  async #remember(): Promise<void> {
    for (const entry of this.book.entries.slice(-remembered)) this.lines.push(await this.#lineOf(entry));
  }

  async #lineOf(entry: Entry): Promise<Line> {
    const told = entry.device === this.device ? await this.parts.store.given(entry.id) : null;
    const how = entry.device !== this.device ? 'elsewhere' : entry.heard ? 'spoken' : 'typed';
    const line = { key: entry.id, words: entry.words, how, time: entry.time, told } as const;
    if (how !== 'elsewhere') return line;
    return { ...line, who: entry.person ?? this.book.settingsOf(entry.device).person ?? 'another device' };
  }

  /** What other tabs and other devices added. */
  async #takeIn(rows = remembered): Promise<void> {
    // What is new to the book was never drawn: own notes are in the book before their line has its answer.
    const added = [...this.#undrawn.splice(0), ...(await locked(() => this.session.refresh()))];
    for (const entry of added.slice(-rows)) this.lines.push(await this.#lineOf(entry));
    this.#trim();
    this.#tellAside();
    this.#changed();
  }

  /** Lets the earliest lines go that are more than is kept, and wait for nothing. */
  #trim(): void {
    for (let at = 0; at < this.lines.length && this.lines.length > mostLines; ) {
      const { told, trouble, how } = this.lines[at]!;
      if (told !== null || trouble !== undefined || how === 'elsewhere') this.lines.splice(at, 1);
      else at++;
    }
  }

  #tellAside(): void {
    const sentence = asideNotice(this.book);
    if (sentence !== null) this.notices.set('aside', sentence);
  }

  /** Looks at the clock beside the last note of this device, if there is one. */
  #checkClock(): void {
    const last = this.book.entry(this.book.deviceState(this.device).entries.at(-1) ?? '');
    if (last !== undefined) this.#clock.note(momentOf(last).time);
    this.#clock.note(this.#now());
  }

  #changed(): void {
    this.version++;
    for (const listener of this.#listeners) listener();
  }
}

const phonesOfServer = (fetcher: typeof fetch): PhoneKeeper => {
  const there = () => import('./phones.ts').then(({ pagePhones }) => pagePhones(fetcher));
  return { list: async () => (await there()).list(), putOut: async (id) => (await there()).putOut(id) };
};

const waitingSentence = (count: number): string =>
  `${count === 1 ? 'One sound is' : `${count} sounds are`} kept and answered when there is an ear again.`;

/** Runs while no other tab of this browser does; at once where the browser has no locks. */
function locked<T>(work: () => Promise<T>): Promise<T> {
  return globalThis.navigator?.locks ? navigator.locks.request('stemsay-book', work) : work();
}
