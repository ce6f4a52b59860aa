/**
 * The records: trees, heights, plots, stands and settings as their entries left them. Every record is the merge of the
 * contributions that still stand, so undoing one is forgetting it. Totals and the height curve follow each change.
 */

import { lastOf, required } from '../core/required.ts';
import { HeightCurve, type Pair } from '../measuring/doubt/curve.ts';
import { combineValues } from '../measuring/height/index.ts';
import type { Act, TreeFields } from '../note/acts.ts';
import type { Entry } from '../note/journal.ts';
import type { Measurement } from '../note/note.ts';
import type { SettingAct } from '../note/settings.ts';
import { Totals } from '../totals/totals.ts';
import { usualFormClass } from '../totals/tree-volume.ts';
import type { TreeRecord } from '../totals/types.ts';
import { Areas } from './areas.ts';
import { HeightNode, type SaidBy } from './height-node.ts';
import { isLandAct, LandRecords } from './land-records.ts';
import { PlotRecords } from './plot-records.ts';
import { countWhile, RecordTable } from './record-table.ts';
import type { Scene } from './scene.ts';
import { settingRow } from './settings.ts';
import { SettingsLine, type Span } from './settings-line.ts';
import { TreeNumbers } from './tree-numbers.ts';

/** A tree as its entries left it. */
export interface Tree extends TreeRecord {
  /** Ids of its heights, taken-back ones among them. */
  readonly heights: readonly string[];
}

/** What a tree has from the entry that began it. */
type Begun = Pick<Tree, 'id' | 'plot' | 'stand' | 'time' | 'zone' | 'person'>;

