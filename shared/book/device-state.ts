/**
 * What each device is busy with, and the questions that are open on it. Both follow from the entries that stand: what
 * is in hand after each of a device's entries is kept, so that taking one back, or putting it back, walks on from there.
 */
import type { Act, Question } from '../note/acts.ts';
import type { DeviceId, Entry } from '../note/journal.ts';
import type { Note } from '../note/note.ts';
import type { PlotSize } from '../note/quantities.ts';
import { countWhile } from './record-table.ts';

export interface OpenQuestion {
  readonly entry: string;
  readonly question: Question;
}

/** What a device has in hand. */
export interface Hand {
  readonly tree: string | null;
  readonly plot: string | null;
  /** Null until one was named on this device; then that of the book holds. */
  readonly stand: string | null;
  readonly stratum: string | null;
  /** Height of the tree in hand, or of no tree, that was measured last. */
  readonly height: string | null;
  /** The height measured last, of whatever tree: its advice is not repeated tree after tree. */
  readonly measured: string | null;
  /** Size of the plots that are begun from here on, where it was said. */
  readonly plotSize: PlotSize | null;
  /** What it was in the stands that were in hand before: who goes back goes on as there. */
  readonly plotSizes: ReadonlyMap<string | null, PlotSize | null>;
}

/** What a device is busy with. */
export interface DeviceState extends Hand {
  /** Ids of this device's entries in order. */
  readonly entries: readonly string[];
  /** Open questions, the newest last. */
  readonly questions: readonly OpenQuestion[];
}

const emptyHand: Hand = Object.freeze({
  tree: null,
  plot: null,
  stand: null,
  stratum: null,
  height: null,
  measured: null,
  plotSize: null,
  plotSizes: new Map(),
});

/** The ids under which a stand or a stratum that an entry names is known. */
export interface NamedAreas {
  stand(entry: string): string | null;
  stratum(entry: string): string | null;
}

/** What is in hand after one act. Pure. */
export function handAfter(hand: Hand, entry: string, act: Act, areas: NamedAreas): Hand {
  switch (act.act) {
    case 'tree':
      return { ...hand, tree: act.id, height: null };
    case 'height':
      return { ...hand, height: act.id, measured: act.id };
    case 'remeasure':
      return act.measurement === null ? hand : { ...hand, height: act.target };
    case 'hand':
      return { ...hand, tree: act.target, height: null };
    case 'setting':
      return act.set.what === 'plotSize' ? { ...hand, plotSize: act.set.size } : hand;
    case 'next':
      return { ...hand, tree: null, height: null };
    case 'plot':
      return { ...hand, plot: act.empty ? null : act.id, tree: null, plotSize: act.size ?? hand.plotSize };
    case 'plotAmend':
      if (act.closed === false) return { ...hand, plot: act.target, tree: null };
      return act.closed && hand.plot === act.target ? { ...hand, plot: null, tree: null } : hand;
    case 'stand':
      return { ...hand, ...sizeIn(hand, areas.stand(entry)), tree: null, plot: null, stratum: null };
    case 'stratum':
      return { ...hand, stratum: areas.stratum(entry) };
    default:
      return hand;
  }
}

/** A stand in hand, with the size of its plots: as it was there, else as it was said last. */
function sizeIn(hand: Hand, stand: string | null): Pick<Hand, 'stand' | 'plotSize' | 'plotSizes'> {
  if (stand === hand.stand) return { ...hand, stand };
  const plotSizes = new Map(hand.plotSizes).set(hand.stand, hand.plotSize);
  const known = plotSizes.get(stand);
  return { stand, plotSize: known === undefined ? hand.plotSize : known, plotSizes };
}

/** A question about what was meant: it lapses with the next note that is no answer. One about a record stays open. */
export const lapsesUnanswered = ({ about }: Question): boolean => lapsing.has(about);
const lapsing: ReadonlySet<Question['about']> = new Set(['reading', 'confirm', 'rest', 'walked', 'area']);

