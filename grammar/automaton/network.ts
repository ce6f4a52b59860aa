/**
 * Lays the patterns out as a network of words with epsilon moves. Number and unit tags ride on the word that they
 * interpret, other tags too where they can: then what follows is the same in many places and shares its states.
 */

import { joinPath, type Node, placeTag } from '../description/patterns.ts';
import { children, patternOf, type Syntax } from '../description/syntax.ts';
import type { Tag } from '../description/tags.ts';
import { determinise, mostWords, wordMark } from './determinise.ts';
import { type Machine, minimise } from './minimise.ts';

/** Interns tags and tag sequences. */
class TagTable {
  readonly tags: Tag[] = [];
  readonly sequences: number[][] = [[]];
  private readonly tagIds = new Map<string, number>();
  /** The same by object, for tags that stand in many places. */
  private readonly known = new Map<Tag, Map<string, number>>();
  private readonly sequenceIds = new Map<string, number>([['', 0]]);

  /** The id of a tag with its path put under another. */
  placed(tag: Tag, under: string): number {
    let places = this.known.get(tag);
    if (places === undefined) {
      places = new Map();
      this.known.set(tag, places);
    }
    let id = places.get(under);
    if (id === undefined) {
      id = this.tag(placeTag(tag, under));
      places.set(under, id);
    }
    return id;
  }

  tag(tag: Tag): number {
    const key = JSON.stringify(tag);
    let id = this.tagIds.get(key);
    if (id === undefined) {
      id = this.tags.length;
      this.tags.push(tag);
      this.tagIds.set(key, id);
    }
    return id;
  }

  sequence(ids: readonly number[]): number {
    const key = ids.join(' ');
    let id = this.sequenceIds.get(key);
    if (id === undefined) {
      const inOrder = this.ordered(ids);
      const orderedKey = inOrder.join(' ');
      id = this.sequenceIds.get(orderedKey);
      if (id === undefined) {
        id = this.sequences.length;
        this.sequences.push(inOrder);
        this.sequenceIds.set(orderedKey, id);
      }
      this.sequenceIds.set(key, id);
    }
    return id;
  }

  /**
   * Constants that stand side by side on different paths come to the same in any order: they are kept by path, so that
   * two rules which set the same fields share what follows.
   */
  private ordered(ids: readonly number[]): number[] {
    const sorted = [...ids];
    // Each is sunk into the run of constants behind which it stands; equal paths keep their order.
    sorted.forEach((_, at) => {
      for (let i = at; i > 0 && this.standsBehind(sorted[i - 1]!, sorted[i]!); i--)
        [sorted[i - 1], sorted[i]] = [sorted[i]!, sorted[i - 1]!];
    });
    return sorted;
  }

  /** True for two constants of which the first has the later path. */
  private standsBehind(first: number, second: number): boolean {
    const [a, b] = [this.constantPath(first), this.constantPath(second)];
    return a !== null && b !== null && a > b;
  }

  /** The path of a constant; null for every other tag, and for one that appends to a list. */
  private constantPath(id: number): string | null {
    const tag = this.tags[id];
    return tag?.op === 'const' && !tag.path.endsWith('[]') ? tag.path : null;
  }
}

/** Words, tags and small machines that the networks of one compilation share. */
class Names {
  readonly words: string[] = ['<word>'];
  readonly wordId = new Map<string, number>();
  readonly table = new TagTable();
  /** Minimal machines of the rules that only say numbers: they stand in many places. */
  readonly machines = new Map<string, Machine>();

  word(word: string): number {
    let id = this.wordId.get(word);
    if (id === undefined) {
      id = this.words.length;
      this.words.push(word);
      this.wordId.set(word, id);
    }
    return id;
  }
}

/** The network with epsilon moves. Node 0 is the start, node 1 the end. */
export class Network {
  /** Flat triples (to, tag or -1) and (to, word, tags on the word). */
  readonly epsilon: number[][] = [[], []];
  readonly arcs: number[][] = [[], []];
  private readonly carrying = new Map<string, boolean>();
  private readonly numeric = new Map<string, boolean>();

  constructor(
    private readonly trees: Syntax,
    readonly names: Names = new Names(),
  ) {}

  /** The network of everything that can be said. */
  static of(trees: Syntax): Network {
    const network = new Network(trees);
    for (const rule of trees.roots) network.build(patternOf(trees, rule.id), 0, 1, '', []);
    return network;
  }