interface TreeNode {
  /** The entry that began it. */
  readonly entry: string;
  /** Its own as long as it stands; another, where it was put back after the number had been given to a new tree. */
  number: number;
  /** The plot that was in hand when it was told. */
  readonly plot: string | null;
  /** What was said of it at first, and what later. */
  readonly first: TreeFields;
  later: readonly SaidBy<TreeFields>[];
  heights: readonly string[];
  gone: boolean;
  record: Tree;
  /** The pair that the height curve has learned from this tree. */
  taught: Pair | null;
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
    (entry, other) => this.precedes(entry, other),
  );
  readonly strata = new Areas(
    (entry) => this.standing(entry),
    (record, stand) => this.totals.ledger.putStratum({ ...record, stand }),
    (id) => this.totals.ledger.removeStratum(id),
  );
  readonly land = new LandRecords((entry) => this.standing(entry));
  #standingWords: readonly UserWord[] | null = null;
  #standingRemarks: readonly Remark[] | null = null;
  readonly #words: UserWord[] = [];
  readonly #remarks: Remark[] = [];
  readonly #trees = new RecordTable<TreeNode>();
  readonly #numbers = new TreeNumbers<TreeNode>();
  readonly #heights = new RecordTable<HeightNode>();
  readonly #waiting = new Set<string>();
  /** Heights in the order of their points on the settings line. */
  readonly #byPoint: HeightNode[] = [];
  /** Heights with a pace or an eye that became known only later, or not yet, and how far on the line that was. */
  readonly #lookingOn = new Map<HeightNode, Record<'pace' | 'eye', number>>();
  /**
   * Heights that settings of this batch touch, and whether they set the form class: worked out once, in `settle`. A
   * thousand settings may touch the same thousand heights, and nothing of a batch reads what they come to.
   */
  readonly #owed = new Set<HeightNode>();
  /** Trees of several heights that were touched: these are combined once. */
  readonly #owedTrees = new Set<TreeNode>();
  #owesFormClass = false;

  /** `standing`: whether an entry was not taken back; `precedes`: whether it comes before another. */
  constructor(
    private readonly standing: (entry: string) => boolean,
    private readonly precedes: (entry: string, other: string) => boolean,
  ) {
    this.totals = new Totals();
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
    const node = this.#numbers.at(number);
    return node && !node.gone ? node.record : null;
  }

  /** The tree of a number that was taken back last of those that bore it. */
  takenBackTree(number: number): Tree | null {
    return this.#trees.values().findLast((node) => node.gone && node.number === number)?.record ?? null;
  }

  get lastTree(): Tree | null {
    return this.#numbers.last?.record ?? null;
  }

  *trees(): Iterable<Tree> {
    for (const node of this.#numbers) if (!node.gone) yield node.record;
  }

  /** The entries that began a tree and that said a fact of it last; null where there is none. */
  treeSaidOf(id: string): readonly [first: string, last: string] | null {
    const node = this.#trees.get(id);
    return node === undefined ? null : [node.entry, node.later.at(-1)?.entry ?? node.entry];
  }

  /** The entry that measured a height, and those that said something of it last; null where there is none. */
  heightSaidOf(id: string): readonly string[] | null {
    const node = this.#heights.get(id);
    if (node === undefined) return null;
    return [node.entry, lastOf(node.all ?? node.said).entry, lastOf(node.assigned).entry];
  }

  /** The tree that a height is of now; null where it is of none, or is not there. */
  treeOfHeight(id: string): string | null {
    return this.#heights.get(id)?.tree ?? null;
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
    for (const node of this.#heights.values()) if (!node.gone && node.said.at(-1)?.value) yield node;
  }

  /** Heights that wait for a pace or an eye height. */
  *waiting(): Iterable<HeightNode> {
    for (const id of [...this.#waiting]) {
      const node = this.height(id);
      if (node) yield node;
    }
  }

  beginTree(scene: Scene, id: string, fields: TreeFields): void {
    const { entry, plot, stand, time, zone, person } = scene;
    const node: TreeNode = {
      entry,
      number: 0,
      plot,
      first: fields,
      later: none,
      heights: none,
      gone: false,
      record: undefined as never,
      taught: null,
    };
    this.#trees.set(id, node, scene.late ? (other) => this.precedes(other.entry, scene.entry) : undefined);
    this.#number(scene, node, false);
    // Of an entry's ids one text is enough.
    this.#refreshTree(node, {
      id: id === entry ? entry : id,
      plot,
      stand,
      time,
      zone: zone || undefined,
      person,
    });
  }

  #number({ entry, late }: Pick<Scene, 'entry' | 'late'>, node: TreeNode, gone: boolean): void {
    const turn = { entry, node, gone };
    if (late) this.#numbers.insert(turn, this.precedes);
    else this.#numbers.take(turn);
  }

  /** Numbers all trees anew, where one came late. A record that has another number by that is still the same record. */
  numberAgain(): void {
    this.#numbers.again((node) => {
      const record: { number: number } = node.record;
      record.number = node.number;
    });
  }

  amendTree(scene: Scene, id: string, fields: TreeFields): void {
    const node = this.#trees.get(id);
    if (!node) return;
    node.later = [...node.later, { entry: scene.entry, value: fields }];
    if (!node.gone) this.#touch(node);
  }

  addHeight(scene: Scene, id: string, tree: string | null, measurement: Measurement): void {
    const { entry, late } = scene;
    const before = (other: HeightNode) => this.precedes(other.entry, entry);
    const of = tree === null ? undefined : this.#trees.get(tree);
    const node = new HeightNode({
      id: id === entry ? entry : id,
      entry,
      tree: of?.record.id ?? tree,
      device: scene.device,
      point: late ? this.settings.pointOf((other) => this.precedes(other, entry)) : this.settings.length,
      measurement,
    });
    this.#heights.set(id, node, late ? before : undefined);
    this.#byPoint.splice(late ? countWhile(this.#byPoint, before) : this.#byPoint.length, 0, node);
    if (of !== undefined) of.heights = [...of.heights, node.id];
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

  #entryOfHeight(id: string): string {
    return required(this.#heights.get(id), 'a height').entry;
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
          ? [...rest, node.id].sort((a, b) =>
              this.precedes(this.#entryOfHeight(a), this.#entryOfHeight(b)) ? -1 : 1,
            )
          : rest;
      if (!of.gone) this.#touch(of);
    }
  }

  set(scene: Scene, set: SettingAct): void {
    if (scene.late) {
      this.#setLate(scene, set);
      return;
    }
    this.settings.add(scene.entry, scene.device, set);
    if (set.what === 'formClass') this.#owesFormClass = true;
    const { brings } = settingRow(set.what);
    if (brings === undefined) return;
    for (const id of this.#waiting) {
      const node = this.height(id);
      if (node && (brings === 'any' || (node.problem?.kind === 'needs' && node.problem.what === brings)))
        this.#owe(node);
    }
  }

  #owe(node: HeightNode): void {
    this.#owed.add(node);
    // What is owed is looked at again as it is: nobody need find it until then.
    this.#waiting.delete(node.id);
    this.#lookingOn.delete(node);
  }

  /** Ends a batch: works out what its settings owe. `failed` is told of the entry of a height that could not be. */
  settle(failed: (entry: string, cause: unknown) => void): void {
    if (this.#owesFormClass) this.#useFormClass();
    for (const node of this.#owed) {
      if (node.gone) continue;
      try {
        this.#refreshHeight(node);
      } catch (cause) {
        failed(node.entry, cause);
      }
    }
    this.#owed.clear();
    for (const node of this.#owedTrees) {
      if (node.gone) continue;
      try {
        this.#refreshTree(node);
      } catch (cause) {
        failed(this.#heights.get(node.heights.at(-1) ?? '')?.entry ?? node.entry, cause);
      }
    }
    this.#owedTrees.clear();
  }

  /** A tree that was touched: of several heights it is worked out at the end of the batch, else at once. */
  #touch(node: TreeNode): void {
    if (node.heights.length > 1) this.#owedTrees.add(node);
    else this.#refreshTree(node);
  }

  /** A setting that comes late stands at its place on the line: what was measured after it may be told anew by it. */
  #setLate({ entry, device }: Scene, set: SettingAct): void {
    const after = (other: string) => this.precedes(entry, other);
    const point = this.settings.pointOf((other) => !after(other));
    for (let at = this.#byPoint.length - 1; at >= 0 && after(this.#byPoint[at]!.entry); at--)
      this.#byPoint[at]!.point++;
    const looking = [...this.#lookingOn.keys()];
    this.#tell(this.settings.insert(point, entry, device, set));
    for (const node of looking) this.#owe(node);
  }

  /** Trees of which no form class was said have that of the book. */
  #useFormClass(): void {
    this.#owesFormClass = false;
    const { formClass } = this.settings.now;
    this.totals.ledger.setFormClass(formClass !== null && formClass > 0 ? formClass : usualFormClass);
  }

  learn(word: UserWord): void {
    this.#inOrder(this.#words, word);
    this.#standingWords = null;
  }

  remark(remark: Remark): void {
    this.#inOrder(this.#remarks, remark);
    this.#standingRemarks = null;
  }

  get words(): readonly UserWord[] {
    this.#standingWords ??= this.#standing(this.#words);
    return this.#standingWords;
  }

  get remarks(): readonly Remark[] {
    this.#standingRemarks ??= this.#standing(this.#remarks);
    return this.#standingRemarks;
  }

  #inOrder<T extends { readonly entry: string }>(list: T[], one: T): void {
    const last = list.at(-1);
    const late = last !== undefined && this.precedes(one.entry, last.entry);
    list.splice(
      late ? countWhile(list, (other) => !this.precedes(one.entry, other.entry)) : list.length,
      0,
      one,
    );
  }

  #standing<T extends { readonly entry: string }>(said: readonly T[]): readonly T[] {
    return said.filter(({ entry }) => this.standing(entry));
  }

  /** Looks again at all that an entry touched, after another took it back or put it back: each the merge of what stands. */
  again(entry: Entry, by: Pick<Scene, 'entry' | 'late'>): void {
    for (const act of entry.acts) this.#again(entry.id, act, by);
    if (entry.acts.some((act) => act.act === 'setting')) this.#settingsAgain(entry.id);
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
        this.#treeAgain(act.id, by);
        return;
      case 'amend': {
        const node = this.#trees.get(act.target);
        if (node && !node.gone) this.#touch(node);
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
        this.#standingWords = null;
        return;
      case 'remark':
        this.#standingRemarks = null;
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

  #treeAgain(id: string, by: Pick<Scene, 'entry' | 'late'>): void {
    const node = this.#trees.get(id);
    if (!node || node.gone === !this.standing(node.entry)) return;
    node.gone = !node.gone;
    this.#number(by, node, node.gone);
    if (node.gone) {
      this.totals.ledger.removeTree(id);
      this.#unteach(node);
    } else this.#touch(node);
  }

  /** The heights that can tell that the settings of an entry hold, or no longer do, are computed again. */
  #settingsAgain(entry: string): void {
    const spans = this.standing(entry) ? this.settings.restore(entry) : this.settings.retract(entry);
    this.#tell(spans);
  }

  /** What changed on the settings line is told to the heights that depend on it. */
  #tell(spans: readonly Span[]): void {
    if (spans.some(({ what }) => what === 'formClass')) this.#owesFormClass = true;
    for (const span of spans) if (settingRow(span.what).changesHeights) this.#oweTouched(span);
  }

  /** Those measured in a span of the settings line, and those measured before it that looked as far. */
  #oweTouched({ from, to, what }: Span): void {
    let [low, high] = [0, this.#byPoint.length];
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (this.#byPoint[middle]!.point < from) low = middle + 1;
      else high = middle;
    }
    for (let at = low; at < this.#byPoint.length && this.#byPoint[at]!.point <= to; at++)
      this.#owe(this.#byPoint[at]!);
    const sought = settingRow(what).lookedFor ?? [];
    if (sought.length === 0) return;
    for (const [node, reach] of this.#lookingOn)
      if (sought.some((side) => reach[side] >= from)) this.#owe(node);
  }

  #refreshTree(node: TreeNode, of: Begun = node.record): void {
    const fields = node.later.length === 0 ? node.first : this.#merged(node);
    const height = this.#heightOf(node);
    const { id, stand, time, zone, person } = of;
    node.record = {
      id,
      number: node.number,
      plot: fields.plot ?? node.plot,
      stand,
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
      half: fields.half || undefined,
      time,
      zone,
      person,
      heights: node.heights,
    };
    this.totals.ledger.putTree(node.record);
    this.#teach(node);
  }

  #merged(node: TreeNode): TreeFields {
    const fields: TreeFields = {};
    const all = [{ entry: node.entry, value: node.first }, ...node.later];
    for (const { value } of this.#standing(all)) Object.assign(fields, value, marksOf(fields, value));
    return fields;
  }

  /** One height, or several of the same tree combined by weight. */
  #heightOf(node: TreeNode): { readonly feet: number; readonly sdFeet: number } | null {
    if (node.heights.length === 0) return null;
    const counting: HeightNode[] = [];
    for (const id of node.heights) {
      const height = this.height(id);
      if (height !== null && height.feet !== null) counting.push(height);
    }
    // Only of several is the whole value asked, which is worked out anew each time.
    if (counting.length > 1) return combineValues(counting.flatMap(({ value }) => value ?? []));
    const [only] = counting;
    return only === undefined || only.feet === null ? null : { feet: only.feet, sdFeet: only.sdFeet };
  }

  /** What a tree has taught the curve. */
  taughtBy(tree: string): Pair | null {
    return this.#trees.get(tree)?.taught ?? null;
  }

  #teach(node: TreeNode): void {
    const { species, diameterIn, heightFt, marks, plot } = node.record;
    const { taught } = node;
    if (
      taught &&
      taught.species === species &&
      taught.diameterIn === diameterIn &&
      taught.heightFt === heightFt &&
      taught.plot === plot
    )
      return;
    this.#unteach(node);
    // A broken top says nothing of how tall the species grows here.
    if (diameterIn === null || heightFt === null || marks.includes('broken top')) return;
    node.taught = { species, diameterIn, heightFt, plot };
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
    if (node.gone || !said?.value) node.measureWith(null);
    else {
      const { device, point } = node;
      const settings = this.settings.at(device, point);
      if (
        settings !== this.settings.inForceAt(device, point) ||
        settings.pace === null ||
        settings.eye === null
      )
        this.#lookingOn.set(node, this.settings.reach(device, point));
      node.measureWith(settings);
      if (node.problem?.kind === 'needs') this.#waiting.add(node.id);
    }
    const tree = node.tree === null ? undefined : this.#trees.get(node.tree);
    if (tree && !tree.gone) this.#touch(tree);
  }
}

const noMarks: readonly string[] = Object.freeze([]);

const none: readonly never[] = Object.freeze([]);

/** Marks add up over several breaths; everything else is replaced. */
function marksOf(before: TreeFields, next: TreeFields): TreeFields {
  return before.marks && next.marks ? { marks: [...new Set([...before.marks, ...next.marks])] } : {};
}