/** Whether a question lapses with an entry that is no answer to it: an offer that stays only where another takes its place. */
const lapsesWith = (question: Question, entry: Entry): boolean =>
  lapsesUnanswered(question) && (question.stays !== true || takesPlace(question, entry));

/** A plot of that number, another offer of a plot, another stand; or the same setting, set or offered. */
function takesPlace({ options }: Question, { acts, asks }: Entry): boolean {
  const note = options[0]?.note;
  const other = asks?.stays === true ? asks.options[0]?.note : undefined;
  if (note?.kind === 'setting')
    return (
      acts.some((act) => act.act === 'setting' && act.set.what === note.set.what) ||
      (other?.kind === 'setting' && other.set.what === note.set.what)
    );
  if (note?.kind === 'plot')
    return (
      other?.kind === 'plot' ||
      acts.some((act) => act.act === 'stand' || (act.act === 'plot' && act.number === note.number))
    );
  return other?.kind === note?.kind || acts.some(({ act }) => act === note?.kind || act === 'stand');
}

/** Notes about the talk itself: a question is still the last thing said when they come in between. */
const besideTheTalk: ReadonlySet<Note['kind']> = new Set(['answer', 'pick', 'control']);
export const isBeside = (note: Note): boolean => besideTheTalk.has(note.kind);

interface Device {
  readonly entries: string[];
  /** What was in hand after each entry that is done. */
  readonly hands: Hand[];
  hand: Hand;
  questions: readonly OpenQuestion[];
  /** Those that were open before the entry that is at work. */
  before: readonly OpenQuestion[];
  /** All that were ever put. */
  readonly asked: OpenQuestion[];
}

export class DeviceStates {
  readonly #devices = new Map<DeviceId, Device>();
  /** Entries that named a stand, in order. */
  readonly #named: { readonly entry: string; readonly device: DeviceId }[] = [];
  /** Entries that settled the question of an entry, or with which it lapsed. */
  readonly #settledBy = new Map<string, string[]>();

  /** The last entry of each device that had named no stand then. */
  readonly #standless = new Map<string, string>();

  /** `stands`: whether an entry was not taken back; `precedes`: whether it comes before another. */
  constructor(
    private readonly stands: (entry: string) => boolean,
    private readonly precedes: (entry: string, other: string) => boolean,
  ) {}

  of(device: DeviceId): DeviceState {
    const { hand, entries, questions } = this.#of(device);
    return { ...hand, entries, questions };
  }

  /** What a device has in hand. */
  handOf(device: DeviceId): Hand {
    return this.#of(device).hand;
  }

