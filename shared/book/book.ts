/**
 * The book: everything that follows from the entries. `apply` takes one entry and is cheap; an entry that arrives
 * late makes it replay. It knows acts, never dialogue, and it never refuses: what contradicts itself becomes a doubt.
 */
import type { Act, Doubt, Question } from '../acts.ts';
import type { HeightCurve } from '../doubt/curve.ts';
import { compareEntries, type Entry } from '../journal.ts';
import type { Totals } from '../totals/totals.ts';
import type { PlotRecord, StandRecord } from '../totals/types.ts';
import { type HeightNode, Records, type Remark, type Scene, type Tree, type UserWord } from './records.ts';
import type { SettingsLine } from './settings.ts';

export type { HeightNode, Remark, Tree, UserWord } from './records.ts';

export interface BookDoubt {
  readonly entry: string;
  readonly tree: string | null;
  readonly doubt: Doubt;
  state: 'open' | 'kept' | 'mended' | 'dropped';
}

export interface OpenQuestion {
  readonly entry: string;
  readonly question: Question;
}

/** What a device is busy with. */
export interface Hand {
  tree: string | null;
  plot: string | null;
  /** Height of the tree in hand, or of no tree, that was measured last. */
  height: string | null;
  /** The height measured last, of whatever tree: its advice is not repeated tree after tree. */
  measured: string | null;
  /** Ids of this device's entries in order. */
  readonly entries: string[];
  /** Open questions, the newest last. */
  questions: OpenQuestion[];
}

export class Book {
  readonly entries: Entry[] = [];
  readonly #byId = new Map<string, Entry>();
  #records = new Records();
  #hands = new Map<string, Hand>();
  #retracted = new Set<string>();
  #doubts: BookDoubt[] = [];

  /** Time of the latest entry, ms; 0 in an empty book. */
  get lastTime(): number {
    return this.entries.at(-1)?.time ?? 0;
  }

  /** Adds an entry; one that is there already changes nothing. Order of arrival does not matter. */
  apply(entry: Entry): void {
    this.applyAll([entry]);
  }

  /** Adds many entries; at most one replay, when any of them came late. */
  applyAll(entries: Iterable<Entry>): void {
    let late = false;
    for (const entry of entries) {
      if (this.#byId.has(entry.id)) continue;
      this.#byId.set(entry.id, entry);
      const last = this.entries.at(-1);
      late ||= last !== undefined && compareEntries(last, entry) > 0;
      this.entries.push(entry);
      if (!late) this.#play(entry);
    }
    if (late) this.replay();
  }

  /** Everything again from the entries in their order. */
  replay(): void {
    this.entries.sort(compareEntries);
    this.#records = new Records();
    this.#hands = new Map();
    this.#retracted = new Set();
    this.#doubts = [];
    for (const entry of this.entries) this.#play(entry);
  }

  entry(id: string): Entry | undefined {
    return this.#byId.get(id);
  }

  isRetracted(id: string): boolean {
    return this.#retracted.has(id);
  }

  hand(device: string): Hand {
    let hand = this.#hands.get(device);
    if (!hand) {
      hand = { tree: null, plot: null, height: null, measured: null, entries: [], questions: [] };
      this.#hands.set(device, hand);
    }
    return hand;
  }

  get settings(): SettingsLine {
    return this.#records.settings;
  }

  get totals(): Totals {
    return this.#records.totals;
  }

  get curve(): HeightCurve {
    return this.#records.curve;
  }

  get words(): readonly UserWord[] {
    return this.#records.words;
  }

  get remarks(): readonly Remark[] {
    return this.#records.remarks;
  }

  get doubts(): readonly BookDoubt[] {
    return this.#doubts;
  }

  get stands(): ReadonlyMap<string, StandRecord> {
    return this.#records.stands;
  }

  get strata(): ReadonlyMap<string, StandRecord> {
    return this.#records.strata;
  }

  /** The stand in hand. */
  get stand(): StandRecord | null {
    return this.#records.stands.get(this.#records.stand ?? '') ?? null;
  }

  get stratum(): StandRecord | null {
    return this.#records.strata.get(this.#records.stratum ?? '') ?? null;
  }

  tree(id: string | null): Tree | null {
    return this.#records.tree(id);
  }

  treeNumbered(number: number): Tree | null {
    return this.#records.treeNumbered(number);
  }

  get lastTree(): Tree | null {
    return this.#records.lastTree;
  }

  trees(): Iterable<Tree> {
    return this.#records.trees();
  }

  height(id: string | null): HeightNode | null {
    return this.#records.height(id);
  }

  heights(): Iterable<HeightNode> {
    return this.#records.heights();
  }

  /** Heights that wait for a pace or an eye height. */
  waiting(): Iterable<HeightNode> {
    return this.#records.waiting();
  }

  plot(id: string | null): PlotRecord | null {
    return this.#records.plot(id);
  }

  plots(): Iterable<PlotRecord> {
    return this.#records.plots();
  }

  /** The latest plot of a number in the stand in hand. */
  plotNumbered(number: number): PlotRecord | null {
    let found: PlotRecord | null = null;
    for (const plot of this.plots())
      if (plot.number === number && plot.stand === (this.stand?.id ?? null)) found = plot;
    return found;
  }

  #play(entry: Entry): void {
    const hand = this.hand(entry.device);
    hand.entries.push(entry.id);
    for (const doubt of entry.doubts ?? []) {
      this.#doubts.push({ entry: entry.id, tree: doubtedTree(entry) ?? hand.tree, doubt, state: 'open' });
    }
    for (const act of entry.acts) this.#act(entry, hand, act);
    if (entry.settles) this.#closeQuestion(entry.settles);
    if (entry.asks) hand.questions.push({ entry: entry.id, question: entry.asks });
  }

