/**
 * The trees as their entries left them: each the merge of what stands of what was said of it, with one height out of all
 * that were measured of it. Totals and the height curve follow each change.
 */

import type { HeightCurve, Pair } from '../measuring/doubt/curve.ts';
import { combineValues } from '../measuring/height/index.ts';
import type { TreeFields } from '../note/acts.ts';
import type { Ledger } from '../totals/ledger.ts';
import type { TreeRecord } from '../totals/types.ts';
import type { HeightNode, SaidBy } from './height-node.ts';
import { RecordTable } from './record-table.ts';
import { type EntryOrder, thatStand } from './said-list.ts';
import type { Scene } from './scene.ts';
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

/** What trees feed, and where their heights are. */
interface TreeSurroundings {
  readonly ledger: Ledger;
  readonly curve: HeightCurve;
  /** A height that counts; null where it does not, or is not there. */
  height(id: string): HeightNode | null;
  /** The entry that measured a height, of one that was taken back, too. */
  entryOfHeight(id: string): string | undefined;
}

export class TreeRecords implements Iterable<Tree> {
  readonly #trees = new RecordTable<TreeNode>();
  readonly #numbers = new TreeNumbers<TreeNode>();
  /** Trees of several heights that were touched: these are combined once, in `settle`. */
  readonly #owed = new Set<TreeNode>();

  constructor(
    private readonly order: EntryOrder,
    private readonly surroundings: TreeSurroundings,
  ) {}

  get(id: string | null): Tree | null {
    const node = id === null ? undefined : this.#trees.get(id);
    return node && !node.gone ? node.record : null;
  }

  numbered(number: number): Tree | null {
    const node = this.#numbers.at(number);
    return node && !node.gone ? node.record : null;
  }

  /** The tree of a number that was taken back last of those that bore it. */
  takenBack(number: number): Tree | null {
    return this.#trees.values().findLast((node) => node.gone && node.number === number)?.record ?? null;
  }

  get last(): Tree | null {
    return this.#numbers.last?.record ?? null;
  }

  *[Symbol.iterator](): Iterator<Tree> {
    for (const node of this.#numbers) if (!node.gone) yield node.record;
  }

  /** The entries that began a tree and that said a fact of it last; null where there is none. */
  saidOf(id: string): readonly [first: string, last: string] | null {
    const node = this.#trees.get(id);
    return node === undefined ? null : [node.entry, node.later.at(-1)?.entry ?? node.entry];
  }

  /** Ids of the heights that were measured of a tree, also of one that was taken back. */
  heightsOf(tree: string): readonly string[] {
    return this.#trees.get(tree)?.heights ?? [];
  }

  /** What a tree has taught the curve. */
  taughtBy(tree: string): Pair | null {
    return this.#trees.get(tree)?.taught ?? null;
  }

  begin(scene: Scene, id: string, fields: TreeFields): void {
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
    const { precedes } = this.order;
    this.#trees.set(id, node, scene.late ? (other) => precedes(other.entry, scene.entry) : undefined);
    this.#number(scene, node, false);
    // Of an entry's ids one text is enough.
    const own = id === entry ? entry : id;
    this.#refresh(node, { id: own, plot, stand, time, zone: zone || undefined, person });
  }

  amend(scene: Scene, id: string, fields: TreeFields): void {
    const node = this.#trees.get(id);
    if (!node) return;
    node.later = [...node.later, { entry: scene.entry, value: fields }];
    if (!node.gone) this.#touch(node);
  }

  /** The text of an id that the tree itself has, where there is such a tree. */
  ownId(id: string | null): string | null {
    return (id === null ? undefined : this.#trees.get(id)?.record.id) ?? id;
  }

  /** A height was measured of a tree, behind all that it has. */
  addHeight(id: string | null, height: string): void {
    const node = id === null ? undefined : this.#trees.get(id);
    if (node !== undefined) node.heights = [...node.heights, height];
  }

  /** A height is of another tree from now on: `from` and `to` are the trees. */
  moveHeight(height: string, from: string | null, to: string | null): void {
    for (const id of [from, to]) {
      const node = id === null ? undefined : this.#trees.get(id);
      if (!node) continue;
      const rest = node.heights.filter((one) => one !== height);
      node.heights = id === to ? this.#inOrder([...rest, height]) : rest;
      if (!node.gone) this.#touch(node);
    }
  }

  /** Looks again at a tree of which a height was worked out, or something was taken back or put back. */
  lookAgain(id: string): void {
    const node = this.#trees.get(id);
    if (node && !node.gone) this.#touch(node);
  }

  /** Looks again at whether a tree is there, after the entry that began it was taken back or put back. */
  again(id: string, by: Pick<Scene, 'entry' | 'late'>): void {
    const node = this.#trees.get(id);
    if (!node || node.gone === !this.order.standing(node.entry)) return;
    node.gone = !node.gone;
    this.#number(by, node, node.gone);
    if (node.gone) {
      this.surroundings.ledger.removeTree(id);
      this.#unteach(node);
    } else this.#touch(node);
  }

  /** Numbers all trees anew, where one came late. A record that has another number by that is still the same record. */
  numberAgain(): void {
    this.#numbers.again((node) => {
      const record: { number: number } = node.record;
      record.number = node.number;
    });
  }