  #of(device: DeviceId): Device {
    let state = this.#devices.get(device);
    if (!state) {
      state = { entries: [], hands: [], hand: emptyHand, questions: [], before: [], asked: [] };
      this.#devices.set(device, state);
    }
    return state;
  }

  /** An entry of a device begins. */
  begin(entry: Entry): void {
    const state = this.#of(entry.device);
    state.entries.push(entry.id);
    state.before = state.questions;
    if (state.hand.stand === null) this.#standless.set(entry.device, entry.id);
  }

  /** The last entry that was said on a device; null where none was. */
  lastOf(device: DeviceId): string | null {
    return this.#devices.get(device)?.entries.at(-1) ?? null;
  }

  /** The last entry of every other device that had named no stand then: it stood where the crew did. */
  standless(device: DeviceId): string[] {
    return [...this.#standless].filter(([other]) => other !== device).map(([, entry]) => entry);
  }

  /** One act of the entry that began last on its device. */
  take(entry: Entry, act: Act, areas: NamedAreas): void {
    const state = this.#of(entry.device);
    state.hand = handAfter(state.hand, entry.id, act, areas);
  }

  /** Notes that a stand was named: it is that of whoever named none. */
  nameStand(entry: Entry): void {
    const named = this.#named;
    const last = named.at(-1);
    const at =
      last !== undefined && this.precedes(entry.id, last.entry)
        ? countWhile(named, (one) => this.precedes(one.entry, entry.id))
        : named.length;
    named.splice(at, 0, { entry: entry.id, device: entry.device });
  }

  /** The entry is done: what it settled is closed, what it is no answer to has lapsed, what it asks is open. */
  end(entry: Entry): void {
    const state = this.#of(entry.device);
    state.hands.push(state.hand);
    if (entry.settles) this.#close(entry.settles, entry.id);
    if (!isBeside(entry.note))
      for (const { entry: asked, question } of state.before)
        if (asked !== entry.settles && lapsesWith(question, entry) && this.stands(asked))
          this.#close(asked, entry.id);
    if (!entry.asks) return;
    const open = { entry: entry.id, question: entry.asks };
    state.asked.push(open);
    if (this.#isOpen(entry.id)) state.questions = [...state.questions, open];
  }

  #close(asked: string, by: string): void {
    const all = this.#settledBy.get(asked);
    if (all) all.push(by);
    else this.#settledBy.set(asked, [by]);
    this.#reopen(asked);
  }

  #isOpen(entry: string): boolean {
    return this.stands(entry) && !(this.#settledBy.get(entry) ?? []).some(this.stands);
  }

  /** Looks again whether the question of an entry is open. */
  #reopen(asked: string): void {
    for (const state of this.#devices.values())
      if (state.asked.some(({ entry }) => entry === asked)) this.#lookAgain(state);
  }

  #lookAgain(state: Device): void {
    state.questions = state.asked.filter(({ entry }) => this.#isOpen(entry));
  }

  /**
   * After an entry was taken back or put back: what is in hand on its device from there on, and on all where it began
   * what others may have in hand. `actsOf` gives the acts that move the hand of the device that said an entry.
   */
  again(entry: Entry, actsOf: (id: string) => readonly Act[], areas: NamedAreas): void {
    // Its own question, and those of its device that lapsed with it.
    this.#lookAgain(this.#of(entry.device));
    if (entry.settles) this.#reopen(entry.settles);
    const shared = entry.acts.some(({ act }) => act === 'plot' || act === 'stand' || act === 'stratum');
    for (const [device, state] of this.#devices) {
      if (device !== entry.device && !shared) continue;
      const from = device === entry.device ? state.entries.lastIndexOf(entry.id) : 0;
      if (from < 0) continue;
      let hand = state.hands[from - 1] ?? emptyHand;
      // The entry that takes back is not done yet: what it does besides comes after.
      for (let at = from; at < state.hands.length; at++) {
        const id = state.entries[at]!;
        if (this.stands(id)) for (const act of actsOf(id)) hand = handAfter(hand, id, act, areas);
        state.hands[at] = hand;
      }
      state.hand = hand;
    }
  }

  /** What was in hand when an entry of a device was done. */
  handAt(device: DeviceId, entry: string): Hand | null {
    const state = this.#of(device);
    const at = state.entries.lastIndexOf(entry);
    return at < 0 ? null : (state.hands[at] ?? null);
  }

  /** The hand whose stand and stratum hold on a device: its own once a stand was named there, else the crew's. */
  placeOf(device: DeviceId): Hand {
    return this.#of(this.followedBy(device) ?? device).hand;
  }

  /** The device that named a stand last, for one that has named none; null where it has, or nobody has. */
  followedBy(device: DeviceId): DeviceId | null {
    if (this.#of(device).hand.stand !== null) return null;
    return this.#named.findLast(({ entry }) => this.stands(entry))?.device ?? null;
  }

  /** An open question of any device, and the device on which it was put. */
  openQuestion(entry: string): { readonly device: DeviceId; readonly open: OpenQuestion } | null {
    for (const [device, state] of this.#devices) {
      const open = state.questions.find((one) => one.entry === entry);
      if (open) return { device, open };
    }
    return null;
  }
}