  private node(): number {
    this.epsilon.push([]);
    this.arcs.push([]);
    return this.epsilon.length - 1;
  }

  /** Lays a tree between two nodes; `carry` are tags to be done somewhere on the way, none of them waits for a number. */
  build(node: Node, from: number, to: number, under: string, carry: readonly number[]): void {
    switch (node.is) {
      case 'word':
        this.arcs[from]!.push(to, this.names.word(node.word), this.names.table.sequence(carry));
        return;
      case 'choice':
        for (const option of node.options) this.build(option, from, to, under, carry);
        return;
      case 'sequence':
        this.sequence(node.items, from, to, under, carry);
        return;
      case 'rule':
        if (node.repeat) break;
        if (carry.length === 0 && this.isNumeric(node.id)) {
          this.splice(this.machineOf(node.id), from, to);
          return;
        }
        this.build(patternOf(this.trees, node.id), from, to, joinPath(under, node.under), carry);
        return;
    }
    let end = to;
    for (let i = carry.length - 1; i >= 0; i--) {
      const before = this.node();
      this.epsilon[before]!.push(end, carry[i]!);
      end = before;
    }
    this.plain(node, from, end, under);
  }

  private plain(node: Node, from: number, to: number, under: string): void {
    switch (node.is) {
      case 'tag':
        this.epsilon[from]!.push(to, this.names.table.placed(node.tag, under));
        return;
      case 'free': {
        const loop = this.node();
        this.arcs[from]!.push(loop, 0, 0);
        this.arcs[loop]!.push(loop, 0, 0);
        this.epsilon[loop]!.push(to, -1);
        return;
      }
      case 'optional':
        this.epsilon[from]!.push(to, -1);
        this.build(node.item, from, to, under, []);
        return;
      case 'rule': {
        const before = this.node();
        const after = this.node();
        this.epsilon[from]!.push(before, -1);
        this.build(patternOf(this.trees, node.id), before, after, joinPath(under, node.under), []);
        this.epsilon[after]!.push(before, -1, to, -1);
        return;
      }
      case 'anyOrder':
        this.anyOrder(node.items, from, to, under);
        return;
    }
  }

  /** The minimal machine of a rule that says a number. */
  private machineOf(id: string): Machine {
    let machine = this.names.machines.get(id);
    if (machine === undefined) {
      const network = new Network(this.trees, this.names);
      network.build(patternOf(this.trees, id), 0, 1, '', []);
      machine = minimise(determinise(network));
      this.names.machines.set(id, machine);
    }
    return machine;
  }

  /** Lays a copy of a machine between two nodes. */
  private splice(machine: Machine, from: number, to: number): void {
    const places = machine.arcs.map((arcs, state) => {
      const ends = machine.finals[state]!;
      return arcs.length === 0 && ends.length === 1 && ends[0] === 0 ? to : this.node();
    });
    this.epsilon[from]!.push(places[0]!, -1);
    machine.arcs.forEach((arcs, state) => {
      const place = this.arcs[places[state]!]!;
      for (let i = 0; i < arcs.length; i += 2) {
        const [tags, word] = [Math.floor(arcs[i]! / mostWords), arcs[i]! % mostWords];
        const onWord = this.names.table.sequences[tags]!.filter((tag) => tag !== wordMark);
        place.push(places[arcs[i + 1]!]!, word, this.names.table.sequence(onWord));
      }
      for (const end of places[state] === to ? [] : machine.finals[state]!) {
        let next = to;
        for (const tag of [...this.names.table.sequences[end]!].reverse()) {
          const before = this.node();
          this.epsilon[before]!.push(next, tag);
          next = before;
        }
        this.epsilon[places[state]!]!.push(next, -1);
      }
    });
  }

  private isNumeric(id: string): boolean {
    let known = this.numeric.get(id);
    if (known === undefined) {
      const tree = patternOf(this.trees, id);
      known = this.saysNumber(tree) && !setsField(this.trees, tree);
      this.numeric.set(id, known);
    }
    return known;
  }

