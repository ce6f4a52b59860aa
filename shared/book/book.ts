/**
 * The book: everything that follows from the entries. `apply` takes one entry and is cheap; an entry that arrives
 * late makes it replay. It knows acts, never dialogue, and it never refuses: what contradicts itself becomes a doubt, and
 * an entry that cannot be worked out is set aside, with the reason, and stops none of the others.
 */

import type { HeightCurve, Pair } from '../measuring/doubt/curve.ts';
import type { Act } from '../note/acts.ts';
import { type DeviceId, type Entry, momentOf } from '../note/journal.ts';
import type { Ledger } from '../totals/ledger.ts';
import type { PlotRecord, StandRecord } from '../totals/types.ts';
import { conflictDoubt, treeOfConflict } from './conflict-doubts.ts';
import { Conflicts } from './conflicts.ts';
import {
  type DeviceState,
  DeviceStates,
  type Hand,
  handAfter,
  type NamedAreas,
  type OpenQuestion,
} from './device-state.ts';
import { DoubtRegister, type RegisteredDoubt } from './doubt-register.ts';
import { EntryLog } from './entry-log.ts';
import type { HeightNode } from './height-node.ts';
import { isLandAct, type LandRecords } from './land-records.ts';
import { isArea, leavesTheRest, spokenOf, Turns } from './late.ts';
import { Records, type Remark, type UserWord } from './records.ts';
import type { Scene } from './scene.ts';
import type { Settings } from './settings.ts';
import type { SettingsLine } from './settings-line.ts';
import type { Taught } from './taught.ts';
import type { Tree } from './tree-records.ts';

export type { DeviceState, Hand, OpenQuestion } from './device-state.ts';
export type { RegisteredDoubt } from './doubt-register.ts';
export type { Remark, UserWord } from './records.ts';
export type { Tree } from './tree-records.ts';

/** An entry at work, on whose device it counts, and what is in hand there. */
interface Doing {
  readonly entry: Entry;
  readonly late: boolean;
  readonly device: DeviceId;
  readonly hand: Hand;
}

/** Replays after which what still fails is left half done: a fault of the program itself. */
const mostRounds = 8;

export class Book {
  /** In their order. */
  readonly entries: EntryLog;
  #retracted = new Set<string>();
  readonly #stands = (id: string): boolean => !this.#retracted.has(id);
  readonly #precedes = (id: string, other: string): boolean => this.entries.precedes(id, other);
  #records = this.#emptyRecords();
  #deviceStates = new DeviceStates(this.#stands, this.#precedes);
  #doubts = new DoubtRegister(this.#stands, this.#precedes);
  #conflicts = new Conflicts(this.#stands);
  #turns = new Turns();
  /** Entries that could not be worked out, by id, with what went wrong. */
  #aside = new Map<string, string>();
  /** What an entry did before it failed is still in the book. */
  #torn = false;
  /** The latest entry of each device. */
  readonly #latest = new Map<string, number>();

  /** Place in the order of the latest entry, ms; 0 in an empty book. It is no time of day: that is `momentOf`. */
  get lastTime(): number {
    return this.entries.lastTime;
  }

  /** `recall` gives an entry again by its id, where the book need not hold all. */
  constructor(recall?: (id: string) => Entry) {
    this.entries = new EntryLog(recall);
  }

  /** Adds an entry; one that is there already changes nothing. Order of arrival does not matter. */
  apply(entry: Entry): void {
    this.applyAll([entry]);
  }

