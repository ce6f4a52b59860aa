/** The doubts of a book: raised by entries, settled by later ones, dropped when what raised them is taken back. */
import type { Act, Doubt } from '../note/acts.ts';
import type { Entry } from '../note/journal.ts';
import { countWhile } from './record-table.ts';

/** Code of the doubts that a second look at accepted trees raises. */
export const secondLookCode = 'secondLook';

export interface RegisteredDoubt {
  readonly entry: string;
  tree: string | null;
  readonly doubt: Doubt;
  /** The entry of another device that it contradicts, where that is the doubt. */
  readonly beside?: string;
  state: 'open' | 'kept' | 'mended' | 'dropped';
}

/** What an entry made of a doubt. */
interface Settlement {
  readonly entry: string;
  readonly how: 'kept' | 'mended' | 'dropped';
  /** The tree that the answer began, where facts in doubt had none. */
  readonly tree: string | null;
}

interface Node {
  readonly doubt: RegisteredDoubt;
  readonly tree: string | null;
  readonly settled: Settlement[];
}

export class DoubtRegister {
  readonly #all: RegisteredDoubt[] = [];
  /** By the entry that raised them, by the one beside it and by those that settled them. */
  readonly #about = new Map<string, Node[]>();
  readonly #looks: Node[] = [];

  /** `stands`: whether an entry was not taken back; `precedes`: whether it comes before another. */
  constructor(
    private readonly stands: (entry: string) => boolean,
    private readonly precedes: (entry: string, other: string) => boolean,
  ) {}

  get all(): readonly RegisteredDoubt[] {
    return this.#all;
  }

  /** Those that an entry brings; `inHand` is the tree that its device was busy with. */
  raise(entry: Entry, inHand: string | null): void {
    for (const doubt of entry.doubts ?? [])
      this.#add({ entry: entry.id, tree: doubt.about ?? doubtedTree(entry, inHand), doubt, state: 'open' });
  }

  /** One about an entry that said another thing than an entry of another device, neither knowing of the other. */
  raiseBeside(entry: string, beside: string, tree: string | null, doubt: Doubt): void {
    this.#add({ entry, tree, doubt, state: 'open', beside });
  }

  /** Mends the doubt between two entries of different devices. */
  mendBeside(entry: string, beside: string, by: string): void {
    for (const node of this.#of(entry))
      if (node.doubt.entry === entry && node.doubt.beside === beside && node.doubt.state === 'open')
        this.#settle(node, { entry: by, how: 'mended', tree: null });
  }

  /** What an entry settles, of the doubts that another raised. */
  settle(entry: Entry, act: Extract<Act, { act: 'settle' }>): void {
    const tree = entry.acts.find((one) => one.act === 'tree')?.id ?? null;
    for (const node of [...this.#of(act.entry)]) {
      const { doubt } = node;
      if (doubt.entry !== act.entry || (act.code !== '*' && doubt.doubt.code !== act.code)) continue;
      this.#settle(node, { entry: entry.id, how: act.how, tree });
    }
  }

  /** A tree that was told at a second look was changed or measured again by an entry. */
  mendLook(tree: string | null, by: string): void {
    for (const node of this.#looks)
      if (node.doubt.doubt.about === tree && node.doubt.state === 'open')
        this.#settle(node, { entry: by, how: 'mended', tree: null });
  }

  /** Looks again at what an entry raised or settled, after it was taken back or put back. */
  again(id: string): void {
    for (const node of this.#of(id)) this.#refresh(node);
  }

  #settle(node: Node, settlement: Settlement): void {
    node.settled.push(settlement);
    this.#file(settlement.entry, node);
    this.#refresh(node);
  }

  /** The last answer that stands holds; without one a doubt is open as long as what it is about stands. */
  #refresh({ doubt, tree, settled }: Node): void {
    const standing = settled.filter(({ entry }) => this.stands(entry));
    // A tree has the id of the entry that began it.
    const raised = [doubt.entry, doubt.beside, doubt.doubt.about].every(
      (id) => id === undefined || this.stands(id),
    );
    doubt.state = standing.at(-1)?.how ?? (raised ? 'open' : 'dropped');
    doubt.tree = tree ?? standing.find((one) => one.tree !== null)?.tree ?? null;
  }

  #of(id: string): readonly Node[] {
    return this.#about.get(id) ?? [];
  }

  #file(id: string, node: Node): void {
    const some = this.#about.get(id);
    if (!some) this.#about.set(id, [node]);
    else if (!some.includes(node)) some.push(node);
  }

  /** Whether a tree was told at a second look. */
  looksAt(tree: string): boolean {
    return this.#looks.some((node) => node.doubt.doubt.about === tree);
  }

  /** Entries that settled a doubt which an entry raised. */
  settlersOf(entry: string): string[] {
    return this.#of(entry).flatMap((node) => node.settled.map((one) => one.entry));
  }

  #add(doubt: RegisteredDoubt): void {
    const last = this.#all.at(-1);
    const late = last !== undefined && this.precedes(doubt.entry, last.entry);
    const at = late
      ? countWhile(this.#all, (one) => !this.precedes(doubt.entry, one.entry))
      : this.#all.length;
    this.#all.splice(at, 0, doubt);
    const node: Node = { doubt, tree: doubt.tree, settled: [] };
    this.#file(doubt.entry, node);
    if (doubt.beside !== undefined) this.#file(doubt.beside, node);
    const { about, code } = doubt.doubt;
    if (about !== undefined) this.#file(about, node);
    if (code === secondLookCode) this.#looks.push(node);
  }
}

/** The tree that an entry's doubts are about; null for facts that begin a tree when they are answered. */
function doubtedTree(entry: Entry, inHand: string | null): string | null {
  for (const act of entry.acts) {
    if (act.act === 'height') return act.tree;
    if (act.act === 'tree') return act.id;
    if (act.act === 'amend') return act.target;
  }
  const { asks } = entry;
  if (asks?.target !== undefined) return asks.target;
  return asks?.pending?.kind === 'tree' ? null : inHand;
}
