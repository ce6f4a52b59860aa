/**
 * The trees of the description as the speaker walks them: rules put in place, numbers as parts, and what a note must
 * have for an alternative to be worth trying.
 */

import { joinPath, type Node, placeTag } from '../description/patterns.ts';
import { children, patternOf, type Syntax } from '../description/syntax.ts';
import type { Tag } from '../description/tags.ts';
import type { NumberParts } from './number-parts.ts';

/** A rule's tree flattened for speaking: names and paths resolved, parts atomic. */
export type Step =
  | { readonly is: 'word'; readonly word: string }
  | { readonly is: 'sequence'; readonly items: readonly Step[] }
  | {
      readonly is: 'choice';
      readonly options: readonly Step[];
      /** Per option what the note must have for it. */
      readonly needs: readonly (readonly Need[])[];
      /** Options by the constant that they set, when all set the same field and nothing else. */
      readonly byConstant:
        | { readonly path: string; readonly options: ReadonlyMap<unknown, Step> }
        | undefined;
    }
  | { readonly is: 'optional'; readonly item: Step; readonly needs: readonly Need[] }
  | { readonly is: 'repeat'; readonly item: Step }
  | { readonly is: 'part'; readonly part: string }
  | { readonly is: 'free'; readonly text: boolean }
  | { readonly is: 'tag'; readonly tag: Tag };

/** A field that the note must have, with its value where only one will do. */
export interface Need {
  readonly path: string;
  readonly value?: string | number | boolean;
}

const needsKnown = new WeakMap<Step, readonly Need[]>();

/** What every way through a step says of the note. */
export function needsOf(step: Step): readonly Need[] {
  let needs = needsKnown.get(step);
  if (needs === undefined) {
    needs = findNeeds(step);
    needsKnown.set(step, needs);
  }
  return needs;
}

function findNeeds(step: Step): readonly Need[] {
  switch (step.is) {
    case 'sequence':
      return step.items.flatMap(needsOf);
    case 'choice': {
      const [first = [], ...others] = step.options.map(needsOf);
      return first.filter((need) =>
        others.every((needs) => needs.some(({ path, value }) => path === need.path && value === need.value)),
      );
    }
    case 'repeat':
      return needsOf(step.item);
    case 'tag':
      return tagNeeds(step.tag);
    default:
      return [];
  }
}

function tagNeeds(tag: Tag): readonly Need[] {
  switch (tag.op) {
    case 'const':
      return tag.path.endsWith('[]') ? [{ path: tag.path }] : [{ path: tag.path, value: tag.value }];
    case 'number':
      if (tag.append) return [{ path: `${tag.path}[]` }];
      return [{ path: tag.quantity ? joinPath(tag.path, 'value') : tag.path }];
    case 'words':
    case 'pair':
      return [{ path: tag.path }];
    default:
      return [];
  }
}

interface Resolving {
  readonly trees: Syntax;
  readonly parts: NumberParts;
  readonly known: Map<string, Step>;
}

/** The steps of a tree. */
export function resolveSteps(work: Resolving, node: Node, under: string): Step {
  switch (node.is) {
    case 'word':
    case 'free':
      return node;
    case 'tag':
      return { is: 'tag', tag: placeTag(node.tag, under) };
    case 'optional': {
      const item = resolveSteps(work, node.item, under);
      return { is: 'optional', item, needs: needsOf(item) };
    }
    case 'choice': {
      const part = work.parts.partOf(node);
      if (part !== undefined) return { is: 'part', part };
      const options = node.options.map((option) => resolveSteps(work, option, under));
      return { is: 'choice', options, needs: options.map(needsOf), byConstant: constantsOf(options) };
    }
    case 'sequence':
    case 'anyOrder': {
      const part = work.parts.partOf(node);
      if (part !== undefined) return { is: 'part', part };
      return {
        is: 'sequence',
        items: numbersTogether(work.parts, children(node)).map((item) => resolveSteps(work, item, under)),
      };
    }
    case 'rule': {
      const place = joinPath(under, node.under);
      const key = `${place}/${node.id}`;
      let step: Step | undefined = work.known.get(key);
      if (step === undefined) {
        const part = work.parts.partOf({ ...node, repeat: false });
        step =
          part === undefined
            ? resolveSteps(work, patternOf(work.trees, node.id), place)
            : { is: 'part', part };
        work.known.set(key, step);
      }
      return node.repeat ? { is: 'repeat', item: step } : step;
    }
  }
}

/** What says one number between two fields ("half a log", a number and its unit) becomes one part. */
function numbersTogether(parts: NumberParts, items: readonly Node[]): readonly Node[] {
  const joined: Node[] = [];
  for (let from = 0; from < items.length; ) {
    let to = from;
    while (to < items.length && !parts.hasFields(items[to]!)) to++;
    const segment = items.slice(from, to);
    let first = segment.findIndex((item) => parts.isNumeric(item));
    const last = segment.findLastIndex((item) => parts.isNumeric(item));
    if (segment[first]?.is === 'tag' && first > 0) first--;
    const numeric: Node = { is: 'sequence', items: segment.slice(first, last + 1) };
    if (first < 0 || parts.partOf(numeric) === undefined || last === first) joined.push(...segment);
    else joined.push(...segment.slice(0, first), numeric, ...segment.slice(last + 1));
    if (to < items.length) joined.push(items[to]!);
    from = to + 1;
  }
  return joined;
}

/** Long lists of names (species) are looked up, not tried one by one. */
function constantsOf(options: readonly Step[]): { path: string; options: Map<unknown, Step> } | undefined {
  if (options.length < 6) return undefined;
  const byValue = new Map<unknown, Step>();
  let path: string | undefined;
  for (const option of options) {
    const tags: Tag[] = [];
    if (!onlyConstants(option, tags) || tags.length !== 1) return undefined;
    const tag = tags[0]!;
    if (tag.op !== 'const' || tag.path.endsWith('[]') || (path !== undefined && path !== tag.path))
      return undefined;
    path = tag.path;
    if (!byValue.has(tag.value)) byValue.set(tag.value, option);
  }
  return path === undefined ? undefined : { path, options: byValue };
}

function onlyConstants(step: Step, tags: Tag[]): boolean {
  if (step.is === 'word') return true;
  if (step.is === 'tag') {
    tags.push(step.tag);
    return step.tag.op === 'const';
  }
  if (step.is === 'choice' && step.options.every((option) => onlyConstants(option, []))) {
    const inner: Tag[] = [];
    for (const option of step.options) onlyConstants(option, inner);
    return inner.length === 0;
  }
  if (step.is === 'optional') {
    const inner: Tag[] = [];
    return onlyConstants(step.item, inner) && inner.length === 0;
  }
  return step.is === 'sequence' && step.items.every((item) => onlyConstants(item, tags));
}
