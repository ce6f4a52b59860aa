/**
 * The line of settings of one book: all its setting acts in their order, and what they come to for who speaks on a device,
 * at any point of it. A pace or an eye height is one person's own: several people in one book never measure with each
 * other's. Of most things the last act holds, so the acts that stand are kept by what they set and whose they are; the
 * settings at a point are looked up, not folded, and taking an act back costs what it touches.
 */

import { paceModel } from '../measuring/height/pace.ts';
import type { Device } from '../measuring/height/types.ts';
import type { DeviationName } from '../note/deviations.ts';
import type { DeviceId } from '../note/journal.ts';
import { isPersonal, type SettingAct, type SettingName, settingNames, whoseOf } from '../note/settings.ts';
import { countWhile } from './record-table.ts';
import { firstSettings, inForce, type Settings, withSetting } from './settings.ts';

/** One setting act of the book, and whether it still holds. */
interface Dated {
  readonly entry: string;
  readonly device: DeviceId;
  readonly set: SettingAct;
  /** Whose it was said to be, else who had been named on the device by then; nobody for the naming itself. */
  who: string | undefined;
  holds: boolean;
}

/** From where on the line on an act matters, and up to where; neither end where no height can tell. */
export interface Span {
  readonly from: number;
  readonly to: number;
  readonly what: SettingName;
}

/** The end of the line, wherever it is by then. */
const end = Number.POSITIVE_INFINITY;

/** Numbers in rising order, looked up by halving. */
class Rising {
  readonly all: number[] = [];

  /** How many are below. */
  below(limit: number): number {
    let [low, high] = [0, this.all.length];
    if (high === 0 || this.all[high - 1]! < limit) return high;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (this.all[middle]! < limit) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  /** The last that is below; -1 for none. */
  lastBelow(limit: number): number {
    return this.all[this.below(limit) - 1] ?? -1;
  }

  /** The first that is not below; `end` for none. */
  firstFrom(limit: number): number {
    return this.all[this.below(limit)] ?? end;
  }

  put(value: number): void {
    this.all.splice(this.below(value), 0, value);
  }

  /** Makes room for one more value. */
  shift(from: number): void {
    for (let at = this.below(from); at < this.all.length; at++) this.all[at]!++;
  }

  drop(value: number): void {
    const at = this.below(value);
    if (this.all[at] === value) this.all.splice(at, 1);
  }
}

const nowhere = new Rising();

/** Whose an act is: everybody's, or of who speaks there. */
type Owner = string;
/** What everybody said. */
const anybody: Owner = '*';
const everybody: readonly Owner[] = [anybody];
const ownerOf = ({ device, who }: Pick<Dated, 'device' | 'who'>): Owner =>
  who === undefined ? `device ${device}` : `person ${who}`;

/** What an act sets: the later act of the same kind holds. */
function kindsOf(set: SettingAct): readonly string[] {
  switch (set.what) {
    case 'deviation':
      return ['deviation', `deviation ${set.error}`];
    case 'scatter':
      return ['scatter', `scatter ${set.device}`];
    case 'voice':
      return (['quiet', 'short', 'rate', 'listening'] as const).filter((kind) => set[kind] !== undefined);
    default:
      return [set.what];
  }
}

/** Kinds of which more than the last act counts, or that decide whose the others are. */
const reachToEnd: ReadonlySet<SettingName> = new Set(['walk', 'person', 'units', 'counting']);

/** Settings that are one value: the last act holds. The others are looked up by hand. */
const plain: readonly SettingName[] = settingNames.filter(
  (what) =>
    !new Set<SettingName>([
      'pace',
      'walk',
      'counting',
      'eye',
      'units',
      'deviation',
      'scatter',
      'nickname',
      'planned',
      'leastDiameter',
      'voice',
    ]).has(what),
);

export class SettingsLine {
  readonly #line: Dated[] = [];
  /** By entry: where on the line its acts are. */
  readonly #of = new Map<string, number[]>();
  /** By owner and kind: the acts that hold. */
  readonly #slots = new Map<Owner, Map<string, Rising>>();
  /** By device: its acts that belong to who speaks there, whether they hold or not. */
  readonly #said = new Map<string, Rising>();
  /** Every device on which somebody was named, by the first naming. */
  readonly #named = new Set<DeviceId>();
  /** What was looked up last for a device, until the next change of the line. */
  readonly #known = new Map<string, { readonly point: number; readonly settings: Settings }>();
  #now: Settings | null = null;

  /** As last said by anybody: how the book as a whole is shown. */
  get now(): Settings {
    this.#now ??= this.#settings([anybody], end);
    return this.#now;
  }

  /** Number of acts so far: the point at which something measured now stands. */
  get length(): number {
    return this.#line.length;
  }

