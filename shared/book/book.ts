/**
 * The book: everything that follows from the entries. `apply` takes one entry and is cheap; an entry that arrives
 * late makes it replay. It knows acts, never dialogue, and it never refuses: what contradicts itself becomes a doubt.
 */

import { IdTable } from '../core/id-table.ts';
import type { HeightCurve } from '../measuring/doubt/curve.ts';
import type { Act } from '../note/acts.ts';
import { compareEntries, type Entry } from '../note/journal.ts';
import type { Totals } from '../totals/totals.ts';
import type { PlotRecord, StandRecord } from '../totals/types.ts';
import { conflictDoubt, treeOfConflict } from './conflict-doubts.ts';
import { Conflicts } from './conflicts.ts';
import { type DeviceState, DeviceStates, type OpenQuestion } from './device-state.ts';
import { DoubtRegister, type RegisteredDoubt } from './doubt-register.ts';
import { LocalDays } from './local-days.ts';
import { type HeightNode, Records, type Remark, type Tree, type UserWord } from './records.ts';
import type { Scene } from './scene.ts';
import type { Settings, SettingsLine } from './settings.ts';
import type { Taught } from './taught.ts';

export type { DeviceState, OpenQuestion } from './device-state.ts';
export type { RegisteredDoubt } from './doubt-register.ts';
export type { HeightNode, Remark, Tree, UserWord } from './records.ts';