  /** Ends a batch. `failed` is told of the entry by which a tree could not be worked out. */
  settle(failed: (entry: string, cause: unknown) => void): void {
    for (const node of this.#owed) {
      if (node.gone) continue;
      try {
        this.#refresh(node);
      } catch (cause) {
        failed(this.surroundings.entryOfHeight(node.heights.at(-1) ?? '') ?? node.entry, cause);
      }
    }
    this.#owed.clear();
  }

  #number({ entry, late }: Pick<Scene, 'entry' | 'late'>, node: TreeNode, gone: boolean): void {
    const turn = { entry, node, gone };
    if (late) this.#numbers.insert(turn, this.order.precedes);
    else this.#numbers.take(turn);
  }

  #inOrder(heights: string[]): readonly string[] {
    const { entryOfHeight } = this.surroundings;
    return heights.sort((a, b) =>
      this.order.precedes(entryOfHeight(a) ?? '', entryOfHeight(b) ?? '') ? -1 : 1,
    );
  }

  /** A tree that was touched: of several heights it is worked out at the end of the batch, else at once. */
  #touch(node: TreeNode): void {
    if (node.heights.length > 1) this.#owed.add(node);
    else this.#refresh(node);
  }

  #refresh(node: TreeNode, of: Begun = node.record): void {
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
    this.surroundings.ledger.putTree(node.record);
    this.#teach(node);
  }

  #merged(node: TreeNode): TreeFields {
    const fields: TreeFields = {};
    const all = [{ entry: node.entry, value: node.first }, ...node.later];
    for (const { value } of thatStand(all, this.order)) Object.assign(fields, value, marksOf(fields, value));
    return fields;
  }

  /** One height, or several of the same tree combined by weight. */
  #heightOf(node: TreeNode): { readonly feet: number; readonly sdFeet: number } | null {
    if (node.heights.length === 0) return null;
    const counting: HeightNode[] = [];
    for (const id of node.heights) {
      const height = this.surroundings.height(id);
      if (height !== null && height.feet !== null) counting.push(height);
    }
    // Only of several is the whole value asked, which is worked out anew each time.
    if (counting.length > 1) return combineValues(counting.flatMap(({ value }) => value ?? []));
    const [only] = counting;
    return only === undefined || only.feet === null ? null : { feet: only.feet, sdFeet: only.sdFeet };
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
    this.surroundings.curve.observe(node.taught);
  }

  #unteach(node: TreeNode): void {
    if (!node.taught) return;
    this.surroundings.curve.forget(node.taught);
    node.taught = null;
  }
}

const noMarks: readonly string[] = Object.freeze([]);

const none: readonly never[] = Object.freeze([]);

/** Marks add up over several breaths, and are taken off again; everything else is replaced. */
function marksOf(before: TreeFields, next: TreeFields): TreeFields {
  if (next.unmarked) {
    const off = new Set(next.unmarked);
    return { marks: [...(before.marks ?? []), ...(next.marks ?? [])].filter((mark) => !off.has(mark)) };
  }
  return before.marks && next.marks ? { marks: [...new Set([...before.marks, ...next.marks])] } : {};
}
