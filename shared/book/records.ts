/**
 * The records: trees, heights, plots, stands and settings as their entries left them. Every record is the merge of the
 * contributions that still stand, so undoing one is forgetting it. Totals and the height curve follow each change.
 */

import { HeightCurve, type Pair } from '../measuring/doubt/curve.ts';
import { combine, measure } from '../measuring/height/index.ts';
import type { Height, HeightProblem } from '../measuring/height/types.ts';
import type { Act, TreeFields } from '../note/acts.ts';
import type { Entry } from '../note/journal.ts';
import type { Measurement } from '../note/note.ts';
import type { SettingAct } from '../note/settings.ts';
import { Totals } from '../totals/totals.ts';
import { usualFormClass } from '../totals/tree-volume.ts';
import type { TreeRecord } from '../totals/types.ts';
import { Areas } from './areas.ts';
import { isLandAct, LandRecords } from './land-records.ts';
import { PlotRecords } from './plot-records.ts';
import { RecordTable } from './record-table.ts';
import type { Scene } from './scene.ts';
import { settingRow } from './settings.ts';
import { SettingsLine, type Span } from './settings-line.ts';

interface Said<T> {
  readonly entry: string;
  readonly value: T;
}

/** A tree as its entries left it. */
export interface Tree extends TreeRecord {
  /** Ids of its heights, taken-back ones among them. */
  readonly heights: readonly string[];
}

interface TreeNode {
  /** The entry that began it. */
  readonly entry: string;
  readonly base: Pick<Tree, 'id' | 'plot' | 'stand' | 'time' | 'person'>;
  /** Its own as long as it stands; another, where it was put back after the number had been given to a new tree. */
  number: number;
  readonly facts: Said<TreeFields>[];
  heights: string[];
  gone: boolean;
  record: Tree;
  /** The pair that the height curve has learned from this tree. */
  taught: { readonly species: number | null; readonly diameterIn: number; readonly heightFt: number } | null;
}

