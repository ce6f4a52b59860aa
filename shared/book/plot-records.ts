/** Plots as their entries left them: each the merge of what was said of it and still stands. */
import type { Act } from '../note/acts.ts';
import type { PlotSize } from '../note/note.ts';
import type { PlotRecord } from '../totals/types.ts';
import type { Scene } from './scene.ts';

type PlotAct = Extract<Act, { act: 'plot' }>;
type PlotAmendAct = Extract<Act, { act: 'plotAmend' }>;

interface PlotChange {
  readonly size?: PlotSize | undefined;
  readonly slopePct?: number | undefined;
  readonly closed?: boolean | undefined;
  readonly empty?: boolean | undefined;
}

interface PlotNode {
  readonly base: Pick<PlotRecord, 'id' | 'number' | 'stand' | 'stratum' | 'time' | 'person'>;
  said: { readonly entry: string; readonly change: PlotChange }[];
  gone: boolean;
  record: PlotRecord;
}

export class PlotRecords {
  readonly #nodes = new Map<string, PlotNode>();

  /** Told of every plot that is new or changed, and of every one that is taken back. */
  constructor(
    private readonly put: (record: PlotRecord) => void,
    private readonly remove: (id: string) => void,
  ) {}

  get(id: string | null): PlotRecord | null {
    const node = id === null ? undefined : this.#nodes.get(id);
    return node && !node.gone ? node.record : null;
  }

  *all(): Iterable<PlotRecord> {
    for (const node of this.#nodes.values()) if (!node.gone) yield node.record;
  }

  begin({ entry, stand, stratum, time, person }: Scene, act: PlotAct): void {
    const { id, number } = act;
    const node: PlotNode = {
      base: { id, number, stand, stratum, time, person },
      said: [{ entry, change: act }],
      gone: false,
      record: undefined as never,
    };
    this.#nodes.set(id, node);
    this.#refresh(node);
  }

  amend({ entry }: Scene, act: PlotAmendAct): void {
    const node = this.#nodes.get(act.target);
    if (!node) return;
    node.said.push({ entry, change: act });
    if (!node.gone) this.#refresh(node);
  }

  /** Forgets what one act of an entry did. */
  undo(entry: string, act: PlotAct | PlotAmendAct): void {
    const node = this.#nodes.get(act.act === 'plot' ? act.id : act.target);
    if (!node) return;
    if (act.act === 'plot') {
      node.gone = true;
      this.remove(act.id);
      return;
    }
    node.said = node.said.filter((said) => said.entry !== entry);
    if (!node.gone) this.#refresh(node);
  }

  #refresh(node: PlotNode): void {
    let record: PlotRecord = { ...node.base, size: null, slopePct: null, closed: false, empty: false };
    for (const { change } of node.said) {
      record = {
        ...record,
        size: change.size ?? record.size,
        slopePct: change.slopePct ?? record.slopePct,
        closed: change.closed ?? record.closed,
        empty: change.empty ?? record.empty,
      };
    }
    if (node.said.filter(({ change }) => change.closed).length > 1) record = { ...record, closedTwice: true };
    node.record = record;
    this.put(record);
  }
}