export class Book {
  readonly entries: Entry[] = [];
  /** Entries by id, in the order in which they came. */
  readonly #ids = new IdTable();
  readonly #arrived: Entry[] = [];
  #days = new LocalDays();
  #records = this.#emptyRecords();
  #deviceStates = new DeviceStates();
  #retracted = new Set<string>();
  #doubts = new DoubtRegister();
  #conflicts = new Conflicts();
  /** The latest entry of each device. */
  readonly #latest = new Map<string, number>();

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
      if (this.#ids.get(entry.id) >= 0) continue;
      this.#ids.set(entry.id, this.#arrived.length);
      this.#arrived.push(entry);
      if (entry.seq > (this.#latest.get(entry.device) ?? 0)) this.#latest.set(entry.device, entry.seq);
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
    this.#days = new LocalDays();
    this.#records = this.#emptyRecords();
    this.#deviceStates = new DeviceStates();
    this.#retracted = new Set();
    this.#doubts = new DoubtRegister();
    this.#conflicts = new Conflicts();
    for (const entry of this.entries) this.#play(entry);
  }

  entry(id: string): Entry | undefined {
    const at = this.#ids.get(id);
    return at < 0 ? undefined : this.#arrived[at];
  }

  isRetracted(id: string): boolean {
    return this.#retracted.has(id);
  }

  deviceState(device: string): DeviceState {
    return this.#deviceStates.of(device);
  }

  get settings(): SettingsLine {
    return this.#records.settings;
  }

  /** Days and hours by the clocks of those who measured. */
  get days(): LocalDays {
    return this.#days;
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

  /** What it teaches those who read and hear for it. */
  get taught(): Taught {
    const words = this.words.map(({ word, species, mark }) => ({
      word,
      ...(species === undefined ? {} : { species }),
      ...(mark === undefined ? {} : { mark }),
    }));
    const places = [...this.stands.values(), ...this.strata.values()].map(({ name }) => name);
    return { words, names: [...new Set([...places, ...this.#records.settings.people])] };
  }

  get remarks(): readonly Remark[] {
    return this.#records.remarks;
  }

  get doubts(): readonly RegisteredDoubt[] {
    return this.#doubts.all;
  }

  get stands(): ReadonlyMap<string, StandRecord> {
    return this.#records.stands.records;
  }

  get strata(): ReadonlyMap<string, StandRecord> {
    return this.#records.strata.records;
  }

  /** The stand in hand on a device: named there, or the one that the crew named last. */
  standOf(device: string): StandRecord | null {
    return this.stands.get(this.#deviceStates.placeOf(device).stand ?? '') ?? null;
  }

  stratumOf(device: string): StandRecord | null {
    return this.strata.get(this.#place(device).stratum ?? '') ?? null;
  }

  /** The stratum of a name in a stand. */
  stratumNamed(name: string, stand: string | null): StandRecord | null {
    return this.#records.strata.named(name, stand);
  }

  /** Settings in force for who speaks on a device. */
  settingsOf(device: string): Settings {
    return this.#records.settings.of(device);
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

  /** Heights that wait for the pace or the eye height of who speaks on a device. */
  *waiting(device: string): Iterable<HeightNode> {
    for (const node of this.#records.waiting())
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

  #place(device: string): { readonly stand: string | null; readonly stratum: string | null } {
    const deviceState = this.#deviceStates.placeOf(device);
    return {
      stand: deviceState.stand,
      stratum: this.strata.has(deviceState.stratum ?? '') ? deviceState.stratum : null,
    };
  }

  #emptyRecords(): Records {
    return new Records((time) => this.#days.dayOf(time));
  }

  #play(entry: Entry): void {
    const own = this.deviceState(entry.device);
    own.entries.push(entry.id);
    this.#days.take(entry.time, entry.zone);
    // The answer to a question that was put elsewhere does what it would have done there: with the pace of who asked,
    // on the plot where the tree stands. What that device has in hand by now stays in its hand.
    const asked = entry.settles === undefined ? undefined : this.entry(entry.settles)?.device;
    const there = asked === undefined || asked === entry.device ? null : asked;
    const deviceState = there === null ? own : { ...this.deviceState(there) };
    this.#doubts.raise(entry, deviceState.tree);
    for (const act of entry.acts) this.#act(entry, there ?? entry.device, deviceState, act);
    this.#cross(entry);
    if (entry.settles) this.#deviceStates.closeQuestion(entry.settles);
    if (entry.asks) own.questions.push({ entry: entry.id, question: entry.asks });
  }

  readonly #heightsOf = (tree: string): Entry[] =>
    this.#records.heightsOf(tree).flatMap((id) => this.entry(id) ?? []);

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
      this.#doubts.mendBeside(later.entry, earlier.entry);
  }

  /** An open question of any device, and the device on which it was put. */
  openQuestion(entry: string): { readonly device: string; readonly open: OpenQuestion } | null {
    return this.#deviceStates.openQuestion(entry);
  }

  /** Of other devices, what a device had not yet told that it knows. */
  newsFor(device: string): Record<string, number> | null {
    const seen = this.#conflicts.seenBy(device);
    const news = [...this.#latest].filter(([other, seq]) => other !== device && seq > (seen.get(other) ?? 0));
    return news.length === 0 ? null : Object.fromEntries(news);
  }

  #act(entry: Entry, device: string, deviceState: DeviceState, act: Act): void {
    const records = this.#records;
    const scene: Scene = {
      entry: entry.id,
      device,
      time: entry.time,
      person: entry.person ?? records.settings.of(device).person,
      plot: deviceState.plot,
      ...this.#place(device),
    };
    switch (act.act) {
      case 'tree':
        records.beginTree(scene, act.id, act.fields);
        deviceState.tree = act.id;
        deviceState.height = null;
        return;
      case 'amend':
        records.amendTree(scene, act.target, act.fields);
        return;
      case 'height':
        deviceState.height = act.id;
        deviceState.measured = act.id;
        records.addHeight(scene, act.id, act.tree, act.measurement);
        return;
      case 'remeasure':
        if (act.measurement) deviceState.height = act.target;
        records.remeasure(scene, act.target, act.measurement);
        return;
      case 'next':
        deviceState.tree = null;
        deviceState.height = null;
        return;
      case 'setting':
        records.set(scene, act.set);
        return;
      case 'word':
        records.words.push({ word: act.word, species: act.species, mark: act.mark, entry: entry.id });
        return;
      case 'plot':
        deviceState.plot = act.empty ? null : act.id;
        deviceState.tree = null;
        records.plots.begin(scene, act);
        return;
      case 'plotAmend':
        if (act.closed && deviceState.plot === act.target) {
          deviceState.plot = null;
          deviceState.tree = null;
        }
        records.plots.amend(scene, act);
        return;
      case 'stand':
        deviceState.tree = null;
        deviceState.plot = null;
        deviceState.stand = records.stands.begin(entry.id, act.name, act.acres);
        deviceState.stratum = null;
        this.#deviceStates.nameStand(entry.device);
        return;
      case 'stratum':
        deviceState.stratum = records.strata.begin(entry.id, act.name, act.acres, scene.stand);
        return;
      case 'retract':
        for (const target of act.targets) this.#retract(target);
        return;
      case 'settle':
        this.#doubts.settle(entry, act);
        return;
      case 'remark':
        records.remarks.push({ entry: entry.id, text: act.text, tree: act.tree, plot: act.plot });
        return;
    }
  }

  /** Undoes everything that one entry did: the book is as if it had never been said. */
  #retract(id: string): void {
    const entry = this.entry(id);
    if (!entry || this.#retracted.has(id)) return;
    this.#retracted.add(id);
    this.#conflicts.forget(entry);
    this.#doubts.drop(id);
    this.#deviceStates.closeQuestion(id);
    const deviceState = this.deviceState(entry.device);
    for (const act of [...entry.acts].reverse()) {
      this.#records.undo(id, act);
      if (act.act === 'plotAmend' && act.closed) deviceState.plot = act.target;
    }
    if (entry.acts.some((act) => act.act === 'setting')) this.#records.unset(id);
    for (const each of this.#deviceStates.all()) {
      if (!this.tree(each.tree)) each.tree = null;
      if (!this.height(each.height)) each.height = null;
      if (!this.plot(each.plot)) each.plot = null;
      if (each.stand !== null && !this.stands.has(each.stand)) {
        each.stand = [...this.stands.keys()].at(-1) ?? null;
        each.stratum = null;
      }
    }
  }
}