  /**
   * Adds many entries; gives those that were not here. One that comes late is played at its place, where it leaves the
   * rest as it is; else all are, once.
   */
  applyAll(entries: Iterable<Entry>): Entry[] {
    const added: Entry[] = [];
    let again = false;
    for (const entry of entries) {
      const last = this.entries.add(entry);
      if (last === null) continue;
      added.push(entry);
      if (entry.seq > (this.#latest.get(entry.device) ?? 0)) this.#latest.set(entry.device, entry.seq);
      again ||= !last && !this.#leavesTheRest(entry);
      if (!again) this.#play(entry, !last);
    }
    if (again) this.#aside = new Map();
    if (!again && !this.#torn) this.#settle();
    if (again || this.#torn) this.replay();
    else this.#records.trees.numberAgain();
    return added;
  }

  #leavesTheRest(entry: Entry): boolean {
    return (
      this.#aside.size === 0 &&
      leavesTheRest(entry, {
        log: this.entries,
        records: this.#records,
        states: this.#deviceStates,
        doubts: this.#doubts,
        conflicts: this.#conflicts,
        turns: this.#turns,
      })
    );
  }

  /** Everything again from the entries in their order, until none is left that fails. */
  replay(): void {
    for (let round = 0; round < mostRounds; round++) {
      this.#playAll();
      if (!this.#torn) return;
    }
  }

  #playAll(): void {
    this.#torn = false;
    this.#retracted = new Set();
    this.#records = this.#emptyRecords();
    this.#deviceStates = new DeviceStates(this.#stands, this.#precedes);
    this.#doubts = new DoubtRegister(this.#stands, this.#precedes);
    this.#conflicts = new Conflicts(this.#stands);
    this.#turns = new Turns();
    for (const entry of this.entries) this.#play(entry);
    this.#settle();
  }

  /** What could not be worked out is set aside with the entry that measured it. */
  #settle(): void {
    this.#records.settle((entry, cause) => this.#setAside(entry, cause));
  }

  #setAside(entry: string, cause: unknown): void {
    this.#aside.set(entry, cause instanceof Error ? cause.message : String(cause));
    this.#torn = true;
  }

  entry(id: string): Entry | undefined {
    return this.entries.get(id);
  }

  /** Entries that are kept but could not be worked out, and why: nothing of them is in the book. */
  get aside(): ReadonlyMap<string, string> {
    return this.#aside;
  }

  isRetracted(id: string): boolean {
    return this.#retracted.has(id);
  }

  deviceState(device: DeviceId): DeviceState {
    return this.#deviceStates.of(device);
  }

  get settings(): SettingsLine {
    return this.#records.settings;
  }

  /** The sums of what counts; questions about them are asked by `totalsOf`. */
  get ledger(): Ledger {
    return this.#records.ledger;
  }

  get curve(): HeightCurve {
    return this.#records.curve;
  }

  get words(): readonly UserWord[] {
    return this.#records.words.standing;
  }

  /** What it teaches those who read and hear for it. */
  get taught(): Taught {
    const words = this.words.map(({ word, species, mark }) => ({
      // As it is read: what another program brought in capitals is the same word.
      word: word.toLowerCase(),
      ...(species === undefined ? {} : { species }),
      ...(mark === undefined ? {} : { mark }),
    }));
    const places = [...this.stands.values(), ...this.strata.values()].map(({ name }) => name);
    return { words, names: [...new Set([...places, ...this.#records.settings.people])] };
  }

  get remarks(): readonly Remark[] {
    return this.#records.remarks.standing;
  }

  get doubts(): readonly RegisteredDoubt[] {
    return this.#doubts.all;
  }

  /** Walks, plans, places and prices. */
  get land(): LandRecords {
    return this.#records.land;
  }

  get stands(): ReadonlyMap<string, StandRecord> {
    return this.#records.stands.records;
  }

  get strata(): ReadonlyMap<string, StandRecord> {
    return this.#records.strata.records;
  }

  /** The stand in hand on a device: named there, or the one that the crew named last. */
  standOf(device: DeviceId): StandRecord | null {
    return this.stands.get(this.#deviceStates.placeOf(device).stand ?? '') ?? null;
  }

  /** The other device whose stand is in hand on this one, because none was named here. */
  followedBy(device: DeviceId): DeviceId | null {
    const other = this.#deviceStates.followedBy(device);
    return other === device ? null : other;
  }

  stratumOf(device: DeviceId): StandRecord | null {
    return this.strata.get(this.#place(device).stratum ?? '') ?? null;
  }

  /** The strata of a stand, in the order in which they were first named. */
  strataOf(stand: string | null): readonly StandRecord[] {
    return this.#records.strata.within(stand);
  }

  /** The stratum of a name in a stand. */
  stratumNamed(name: string, stand: string | null): StandRecord | null {
    return this.#records.strata.named(name, stand);
  }

  /** Settings in force for who speaks on a device. */
  settingsOf(device: DeviceId): Settings {
    return this.#records.settings.of(device);
  }

  /** Who spoke on a device before who speaks there now; null where nobody else was named. */
  personBefore(device: DeviceId): string | null {
    return this.#records.settings.personBefore(device);
  }

  tree(id: string | null): Tree | null {
    return this.#records.trees.get(id);
  }

  treeNumbered(number: number): Tree | null {
    return this.#records.trees.numbered(number);
  }

  /** The tree of a number that was taken back. */
  takenBackTree(number: number): Tree | null {
    return this.#records.trees.takenBack(number);
  }

  /** The pair of diameter and height that a tree has taught the curve; null where it taught nothing. */
  taughtBy(tree: string): Pair | null {
    return this.#records.trees.taughtBy(tree);
  }

  get lastTree(): Tree | null {
    return this.#records.trees.last;
  }

  trees(): Iterable<Tree> {
    return this.#records.trees;
  }

  height(id: string | null): HeightNode | null {
    return this.#records.heights.get(id);
  }

  heights(): Iterable<HeightNode> {
    return this.#records.heights;
  }

  /** Heights that wait for the pace or the eye height of who speaks on a device. */
  *waiting(device: DeviceId): Iterable<HeightNode> {
    for (const node of this.#records.heights.waiting())
      if (this.settings.sameSpeaker(device, node.device)) yield node;
  }

  plot(id: string | null): PlotRecord | null {
    return this.#records.plots.get(id);
  }

  plots(): Iterable<PlotRecord> {
    return this.#records.plots.all();
  }

  /** The latest plot of a number in a stand. */
  plotNumbered(number: number, stand: string | null): PlotRecord | null {
    let found: PlotRecord | null = null;
    for (const plot of this.plots()) if (plot.number === number && plot.stand === stand) found = plot;
    return found;
  }

  /** The plot of a number in a stand that was taken back. */
  takenBackPlot(number: number, stand: string | null): PlotRecord | null {
    return this.#records.plots.takenBack(number, stand);
  }

  /** What a device had in hand when one of its entries was done. */
  handAt(device: DeviceId, entry: string): Hand | null {
    return this.#deviceStates.handAt(device, entry);
  }

  #place(device: DeviceId): { readonly stand: string | null; readonly stratum: string | null } {
    const deviceState = this.#deviceStates.placeOf(device);
    return {
      stand: deviceState.stand,
      stratum: this.strata.has(deviceState.stratum ?? '') ? deviceState.stratum : null,
    };
  }

  #emptyRecords(): Records {
    return new Records({ standing: this.#stands, precedes: this.#precedes });
  }

  /** One entry in its turn. It never throws: what fails is set aside, and what it did until then is undone by a replay. */
  #play(entry: Entry, late = false): void {
    if (this.#aside.has(entry.id)) return;
    try {
      this.#work(entry, late);
    } catch (cause) {
      if (cause === this.entries.failed) {
        this.#torn = true;
        throw cause;
      }
      this.#setAside(entry.id, cause);
    }
  }

  #work(entry: Entry, late: boolean): void {
    const states = this.#deviceStates;
    states.begin(entry);
    const there = this.#elsewhere(entry);
    this.#doubts.raise(entry, states.handOf(there ?? entry.device).tree);
    let hand = states.handOf(there ?? entry.device);
    for (const act of entry.acts) {
      this.#act({ entry, late, device: there ?? entry.device, hand }, act);
      if (there === null) {
        states.take(entry, act, this.#areas);
        hand = states.handOf(entry.device);
      } else hand = handAfter(hand, entry.id, act, this.#areas);
    }
    this.#cross(entry);
    states.end(entry);
  }

  /**
   * The answer to a question that was put elsewhere does what it would have done there: with the pace of who asked, on
   * the plot where the tree stands. What that device has in hand by now stays in its hand, and so does one's own.
   */
  #elsewhere(entry: Entry): DeviceId | null {
    const asked = entry.settles === undefined ? undefined : this.entry(entry.settles)?.device;
    return asked === undefined || asked === entry.device ? null : asked;
  }

  readonly #areas: NamedAreas = {
    stand: (entry) => this.#records.stands.idOf(entry),
    stratum: (entry) => this.#records.strata.idOf(entry),
  };

  readonly #heightsOf = (tree: string): Entry[] =>
    this.#records.trees.heightsOf(tree).flatMap((id) => this.entry(id) ?? []);

  /** What the entry crossed with becomes a doubt; what it says anew, knowing both, is settled. */
  #cross(entry: Entry): void {
    for (const conflict of this.#conflicts.take(entry, this.#heightsOf)) {
      this.#doubts.raiseBeside(
        entry.id,
        conflict.earlier.entry,
        treeOfConflict(this, conflict),
        conflictDoubt(this, conflict),
      );
    }
    for (const { earlier, later } of this.#conflicts.settledBy(entry))
      this.#doubts.mendBeside(later.entry, earlier.entry, entry.id);
  }

  /** An open question of any device, and the device on which it was put. */
  openQuestion(entry: string): { readonly device: DeviceId; readonly open: OpenQuestion } | null {
    return this.#deviceStates.openQuestion(entry);
  }

  /** Of other devices, what a device had not yet told that it knows. */
  newsFor(device: DeviceId): Record<string, number> | null {
    const seen = this.#conflicts.seenBy(device);
    const news = [...this.#latest].filter(([other, seq]) => other !== device && seq > (seen.get(other) ?? 0));
    return news.length === 0 ? null : Object.fromEntries(news);
  }

  /** Notes what an act speaks of that is not there: what brings it later finds it spoken of already. */
  #noteTurn(entry: Entry, act: Act): void {
    const { missed } = this.#turns;
    for (const id of spokenOf(act)) if (!this.entries.has(id)) missed.add(id);
    if (isArea(act)) this.#turns.noteArea(entry, this.#precedes);
  }

  /** What one act does to the records; what it does to the hand is `handAfter`. */
  #act({ entry, late, device, hand }: Doing, act: Act): void {
    const records = this.#records;
    this.#noteTurn(entry, act);
    const scene: Scene = {
      entry: entry.id,
      late,
      device,
      ...momentOf(entry),
      person: entry.person ?? records.settings.personOn(device),
      plot: hand.plot,
      ...this.#place(device),
    };
    if (isLandAct(act)) {
      records.land.add(scene, records.settings.length, act);
      return;
    }
    switch (act.act) {
      case 'area':
        (act.of === 'stand' ? records.stands : records.strata).measured(entry.id, act);
        return;
      case 'tree':
        records.trees.begin(scene, act.id, act.fields);
        return;
      case 'amend':
        records.trees.amend(scene, act.target, act.fields);
        this.#doubts.mendLook(act.target, entry.id);
        return;
      case 'height':
        records.addHeight(scene, act.id, act.tree, act.measurement);
        this.#doubts.mendLook(act.tree, entry.id);
        return;
      case 'remeasure':
        records.heights.remeasure(scene, act.target, act.measurement);
        this.#doubts.mendLook(this.height(act.target)?.tree ?? null, entry.id);
        return;
      case 'assign':
        records.heights.assign(scene, act.target, act.tree);
        return;
      case 'next':
      case 'hand':
        return;
      case 'setting':
        records.heights.set(scene, act.set);
        return;
      case 'word':
        records.words.add({ word: act.word, species: act.species, mark: act.mark, entry: entry.id });
        return;
      case 'plot':
        records.plots.begin(scene, act);
        return;
      case 'plotAmend':
        records.plots.amend(scene, act);
        return;
      case 'stand':
        records.stands.begin(entry.id, act.name, act.acres);
        this.#deviceStates.nameStand(entry);
        return;
      case 'stratum':
        records.strata.begin(entry.id, act.name, act.acres, scene.stand);
        return;
      case 'retract':
        for (const target of act.targets) this.#stand(target, false, entry, late);
        return;
      case 'restore':
        for (const target of act.targets) this.#stand(target, true, entry, late);
        return;
      case 'settle':
        this.#doubts.settle(entry, act);
        return;
      case 'remark':
        records.remarks.add({ entry: entry.id, text: act.text, tree: act.tree, plot: act.plot });
        return;
    }
  }

  /**
   * Takes back everything that one entry did, or puts it back: every record is the merge of what stands, so the book
   * is as if the entry had never been said, or never been taken back.
   */
  #stand(id: string, stands: boolean, by: Entry, late: boolean): void {
    const entry = this.entry(id);
    if (!entry) return;
    this.#turns.turn(entry, by, !late);
    if (this.#stands(id) === stands) return;
    if (stands) this.#retracted.delete(id);
    else this.#retracted.add(id);
    this.#records.again(entry, { entry: by.id, late });
    this.#doubts.again(id);
    this.#deviceStates.again(entry, this.#handActs, this.#areas);
  }

  /** The acts of an entry that move the hand of the device that said it. */
  readonly #handActs = (id: string): readonly Act[] => {
    const entry = this.entry(id);
    return entry === undefined || this.#elsewhere(entry) !== null ? [] : entry.acts;
  };
}
