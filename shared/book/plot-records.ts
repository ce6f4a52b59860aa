/** Plots as their entries left them: each the merge of what was said of it and still stands. */
import { lastOf } from '../core/required.ts';
import type { Act } from '../note/acts.ts';
import type { PlotSize } from '../note/quantities.ts';
import type { PlotRecord } from '../totals/types.ts';
import { RecordTable } from './record-table.ts';
import type { Scene } from './scene.ts';

type PlotAct = Extract<Act, { act: 'plot' }>;
type PlotAmendAct = Extract<Act, { act: 'plotAmend' }>;

interface PlotChange {
  readonly size?: PlotSize | undefined;
  readonly slopePct?: number | undefined;
  readonly number?: number | undefined;
  /** False: taken up again. */
  readonly closed?: boolean | undefined;
  readonly empty?: boolean | undefined;
}

interface PlotNode {
  /** The entry that began it. */
  readonly entry: string;
  readonly base: Pick<PlotRecord, 'id' | 'number' | 'stand' | 'stratum' | 'time' | 'zone' | 'person'>;
  readonly said: { readonly entry: string; readonly change: PlotChange }[];
  gone: boolean;
  record: PlotRecord;
}

export class PlotRecords {
  readonly #nodes = new RecordTable<PlotNode>();

  /**
   * Told of every plot that is new or changed, and of every one that is taken back. `stands`: of an entry; `precedes`: of
   * two entries.
   */
  constructor(
    private readonly stands: (entry: string) => boolean,
    private readonly put: (record: PlotRecord) => void,
    private readonly remove: (id: string) => void,
    private readonly precedes: (entry: string, other: string) => boolean,
  ) {}

  get(id: string | null): PlotRecord | null {
    const node = id === null ? undefined : this.#nodes.get(id);
    return node && !node.gone ? node.record : null;
  }

  *all(): Iterable<PlotRecord> {
    for (const node of this.#nodes.values()) if (!node.gone) yield node.record;
  }

  /** The plot of a number in a stand that was taken back, the one begun last. */
  takenBack(number: number, stand: string | null): PlotRecord | null {
    let found: PlotRecord | null = null;
    for (const { gone, record } of this.#nodes.values())
      if (gone && record.number === number && record.stand === stand) found = record;
    return found;
  }

  begin({ entry, late, stand, stratum, time, zone, person }: Scene, act: PlotAct): void {
    const { id, number } = act;
    const node: PlotNode = {
      entry,
      base: { id, number, stand, stratum, time, zone: zone || undefined, person },
      said: [{ entry, change: act }],
      gone: false,
      record: undefined as never,
    };
    this.#nodes.set(id, node, late ? (other) => this.precedes(other.entry, entry) : undefined);
    this.#refresh(node);
  }

  amend({ entry }: Scene, act: PlotAmendAct): void {
    const node = this.#nodes.get(act.target);
    if (!node) return;
    node.said.push({ entry, change: act });
    if (!node.gone) this.#refresh(node);
  }

  /** The entries that began a plot and that changed it last; null where there is none. */
  saidOf(id: string): readonly [first: string, last: string] | null {
    const node = this.#nodes.get(id);
    return node === undefined ? null : [node.entry, lastOf(node.said).entry];
  }

  /** Looks again at the plot of an act, after its entry was taken back or put back. */
  again(act: PlotAct | PlotAmendAct): void {
    const node = this.#nodes.get(act.act === 'plot' ? act.id : act.target);
    if (!node) return;
    const gone = !this.stands(node.entry);
    if (gone && !node.gone) this.remove(node.base.id);
    node.gone = gone;
    if (!gone) this.#refresh(node);
  }

  #refresh(node: PlotNode): void {
    const { id, stand, stratum, time, zone, person } = node.base;
    let { number } = node.base;
    let [size, slopePct]: [PlotSize | null, number | null] = [null, null];
    let [closed, empty] = [false, false];
    let closings = 0;
    for (const { entry, change } of node.said) {
      if (!this.stands(entry)) continue;
      if (change.closed !== undefined) closings = change.closed ? closings + 1 : 0;
      number = change.number ?? number;
      size = change.size ?? size;
      slopePct = change.slopePct ?? slopePct;
      closed = change.closed ?? closed;
      empty = change.empty ?? empty;
    }
    const said = { id, number, stand, stratum, size, slopePct, closed, empty, time, zone, person };
    const record: PlotRecord = closings > 1 ? { ...said, closedTwice: true } : said;
    node.record = record;
    this.put(record);
  }
}
