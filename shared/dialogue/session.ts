/**
 * The conversation with one book on one device: an utterance comes in, the reading is chosen or asked about, its
 * acts are worked out, the entry is made durable, the book takes it, and the reply is worded.
 */

import { Book } from '../book/book.ts';
import { dayNow } from '../book/local-days.ts';
import type { Settings } from '../book/settings.ts';
import { feetToMetres } from '../core/units.ts';
import { twoOpinions } from '../measuring/doubt/opinions.ts';
import type { Question } from '../note/acts.ts';
import type { Entry, Journal } from '../note/journal.ts';
import type { Candidate, NoteOf } from '../note/note.ts';
import * as wording from '../wording/wording.ts';
import { answer, answerNamed } from './answers.ts';
import { answerAsk } from './asking.ts';
import { withDialoguePrior } from './dialogue-prior.ts';
import { asking, type Context, type Outcome, sameNote } from './outcome.ts';
import { outcomeOf } from './resolve.ts';
import type { Answer, Surroundings, Told, Tongue, Utterance } from './types.ts';

/** A reading with at least this share of belief is taken; below it, the person is asked. */
export const takeFrom = 0.8;
/** The same for what was heard: a wrong note kept in silence costs more than a question. */
export const takeHeardFrom = 0.88;
/** Meanings with less belief than this are not offered. */
export const offerFrom = 0.08;

export class Session {
  readonly book = new Book();
  #cursor = 0;
  #seq = 0;
  #lastReply: string | null = null;
  #queue: Promise<unknown> = Promise.resolve();

  private constructor(
    readonly journal: Journal,
    readonly tongue: Tongue,
    readonly surroundings: Surroundings,
  ) {}

  /** Opens the book of a journal: everything in it is applied before the first note. */
  static async open(journal: Journal, tongue: Tongue, surroundings: Surroundings): Promise<Session> {
    const session = new Session(journal, tongue, surroundings);
    await session.refresh();
    return session;
  }

  /** Reads the journal from its beginning at the next look: its cursors are new. */
  rewind(): void {
    this.#cursor = 0;
  }

  /** Takes in what other devices or sessions added to the journal. Returns the entries that were new here. */
  async refresh(): Promise<Entry[]> {
    const added: Entry[] = [];
    for (;;) {
      const { entries, cursor } = await this.journal.since(this.#cursor, 10_000);
      if (entries.length === 0) break;
      this.#cursor = cursor;
      this.book.applyAll(entries);
      added.push(...entries);
      for (const entry of entries)
        if (entry.device === this.surroundings.device) this.#seq = Math.max(this.#seq, entry.seq);
    }
    return added;
  }

  /** One utterance after another: a note is durable and applied before the next is looked at. */
  tell(utterance: Utterance): Promise<Told> {
    const turn = this.#queue.then(() => this.#tell(utterance));
    this.#queue = turn.catch(() => undefined);
    return turn;
  }

  /** In force for who speaks on this device. */
  get settings(): Settings {
    return this.book.settingsOf(this.surroundings.device);
  }

  /** The newest open question of this device. */
  get question(): Question | null {
    return this.book.deviceState(this.surroundings.device).questions.at(-1)?.question ?? null;
  }

  async #tell(utterance: Utterance): Promise<Told> {
    const { book, surroundings } = this;
    const time = Math.max(Math.floor(surroundings.now()), book.lastTime + 1);
    const id = surroundings.id(time);
    if (utterance.candidates.length === 0) {
      return this.#refusal(utterance, utterance.refusal ?? 'Nothing was heard. Say it again.');
    }
    const chosen = this.#choose(utterance);
    const others = utterance.candidates.filter(({ note }) => note !== chosen.best.note);
    const about = utterance.answers;
    const put = about === undefined ? null : book.openQuestion(about);
    const context = this.#context(id, time, others, this.#lastReply, put?.device);
    const open = context.deviceState.questions.at(-1);
    const outcome =
      about !== undefined
        ? answerNamed(context, about, put?.open ?? null, chosen.best.note)
        : chosen.ask
          ? asking(chosen.ask)
          : ((open && answer(context, open, chosen.best.note)) ?? outcomeOf(context, chosen.best.note));
    if (outcome.state === 'refused')
      return this.#refusal(utterance, outcome.say(book, this.settings), chosen.best);
    const seen = book.newsFor(surroundings.device);
    const zone = surroundings.zone?.(time) ?? 0;
    const entry: Entry = {
      id,
      device: surroundings.device,
      seq: this.#seq + 1,
      time,
      ...(zone === 0 ? {} : { zone }),
      words: utterance.words,
      note: chosen.best.note,
      ...(outcome.means ? { means: outcome.means } : {}),
      grammar: this.tongue.version,
      acts: [...outcome.acts],
      ...(outcome.asks ? { asks: outcome.asks } : {}),
      ...(outcome.settles ? { settles: outcome.settles } : {}),
      ...(outcome.doubts && outcome.doubts.length > 0 ? { doubts: [...outcome.doubts] } : {}),
      ...(utterance.heard ? { heard: utterance.heard } : {}),
      ...(utterance.position ? { position: utterance.position } : {}),
      ...(seen ? { seen } : {}),
    };
    await this.journal.append([entry]);
    this.#seq++;
    book.apply(entry);
    return this.#told(utterance, entry, outcome, chosen.settled);
  }