/** A measured height, of a tree or of none. */
export interface HeightNode {
  readonly id: string;
  tree: string | null;
  /** Trees that it was said to be of, where that was said later. */
  assigned: readonly Said<string | null>[];
  /** Place among all heights. */
  readonly order: number;
  /** On which it was measured: with the pace of who speaks there. */
  readonly device: string;
  /** Point of the settings line at which it was measured. */
  readonly point: number;
  /** What was said of it and stands. */
  said: readonly Said<Measurement | null>[];
  /** What was taken back of it among the rest; missing until something was. */
  all?: Said<Measurement | null>[];
  gone: boolean;
  value: Height | null;
  problem: HeightProblem | null;
}

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
  readonly settings = new SettingsLine();
  readonly totals: Totals;
  readonly curve = new HeightCurve();
  readonly stands = new Areas(
    (entry) => this.standing(entry),
    (record) => this.totals.ledger.putStand(record),
    (id) => this.totals.ledger.removeStand(id),
  );
  readonly plots = new PlotRecords(
    (entry) => this.standing(entry),
    (record) => this.totals.ledger.putPlot(record),
    (id) => this.totals.ledger.removePlot(id),
  );
  readonly strata = new Areas(
    (entry) => this.standing(entry),
    (record, stand) => this.totals.ledger.putStratum({ ...record, stand }),
    (id) => this.totals.ledger.removeStratum(id),
  );
  readonly land = new LandRecords((entry) => this.standing(entry));
  words: readonly UserWord[] = [];
  remarks: readonly Remark[] = [];
  readonly #words: UserWord[] = [];
  readonly #remarks: Remark[] = [];
  readonly #trees = new RecordTable<TreeNode>();
  /** By number less one; a number in the middle stays free when its tree is taken back. */
  readonly #numbered: (TreeNode | undefined)[] = [];
  readonly #heights = new RecordTable<HeightNode>();
  readonly #waiting = new Set<string>();
  /** Heights in the order of their points on the settings line. */
  readonly #byPoint: HeightNode[] = [];
  /** Heights with a pace or an eye that became known only later, or not yet, and how far on the line that was. */
  readonly #lookingOn = new Map<HeightNode, Record<'pace' | 'eye', number>>();

  /** `standing`: whether an entry was not taken back. */
  constructor(
    dayOf: (time: number) => number,
    private readonly standing: (entry: string) => boolean,
  ) {
    this.totals = new Totals({ dayOf });
    this.totals.ledger.setCurve(
      (species, diameterIn) => {
        const guess = this.curve.predict(species, diameterIn);
        return guess.n > 0 ? guess.feet : null;
      },
      () => this.curve.version,
    );
  }

  tree(id: string | null): Tree | null {
    const node = id === null ? undefined : this.#trees.get(id);
    return node && !node.gone ? node.record : null;
  }

  treeNumbered(number: number): Tree | null {
    const node = this.#numbered[number - 1];
    return node && !node.gone ? node.record : null;
  }

  /** The tree of a number that was taken back last of those that bore it. */
  takenBackTree(number: number): Tree | null {
    return this.#trees.values().findLast((node) => node.gone && node.number === number)?.record ?? null;
  }

  get lastTree(): Tree | null {
    return this.#numbered.at(-1)?.record ?? null;
  }

  *trees(): Iterable<Tree> {
    for (const node of this.#numbered) if (node && !node.gone) yield node.record;
  }

  /** Ids of the heights that were measured of a tree, also of one that was taken back. */
  heightsOf(tree: string): readonly string[] {
    return this.#trees.get(tree)?.heights ?? [];
  }

  height(id: string | null): HeightNode | null {
    const node = id === null ? undefined : this.#heights.get(id);
    return node && !node.gone && node.said.at(-1)?.value ? node : null;
  }

  *heights(): Iterable<HeightNode> {
    for (const node of this.#heights.values()) if (this.height(node.id)) yield node;
  }

  /** Heights that wait for a pace or an eye height. */
  *waiting(): Iterable<HeightNode> {
    for (const id of [...this.#waiting]) {
      const node = this.height(id);
      if (node) yield node;
    }
  }

  beginTree(scene: Scene, id: string, fields: TreeFields): void {
    const node: TreeNode = {
      entry: scene.entry,
      base: {
        id,
        plot: scene.plot,
        stand: scene.stand,
        time: scene.time,
        person: scene.person,
      },
      // Numbers of taken-back trees at the end are used again.
      number: this.#numbered.length + 1,
      facts: [{ entry: scene.entry, value: fields }],
      heights: [],
      gone: false,
      record: undefined as never,
      taught: null,
    };
    this.#trees.set(id, node);
    this.#numbered.push(node);
    this.#refreshTree(node);
  }

  amendTree(scene: Scene, id: string, fields: TreeFields): void {
    const node = this.#trees.get(id);
    if (!node) return;
    node.facts.push({ entry: scene.entry, value: fields });
    if (!node.gone) this.#refreshTree(node);
  }

  addHeight(scene: Scene, id: string, tree: string | null, measurement: Measurement): void {
    const node: HeightNode = {
      id,
      tree,
      assigned: [{ entry: scene.entry, value: tree }],
      order: this.#heights.values().length,
      device: scene.device,
      point: this.settings.length,
      said: [{ entry: scene.entry, value: measurement }],
      gone: false,
      value: null,
      problem: null,
    };
    this.#heights.set(id, node);
    this.#byPoint.push(node);
    if (tree !== null) this.#trees.get(tree)?.heights.push(id);
    this.#refreshHeight(node);
  }

  remeasure(scene: Scene, id: string, measurement: Measurement | null): void {
    const node = this.#heights.get(id);
    if (!node) return;
    const said = { entry: scene.entry, value: measurement };
    node.all?.push(said);
    node.said = [...node.said, said];
    this.#refreshHeight(node);
  }

  /** The height is of another tree from now on. */
  assign(scene: Scene, id: string, tree: string | null): void {
    const node = this.#heights.get(id);
    if (!node) return;
    node.assigned = [...node.assigned, { entry: scene.entry, value: tree }];
    this.#assignAgain(node);
  }

  /** Puts a height with the tree that it was last said to be of. */
  #assignAgain(node: HeightNode): void {
    const tree = this.#standing(node.assigned).at(-1)?.value ?? null;
    const before = node.tree;
    if (tree === before) return;
    node.tree = tree;
    for (const id of [before, tree]) {
      const of = id === null ? undefined : this.#trees.get(id);
      if (!of) continue;
      const rest = of.heights.filter((one) => one !== node.id);
      of.heights =
        id === tree
          ? [...rest, node.id].sort((a, b) => this.#heights.get(a)!.order - this.#heights.get(b)!.order)
          : rest;
      if (!of.gone) this.#refreshTree(of);
    }
  }

  set(scene: Scene, set: SettingAct): void {
    this.settings.add(scene.entry, scene.device, set);
    if (set.what === 'formClass') this.#useFormClass();
    const { brings } = settingRow(set.what);
    if (brings === undefined || this.#waiting.size === 0) return;
    for (const node of this.waiting())
      if (brings === 'any' || (node.problem?.kind === 'needs' && node.problem.what === brings))
        this.#refreshHeight(node);
  }

  /** Trees of which no form class was said have that of the book. */
  #useFormClass(): void {
    const { formClass } = this.settings.now;
    this.totals.ledger.setFormClass(formClass !== null && formClass > 0 ? formClass : usualFormClass);
  }

  learn(word: UserWord): void {
    this.#words.push(word);
    this.words = this.#standing(this.#words);
  }

  remark(remark: Remark): void {
    this.#remarks.push(remark);
    this.remarks = this.#standing(this.#remarks);
  }

  #standing<T extends { readonly entry: string }>(said: readonly T[]): readonly T[] {
    return said.filter(({ entry }) => this.standing(entry));
  }

  /** Looks again at all that an entry touched, after it was taken back or put back: each the merge of what stands. */
  again(entry: Entry): void {
    for (const act of entry.acts) this.#again(entry.id, act);
    if (entry.acts.some((act) => act.act === 'setting')) this.#settingsAgain(entry.id);
  }

  #again(entry: string, act: Act): void {
    if (isLandAct(act)) {
      this.land.again();
      return;
    }
    switch (act.act) {
      case 'area':
        (act.of === 'stand' ? this.stands : this.strata).again(entry);
        return;
      case 'tree':
        this.#treeAgain(act.id);
        return;
      case 'amend': {
        const node = this.#trees.get(act.target);
        if (node && !node.gone) this.#refreshTree(node);
        return;
      }
      case 'height':
      case 'remeasure': {
        const node = this.#heights.get(act.act === 'height' ? act.id : act.target);
        if (!node) return;
        node.all ??= [...node.said];
        node.said = this.#standing(node.all);
        if (act.act === 'height') node.gone = !this.standing(entry);
        this.#refreshHeight(node);
        return;
      }
      case 'assign': {
        const node = this.#heights.get(act.target);
        if (node) this.#assignAgain(node);
        return;
      }
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
        this.words = this.#standing(this.#words);
        return;
      case 'remark':
        this.remarks = this.#standing(this.#remarks);
        return;
      case 'setting':
      case 'next':
      case 'retract':
      case 'restore':
      case 'settle':
        return;
    }
  }

  #treeAgain(id: string): void {
    const node = this.#trees.get(id);
    if (!node || node.gone === !this.standing(node.entry)) return;
    node.gone = !node.gone;
    if (node.gone) {
      this.totals.ledger.removeTree(id);
      this.#unteach(node);
      while (this.#numbered.length > 0 && (this.#numbered.at(-1)?.gone ?? true)) this.#numbered.pop();
      return;
    }
    const there = this.#numbered[node.number - 1];
    if (there !== undefined && there !== node) node.number = this.#numbered.length + 1;
    this.#numbered[node.number - 1] = node;
    this.#refreshTree(node);
  }

  /** The heights that can tell that the settings of an entry hold, or no longer do, are computed again. */
  #settingsAgain(entry: string): void {
    const spans = this.standing(entry) ? this.settings.restore(entry) : this.settings.retract(entry);
    if (spans.some(({ what }) => what === 'formClass')) this.#useFormClass();
    const touched = new Set<HeightNode>();
    for (const span of spans) if (settingRow(span.what).changesHeights) this.#addTouched(span, touched);
    for (const node of touched) if (!node.gone) this.#refreshHeight(node);
  }

  /** Those measured in a span of the settings line, and those measured before it that looked as far. */
  #addTouched({ from, to, what }: Span, touched: Set<HeightNode>): void {
    let [low, high] = [0, this.#byPoint.length];
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (this.#byPoint[middle]!.point < from) low = middle + 1;
      else high = middle;
    }
    for (let at = low; at < this.#byPoint.length && this.#byPoint[at]!.point <= to; at++)
      touched.add(this.#byPoint[at]!);
    const sought = settingRow(what).lookedFor ?? [];
    if (sought.length === 0) return;
    for (const [node, reach] of this.#lookingOn)
      if (sought.some((side) => reach[side] >= from)) touched.add(node);
  }

  #refreshTree(node: TreeNode): void {
    const fields = node.facts.length === 1 ? node.facts[0]!.value : merged(this.#standing(node.facts));
    const height = this.#heightOf(node);
    node.record = {
      id: node.base.id,
      number: node.number,
      plot: node.base.plot,
      stand: node.base.stand,
      species: fields.species ?? null,
      called: fields.species == null ? (fields.called ?? null) : null,
      diameterIn: fields.diameterIn ?? null,
      status: fields.status ?? 'live',
      marks: fields.marks ?? noMarks,
      count: fields.count ?? 1,
      logs: fields.logs ?? null,
      merchFt: fields.merchFt ?? null,
      defectPct: fields.defectPct ?? 0,
      formClass: fields.formClass ?? null,
      heightFt: height?.feet ?? null,
      heightSdFt: height?.sdFeet ?? null,
      counted: fields.counted ?? true,
      time: node.base.time,
      person: node.base.person,
      heights: node.heights,
    };
    this.totals.ledger.putTree(node.record);
    this.#teach(node);
  }

  /** One height, or several of the same tree combined by weight. */
  #heightOf(node: TreeNode): { readonly feet: number; readonly sdFeet: number } | null {
    if (node.heights.length === 0) return null;
    const values: Height[] = [];
    for (const id of node.heights) {
      const value = this.height(id)?.value;
      if (value) values.push(value);
    }
    return values.length > 1 ? combine(values) : (values[0] ?? null);
  }

  /** What a tree has taught the curve. */
  taughtBy(tree: string): Pair | null {
    return this.#trees.get(tree)?.taught ?? null;
  }

  #teach(node: TreeNode): void {
    const { species, diameterIn, heightFt, marks } = node.record;
    const { taught } = node;
    if (
      taught &&
      taught.species === species &&
      taught.diameterIn === diameterIn &&
      taught.heightFt === heightFt
    )
      return;
    this.#unteach(node);
    // A broken top says nothing of how tall the species grows here.
    if (diameterIn === null || heightFt === null || marks.includes('broken top')) return;
    node.taught = { species, diameterIn, heightFt };
    this.curve.observe(node.taught);
  }

  #unteach(node: TreeNode): void {
    if (!node.taught) return;
    this.curve.forget(node.taught);
    node.taught = null;
  }

  #refreshHeight(node: HeightNode): void {
    const said = node.said.at(-1);
    this.#waiting.delete(node.id);
    this.#lookingOn.delete(node);
    node.value = null;
    node.problem = null;
    if (!node.gone && said?.value) {
      const { device, point } = node;
      const settings = this.settings.at(device, point);
      if (
        settings !== this.settings.inForceAt(device, point) ||
        settings.pace === null ||
        settings.eye === null
      )
        this.#lookingOn.set(node, this.settings.reach(device, point));
      const result = measure(said.value, settings);
      node.value = result.ok ? result.value : null;
      node.problem = result.ok ? null : result.error;
      if (!result.ok && result.error.kind === 'needs') this.#waiting.add(node.id);
    }
    const tree = node.tree === null ? undefined : this.#trees.get(node.tree);
    if (tree && !tree.gone) this.#refreshTree(tree);
  }
}

const noMarks: readonly string[] = Object.freeze([]);

function merged(facts: readonly Said<TreeFields>[]): TreeFields {
  const fields: TreeFields = {};
  for (const said of facts) Object.assign(fields, said.value, marksOf(fields, said.value));
  return fields;
}

/** Marks add up over several breaths; everything else is replaced. */
function marksOf(before: TreeFields, next: TreeFields): TreeFields {
  return before.marks && next.marks ? { marks: [...new Set([...before.marks, ...next.marks])] } : {};
}
