/**
 * The conversation with one book on one device: an utterance comes in, the reading is chosen or asked about, its
 * acts are worked out, the entry is made durable, the book takes it, and the reply is worded.
 */

import { Book, type OpenQuestion } from '../book/book.ts';
import { isBeside } from '../book/device-state.ts';
import type { Settings } from '../book/settings.ts';
import { dayNumber } from '../core/moment.ts';
import { required } from '../core/required.ts';
import { feetToMetres } from '../core/units.ts';
import type { EdgeParts, Question } from '../note/acts.ts';
import { type Entry, type Journal, UnfitError } from '../note/journal.ts';
import { limits } from '../note/limits.ts';
import type { Note, NoteMeaning } from '../note/note.ts';
import { sameNote } from '../note/note-key.ts';
import { saidSameTree } from './another-tree.ts';
import {
  BreathInHand,
  type BreathPlace,
  holdsUp,
  mainPart,
  notesBehind,
  stillMeant,
  withNotesBehind,
} from './breath.ts';
import { choose, otherMeanings, restsOthers, spoken, staying, stillOffered, takeFrom } from './choosing.ts';
import { isLeftBehind } from './device-entries.ts';
import { inTheCount } from './in-the-count.ts';
import { laterParts } from './later-parts.ts';
import {
  asking,
  type Context,
  isOfPhones,
  type LaterParts,
  type Outcome,
  type PhoneTalk,
} from './outcome.ts';
import { spelledOut } from './plot-meant.ts';
import { withPossiblePlots } from './possible-plots.ts';
import { toBeRedone } from './redone.ts';
import { outcomeOf } from './resolve.ts';
import { replyAsWanted } from './short-replies.ts';
import { answerTold, asAnotherOrSame } from './telling.ts';
import { mostEntriesBefore, type ToldBefore, wordsBefore } from './told-before.ts';
import type { Answer, Surroundings, Told, ToldPart, Tongue, Utterance } from './types.ts';

/** What a note came to, with the entry that was written. */
type Taken = Outcome & { readonly entry: Entry };

const repeatsLast = (note: Note): boolean => note.kind === 'answer' && note.answer === 'repeat';

/** Entries that are read at once: few enough that they are garbage while they are young. */
const atOnce = 2000;

export class Session {
  readonly book: Book;
  #cursor = 0;
  #seq = 0;
  #lastReply: string | null = null;
  /** True while the last note was refused. */
  #refused = false;
  /** True after an append that failed: it may be in the journal all the same, where only the answer was lost. */
  #unsure = false;
  #parts: LaterParts | null = null;
  #phones: PhoneTalk | null = null;
  #edge: EdgeParts | null = null;
  #queue: Promise<unknown> = Promise.resolve();

  private constructor(
    readonly journal: Journal,
    readonly tongue: Tongue,
    readonly surroundings: Surroundings,
  ) {
    const { recall } = journal;
    this.book = new Book(recall && ((id) => recall.call(journal, id)));
  }

  /** Opens the book of a journal: everything in it is applied before the first note. */
  static async open(journal: Journal, tongue: Tongue, surroundings: Surroundings): Promise<Session> {
    const session = new Session(journal, tongue, surroundings);
    await session.#takeIn(() => {});
    return session;
  }

  /** Reads the journal from its beginning at the next look: its cursors are new. */
  rewind(): void {
    this.#cursor = 0;
  }

  /** Takes in what other devices or sessions added to the journal. Returns the entries that were new here: no own ones. */
  async refresh(): Promise<Entry[]> {
    const added: Entry[] = [];
    await this.#takeIn((entries) => added.push(...entries));
    return added;
  }

  async #takeIn(added: (entries: readonly Entry[]) => void): Promise<void> {
    for (;;) {
      const { entries, cursor } = await this.journal.since(this.#cursor, atOnce);
      if (entries.length === 0) return;
      this.#cursor = cursor;
      added(this.book.applyAll(entries));
      for (const entry of entries)
        if (entry.device === this.surroundings.device) this.#seq = Math.max(this.#seq, entry.seq);
    }
  }