  /** Answers a question on the book without keeping that it was asked. */
  ask(note: NoteOf<'ask'>): { readonly reply: string; readonly detail: string | null } {
    const { book, surroundings } = this;
    const time = surroundings.now();
    const context = this.#context(surroundings.id(time), time, [], null);
    const outcome = answerAsk(context, note);
    return { reply: outcome.say(book, this.settings), detail: outcome.detail?.(book) ?? null };
  }

  /** `device`: where it counts as said, where that is not here. */
  #context(
    id: string,
    time: number,
    others: readonly Candidate[],
    lastReply: string | null,
    device = this.surroundings.device,
  ): Context {
    const { book, tongue } = this;
    const deviceState = book.deviceState(device);
    const today = dayNow(time, this.surroundings.zone?.(time) ?? 0);
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
      lastReply,
    };
  }

  /**
   * The best meaning, and the question to put when it is not sure enough. What the sound left open the talk so far and
   * the trees may settle; `settled` is then the sentence that tells so.
   */
  #choose({ candidates, heard }: Utterance): { best: Candidate; ask?: Question; settled?: string } {
    const bySound = [...candidates].sort((a, b) => b.posterior - a.posterior);
    const from = heard === undefined ? takeFrom : takeHeardFrom;
    const byTalk = heard === undefined ? bySound : withDialoguePrior(bySound, this.question);
    const unsure = heard !== undefined && byTalk[0]!.posterior < from;
    const sorted = unsure ? twoOpinions(byTalk, this.#trees()) : byTalk;
    const best = sorted[0]!;
    if (best.posterior >= from) {
      const overruled = best.note !== bySound[0]!.note;
      const rival = unsure || overruled ? bySound.find(({ note }) => note !== best.note) : undefined;
      if (!rival) return { best };
      const [taken, left] = [best, rival].map(({ note }) => this.tongue.speak(note));
      return { best, settled: `Taken as ${taken}, not ${left}.` };
    }
    const offered = sorted
      .filter((candidate) => candidate.posterior >= offerFrom)
      .filter((candidate, at, all) => all.findIndex((other) => sameNote(other.note, candidate.note)) === at)
      .slice(0, 3);
    const options = (offered.length > 0 ? offered : [best]).map((candidate) => ({
      say: this.tongue.speak(candidate.note),
      note: candidate.note,
    }));
    const says = options.map((option) => option.say);
    const text =
      options.length === 1 ? `Did you say ${says[0]}?` : `Did you say ${wording.list(says, 'or')}?`;
    return { best, ask: { about: options.length === 1 ? 'confirm' : 'reading', text, options } };
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

  #refusal(utterance: Utterance, sentence: string, best?: Candidate): Told {
    this.#lastReply = sentence;
    return {
      answer: this.#answer(utterance, best ? best.note : null, null, sentence, [], null, 'refused'),
      entry: null,
      height: null,
      doubts: [],
      question: this.question,
      detail: null,
    };
  }

  #told(utterance: Utterance, entry: Entry, outcome: Outcome, settled?: string): Told {
    const { book } = this;
    const height = outcome.height?.(book) ?? null;
    let reply = outcome.say(book, this.settings);
    const still = this.question;
    if (outcome.settles && still && !outcome.asks) reply += ` Still open: ${still.text}`;
    if (settled) reply += ` ${settled}`;
    if (!(entry.note.kind === 'answer' && entry.note.answer === 'repeat')) this.#lastReply = reply;
    return {
      answer: this.#answer(
        utterance,
        entry.note,
        height,
        reply,
        outcome.doubts ?? [],
        outcome.asks ?? null,
        outcome.state,
      ),
      entry,
      height,
      doubts: outcome.doubts ?? [],
      question: still,
      detail: outcome.detail?.(book) ?? null,
    };
  }

  #answer(
    utterance: Utterance,
    note: Answer['note'],
    height: Told['height'],
    reply: string,
    doubts: Told['doubts'],
    asks: Question | null,
    state: Answer['state'],
  ): Answer {
    return {
      words: utterance.words,
      note: state === 'refused' ? null : note,
      height: height
        ? {
            feet: round(height.feet, 2),
            metres: round(feetToMetres(height.feet), 3),
            sdFeet: round(height.sdFeet, 2),
            method: height.method,
          }
        : null,
      reply,
      doubts: doubts.map(({ code, strength, slips }) => ({
        code,
        strength: round(strength, 3),
        slips: slips.map((slip) => ({
          slip: slip.slip,
          feet: slip.feet === null ? null : round(slip.feet, 2),
        })),
      })),
      asks: asks?.text ?? null,
      state,
      heard: utterance.heard
        ? { margin: utterance.heard.margin, posterior: utterance.heard.posterior }
        : null,
    };
  }
}

const round = (value: number, decimals: number): number => Number(value.toFixed(decimals));
