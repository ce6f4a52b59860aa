/**
 * Looks for mistakes in a description that the compiler would pass over: rules that nothing reaches, rules that say
 * nothing, fields that the note does not have, values that a field cannot hold, numbers taken where none was said.
 */
import { branches, fieldsAt, noteBranches, type Schema } from './fields.ts';
import { DescriptionError } from './model.ts';
import { numberRules } from './numbers.ts';
import { joinPath, type Node, placeTag } from './patterns.ts';
import { children, patternOf, rulesIn, type Syntax } from './syntax.ts';
import type { Tag } from './tags.ts';

/** All mistakes found, in the order of the description; none for a sound one. */
export function checkDescription(trees: Syntax): DescriptionError[] {
  const found = new Map<string, DescriptionError>();
  const report = (rule: string, problem: string): void => {
    const error = new DescriptionError(rule, problem);
    if (!found.has(error.message)) found.set(error.message, error);
  };
  const reached = new Set<string>(numberRules.map((rule) => rule.id));
  const reach = (id: string): void => {
    if (reached.has(id)) return;
    reached.add(id);
    for (const inner of rulesIn(patternOf(trees, id))) reach(inner);
  };
  for (const rule of trees.roots) reach(rule.id);
  for (const rule of trees.description.rules) {
    if (!reached.has(rule.id)) report(rule.id, 'is never used: no rule with a family names it');
  }
  for (const root of trees.roots) {
    const tree = patternOf(trees, root.id);
    if (canBeSilent(trees, tree)) report(root.id, 'can be said without a word');
    const walk = new TagWalk(trees, report);
    walk.visit(tree, root.id, '');
    if (walk.kinds.size === 0) report(root.id, 'does not set "kind"');
    for (const { rule, tag } of walk.tags) checkTag(rule, tag, walk.kinds, report);
  }
  return [...found.values()];
}

type Report = (rule: string, problem: string) => void;

/** Walks what can be said in order and keeps the tags, and whether a number or free words may stand before. */
class TagWalk {
  readonly kinds = new Set<unknown>();
  readonly tags: { readonly rule: string; readonly tag: Tag }[] = [];
  private number = false;
  private free = false;

  constructor(
    private readonly trees: Syntax,
    private readonly report: Report,
  ) {}

  visit(node: Node, rule: string, under: string): void {
    if (node.is === 'tag') this.tag(placeTag(node.tag, under), rule);
    else if (node.is === 'free') this.free = true;
    else if (node.is === 'rule') {
      if (node.repeat && canBeSilent(this.trees, { ...node, repeat: false })) {
        this.report(rule, `repeats "<${node.id}+>", which can be said without a word`);
      }
      this.visit(patternOf(this.trees, node.id), node.id, joinPath(under, node.under));
    } else for (const child of children(node)) this.visit(child, rule, under);
  }

  private tag(tag: Tag, rule: string): void {
    if (tag.op === 'digit') this.number = true;
    if (tag.op === 'digit' || tag.op === 'unit') return;
    if (tag.op === 'const' && tag.path === 'kind') this.kinds.add(tag.value);
    if ((tag.op === 'number' || tag.op === 'pair') && !this.number) {
      this.report(rule, `takes a number for "${tag.path}" where none was said`);
    }
    if (tag.op === 'words' && !this.free)
      this.report(rule, `takes words for "${tag.path}" where none are free`);
    this.tags.push({ rule, tag });
  }
}

/** Whether a node may be said with no word at all. */
export function canBeSilent(trees: Syntax, node: Node): boolean {
  switch (node.is) {
    case 'word':
    case 'free':
      return false;
    case 'tag':
    case 'optional':
      return true;
    case 'rule':
      return canBeSilent(trees, patternOf(trees, node.id));
    case 'choice':
      return node.options.some((option) => canBeSilent(trees, option));
    case 'sequence':
    case 'anyOrder':
      return node.items.every((item) => canBeSilent(trees, item));
  }
}

function checkTag(rule: string, tag: Tag, kinds: ReadonlySet<unknown>, report: Report): void {
  if (tag.op === 'digit' || tag.op === 'unit') return;
  const kind = kinds.size === 1 ? [...kinds][0] : undefined;
  const roots = noteBranches(kind);
  if (kind !== undefined && roots.length === 0) {
    report(rule, `sets the kind "${kind}", which no note has`);
    return;
  }
  const append = tag.path.endsWith('[]') || (tag.op === 'number' && tag.append);
  const path = tag.path.replace(/\[\]$/, '');
  const found = fieldsAt(roots, path);
  if (found.length === 0) {
    report(rule, `sets "${path}", which the note${kind === undefined ? '' : ` "${kind}"`} does not have`);
    return;
  }
  const lists = found.filter(({ _zod: { def } }) => def.type === 'array');
  if (append && lists.length === 0) {
    report(rule, `appends to "${path}", which is no list`);
    return;
  }
  const fields = append
    ? lists.flatMap(({ _zod: { def } }) => (def.element === undefined ? [] : branches(def.element)))
    : found;
  if (!fields.some((field) => holds(field, tag))) report(rule, `sets "${path}" to what it cannot hold`);
}

function holds(schema: Schema, tag: Tag): boolean {
  const { def } = schema._zod;
  switch (tag.op) {
    case 'words':
      return def.type === 'string';
    case 'pair':
      return def.type === 'tuple';
    case 'number':
      if (!tag.quantity) return def.type === 'number';
      return (
        def.shape?.value !== undefined &&
        branches(def.shape.value).some((value) => value._zod.def.type === 'number')
      );
    case 'const':
      if (def.type === 'enum') return Object.values(def.entries ?? {}).includes(tag.value);
      if (def.type === 'literal') return (def.values ?? []).includes(tag.value);
      return def.type === typeof tag.value;
    default:
      return true;
  }
}
