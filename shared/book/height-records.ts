/**
 * The heights as they were measured, each worked out with the settings that held at its place on the settings line: what
 * was told with a pace that is said later waits for it, and what a setting touches is worked out once at the end of a batch.
 */

import { lastOf } from '../core/required.ts';
import type { Measurement } from '../note/note.ts';
import type { SettingAct } from '../note/settings.ts';
import { HeightNode } from './height-node.ts';
import { countWhile, RecordTable } from './record-table.ts';
import { type EntryOrder, thatStand } from './said-list.ts';
import type { Scene } from './scene.ts';
import { settingRow } from './settings.ts';
import { SettingsLine, type Span } from './settings-line.ts';

/** Told of what trees follow from. */
interface HeightWatch {
  /** A height of this tree was worked out. */
  changed(tree: string): void;
  /** A height is of another tree. */
  moved(height: string, from: string | null, to: string | null): void;
  /** The form class of the book may be another. */
  formClassChanged(): void;
}

export class HeightRecords implements Iterable<HeightNode> {
  readonly settings = new SettingsLine();
  readonly #heights = new RecordTable<HeightNode>();
  /** Those that wait for a pace or an eye height. */
  readonly #waiting = new Set<string>();
  /** In the order of their points on the settings line. */
  readonly #byPoint: HeightNode[] = [];
  /** Those with a pace or an eye that became known only later, or not yet, and how far on the line that was. */
  readonly #lookingOn = new Map<HeightNode, Record<'pace' | 'eye', number>>();
  /**
   * Those that settings of this batch touch: worked out once, in `settle`. A thousand settings may touch the same
   * thousand heights, and nothing of a batch reads what they come to.
   */
  readonly #owed = new Set<HeightNode>();

  constructor(
    private readonly order: EntryOrder,
    private readonly watch: HeightWatch,
  ) {}

  get(id: string | null): HeightNode | null {
    const node = id === null ? undefined : this.#heights.get(id);
    return node && counts(node) ? node : null;
  }

