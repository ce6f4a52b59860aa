/**
 * What can be said, for people: the help page's data, the list of examples and the cheat sheet, all written from the
 * description.
 */

import type { Rule } from '../description/model.ts';
import type { Node } from '../description/patterns.ts';
import { children, type Syntax } from '../description/syntax.ts';

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

export interface Help {
  readonly families: readonly HelpFamily[];
  /** Parts that the forms name, with their own forms. */
  readonly parts: readonly { readonly name: string; readonly forms: readonly string[] }[];
}

/** Everything that can be said, by family, in the order of the description. */
export function helpOf(trees: Syntax): Help {
  const families = new Map<string, HelpEntry[]>();
  for (const rule of trees.roots) {
    const entries = families.get(rule.family!) ?? [];
    families.set(rule.family!, entries);
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
  const word = new RegExp(`\\b${stem}`, 'i');
  const about = entries.filter(({ help, examples }) => word.test(help) || word.test(examples[0] ?? ''));
  return (
    [own, family, about].map(told).find((text) => text !== '') ??
    `I have no help on ${topic}. Say help to hear what can be said.`
  );
}

/** Every example sentence of the description, in its order. */
export function examplesOf(trees: Syntax): string[] {
  return trees.roots.flatMap((rule) => (rule.examples ?? []).map((example) => example.words));
}

function formsOf(trees: Syntax, rule: Rule): string[] {
  const tree = trees.tree.get(rule.id)!;
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

const html = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;');

/**
 * Letters of a wording beyond the first that still goes on the cheat sheet: the most with which the page stays one
 * sheet. Longer ones are in the help page.
 */
const longestForms = [84, 72, 60, 50, 42, 34, 26, 0];

/** Characters of the page that one sheet holds (A4 across, printed to PDF with Chromium). */
const sheetHolds = 24_100;

/** Most alternatives of a part that the cheat sheet spells out; species and the like are in the help page. */
const mostForms = 8;

/** A page to print and carry: what can be said, with an example of each, on one sheet. */
export function cheatSheet(trees: Syntax): string {
  const help = helpOf(trees);
  const pages = longestForms.map((longest) => () => sheetWith(help, longest));
  for (const page of pages.slice(0, -1)) {
    const text = page();
    if (text.length <= sheetHolds) return text;
  }
  return pages.at(-1)!();
}

function sheetWith(help: Help, longestForm: number): string {
  const shortForms = (forms: readonly string[]): string =>
    forms.filter((text, at) => at === 0 || text.length <= longestForm).join(' · ');
  const section = ({ family, entries }: HelpFamily): string =>
    `<section><h2>${html(family)}</h2>${entries
      .map(
        (entry) =>
          `<p><b>${html(entry.examples[0] ?? entry.forms[0] ?? '')}</b> <i>${html(shortForms(entry.forms))}</i></p>`,
      )
      .join('')}</section>`;
  const parts = help.parts.filter((part) => part.forms.length <= mostForms && part.forms.join().length < 130);
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>What can be said</title><style>
@page { size: A4 landscape; margin: 7mm; }
body { font: 5.3pt/1.12 sans-serif; columns: 6; column-gap: 2.5mm; margin: 0; }
h1 { font-size: 9pt; margin: 0 0 1mm; column-span: all; } h2 { font-size: 7.5pt; margin: 1mm 0 .4mm; border-bottom: .2mm solid; }
p { margin: 0 0 .4mm; break-inside: avoid; overflow-wrap: anywhere; } i { color: #444; }
</style></head><body><h1>What can be said</h1>
${help.families.map(section).join('\n')}
<section><h2>Parts</h2>${parts
    .map((part) => `<p>‹${html(part.name)}› <i>${html(part.forms.join(' · '))}</i></p>`)
    .join('')}</section>
</body></html>
`;
}