  /** One utterance after another: a note is durable and applied before the next is looked at. */
  tell(utterance: Utterance): Promise<Told> {
    const turn = this.#queue
      .then(() => this.#lookAgain())
      .then(() => this.#tell(utterance))
      .catch((cause) => {
        if (cause instanceof UnfitError) return this.#refusal(utterance, cause.message);
        throw cause;
      });
    this.#queue = turn.catch(() => undefined);
    return turn;
  }

  /** What the journal kept of an append that failed is known before the next note is numbered. */
  async #lookAgain(): Promise<void> {
    if (!this.#unsure) return;
    await this.refresh();
    this.#unsure = false;
  }

  /** In force for who speaks on this device. */
  get settings(): Settings {
    return this.book.settingsOf(this.surroundings.device);
  }

  /** What this device told just now. */
  get before(): ToldBefore {
    const { book, surroundings, tongue } = this;
    const ids = book.deviceState(surroundings.device).entries;
    const newestFirst = ids.slice(-mostEntriesBefore).toReversed();
    return {
      told: wordsBefore(
        newestFirst.flatMap((id) => book.entry(id) ?? []),
        (note) => tongue.speak(note),
      ),
      metric: this.settings.units === 'metres',
    };
  }

  /** The newest open question of this device. */
  get question(): Question | null {
    return this.book.deviceState(this.surroundings.device).questions.at(-1)?.question ?? null;
  }

  /** The same, unless it is an offer that was left behind: what is said now is hardly about it. */
  #askedLast(): Question | null {
    const open = this.#open();
    const { book, surroundings } = this;
    const held = { book, deviceState: book.deviceState(surroundings.device) };
    return open === undefined || isLeftBehind(held, open) ? null : open.question;
  }

  async #tell(told: Utterance): Promise<Told> {
    const { device } = this.surroundings;
    const inHand = { book: this.book, device, deviceState: this.book.deviceState(device) };
    const meant = inTheCount(this.#asAnswer(told), this.settings.units === 'metres');
    const utterance = withPossiblePlots(inHand, meant);
    if (utterance.candidates.length === 0)
      return this.#refusal(utterance, utterance.refusal ?? 'Nothing was heard. Say it again.');
    const { book, tongue } = this;
    const question = this.#askedLast();
    const chosen = choose(utterance, { question, trees: this.#trees(), tongue });
    const { ask } = chosen;
    const notes = ask ? chosen.best.notes : spelledOut(inHand, chosen.best.notes);
    const best = { ...chosen.best, notes };
    const sure = chosen.sure + notes.length - chosen.best.notes.length;
    this.#edge = utterance.edge ?? null;
    await tongue.prepare?.(best.notes);
    const parts = await laterParts(
      book,
      best.notes,
      this.question !== null || utterance.answers !== undefined || this.#isSameTree(best.notes),
    );
    if (!parts.ok) return this.#refusal(utterance, parts.error);
    this.#parts = parts.value;
    this.#phones = await this.#lookAtPhones(best.notes);
    const about = utterance.answers;
    const put = about === undefined ? null : book.openQuestion(about);
    const asked = about === undefined ? this.#open() : put?.open;
    const cameNext = this.#cameLast(asked?.entry);
    const breath = new BreathInHand(utterance, best.notes.length);
    for (const [at, note] of best.notes.slice(0, ask ? sure + 1 : sure).entries()) {
      const others = otherMeanings(best, utterance.candidates, at);
      const taken = await this.#take(breath, at, note, (id, time) => {
        const context = this.#context(id, time, others, put?.device);
        if (at === 0 && about !== undefined)
          return this.#answers.answerNamed(context, about, put?.open ?? null, note);
        if (at === sure && ask) return asking(ask);
        const behind = best.notes.slice(at + 1, sure);
        // What is answered was said in the words before.
        const before = asked === undefined ? '' : (book.entry(asked.entry)?.words ?? '');
        const said = { ...context, behind: behind[0], words: `${before} ${utterance.words}` };
        return withNotesBehind(this.#outcome(said, note, breath), behind);
      });
      if (at === 0 && taken) await this.#goOn(breath, taken, asked, cameNext);
      if (!taken || holdsUp(taken)) {
        const waits = taken?.asks?.behind !== undefined;
        if (at < sure) breath.leave(best.notes.slice(waits ? sure : at + 1));
        break;
      }
    }
    return this.#told(utterance, breath, chosen.settled, cameNext ? asked?.entry : undefined);
  }

  /** Typed words that say nothing sure by themselves may tell apart what the open question offers. */
  #asAnswer(utterance: Utterance): Utterance {
    const { words, candidates, heard, answers } = utterance;
    const question =
      answers === undefined ? this.#askedLast() : this.book.openQuestion(answers)?.open.question;
    if (question?.about === 'another')
      return { ...utterance, candidates: asAnotherOrSame(candidates, words) };
    if (heard !== undefined || !question || question.options.length < 2) return utterance;
    const answer = answerTold(question, words, candidates, takeFrom);
    return answer === null ? utterance : { ...utterance, candidates: [answer] };
  }

  /** "Same tree", in this breath or just before it: a number behind it is one more reading. */
  #isSameTree(notes: readonly Note[]): boolean {
    const { book, surroundings } = this;
    const here = notes.some((note) => note.kind === 'hand' && !note.tree && !note.which);
    const held = { book, deviceState: book.deviceState(surroundings.device) };
    return here || saidSameTree(held) || toBeRedone(held) !== null;
  }

