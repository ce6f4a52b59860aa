/**
 * The records: trees, heights, plots, stands and settings as their entries left them. Every record is the merge of the
 * contributions that still stand, so undoing one is forgetting it. Sums and the height curve follow each change.
 */

import { HeightCurve } from '../measuring/doubt/curve.ts';
import type { Act } from '../note/acts.ts';
import type { Entry } from '../note/journal.ts';
import type { Measurement } from '../note/note.ts';
import { Ledger } from '../totals/ledger.ts';
import { usualFormClass } from '../totals/tree-volume.ts';
import { Areas } from './areas.ts';
import { HeightRecords } from './height-records.ts';
import { isLandAct, LandRecords } from './land-records.ts';
import { PlotRecords } from './plot-records.ts';
import { type EntryOrder, SaidList } from './said-list.ts';
import type { Scene } from './scene.ts';
import { TreeRecords } from './tree-records.ts';

export interface UserWord {
  readonly word: string;
  readonly species?: number | undefined;
  readonly mark?: string | undefined;
  readonly entry: string;
}

export interface Remark {
  readonly entry: string;
  readonly text: string;
  readonly tree: string | null;
  readonly plot: string | null;
}

export class Records {
  readonly ledger = new Ledger();
  readonly curve = new HeightCurve();
  readonly trees: TreeRecords;
  readonly heights: HeightRecords;
  readonly stands: Areas;
  readonly plots: PlotRecords;
  readonly strata: Areas;
  readonly land: LandRecords;
  readonly words: SaidList<UserWord>;
  readonly remarks: SaidList<Remark>;
  #owesFormClass = false;

  constructor(order: EntryOrder) {
    const { standing, precedes } = order;
    const { ledger } = this;
    this.trees = new TreeRecords(order, {
      ledger,
      curve: this.curve,
      height: (id) => this.heights.get(id),
      entryOfHeight: (id) => this.heights.entryOf(id),
    });
    this.heights = new HeightRecords(order, {
      changed: (tree) => this.trees.lookAgain(tree),
      moved: (height, from, to) => this.trees.moveHeight(height, from, to),
      formClassChanged: () => {
        this.#owesFormClass = true;
      },
    });
    this.stands = new Areas(
      standing,
      (record) => ledger.putStand(record),
      (id) => ledger.removeStand(id),
    );
    this.plots = new PlotRecords(
      standing,
      (record) => ledger.putPlot(record),
      (id) => ledger.removePlot(id),
      precedes,
    );
    this.strata = new Areas(
      standing,
      (record, stand) => ledger.putStratum({ ...record, stand }),
      (id) => ledger.removeStratum(id),
    );
    this.land = new LandRecords(standing);
    this.words = new SaidList(order);
    this.remarks = new SaidList(order);
    ledger.setCurve(
      (species, diameterIn) => {
        const guess = this.curve.predict(species, diameterIn);
        return guess.n > 0 ? guess.feet : null;
      },
      () => this.curve.version,
    );
  }

  get settings(): HeightRecords['settings'] {
    return this.heights.settings;
  }

  addHeight(scene: Scene, id: string, tree: string | null, measurement: Measurement): void {
    const node = this.heights.add(scene, id, this.trees.ownId(tree), measurement);
    this.trees.addHeight(node.tree, node.id);
    this.heights.workOut(node);
  }

  /** Ends a batch: works out what its settings owe. `failed` is told of the entry of what could not be. */
  settle(failed: (entry: string, cause: unknown) => void): void {
    if (this.#owesFormClass) this.#useFormClass();
    this.heights.settle(failed);
    this.trees.settle(failed);
  }

  /** Trees of which no form class was said have that of the book. */
  #useFormClass(): void {
    this.#owesFormClass = false;
    const { formClass } = this.settings.now;
    this.ledger.setFormClass(formClass !== null && formClass > 0 ? formClass : usualFormClass);
  }

  /** Looks again at all that an entry touched, after another took it back or put it back: each the merge of what stands. */
  again(entry: Entry, by: Pick<Scene, 'entry' | 'late'>): void {
    for (const act of entry.acts) this.#again(entry.id, act, by);
    if (entry.acts.some((act) => act.act === 'setting')) this.heights.settingsAgain(entry.id);
  }

  #again(entry: string, act: Act, by: Pick<Scene, 'entry' | 'late'>): void {
    if (isLandAct(act)) {
      this.land.again();
      return;
    }
    switch (act.act) {
      case 'area':
        (act.of === 'stand' ? this.stands : this.strata).again(entry);
        return;
      case 'tree':
        this.trees.again(act.id, by);
        return;
      case 'amend':
        this.trees.lookAgain(act.target);
        return;
      case 'height':
        this.heights.again(act.id, { began: entry });
        return;
      case 'remeasure':
        this.heights.again(act.target, { began: null });
        return;
      case 'assign':
        this.heights.assignAgain(act.target);
        return;
      case 'plot':
      case 'plotAmend':
        this.plots.again(act);
        return;
      case 'stand':
        this.stands.again(entry);
        return;
      case 'stratum':
        this.strata.again(entry);
        return;
      case 'word':
        this.words.again();
        return;
      case 'remark':
        this.remarks.again();
        return;
      case 'setting':
      case 'next':
      case 'hand':
      case 'retract':
      case 'restore':
      case 'settle':
        return;
    }
  }
}
