/**
 * The description as trees of patterns: what the compiler, the speaker, the sampler and the exports walk.
 */
import { required } from '../../shared/core/required.ts';
import { type Description, DescriptionError, type Rule } from './model.ts';
import { numberRules } from './numbers.ts';
import { type Node, parsePattern, parseTag } from './patterns.ts';

/** The description as trees, checked for undefined and circular rules. */
export interface Syntax {
  readonly description: Description;
  /** Rules that can be said on their own. */
  readonly roots: readonly Rule[];
  /** Patterns as one choice, `sets` at the end, of each rule and number part. */
  readonly tree: ReadonlyMap<string, Node>;
}

/** The tree of a rule or number part; throws MissingError for one that is not defined. */
export const patternOf = ({ tree }: Pick<Syntax, 'tree'>, id: string): Node =>
  required(tree.get(id), `the rule "${id}"`);

/**
 * Parses all patterns. Throws DescriptionError for a pattern that cannot be parsed, a rule that is defined twice,
 * undefined or part of itself.
 */
export function parseDescription(description: Description): Syntax {
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
    for (const inner of rulesIn(patternOf({ tree }, id))) {
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

/** Words that are part of a number where numbers are said. */
export function digitWords(trees: Syntax): ReadonlySet<string> {
  const found = new Set<string>();
  const visit = (node: Node): void => {
    if (node.is === 'sequence')
      node.items.forEach((item, at) => {
        const next = node.items[at + 1];
        if (item.is === 'word' && next?.is === 'tag' && next.tag.op === 'digit') found.add(item.word);
      });
    for (const child of children(node)) visit(child);
  };
  for (const node of trees.tree.values()) visit(node);
  return found;
}
