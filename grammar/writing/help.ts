/**
 * What can be said, for people: the help page's data and the list of examples, both written from the
 * description.
 */

import type { Rule } from '../description/model.ts';
import type { Node } from '../description/patterns.ts';
import { children, patternOf, type Syntax } from '../description/syntax.ts';

export interface HelpEntry {
  readonly rule: string;
  /** What saying it does. */
  readonly help: string;
  /** The patterns in plain writing: `eight paces` stands for a choice as `paces/pace`, optional words in brackets. */
  readonly forms: readonly string[];
  readonly examples: readonly string[];
}

export interface HelpFamily {
  readonly family: string;
  readonly entries: readonly HelpEntry[];
}

interface Help {
  readonly families: readonly HelpFamily[];
  /** Parts that the forms name, with their own forms. */
  readonly parts: readonly { readonly name: string; readonly forms: readonly string[] }[];
}

/** Everything that can be said, by family, in the order of the description. */
export function helpOf(trees: Syntax): Help {
  const families = new Map<string, HelpEntry[]>();
  for (const rule of trees.roots) {
    const entries = families.get(rule.family ?? '') ?? [];
    families.set(rule.family ?? '', entries);
    entries.push({
      rule: rule.id,
      help: rule.help ?? '',
      forms: formsOf(trees, rule),
      examples: (rule.examples ?? []).map((example) => example.words),
    });
  }
  const parts = trees.description.rules
    .filter((rule) => rule.family === undefined)
    .map((rule) => ({ name: plainName(rule.id), forms: formsOf(trees, rule) }));
  return { families: [...families].map(([family, entries]) => ({ family, entries })), parts };
}

/** Things told of one topic. */
const mostTold = 3;

/**
 * What can be said about a topic: a family of the help page, or the rules whose name or help sentence has the word.
 * Example: `helpAbout(trees, 'shadow')` begins with what a shadow needs and gives a sentence to say.
 */
export function helpAbout(trees: Syntax, topic: string): string {
  const stem = topic.toLowerCase().replace(/s$/, '');
  const entries = helpOf(trees).families.flatMap(({ family, entries }) =>
    entries.map((entry) => ({ family: family.toLowerCase(), ...entry })),
  );
  const told = (found: typeof entries): string =>
    found
      .filter(({ examples }) => examples.length > 0)
      .slice(0, mostTold)
      .map(({ help, examples }) => `${help} Say: ${examples[0]}.`)
      .join(' ');
  const own = entries.filter(({ rule }) =>
    rule
      .slice(rule.indexOf('.') + 1)
      .toLowerCase()
      .startsWith(stem),
  );
  const family = entries.filter((entry) => entry.family.startsWith(stem));
  // "Plots" is the family of that name before the questions that begin so.
  const exactly = family.filter((entry) => entry.family.replace(/s$/, '') === stem);
  const word = new RegExp(`\\b${stem}`, 'i');
  const about = entries.filter(({ help, examples }) => word.test(help) || word.test(examples[0] ?? ''));
  return (
    [exactly, own, family, about].map(told).find((text) => text !== '') ??
    `I have no help on ${topic}. Say help to hear what can be said.`
  );
}

/** Every example sentence of the description, in its order. */
export function examplesOf(trees: Syntax): string[] {
  return trees.roots.flatMap((rule) => (rule.examples ?? []).map((example) => example.words));
}

function formsOf(trees: Syntax, rule: Rule): string[] {
  const tree = patternOf(trees, rule.id);
  const inner = rule.sets === undefined ? tree : children(tree)[0]!;
  const options = inner.is === 'choice' ? inner.options : [inner];
  return options.map((option) => form(option)).filter((text) => text !== '');
}

/** A pattern without tags. Single words as alternatives are joined by a stroke. */
function form(node: Node): string {
  switch (node.is) {
    case 'word':
      return node.word;
    case 'tag':
      return '';
    case 'free':
      return '…';
    case 'rule':
      return `‹${plainName(node.id)}›`;
    case 'optional': {
      const item = form(node.item);
      return item === '' ? '' : `[${item}]`;
    }
    case 'sequence':
      return node.items
        .map(form)
        .filter((text) => text !== '')
        .join(' ');
    case 'choice':
      return [...new Set(node.options.map(form))].join('/');
    case 'anyOrder':
      return node.items.map(form).join(', ');
  }
}

/** `n.below100` and `sight.top` read as "below100" and "top"; words run together are parted. */
function plainName(id: string): string {
  const last = id.slice(id.lastIndexOf('.') + 1);
  return last.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
}