  *[Symbol.iterator](): Iterator<HeightNode> {
    for (const node of this.#heights.values()) if (counts(node)) yield node;
  }

  /** Those that wait for a pace or an eye height. */
  *waiting(): Iterable<HeightNode> {
    for (const id of [...this.#waiting]) {
      const node = this.get(id);
      if (node) yield node;
    }
  }

  /** The entry that measured a height, and those that said something of it last; null where there is none. */
  saidOf(id: string): readonly string[] | null {
    const node = this.#heights.get(id);
    if (node === undefined) return null;
    return [node.entry, lastOf(node.all ?? node.said).entry, lastOf(node.assigned).entry];
  }

  /** The entry that measured a height, of one that was taken back, too. */
  entryOf(id: string): string | undefined {
    return this.#heights.get(id)?.entry;
  }

  /** The tree that a height is of now; null where it is of none, or is not there. */
  treeOf(id: string): string | null {
    return this.#heights.get(id)?.tree ?? null;
  }

  /** Adds a height; `workOut` gives it its value, once its tree knows of it. */
  add(scene: Scene, id: string, tree: string | null, measurement: Measurement): HeightNode {
    const { entry, late, device } = scene;
    const { precedes } = this.order;
    const before = (other: HeightNode) => precedes(other.entry, entry);
    const point = late ? this.settings.pointOf((other) => precedes(other, entry)) : this.settings.length;
    const node = new HeightNode({ id: id === entry ? entry : id, entry, tree, device, point, measurement });
    this.#heights.set(id, node, late ? before : undefined);
    this.#byPoint.splice(late ? countWhile(this.#byPoint, before) : this.#byPoint.length, 0, node);
    return node;
  }

  remeasure(scene: Scene, id: string, measurement: Measurement | null): void {
    const node = this.#heights.get(id);
    if (!node) return;
    const said = { entry: scene.entry, value: measurement };
    node.all?.push(said);
    node.said = [...node.said, said];
    this.workOut(node);
  }

  /** The height is of another tree from now on. */
  assign(scene: Scene, id: string, tree: string | null): void {
    const node = this.#heights.get(id);
    if (!node) return;
    node.assigned = [...node.assigned, { entry: scene.entry, value: tree }];
    this.assignAgain(id);
  }

  /** Puts a height with the tree that it was last said to be of. */
  assignAgain(id: string): void {
    const node = this.#heights.get(id);
    if (!node) return;
    const tree = thatStand(node.assigned, this.order).at(-1)?.value ?? null;
    const before = node.tree;
    if (tree === before) return;
    node.tree = tree;
    this.watch.moved(node.id, before, tree);
  }

  /** Looks again at what was said of a height. `began`: by the entry that measured it. */
  again(id: string, { began }: { readonly began: string | null }): void {
    const node = this.#heights.get(id);
    if (!node) return;
    node.all ??= [...node.said];
    node.said = thatStand(node.all, this.order);
    if (began !== null) node.gone = !this.order.standing(began);
    this.workOut(node);
  }

  set(scene: Scene, set: SettingAct): void {
    if (scene.late) {
      this.#setLate(scene, set);
      return;
    }
    this.settings.add(scene.entry, scene.device, set);
    if (set.what === 'formClass') this.watch.formClassChanged();
    const { brings } = settingRow(set.what);
    if (brings === undefined) return;
    for (const node of this.waiting())
      if (brings === 'any' || (node.problem?.kind === 'needs' && node.problem.what === brings))
        this.#owe(node);
  }

  /** A setting that comes late stands at its place on the line: what was measured after it may be told anew by it. */
  #setLate({ entry, device }: Scene, set: SettingAct): void {
    const after = (other: string) => this.order.precedes(entry, other);
    const point = this.settings.pointOf((other) => !after(other));
    for (let at = this.#byPoint.length - 1; at >= 0 && after(this.#byPoint[at]!.entry); at--)
      this.#byPoint[at]!.point++;
    const looking = [...this.#lookingOn.keys()];
    this.#tell(this.settings.insert(point, entry, device, set));
    for (const node of looking) this.#owe(node);
  }

  /** Looks again at the heights that can tell that the settings of an entry hold, or no longer do. */
  settingsAgain(entry: string): void {
    const { settings } = this;
    this.#tell(this.order.standing(entry) ? settings.restore(entry) : settings.retract(entry));
  }

  /** What changed on the settings line is told to the heights that depend on it. */
  #tell(spans: readonly Span[]): void {
    if (spans.some(({ what }) => what === 'formClass')) this.watch.formClassChanged();
    for (const span of spans) if (settingRow(span.what).changesHeights) this.#oweTouched(span);
  }

  /** Those measured in a span of the settings line, and those measured before it that looked as far. */
  #oweTouched({ from, to, what }: Span): void {
    const first = countWhile(this.#byPoint, ({ point }) => point < from);
    for (let at = first; at < this.#byPoint.length && this.#byPoint[at]!.point <= to; at++)
      this.#owe(this.#byPoint[at]!);
    const sought = settingRow(what).lookedFor ?? [];
    if (sought.length === 0) return;
    for (const [node, reach] of this.#lookingOn)
      if (sought.some((side) => reach[side] >= from)) this.#owe(node);
  }

  #owe(node: HeightNode): void {
    this.#owed.add(node);
    // What is owed is looked at again as it is: nobody need find it until then.
    this.#waiting.delete(node.id);
    this.#lookingOn.delete(node);
  }

  /** Ends a batch: works out what its settings owe. `failed` is told of the entry of a height that could not be. */
  settle(failed: (entry: string, cause: unknown) => void): void {
    for (const node of this.#owed) {
      if (node.gone) continue;
      try {
        this.workOut(node);
      } catch (cause) {
        failed(node.entry, cause);
      }
    }
    this.#owed.clear();
  }

  /** Works out a height as it stands. */
  workOut(node: HeightNode): void {
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
    if (node.tree !== null) this.watch.changed(node.tree);
  }
}

/** Neither it nor what was said of it last was taken back. */
const counts = (node: HeightNode): boolean => !node.gone && Boolean(node.said.at(-1)?.value);