  /** Looks who is let in, where a note may be about that. */
  async #lookAtPhones(notes: readonly Note[]): Promise<PhoneTalk | null> {
    const { question } = this;
    const asked =
      question === null ? [] : [...question.options.map(({ note }) => note), ...(question.behind ?? [])];
    if (this.#parts === null || ![...notes, ...asked].some(isOfPhones)) return null;
    return this.#parts.phoneTalk(this.surroundings.phones);
  }

  /** What a note of a breath does: an answer to what was open before the breath, or a note of its own. */
  #outcome(context: Context, note: Note, breath: BreathInHand): Outcome {
    const open = context.deviceState.questions.at(-1);
    // What the breath itself has just raised nobody has heard yet; only the scale of an angle is said behind it.
    const heard = open !== undefined && (!breath.holds(open.entry) || note.kind === 'pick');
    return (heard ? this.#answers.answer(context, open, note) : null) ?? outcomeOf(context, note);
  }

  /** Works out what a note does and makes it durable; null when it was refused. The breath gets the part. */
  async #take(
    breath: BreathInHand,
    at: number,
    note: Note,
    work: (id: string, time: number) => Outcome,
    place: BreathPlace = breath.place(at),
  ): Promise<Taken | null> {
    const { book, surroundings } = this;
    const now = timeWithin(surroundings.now());
    // Behind all that is known here, whatever a clock may have said there; the moment is that of the clock here.
    const time = timeWithin(Math.max(now, book.lastTime + 1));
    const id = surroundings.id(now);
    const outcome = work(id, now);
    if (outcome.state === 'refused') {
      breath.refuse(note, outcome.say(book, this.settings));
      return null;
    }
    const done = await outcome.first?.();
    if (done?.ok === false) {
      breath.refuse(note, done.error);
      return null;
    }
    const seen = book.newsFor(surroundings.device);
    const zone = surroundings.zone?.(now) ?? 0;
    const { position } = breath.utterance;
    const entry: Entry = {
      id,
      device: surroundings.device,
      seq: this.#seq + 1,
      time,
      ...(time === now ? {} : { clock: now }),
      ...(zone === 0 ? {} : { zone }),
      words: place.words,
      note,
      ...(outcome.means ? { means: outcome.means } : {}),
      ...(outcome.person === undefined ? {} : { person: outcome.person }),
      ...(place.breath ? { breath: { ...place.breath, id: place.breath.id ?? id } } : {}),
      grammar: this.tongue.version,
      acts: [...outcome.acts],
      ...(outcome.asks ? { asks: staying(breath.utterance.heard, outcome.asks) } : {}),
      ...(outcome.settles ? { settles: outcome.settles } : {}),
      ...(outcome.doubts && outcome.doubts.length > 0 ? { doubts: [...outcome.doubts] } : {}),
      ...(place.heard ? { heard: place.heard } : {}),
      ...(position ? { position } : {}),
      ...(seen ? { seen } : {}),
    };
    try {
      await this.journal.append([entry]);
    } catch (cause) {
      this.#unsure = !(cause instanceof UnfitError);
      // Said once more, the whole breath would be kept twice in part.
      if (!breath.begun) throw cause;
      const why = cause instanceof UnfitError ? cause.message : 'Say that again.';
      breath.refuse(note, `${this.tongue.speak(note)} could not be written. ${why}`);
      return null;
    }
    this.#seq++;
    book.apply(entry);
    const reply = replyAsWanted(this.settings, note, outcome, outcome.say(book, this.settings));
    // "Say again" in the same breath is about what came just before it.
    if (!repeatsLast(note)) this.#lastReply = reply;
    breath.add(entry, outcome, {
      entry,
      note,
      height: outcome.height?.(book) ?? null,
      doubts: outcome.doubts ?? [],
      question: outcome.asks ?? null,
      reply,
      state: outcome.state,
    });
    return { ...outcome, entry };
  }

  /** Whether a question is answered by now, or lapsed with what was said. */
  #isDecided({ entry, question: { stays } }: OpenQuestion, taken: Taken, cameNext: boolean): boolean {
    // An offer that stays is answered, or another takes its place, whatever came in between.
    if (stays ? this.book.openQuestion(entry) !== null : !cameNext) return false;
    return taken.settles === entry || !isBeside(taken.entry.note);
  }

  /** Takes the notes that waited behind the question that was answered just now, or says that they lapse. */
  async #goOn(
    breath: BreathInHand,
    taken: Taken,
    asked: OpenQuestion | undefined,
    cameNext: boolean,
  ): Promise<void> {
    if (asked === undefined || taken.asks?.behind !== undefined) return;
    const settled = taken.settles === asked.entry;
    if (!this.#isDecided(asked, taken, cameNext)) return;
    const first = this.book.entry(asked.entry);
    const typed = first !== undefined && first.heard === undefined;
    const { notes: all, lapse } = notesBehind(asked, taken, { answered: settled, typed });
    // A late no has named all that it drops.
    if (settled && lapse && !cameNext) return;
    const notes = cameNext || lapse ? all : stillMeant(all);
    breath.leave(all.slice(notes.length));
    for (const [index, note] of notes.entries()) {
      if (lapse || first === undefined) {
        breath.leave(
          notes.slice(index).filter((one) => !breath.parts.some((part) => sameNote(part.note, one))),
        );
        return;
      }
      const of = first.breath?.of ?? notes.length + 1;
      const at = (first.breath?.at ?? 0) + 1 + index;
      const place = {
        words: first.words,
        heard: first.heard,
        breath: { id: first.breath?.id ?? first.id, at, of },
      };
      const next = await this.#take(
        breath,
        at,
        note,
        (id, time) => {
          const work = (context: Context): Outcome => this.#outcome(context, note, breath);
          const context = this.#context(id, time, []);
          const late = !cameNext && restsOthers(note);
          const outcome = late ? this.#answers.behindLate(context, asked, work) : work(context);
          return withNotesBehind(outcome, notes.slice(index + 1));
        },
        place,
      );
      if (!next || holdsUp(next)) {
        if (!next || next.asks?.behind === undefined) breath.leave(notes.slice(index + 1));
        return;
      }
    }
  }

  /** They are there whenever a question was open, or named, before the breath, and with every bare answer. */
  get #answers(): LaterParts['answers'] {
    if (this.#parts === null) throw new Error('The part for answers was not fetched.');
    return this.#parts.answers;
  }

  #open(): OpenQuestion | undefined {
    return this.book.deviceState(this.surroundings.device).questions.at(-1);
  }

  /** True when nothing was said here since that entry but what is about the talk itself. */
  #cameLast(entry: string | undefined): boolean {
    const { entries } = this.book.deviceState(this.surroundings.device);
    const last = entries.findLast(
      (id) => id === entry || !isBeside(required(this.book.entry(id), 'an entry').note),
    );
    return last !== undefined && last === entry;
  }

  /** What a question that is not kept may look at (`ask-book.ts`). */
  get view(): Context {
    const { surroundings } = this;
    const time = surroundings.now();
    return this.#context(surroundings.id(time), time, []);
  }

  /** `device`: where it counts as said, where that is not here. */
  #context(
    id: string,
    time: number,
    others: readonly NoteMeaning[],
    device = this.surroundings.device,
  ): Context {
    const { book, tongue } = this;
    const deviceState = book.deviceState(device);
    const today = dayNumber({ time, zone: this.surroundings.zone?.(time) ?? 0 });
    return {
      book,
      device,
      deviceState,
      settings: book.settingsOf(device),
      tongue,
      id,
      time,
      today,
      others,
      lastReply: this.#lastReply,
      land: this.#parts?.land ?? null,
      mending: this.#parts?.mending ?? null,
      answerAsk: this.#parts?.answerAsk ?? null,
      phones: this.#phones,
      edge: this.#edge,
      afterRefusal: this.#refused,
    };
  }

  /** What the trees can say about the height of the tree in hand. */
  #trees() {
    const { book, settings } = this;
    return {
      settings,
      curve: book.curve,
      tree: book.tree(book.deviceState(this.surroundings.device).tree) ?? null,
    };
  }

  #refusal(utterance: Utterance, sentence: string): Told {
    this.#lastReply = sentence;
    this.#refused = true;
    return {
      answer: this.#answer(utterance, [], null, sentence, null),
      entry: null,
      height: null,
      doubts: [],
      question: this.question,
      detail: null,
      parts: [],
    };
  }

  /** What was offered, where notes were told that rest on it, or where a plot or the day ends: how to settle it. */
  #stillOffered(breath: BreathInHand, before: string | undefined): string | null {
    const open = this.#open();
    if (open?.question.stays !== true || breath.holds(open.entry) || !breath.begun) return null;
    const ends = breath.parts.some(
      ({ note }) =>
        (note.kind === 'plot' && note.op === 'close') || (note.kind === 'control' && note.op === 'stop'),
    );
    return ends || open.entry === before ? stillOffered(open.question) : null;
  }

  #told(utterance: Utterance, breath: BreathInHand, settled?: string, before?: string): Told {
    const { book } = this;
    const { parts } = breath;
    this.#refused = parts.some(({ state }) => state === 'refused');
    const main = mainPart(parts);
    const still = this.question;
    const sentences = parts.map(({ reply }) => reply);
    const offered = this.#stillOffered(breath, before);
    if (offered !== null) sentences.push(offered);
    else if (breath.settles && still && parts.every(({ question }) => question === null))
      sentences.push(`Still open: ${still.text}`);
    if (settled) sentences.push(settled);
    if (breath.left.length > 0) sentences.push(`Not kept: ${spoken(this.tongue, breath.left)}.`);
    const reply = sentences.filter((sentence) => sentence !== '').join(' ');
    if (!parts.some(({ note }) => repeatsLast(note))) this.#lastReply = reply;
    const question = parts.findLast((part) => part.question !== null)?.question ?? null;
    return {
      answer: this.#answer(utterance, parts, main?.height ?? null, reply, question),
      entry: main?.entry ?? null,
      height: main?.height ?? null,
      doubts: parts.flatMap(({ doubts }) => doubts),
      question: still,
      detail: breath.detailOf(main?.entry)?.(book) ?? null,
      parts,
    };
  }

  #answer(
    utterance: Utterance,
    parts: readonly ToldPart[],
    height: Told['height'],
    reply: string,
    asks: Question | null,
  ): Answer {
    const notes = parts.filter(({ state }) => state !== 'refused').map(({ note }) => note);
    const isAsking = parts.some(({ state }) => state === 'asking');
    return {
      words: utterance.words,
      note: notes[0] ?? null,
      notes,
      height: height
        ? {
            feet: round(height.feet, 2),
            metres: round(feetToMetres(height.feet), 3),
            sdFeet: round(height.sdFeet, 2),
            method: height.method,
          }
        : null,
      reply,
      doubts: parts.flatMap(({ doubts }) =>
        doubts.map(({ code, strength, slips }) => ({
          code,
          strength: round(strength, 3),
          slips: slips.map((slip) => ({
            slip: slip.slip,
            feet: slip.feet === null ? null : round(slip.feet, 2),
          })),
        })),
      ),
      asks: asks?.text ?? null,
      state: notes.length === 0 ? 'refused' : isAsking ? 'asking' : 'kept',
      heard: utterance.heard
        ? { margin: utterance.heard.margin, posterior: utterance.heard.posterior }
        : null,
    };
  }
}

/** A clock's reading that an entry can bear. */
const timeWithin = (time: number): number =>
  Math.min(limits.time.most, Math.max(limits.time.least, Math.floor(time)));

const round = (value: number, decimals: number): number => Number(value.toFixed(decimals));