  /**
   * Tags ride on the word before them. A constant that stands behind something else moves back to the last word
   * that is always said, or into the alternatives before it: what follows is then the same for many rules.
   */
  private sequence(
    items: readonly Node[],
    from: number,
    to: number,
    under: string,
    carry: readonly number[],
  ): void {
    const steps: { readonly node: Node; readonly carry: number[]; readonly after: number[] }[] = [];
    const place = (tag: number): void => {
      const last = steps[steps.length - 1];
      const positive = this.positive(tag, steps);
      if (positive !== undefined) {
        place(positive);
        return;
      }
      if (last === undefined) {
        steps.push({ node: { is: 'sequence', items: [] }, carry: [], after: [tag] });
        return;
      }
      if (last.after.length === 0 && this.carries(last.node)) {
        last.carry.push(tag);
        return;
      }
      const { op, path } = this.names.table.tags[tag] as { op: string; path: string };
      if (op === 'const' && !path.endsWith('[]')) {
        const host =
          steps.findLast((step) => this.carries(step.node)) ??
          (steps.length === 1 && last.node.is === 'choice' ? last : undefined);
        if (host !== undefined) {
          host.carry.push(tag);
          return;
        }
      }
      last.after.push(tag);
    };
    for (const item of items) {
      if (item.is === 'tag') place(this.names.table.placed(item.tag, under));
      else steps.push({ node: item, carry: [], after: [] });
    }
    for (const tag of carry) place(tag);
    if (steps.length === 0) this.epsilon[from]!.push(to, -1);
    let here = from;
    steps.forEach((step, index) => {
      const end = index === steps.length - 1 ? to : this.node();
      if (step.after.length === 0) {
        this.build(step.node, here, end, under, step.carry);
      } else {
        let next = end;
        for (let i = step.after.length - 1; i >= 0; i--) {
          const before = this.node();
          this.epsilon[before]!.push(next, step.after[i]!);
          next = before;
        }
        if (step.node.is === 'sequence' && step.node.items.length === 0) this.epsilon[here]!.push(next, -1);
        else this.build(step.node, here, next, under, step.carry);
      }
      here = end;
    });
  }

  /**
   * "minus" and a number that is taken negated: the sign rides on the word before the number, so that what follows
   * is the same for both signs. Returns the tag that then takes the number, if so.
   */
  private positive(
    tag: number,
    steps: readonly { readonly node: Node; readonly carry: number[] }[],
  ): number | undefined {
    const taking = this.names.table.tags[tag]!;
    if (taking.op !== 'number' || taking.sign > 0) return undefined;
    const number = steps.findLastIndex((step) => this.saysNumber(step.node));
    const before = steps[number - 1];
    if (before === undefined || !this.carries(before.node)) return undefined;
    before.carry.push(this.names.table.tag({ op: 'digit', action: 'negate', value: 0 }));
    return this.names.table.tag({ ...taking, sign: 1 });
  }

  private saysNumber(node: Node): boolean {
    if (node.is === 'tag') return node.tag.op === 'digit';
    if (node.is === 'rule') return this.saysNumber(patternOf(this.trees, node.id));
    return children(node).some((child) => this.saysNumber(child));
  }

  /** True when every way through the tree ends in a word, other than a number word: then tags may ride on it. */
  private carries(node: Node): boolean {
    switch (node.is) {
      case 'word':
        return true;
      case 'choice':
        return node.options.every((option) => this.carries(option));
      case 'sequence': {
        let last = node.items.length - 1;
        for (; node.items[last]?.is === 'tag'; last--) {
          const { tag } = node.items[last] as Node & { is: 'tag' };
          if (tag.op === 'digit') return false;
        }
        return last >= 0 && this.carries(node.items[last]!);
      }
      case 'rule': {
        if (node.repeat) return false;
        let known = this.carrying.get(node.id);
        if (known === undefined) {
          known = this.carries(patternOf(this.trees, node.id));
          this.carrying.set(node.id, known);
        }
        return known;
      }
      default:
        return false;
    }
  }

  /** One node per set of items already said. */
  private anyOrder(items: readonly Node[], from: number, to: number, under: string): void {
    const full = (1 << items.length) - 1;
    const nodes = Array.from({ length: full + 1 }, (_, set) =>
      set === 0 ? from : set === full ? to : this.node(),
    );
    for (let set = 0; set < full; set++) {
      for (let index = 0; index < items.length; index++) {
        if ((set & (1 << index)) !== 0) continue;
        this.build(items[index]!, nodes[set]!, nodes[set | (1 << index)]!, under, []);
      }
    }
  }
}

function setsField(trees: Syntax, node: Node): boolean {
  if (node.is === 'tag') return node.tag.op !== 'digit' && node.tag.op !== 'unit';
  if (node.is === 'free') return true;
  if (node.is === 'rule') return setsField(trees, patternOf(trees, node.id));
  return children(node).some((child) => setsField(trees, child));
}
