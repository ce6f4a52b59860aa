/**
 * Whether an entry that comes late leaves what comes after it in the order as it is. Most do: what a record is, is the merge
 * of what was said of it, and what a phone said concerns that phone. Then it is played at once, at its place; else the
 * whole book is played again. Every rule here is on the safe side, and the law is that both give the same book.
 */
import type { Act } from '../note/acts.ts';
import type { Entry } from '../note/journal.ts';
import type { Conflicts } from './conflicts.ts';
import type { DeviceStates } from './device-state.ts';
import type { DoubtRegister } from './doubt-register.ts';
import type { EntryLog } from './entry-log.ts';
import { isLandAct } from './land-records.ts';
import type { Records } from './records.ts';

/** What a book has when an entry comes. */
interface Played {
  readonly log: EntryLog;
  readonly records: Records;
  readonly states: DeviceStates;
  readonly doubts: DoubtRegister;
  readonly conflicts: Conflicts;
  readonly turns: Turns;
}

/** What entries did to others, as far as it matters to one that comes late: by the last entry, in the order, that did it. */
export class Turns {
  /** Things that an entry spoke of while they were not there. */
  readonly missed = new Set<string>();
  /** By entry: who took it back or put it back. */
  readonly turned = new Map<string, string>();
  /** By device: who took back or put back, from elsewhere, something that was said on it. */
  readonly touched = new Map<string, string>();
  /** Who named, took back or put back a stand or a stratum. */
  area: string | null = null;

  noteArea({ id }: Entry, precedes: (entry: string, other: string) => boolean): void {
    if (this.area === null || precedes(this.area, id)) this.area = id;
  }

  /** `last`: that entry is behind all others so far; one that came late changes nothing of what later ones did. */
  turn(target: Entry, by: Entry, last: boolean): void {
    if (!last) return;
    this.turned.set(target.id, by.id);
    if (target.device !== by.device) this.touched.set(target.device, by.id);
    if (target.acts.some(isArea)) this.area = by.id;
  }
}

const nothing: readonly string[] = [];

/** Ids of what an act changes or belongs to. */
export function spokenOf(act: Act): readonly string[] {
  switch (act.act) {
    case 'amend':
    case 'remeasure':
    case 'plotAmend':
    case 'hand':
      return [act.target];
    case 'height':
      return act.tree === null ? nothing : [act.tree];
    case 'assign':
      return act.tree === null ? [act.target] : [act.target, act.tree];
    case 'settle':
      return [act.entry];
    case 'retract':
    case 'restore':
      return act.targets;
    default:
      return nothing;
  }
}

export const isArea = ({ act }: Act): boolean => act === 'stand' || act === 'stratum';

export function leavesTheRest(entry: Entry, played: Played): boolean {
  const { log, states, conflicts, doubts, turns } = played;
  const after = (id: string): boolean => log.precedes(entry.id, id);
  const isAfter = (id: string | null | undefined): boolean => id != null && after(id);
  const asked = entry.settles === undefined ? undefined : log.get(entry.settles);
  // Of its own device it must be the latest: hand, questions and what it knew are then as they were.
  if (isAfter(states.lastOf(entry.device)) || turns.missed.has(entry.id)) return false;
  if (
    entry.settles !== undefined &&
    (asked?.device !== entry.device || doubts.settlersOf(asked.id).some(after))
  )
    return false;
  if (isAfter(turns.touched.get(entry.device)) || !conflicts.isClear(entry, after)) return false;
  if (isAfter(turns.area) && (states.handOf(entry.device).stand === null || entry.acts.some(isArea)))
    return false;
  // The sentences of crossings name trees by number.
  if (entry.acts.some(({ act }) => act === 'tree' || act === 'retract') && conflicts.foundAfter(after))
    return false;
  return entry.acts.every((act) => leaves(entry, act, after, played));
}

/** Nothing was said of a thing by entries that come after; false where the thing is not there, or came after itself. */
const settledBefore = (said: readonly string[] | null, after: (id: string) => boolean): boolean =>
  said !== null && !said.some(after);

function leaves(entry: Entry, act: Act, after: (id: string) => boolean, played: Played): boolean {
  const { records, doubts, turns, states } = played;
  const isTree = (id: string): boolean =>
    settledBefore(records.trees.saidOf(id), after) &&
    !doubts.looksAt(id) &&
    !records.trees.heightsOf(id).some((height) => !settledBefore(records.heights.saidOf(height), after));
  const isHeight = (id: string): boolean => {
    const tree = records.heights.treeOf(id);
    return settledBefore(records.heights.saidOf(id), after) && (tree === null || isTree(tree));
  };
  switch (act.act) {
    case 'next':
    case 'hand':
    case 'remark':
    case 'word':
      return true;
    // Legs of walks know their place on the settings line.
    case 'setting':
      return !records.land.any;
    case 'tree':
      return !turns.missed.has(act.id) && records.trees.saidOf(act.id) === null;
    case 'plot':
      return !turns.missed.has(act.id) && records.plots.saidOf(act.id) === null;
    case 'amend':
      return isTree(act.target);
    case 'height':
      return records.heights.saidOf(act.id) === null && (act.tree === null || isTree(act.tree));
    case 'remeasure':
      return isHeight(act.target);
    case 'assign':
      return isHeight(act.target) && (act.tree === null || isTree(act.tree));
    case 'plotAmend':
      return settledBefore(records.plots.saidOf(act.target), after);
    case 'stand':
      return (
        settledBefore(records.stands.saidOf(act.name), after) && !states.standless(entry.device).some(after)
      );
    case 'stratum': {
      const { stand } = states.placeOf(entry.device);
      return (
        settledBefore(records.strata.saidOf(act.name, stand), after) &&
        !states.standless(entry.device).some(after)
      );
    }
    case 'settle':
      return played.log.has(act.entry) && !after(act.entry) && !doubts.settlersOf(act.entry).some(after);
    case 'retract':
      return act.targets.every((target) => canGo(entry, target, after, played));
    // What was put back, and walks, plans and places, which are few and in the order in which they were said.
    default:
      return false;
  }
}

/** An entry of one's own phone that nobody has leant on since. */
function canGo(entry: Entry, id: string, after: (id: string) => boolean, played: Played): boolean {
  const { log, records, turns } = played;
  const target = log.get(id);
  if (target?.device !== entry.device || after(id) || target.acts.some(isArea)) return false;
  const turned = turns.turned.get(id);
  if (turned !== undefined && after(turned)) return false;
  return target.acts.every((act) => {
    if (isLandAct(act) || act.act === 'area') return false;
    if (act.act === 'tree')
      return settledBefore(records.trees.saidOf(act.id), after) && noHeightAfter(act.id);
    if (act.act === 'amend') return settledBefore(records.trees.saidOf(act.target), after);
    if (act.act === 'height') return settledBefore(records.heights.saidOf(act.id), after);
    return true;
  });

  function noHeightAfter(tree: string): boolean {
    return !records.trees
      .heightsOf(tree)
      .some((height) => !settledBefore(records.heights.saidOf(height), after));
  }
}
