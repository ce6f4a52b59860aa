/**
 * What two devices said of one thing while neither knew of the other. The book takes the later; that it had to choose
 * becomes a doubt. Which entry knew which is in the entries themselves (`seen`), so every device finds the same.
 */
import type { Act } from '../note/acts.ts';
import type { DeviceId, Entry } from '../note/journal.ts';
import { type Stated, settingRow } from './settings.ts';

/** One statement about one side of a thing: the diameter of a tree, the rule of the book. */
interface Statement {
  readonly side: string;
  readonly value: unknown;
  readonly entry: string;
  readonly device: DeviceId;
  readonly seq: number;
}

export interface Conflict {
  /** What it is about: the id of a tree, a height or a plot, or a name in the book. */
  readonly thing: string;
  /** The side that was said twice; `gone` when one took away what the other changed. */
  readonly side: string;
  readonly earlier: Pick<Statement, 'entry' | 'device' | 'value'>;
  readonly later: Pick<Statement, 'entry' | 'device' | 'value'>;
}

/** The side of a thing that is taken away. */
export const gone = 'gone';

/** What an act says, of what; what only begins something says nothing that another could have said. */
function* statementsOf(act: Act, words: string): Iterable<Stated> {
  switch (act.act) {
    case 'amend':
      // Marks add up: two people who saw different ones do not contradict each other.
      for (const [side, value] of Object.entries(act.fields))
        if (side !== 'marks') yield { thing: act.target, side, value };
      return;
    case 'remeasure':
      yield { thing: act.target, side: 'measurement', value: act.measurement };
      return;
    case 'assign':
      yield { thing: act.target, side: 'tree', value: act.tree };
      return;
    case 'plotAmend':
      if (act.number !== undefined) yield { thing: act.target, side: 'number', value: act.number };
      if (act.size) yield { thing: act.target, side: 'size', value: act.size };
      if (act.slopePct !== undefined) yield { thing: act.target, side: 'slope', value: act.slopePct };
      return;
    case 'stand':
    case 'stratum':
      if (act.acres !== null) yield { thing: `${act.act} ${act.name}`, side: 'area', value: act.acres };
      return;
    case 'area':
      yield { thing: act.target, side: 'area', value: act.acres };
      return;
    case 'leg':
      yield { thing: act.walk, side: `leg ${act.number}`, value: act.leg };
      return;
    case 'legAmend':
      yield { thing: act.target, side: 'leg', value: act.leg };
      return;
    case 'price':
      yield {
        thing: 'book',
        side: `price ${act.species.join(' ')} ${act.product ?? ''}`.trim(),
        value: [act.dollars, act.per, act.rule],
      };
      return;
    case 'word':
      yield { thing: `word ${act.word}`, side: 'meaning', value: [act.species, act.mark] };
      return;
    case 'setting': {
      const stated = settingRow(act.set.what).states?.(act.set);
      if (stated) yield stated;
      return;
    }
    case 'settle':
      yield { thing: act.entry, side: 'answer', value: words };
      return;
    case 'retract':
      for (const target of act.targets) yield { thing: target, side: gone, value: true };
      return;
  }
}

export class Conflicts {
  /** Of each device: the latest entry of each other device that it had at its own latest. */
  readonly #seen = new Map<string, Map<string, number>>();
  readonly #said = new Map<string, Statement[]>();
  readonly #found: Conflict[] = [];
  /** The same by what they are about. */
  readonly #foundAbout = new Map<string, Conflict[]>();

  /** `stands`: whether an entry was not taken back; what was taken back says nothing. */
  constructor(private readonly stands: (entry: string) => boolean) {}

  /** Whether entries that come `after` another crossed with something. */
  foundAfter(after: (id: string) => boolean): boolean {
    return this.#found.some(({ later }) => after(later.entry));
  }

