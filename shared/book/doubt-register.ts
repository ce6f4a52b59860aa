/** The doubts of a book: raised by entries, settled by later ones, dropped when what raised them is taken back. */
import type { Act, Doubt } from '../note/acts.ts';
import type { Entry } from '../note/journal.ts';

export interface RegisteredDoubt {
  readonly entry: string;
  tree: string | null;
  readonly doubt: Doubt;
  /** The entry of another device that it contradicts, where that is the doubt. */
  readonly beside?: string;
  state: 'open' | 'kept' | 'mended' | 'dropped';
}

export class DoubtRegister {
  readonly #all: RegisteredDoubt[] = [];
  /** By the entry that raised them and by the one beside it. */
  readonly #about = new Map<string, RegisteredDoubt[]>();

  get all(): readonly RegisteredDoubt[] {
    return this.#all;
  }

  /** Those that an entry brings; `inHand` is the tree that its device was busy with. */
  raise(entry: Entry, inHand: string | null): void {
    for (const doubt of entry.doubts ?? [])
      this.#add({ entry: entry.id, tree: doubtedTree(entry, inHand), doubt, state: 'open' });
  }

  /** One about an entry that said another thing than an entry of another device, neither knowing of the other. */
  raiseBeside(entry: string, beside: string, tree: string | null, doubt: Doubt): void {
    this.#add({ entry, tree, doubt, state: 'open', beside });
  }

  /** Mends the doubt between two entries of different devices. */
  mendBeside(entry: string, beside: string): void {
    for (const each of this.#of(entry))
      if (each.entry === entry && each.beside === beside && each.state === 'open') each.state = 'mended';
  }

  /** What an entry settles, of the doubts that another raised. */
  settle(entry: Entry, act: Extract<Act, { act: 'settle' }>): void {
    for (const each of this.#of(act.entry)) {
      if (each.entry !== act.entry || (act.code !== '*' && each.doubt.code !== act.code)) continue;
      each.state = act.how;
      // Facts in doubt had no tree; the answer began it.
      each.tree ??= entry.acts.find((one) => one.act === 'tree')?.id ?? null;
    }
  }

  /** Drops what is open because of an entry that was taken back. */
  drop(id: string): void {
    for (const each of this.#of(id)) if (each.state === 'open') each.state = 'dropped';
  }

  #of(id: string): readonly RegisteredDoubt[] {
    return this.#about.get(id) ?? [];
  }

  #add(doubt: RegisteredDoubt): void {
    this.#all.push(doubt);
    for (const id of doubt.beside === undefined ? [doubt.entry] : [doubt.entry, doubt.beside]) {
      const some = this.#about.get(id);
      if (some) some.push(doubt);
      else this.#about.set(id, [doubt]);
    }
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