  #closeQuestion(entry: string): void {
    for (const hand of this.#hands.values()) {
      if (hand.questions.length > 0) hand.questions = hand.questions.filter((open) => open.entry !== entry);
    }
  }

  #act(entry: Entry, hand: Hand, act: Act): void {
    const records = this.#records;
    const scene: Scene = {
      entry: entry.id,
      time: entry.time,
      person: entry.person ?? records.settings.now.person,
      plot: hand.plot,
    };
    switch (act.act) {
      case 'tree':
        records.beginTree(scene, act.id, act.fields);
        hand.tree = act.id;
        hand.height = null;
        return;
      case 'amend':
        records.amendTree(scene, act.target, act.fields);
        return;
      case 'height':
        hand.height = act.id;
        hand.measured = act.id;
        records.addHeight(scene, act.id, act.tree, act.measurement);
        return;
      case 'remeasure':
        if (act.measurement) hand.height = act.target;
        records.remeasure(scene, act.target, act.measurement);
        return;
      case 'next':
        hand.tree = null;
        hand.height = null;
        return;
      case 'setting':
        records.set(scene, act.set);
        return;
      case 'word':
        records.words.push({ word: act.word, species: act.species, mark: act.mark, entry: entry.id });
        return;
      case 'plot':
        hand.plot = act.empty ? null : act.id;
        hand.tree = null;
        records.beginPlot(scene, act);
        return;
      case 'plotAmend':
        if (act.closed && hand.plot === act.target) {
          hand.plot = null;
          hand.tree = null;
        }
        records.amendPlot(scene, act);
        return;
      case 'stand':
        hand.tree = null;
        hand.plot = null;
        records.beginStand(act);
        return;
      case 'stratum':
        records.beginStratum(act);
        return;
      case 'retract':
        for (const target of act.targets) this.#retract(target);
        return;
      case 'settle':
        for (const each of this.#doubts) {
          if (each.entry === act.entry && (act.code === '*' || each.doubt.code === act.code))
            each.state = act.how;
        }
        return;
      case 'remark':
        records.remarks.push({ entry: entry.id, text: act.text, tree: act.tree, plot: act.plot });
        return;
    }
  }

  /** Undoes everything that one entry did: the book is as if it had never been said. */
  #retract(id: string): void {
    const entry = this.#byId.get(id);
    if (!entry || this.#retracted.has(id)) return;
    this.#retracted.add(id);
    for (const each of this.#doubts) if (each.entry === id && each.state === 'open') each.state = 'dropped';
    this.#closeQuestion(id);
    const hand = this.hand(entry.device);
    for (const act of [...entry.acts].reverse()) {
      this.#records.undo(id, act);
      if (act.act === 'plotAmend' && act.closed) hand.plot = act.target;
    }
    if (entry.acts.some((act) => act.act === 'setting')) this.#records.unset(id);
    for (const each of this.#hands.values()) {
      if (!this.tree(each.tree)) each.tree = null;
      if (!this.height(each.height)) each.height = null;
      if (!this.plot(each.plot)) each.plot = null;
    }
  }
}

function doubtedTree(entry: Entry): string | null {
  for (const act of entry.acts) {
    if (act.act === 'height') return act.tree;
    if (act.act === 'tree') return act.id;
    if (act.act === 'amend') return act.target;
  }
  return entry.asks?.target ?? null;
}