  /** Whether nothing was said of what an entry speaks of by entries that come `after` it, and nothing crossed about it. */
  isClear(entry: Entry, after: (id: string) => boolean): boolean {
    for (const act of entry.acts) {
      if (act.act === 'height' && act.tree !== null && !this.#isClearOf(act.tree, after)) return false;
      for (const { thing } of statementsOf(act, entry.words))
        if (!this.#isClearOf(thing, after)) return false;
    }
    return true;
  }

  #isClearOf(thing: string, after: (id: string) => boolean): boolean {
    return !this.#foundAbout.has(thing) && !(this.#said.get(thing) ?? []).some((one) => after(one.entry));
  }

  /** What a device had of the others when it spoke last. */
  seenBy(device: DeviceId): ReadonlyMap<string, number> {
    return this.#seen.get(device) ?? nothing;
  }

  /** Takes an entry in its turn; gives what crossed with it. `heightsOf` gives the entries that measured a tree. */
  take(entry: Entry, heightsOf: (tree: string) => readonly Entry[]): readonly Conflict[] {
    if (!entry.seen && entry.acts.every((act) => this.#saysNothing(act))) return none;
    if (entry.seen) {
      const seen = this.#seen.get(entry.device) ?? new Map<string, number>();
      for (const [device, seq] of Object.entries(entry.seen))
        seen.set(device, Math.max(seq, seen.get(device) ?? 0));
      this.#seen.set(entry.device, seen);
    }
    const conflicts: Conflict[] = [];
    const cross = (thing: string, made: Statement, said: readonly Statement[]) => {
      const earlier = said.findLast(
        // Nearly always the device knew what was said: asked first, as a thing may be spoken of thousands of times.
        (one) => !this.#knew(entry.device, one) && this.#holds(thing, one) && clash(one, made),
      );
      if (earlier)
        conflicts.push({ thing, side: earlier.side === gone ? gone : made.side, earlier, later: made });
    };
    for (const act of entry.acts) {
      // Another height of a tree is welcome; it only matters where the tree is taken away.
      if (act.act === 'height' && act.tree !== null)
        cross(act.tree, measured(entry), this.#said.get(act.tree) ?? []);
      for (const { thing, side, value } of statementsOf(act, entry.words)) {
        const made: Statement = { side, value, entry: entry.id, device: entry.device, seq: entry.seq };
        const said = this.#said.get(thing) ?? [];
        cross(thing, made, side === gone ? [...said, ...heightsOf(thing).map(measured)] : said);
        if (said.length === 0) this.#said.set(thing, [made]);
        else said.push(made);
      }
    }
    for (const conflict of conflicts) this.#find(conflict);
    return conflicts;
  }

  #find(conflict: Conflict): void {
    this.#found.push(conflict);
    const about = this.#foundAbout.get(conflict.thing);
    if (about === undefined) this.#foundAbout.set(conflict.thing, [conflict]);
    else about.push(conflict);
  }

  /** Most entries begin a tree or measure one of which nothing else was said. */
  #saysNothing(act: Act): boolean {
    if (act.act === 'height') return act.tree === null || !this.#said.has(act.tree);
    return act.act === 'tree' || act.act === 'next';
  }

  /** Whether an entry says anew what two devices had said, and knew both: the crossing is settled by it. */
  settledBy(entry: Entry): Conflict[] {
    if (this.#found.length === 0) return [];
    const sides = entry.acts.flatMap((act) => [...statementsOf(act, entry.words)]);
    const about = [...new Set(sides.map(({ thing }) => thing))];
    return about.flatMap((thing) =>
      (this.#foundAbout.get(thing) ?? []).filter(
        ({ side, later }) =>
          later.entry !== entry.id &&
          sides.some((one) => one.thing === thing && (one.side === side || one.side === gone)),
      ),
    );
  }

  /** What was said by an entry that stands; that something was taken away only while it is. */
  #holds(thing: string, one: Statement): boolean {
    return this.stands(one.entry) && !(one.side === gone && this.stands(thing));
  }

  #knew(device: DeviceId, one: Statement): boolean {
    return one.device === device || (this.#seen.get(device)?.get(one.device) ?? 0) >= one.seq;
  }
}

/** That a tree was measured: a statement about it that is never kept, as there are so many. */
const measured = ({ id, device, seq }: Entry): Statement => ({
  side: 'height',
  value: id,
  entry: id,
  device,
  seq,
});

const none: readonly Conflict[] = [];
const nothing: ReadonlyMap<string, number> = new Map();

function clash(a: Statement, b: Statement): boolean {
  // Taken away twice is taken away; what was taken away does not matter to what is not changed.
  if (a.side === gone || b.side === gone) return a.side !== b.side;
  return a.side === b.side && JSON.stringify(a.value) !== JSON.stringify(b.value);
}