  /** The acts that hold, in their order, each with who had been named by then. */
  holding(): readonly Pick<Dated, 'entry' | 'who' | 'set'>[] {
    return this.#line.filter(({ holds }) => holds);
  }

  /** In force for who speaks on a device. */
  of(device: DeviceId): Settings {
    return this.inForceAt(device, this.length);
  }

  /** Who speaks on a device now; null until somebody was named there. */
  personOn(device: DeviceId): string | null {
    return this.#whoAt(device, end) ?? null;
  }

  /** Who spoke on a device before who speaks there now; null where nobody else was named. */
  personBefore(device: DeviceId): string | null {
    const { all } = this.#slot(`device ${device}`, 'person');
    const names = all.map((at) => (this.#line[at]!.set as SettingAct<'person'>).name);
    return names.findLast((name) => name !== names.at(-1)) ?? null;
  }

  /** Who speaks on the devices now, as far as they were named. */
  get people(): readonly string[] {
    return [...new Set([...this.#named].flatMap((device) => this.#whoAt(device, end) ?? []))];
  }

  /** Whether one person speaks on both devices. */
  sameSpeaker(a: DeviceId, b: DeviceId): boolean {
    if (a === b) return true;
    const who = this.#whoAt(a, end);
    return who !== undefined && who === this.#whoAt(b, end);
  }

  add(entry: string, device: DeviceId, set: SettingAct): void {
    const at = this.#line.length;
    const who = set.what === 'person' ? undefined : (whoseOf(set) ?? this.#whoAt(device, at));
    this.#line.push({ entry, device, set, who, holds: true });
    const own = this.#of.get(entry);
    if (own) own.push(at);
    else this.#of.set(entry, [at]);
    if (set.what === 'person') this.#named.add(device);
    else if (isPersonal(set.what)) risingIn(this.#said, device).put(at);
    this.#put(at);
    this.#changed();
  }

  /** The point at which the acts of an entry stand, or would; `precedes` says which entries come before it. */
  pointOf(precedes: (entry: string) => boolean): number {
    return countWhile(this.#line, (dated) => precedes(dated.entry));
  }

  /** Sets something at a point of the line, before what stands there; tells what of the line that changes. */
  insert(point: number, entry: string, device: DeviceId, set: SettingAct): readonly Span[] {
    for (const slots of this.#slots.values()) for (const rising of slots.values()) rising.shift(point);
    for (const rising of this.#said.values()) rising.shift(point);
    for (const own of this.#of.values())
      for (const [index, at] of own.entries()) if (at >= point) own[index] = at + 1;
    const who = set.what === 'person' ? undefined : (whoseOf(set) ?? this.#whoAt(device, point));
    this.#line.splice(point, 0, { entry, device, set, who, holds: false });
    this.#of.set(entry, [...(this.#of.get(entry) ?? []), point]);
    if (set.what === 'person') this.#named.add(device);
    else if (isPersonal(set.what)) risingIn(this.#said, device).put(point);
    this.#changed();
    return this.#holdAt([point], true);
  }

  /** Takes back what an entry set; tells what of the line that changes. */
  retract(entry: string): readonly Span[] {
    return this.#hold(entry, false);
  }

  /** What an entry set holds again. */
  restore(entry: string): readonly Span[] {
    return this.#hold(entry, true);
  }

  /**
   * Settings for something measured on a device at a point. A pace or an eye height that was not known then is taken
   * from the first time that it became known: a tree said before the pace is answered when the pace comes.
   */
  at(device: DeviceId, point: number): Settings {
    const then = this.inForceAt(device, point);
    if (then.pace && then.eye) return then;
    const paced = then.pace ? then : this.inForceAt(device, this.#firstWith(device, point, ['pace', 'walk']));
    const eyed = then.eye ? then : this.inForceAt(device, this.#firstWith(device, point, ['eye']));
    const { pace, walks, statedPaceFt } = paced;
    // How the walks of that pace were counted is how the tree was paced, unless it was said otherwise by then.
    const { counting } = then.countingSaid || pace === null ? then : paced;
    return { ...then, pace, walks, statedPaceFt, counting, eye: eyed.eye };
  }

  /**
   * How far on the line `at` looks for the pace and for the eye height of something measured at a point: 0 where it was
   * known there, the end of all lines while nobody has said it.
   */
  reach(device: DeviceId, point: number): { readonly pace: number; readonly eye: number } {
    const then = this.inForceAt(device, point);
    const far = (kinds: readonly string[], known: (settings: Settings) => unknown): number => {
      if (known(then)) return 0;
      const at = this.#firstWith(device, point, kinds);
      return known(this.inForceAt(device, at)) ? at : end;
    };
    return {
      pace: far(['pace', 'walk'], ({ pace }) => pace),
      eye: far(['eye'], ({ eye }) => eye),
    };
  }

  #changed(): void {
    this.#known.clear();
    this.#now = null;
  }

  #hold(entry: string, holds: boolean): readonly Span[] {
    return this.#holdAt(this.#of.get(entry) ?? [], holds);
  }

  #holdAt(places: readonly number[], holds: boolean): readonly Span[] {
    const spans: Span[] = [];
    for (const at of places) {
      const dated = this.#line[at]!;
      if (dated.holds === holds) continue;
      dated.holds = holds;
      if (holds) this.#put(at);
      else this.#drop(at);
      if (dated.set.what === 'person') this.#nameAgain(dated.device, at);
      spans.push(this.#spanOf(at));
    }
    this.#changed();
    return spans;
  }

  #spanOf(at: number): Span {
    const { set } = this.#line[at]!;
    if (reachToEnd.has(set.what)) return { from: at + 1, to: end, what: set.what };
    const owner = isPersonal(set.what) ? ownerOf(this.#line[at]!) : anybody;
    const kind = kindsOf(set).at(-1) ?? set.what;
    return { from: at + 1, to: this.#slot(owner, kind).firstFrom(at + 1), what: set.what };
  }

  /** What was said on a device after a naming, up to the next, belongs to somebody else now. */
  #nameAgain(device: DeviceId, naming: number): void {
    const next = this.#slot(`device ${device}`, 'person').firstFrom(naming + 1);
    const { all } = this.#said.get(device) ?? nowhere;
    for (let i = (this.#said.get(device) ?? nowhere).below(naming); i < all.length && all[i]! < next; i++) {
      const dated = this.#line[all[i]!]!;
      if (dated.holds) this.#drop(all[i]!);
      dated.who = whoseOf(dated.set) ?? this.#whoAt(device, all[i]!);
      if (dated.holds) this.#put(all[i]!);
    }
  }

  #put(at: number): void {
    for (const rising of this.#slotsOf(at)) rising.put(at);
  }

  #drop(at: number): void {
    for (const rising of this.#slotsOf(at)) rising.drop(at);
  }

  *#slotsOf(at: number): Iterable<Rising> {
    const dated = this.#line[at]!;
    for (const kind of kindsOf(dated.set)) {
      yield this.#own(anybody, kind);
      if (isPersonal(dated.set.what)) yield this.#own(ownerOf(dated), kind);
    }
  }

  #own(owner: Owner, kind: string): Rising {
    let slots = this.#slots.get(owner);
    if (!slots) {
      slots = new Map();
      this.#slots.set(owner, slots);
    }
    return risingIn(slots, kind);
  }

  #slot(owner: Owner, kind: string): Rising {
    return this.#slots.get(owner)?.get(kind) ?? nowhere;
  }

  /** Who speaks on a device at a point. */
  #whoAt(device: DeviceId, point: number): string | undefined {
    const naming = this.#slot(`device ${device}`, 'person').lastBelow(point);
    return naming < 0 ? undefined : (this.#line[naming]!.set as SettingAct<'person'>).name;
  }

  /** What was said on a device before anybody was named there serves whoever speaks on it. */
  #ownersAt(device: DeviceId, point: number): readonly Owner[] {
    const who = this.#whoAt(device, point);
    return who === undefined ? [`device ${device}`] : [`device ${device}`, `person ${who}`];
  }

  /** The first point, from one on, at which any of these kinds was said by who speaks on the device; the end for none. */
  #firstWith(device: DeviceId, point: number, kinds: readonly string[]): number {
    const { length } = this;
    // Nobody ever said one: no need to ask after every naming whether who was named had.
    if (kinds.every((kind) => this.#slot(anybody, kind).all.length === 0)) return length;
    for (let from = point; ; ) {
      const owners = this.#ownersAt(device, from);
      const slots = owners.flatMap((owner) => kinds.map((kind) => this.#slot(owner, kind)));
      if (slots.some((slot) => slot.lastBelow(from) >= 0)) return from;
      const said = Math.min(...slots.map((slot) => slot.firstFrom(from)));
      const named = this.#slot(`device ${device}`, 'person').firstFrom(from);
      const next = Math.min(said, named) + 1;
      if (next > length) return length;
      if (said < named) return next;
      from = next;
    }
  }

  /** In force at a point, with nothing of what was said later. */
  inForceAt(device: DeviceId, point: number): Settings {
    const known = this.#known.get(device);
    if (known?.point === point) return known.settings;
    const settings = this.#settings(this.#ownersAt(device, point), point);
    this.#known.set(device, { point, settings });
    return settings;
  }

  /** The last act of a kind below a point, among those of some owners. */
  #last<W extends SettingName>(
    owners: readonly Owner[],
    point: number,
    what: W,
    kind: string = what,
  ): SettingAct<W> | null {
    const at = this.#lastAt(owners, point, kind);
    return at < 0 ? null : (this.#line[at]!.set as SettingAct<W>);
  }

  /** Where that is; -1 for none. */
  #lastAt(owners: readonly Owner[], point: number, kind: string): number {
    return Math.max(-1, ...owners.map((owner) => this.#slot(owner, kind).lastBelow(point)));
  }

  /** All acts of a kind below a point, in their order; only those from a point on, where one is given. */
  #all<W extends SettingName>(owners: readonly Owner[], point: number, what: W, from = 0): SettingAct<W>[] {
    const found = owners.flatMap((owner) => {
      const slot = this.#slot(owner, what);
      return slot.all.slice(0, slot.below(point));
    });
    if (owners.length > 1) found.sort((a, b) => a - b);
    return found.filter((at) => at >= from).map((at) => this.#line[at]!.set as SettingAct<W>);
  }

  #settings(own: readonly Owner[], point: number): Settings {
    const last = <W extends SettingName>(what: W, kind?: string) => this.#last(own, point, what, kind);
    const common = <W extends SettingName>(what: W, kind?: string) =>
      this.#last([anybody], point, what, kind);
    // Who says a pace behind walks means that one.
    const from = this.#lastAt(own, point, 'pace');
    const walks = this.#all(own, point, 'walk', from).map(({ count, of, feet }) => ({ count, of, feet }));
    const statedPaceFt = last('pace')?.feet ?? null;
    const said = last('counting')?.of;
    const deviations = this.#deviations(own, point);
    const supposed = inForce(deviations);
    const eye = last('eye');
    const units = last('units');
    return {
      ...this.#plain(own, point),
      ...deviations,
      walks,
      statedPaceFt,
      pace: paceModel(walks, statedPaceFt, said ?? 'paces', supposed),
      eye: eye && { feet: eye.feet, sdFeet: supposed.eyeFeet },
      counting: said ?? walks.at(-1)?.of ?? firstSettings.counting,
      countingSaid: said !== undefined,
      // The book is shown in the units of its crew to who never said any.
      units: (units ?? common('units'))?.units ?? firstSettings.units,
      unitsSaid: units !== null,
      scatter: this.#scatter(point),
      quiet: last('voice', 'quiet')?.quiet ?? firstSettings.quiet,
      short: last('voice', 'short')?.short ?? firstSettings.short,
      rate: last('voice', 'rate')?.rate ?? firstSettings.rate,
      listening: last('voice', 'listening')?.listening ?? firstSettings.listening,
      nicknames: new Map(this.#all([anybody], point, 'nickname').map((set) => [set.nickname, set.species])),
      planned: new Map(this.#all([anybody], point, 'planned').map((set) => [set.stand, set.plots])),
      leastDiameters: new Map(
        this.#all([anybody], point, 'leastDiameter').map((set) => [set.stand, set.inches]),
      ),
    };
  }

  #plain(own: readonly Owner[], point: number): Settings {
    let settings = firstSettings;
    for (const what of plain) {
      const set = this.#last(isPersonal(what) ? own : everybody, point, what);
      if (set) settings = withSetting(settings, set);
    }
    return settings;
  }

  /** Each error that somebody supposed, as last said; nothing where none was. */
  #deviations(own: readonly Owner[], point: number): Pick<Settings, 'deviations'> {
    if (this.#last(own, point, 'deviation') === null) return {};
    const kinds = new Set(own.flatMap((owner) => [...(this.#slots.get(owner)?.keys() ?? [])]));
    const deviations: Partial<Record<DeviationName, number>> = {};
    for (const kind of kinds) {
      if (!kind.startsWith('deviation ')) continue;
      const set = this.#last(own, point, 'deviation', kind);
      if (set) deviations[set.error] = set.value;
    }
    return { deviations };
  }

  #scatter(point: number): Partial<Record<Device, number>> {
    if (this.#slot(anybody, 'scatter').lastBelow(point) < 0) return firstSettings.scatter;
    const scatter: Partial<Record<Device, number>> = {};
    for (const device of ['laser', 'sonic', 'tape', 'other'] as const) {
      const set = this.#last([anybody], point, 'scatter', `scatter ${device}`);
      if (set) scatter[device] = set.feet;
    }
    return scatter;
  }
}

function risingIn(slots: Map<string, Rising>, kind: string): Rising {
  let rising = slots.get(kind);
  if (!rising) {
    rising = new Rising();
    slots.set(kind, rising);
  }
  return rising;
}
