/**
 * Compiles the description to the word automaton: patterns to a network with epsilon moves, epsilon removal,
 * determinisation over (word, tags) pairs, minimisation. Number and unit tags ride on the word that they interpret;
 * all others are done with the next word or at the end.
 */

import { type Machine, minimise } from './minimise.ts';
import { type Automaton, type Description, DescriptionError, type Rule, type Tag } from './model.ts';
import { numberRules } from './numbers.ts';
import { joinPath, type Node, parsePattern, parseTag, placeTag } from './pattern.ts';

/** The description as trees, checked for undefined and circular rules. */
export interface Trees {
  readonly description: Description;
  /** Rules that can be said on their own. */
  readonly roots: readonly Rule[];
  /** Patterns as one choice, `sets` at the end, of each rule and number part. */
  readonly tree: ReadonlyMap<string, Node>;
}

/**
 * Parses all patterns. Throws DescriptionError for a pattern that cannot be parsed, a rule that is defined twice,
 * undefined or part of itself.
 */
export function parseDescription(description: Description): Trees {
  const tree = new Map<string, Node>();
  for (const rule of [...numberRules, ...description.rules]) {
    if (tree.has(rule.id)) throw new DescriptionError(rule.id, 'is defined twice');
    if (!/^[a-zA-Z][\w.-]*$/.test(rule.id)) throw new DescriptionError(rule.id, 'is no rule name');
    if (rule.patterns.length === 0) throw new DescriptionError(rule.id, 'has no pattern');
    tree.set(rule.id, ruleTree(rule));
  }
  const done = new Set<string>();
  const visit = (id: string, trail: readonly string[]): void => {
    if (trail.includes(id)) {
      throw new DescriptionError(
        id,
        `is part of itself (${[...trail.slice(trail.indexOf(id)), id].join(' > ')})`,
      );
    }
    if (done.has(id)) return;
    for (const inner of rulesIn(tree.get(id)!)) {
      if (!tree.has(inner)) throw new DescriptionError(id, `names "<${inner}>", which is not defined`);
      visit(inner, [...trail, id]);
    }
    done.add(id);
  };
  for (const id of tree.keys()) visit(id, []);
  return { description, roots: description.rules.filter((rule) => rule.family !== undefined), tree };
}

function ruleTree(rule: Rule): Node {
  const options = rule.patterns.map((pattern) => parsePattern(rule.id, pattern));
  const choice: Node = options.length === 1 ? options[0]! : { is: 'choice', options };
  if (rule.sets === undefined) return choice;
  const tags = rule.sets.map((set): Node => {
    const fail = (problem: string): never => {
      throw new DescriptionError(rule.id, `${problem} in sets`);
    };
    return { is: 'tag', tag: parseTag(set, fail) };
  });
  return { is: 'sequence', items: [choice, ...tags] };
}

/** Ids of the rules that a tree names, with repetitions. */
export function* rulesIn(node: Node): Generator<string> {
  if (node.is === 'rule') yield node.id;
  else for (const child of children(node)) yield* rulesIn(child);
}

export function children(node: Node): readonly Node[] {
  switch (node.is) {
    case 'sequence':
    case 'anyOrder':
      return node.items;
    case 'choice':
      return node.options;
    case 'optional':
      return [node.item];
    default:
      return [];
  }
}

/** Interns tags and tag sequences. */
class TagTable {
  readonly tags: Tag[] = [];
  readonly sequences: number[][] = [[]];
  private readonly tagIds = new Map<string, number>();
  private readonly sequenceIds = new Map<string, number>([['', 0]]);

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
      id = this.sequences.length;
      this.sequences.push([...ids]);
      this.sequenceIds.set(key, id);
    }
    return id;
  }
}

/** The network with epsilon moves. Node 0 is the start, node 1 the end. */
class Network {
  /** Flat triples (to, tag or -1) and (to, word, tags on the word). */
  readonly epsilon: number[][] = [[], []];
  readonly arcs: number[][] = [[], []];
  readonly words: string[] = ['<word>'];
  readonly wordId = new Map<string, number>();
  readonly table = new TagTable();
  private readonly carrying = new Map<string, boolean>();

  constructor(private readonly trees: Trees) {
    for (const rule of trees.roots) this.build(trees.tree.get(rule.id)!, 0, 1, '', []);
  }

  private node(): number {
    this.epsilon.push([]);
    this.arcs.push([]);
    return this.epsilon.length - 1;
  }

  private word(word: string): number {
    let id = this.wordId.get(word);
    if (id === undefined) {
      id = this.words.length;
      this.words.push(word);
      this.wordId.set(word, id);
    }
    return id;
  }

  /** Lays a tree between two nodes; `carry` are tags to be done somewhere on the way, none of them waits for a number. */
  build(node: Node, from: number, to: number, under: string, carry: readonly number[]): void {
    switch (node.is) {
      case 'word':
        this.arcs[from]!.push(to, this.word(node.word), this.table.sequence(carry));
        return;
      case 'choice':
        for (const option of node.options) this.build(option, from, to, under, carry);
        return;
      case 'sequence':
        this.sequence(node.items, from, to, under, carry);
        return;
      case 'rule':
        if (node.repeat) break;
        this.build(this.trees.tree.get(node.id)!, from, to, joinPath(under, node.under), carry);
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
        this.epsilon[from]!.push(to, this.table.tag(placeTag(node.tag, under)));
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
        this.build(this.trees.tree.get(node.id)!, before, after, joinPath(under, node.under), []);
        this.epsilon[after]!.push(before, -1, to, -1);
        return;
      }
      case 'anyOrder':
        this.anyOrder(node.items, from, to, under);
        return;
    }
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
      const { op, path } = this.table.tags[tag] as { op: string; path: string };
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
      if (item.is === 'tag') place(this.table.tag(placeTag(item.tag, under)));
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
    const taking = this.table.tags[tag]!;
    if (taking.op !== 'number' || taking.sign > 0) return undefined;
    const number = steps.findLastIndex((step) => this.saysNumber(step.node));
    const before = steps[number - 1];
    if (before === undefined || !this.carries(before.node)) return undefined;
    before.carry.push(this.table.tag({ op: 'digit', action: 'negate', value: 0 }));
    return this.table.tag({ ...taking, sign: 1 });
  }

  private saysNumber(node: Node): boolean {
    if (node.is === 'tag') return node.tag.op === 'digit';
    if (node.is === 'rule') return this.saysNumber(this.trees.tree.get(node.id)!);
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
          known = this.carries(this.trees.tree.get(node.id)!);
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

/** Stands in a sequence of tags between those before the word and those on it. */
const wordMark = -1;

/** Arcs of a network node after epsilon removal: per (tags, word) the nodes that it leads to. */
interface Closure {
  /** Flat triples: symbol, to. */
  readonly arcs: readonly number[];
  readonly finals: readonly number[];
}

/** Compiles to the minimal automaton. Throws DescriptionError as `parseDescription` does. */
export function compile(description: Description): Automaton {
  return compileTrees(parseDescription(description));
}

/** The same for a description that is parsed already. */
export function compileTrees(trees: Trees): Automaton {
  return assemble(trees.description.version, minimise(determinise(new Network(trees))));
}

/** Compiles without minimising: tests compare the languages of both. */
export function compileUnminimised(description: Description): Automaton {
  return assemble(description.version, determinise(new Network(parseDescription(description))));
}

function determinise(network: Network): Machine {
  const { table } = network;
  const wordCount = network.words.length;
  const closures = new Map<number, Closure>();
  const closureOf = (node: number): Closure => {
    let closure = closures.get(node);
    if (closure === undefined) {
      closure = removeEpsilon(network, node, wordCount);
      closures.set(node, closure);
    }
    return closure;
  };
  const ids = new Map<string, number>([['0', 0]]);
  const members: number[][] = [[0]];
  const arcs: number[][] = [];
  const finals: number[][] = [];
  for (let state = 0; state < members.length; state++) {
    const bySymbol = new Map<number, number[]>();
    const ends = new Set<number>();
    for (const node of members[state]!) {
      const closure = closureOf(node);
      for (const end of closure.finals) ends.add(end);
      for (let i = 0; i < closure.arcs.length; i += 2) {
        const symbol = closure.arcs[i]!;
        const targets = bySymbol.get(symbol);
        if (targets === undefined) bySymbol.set(symbol, [closure.arcs[i + 1]!]);
        else if (!targets.includes(closure.arcs[i + 1]!)) targets.push(closure.arcs[i + 1]!);
      }
    }
    const out: number[] = [];
    for (const [symbol, targets] of bySymbol) {
      if (targets.length > 1) targets.sort((a, b) => a - b);
      const key = targets.length === 1 ? String(targets[0]) : targets.join(',');
      let to = ids.get(key);
      if (to === undefined) {
        to = members.length;
        ids.set(key, to);
        members.push(targets);
      }
      out.push(symbol, to);
    }
    arcs.push(out);
    finals.push([...ends].sort((a, b) => a - b));
  }
  return {
    words: network.words,
    wordId: network.wordId,
    tagSequences: table.sequences.map((ids) =>
      ids.filter((id) => id !== wordMark).map((id) => table.tags[id]!),
    ),
    tagsBefore: table.sequences.map((ids) => (ids.includes(wordMark) ? ids.indexOf(wordMark) : ids.length)),
    arcs,
    finals,
  };
}

function removeEpsilon(network: Network, start: number, wordCount: number): Closure {
  const { table } = network;
  const seen = new Set<number>();
  const arcKeys = new Set<number>();
  const arcs: number[] = [];
  const finals = new Set<number>();
  const nodes = network.epsilon.length;
  const stack: number[] = [start, 0];
  while (stack.length > 0) {
    const tags = stack.pop()!;
    const node = stack.pop()!;
    const key = tags * nodes + node;
    if (seen.has(key)) continue;
    seen.add(key);
    if (node === 1) finals.add(tags);
    const out = network.arcs[node]!;
    for (let i = 0; i < out.length; i += 3) {
      const onWord = out[i + 2]!;
      const all =
        onWord === 0
          ? tags
          : table.sequence([...table.sequences[tags]!, wordMark, ...table.sequences[onWord]!]);
      const symbol = all * wordCount + out[i + 1]!;
      const arcKey = symbol * nodes + out[i]!;
      if (arcKeys.has(arcKey)) continue;
      arcKeys.add(arcKey);
      arcs.push(symbol, out[i]!);
    }
    const moves = network.epsilon[node]!;
    for (let i = 0; i < moves.length; i += 2) {
      const tag = moves[i + 1]!;
      stack.push(moves[i]!, tag < 0 ? tags : table.sequence([...table.sequences[tags]!, tag]));
    }
  }
  return { arcs, finals: [...finals] };
}

/** Lays the machine out in typed arrays, states in breadth-first order, unused tag sequences dropped. */
function assemble(version: string, machine: Machine): Automaton {
  const wordCount = machine.words.length;
  const order: number[] = [0];
  const place = new Map<number, number>([[0, 0]]);
  for (const state of order) {
    const arcs = machine.arcs[state]!;
    for (let i = 1; i < arcs.length; i += 2) {
      if (place.has(arcs[i]!)) continue;
      place.set(arcs[i]!, order.length);
      order.push(arcs[i]!);
    }
  }
  const sequences: (readonly Tag[])[] = [[]];
  const tagsBefore: number[] = [0];
  const sequencePlace = new Map<number, number>([[0, 0]]);
  const sequence = (id: number): number => {
    let index = sequencePlace.get(id);
    if (index === undefined) {
      index = sequences.length;
      sequencePlace.set(id, index);
      sequences.push(machine.tagSequences[id]!);
      tagsBefore.push(machine.tagsBefore[id]!);
    }
    return index;
  };
  const total = order.reduce((sum, state) => sum + machine.arcs[state]!.length / 2, 0);
  const arcFrom = new Uint32Array(order.length + 1);
  const arcWord = new Uint32Array(total);
  const arcTo = new Uint32Array(total);
  const arcTags = new Uint32Array(total);
  const finalFrom = new Uint32Array(order.length + 1);
  const finalTags: number[] = [];
  let at = 0;
  order.forEach((state, index) => {
    arcFrom[index] = at;
    finalFrom[index] = finalTags.length;
    const arcs = machine.arcs[state]!;
    const rows: [number, number, number][] = [];
    for (let i = 0; i < arcs.length; i += 2) {
      const symbol = arcs[i]!;
      rows.push([symbol % wordCount, Math.floor(symbol / wordCount), place.get(arcs[i + 1]!)!]);
    }
    rows.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
    for (const [word, tags, to] of rows) {
      arcWord[at] = word;
      arcTags[at] = sequence(tags);
      arcTo[at] = to;
      at++;
    }
    for (const tags of machine.finals[state]!) finalTags.push(sequence(tags));
  });
  arcFrom[order.length] = at;
  finalFrom[order.length] = finalTags.length;
  return {
    version,
    words: machine.words,
    wordId: machine.wordId,
    start: 0,
    states: order.length,
    arcFrom,
    arcWord,
    arcTo,
    arcTags,
    finalFrom,
    finalTags: Uint32Array.from(finalTags),
    tagSequences: sequences,
    tagsBefore: Uint32Array.from(tagsBefore),
  };
}
