/**
 * The description in open standards: W3C SRGS 1.0 as XML and as ABNF, with SISR 1.0 tags, and JSGF 1.0. A tag in an
 * export is the text of the description's own tag with its full path; the header script of the SRGS forms makes the
 * note of them.
 */

import { joinPath, type Node, placeTag } from '../description/patterns.ts';
import type { Syntax } from '../description/syntax.ts';
import { patternOf } from '../description/syntax.ts';
import type { Tag } from '../description/tags.ts';
import { noteScript } from './sisr.ts';

/** A rule as it is exported: once per path under which it is used. */
interface Instance {
  readonly name: string;
  readonly node: Node;
  readonly under: string;
}

/** How one standard writes the pieces of a rule. */
interface Style {
  readonly word: (word: string) => string;
  readonly rule: (name: string) => string;
  readonly free: () => string;
  readonly tag: (text: string, free: boolean) => string;
  readonly sequence: (items: readonly string[]) => string;
  readonly choice: (options: readonly string[]) => string;
  readonly optional: (item: string) => string;
  readonly repeat: (item: string) => string;
}

/** The tag in the notation of the description: `height.distance.count=#`, `add 8`. */
function tagText(tag: Tag): string {
  switch (tag.op) {
    case 'digit':
      return `${tag.action} ${tag.value}`;
    case 'unit':
      return `unit ${tag.unit}`;
    case 'const':
      return `${tag.path}=${tag.value}`;
    case 'words':
      return `${tag.path}=@`;
    case 'pair':
      return `${tag.path}=##`;
    case 'number':
      return `${tag.path}${tag.append ? '[]' : ''}=#${tag.quantity ? 'u' : ''}${tag.sign < 0 ? '-' : ''}`;
  }
}

/** Every rule that the roots need, with the paths it stands under, roots first. */
function instances(trees: Syntax): { roots: readonly Instance[]; all: readonly Instance[] } {
  const known = new Map<string, Instance>();
  const visit = (node: Node, under: string): void => {
    if (node.is === 'rule') add(node.id, joinPath(under, node.under));
    else if (node.is === 'choice') for (const option of node.options) visit(option, under);
    else if (node.is === 'optional') visit(node.item, under);
    else if (node.is === 'sequence' || node.is === 'anyOrder')
      for (const item of node.items) visit(item, under);
  };
  const add = (id: string, under: string): Instance => {
    const name = nameOf(id, under);
    let instance = known.get(name);
    if (instance === undefined) {
      instance = { name, node: patternOf(trees, id), under };
      known.set(name, instance);
      visit(instance.node, under);
    }
    return instance;
  };
  const roots = trees.roots.map((rule) => add(rule.id, ''));
  return { roots, all: [...known.values()] };
}

/** Letters, digits and low lines only, so that it is a name in every standard. */
function nameOf(id: string, under: string): string {
  return (under === '' ? id : `${id}_in_${under}`).replace(/[^A-Za-z0-9]/g, '_');
}

function write(node: Node, under: string, style: Style): string {
  switch (node.is) {
    case 'word':
      return style.word(node.word);
    case 'free':
      return style.free();
    case 'tag':
      return style.tag(tagText(placeTag(node.tag, under)), node.tag.op === 'words');
    case 'sequence':
      return style.sequence(node.items.map((item) => write(item, under, style)));
    case 'choice':
      return style.choice(node.options.map((option) => write(option, under, style)));
    case 'optional':
      return style.optional(write(node.item, under, style));
    case 'rule': {
      const rule = style.rule(nameOf(node.id, joinPath(under, node.under)));
      return node.repeat ? style.repeat(rule) : rule;
    }
    case 'anyOrder':
      return style.choice(
        orders(node.items).map((items) => style.sequence(items.map((item) => write(item, under, style)))),
      );
  }
}

function orders(items: readonly Node[]): Node[][] {
  if (items.length < 2) return [[...items]];
  return items.flatMap((first, at) =>
    orders([...items.slice(0, at), ...items.slice(at + 1)]).map((rest) => [first, ...rest]),
  );
}

/** Weights of the roots as shares of one; a rule that is never sampled may still be said, so none is zero. */
function weights(trees: Syntax): string[] {
  const each = trees.roots.map((rule) => Math.max(rule.weight ?? 1, 0.1));
  const total = each.reduce((sum, weight) => sum + weight, 0);
  return each.map((weight) => (weight / total).toFixed(5));
}

const xml = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;');

const pushed = (text: string, free: boolean): string =>
  free ? `out.push(${JSON.stringify(text)}, meta.latest().text);` : `out.push(${JSON.stringify(text)});`;

const xmlStyle: Style = {
  word: (word) => `${xml(word)} `,
  rule: (name) => `<ruleref uri="#${name}"/><tag>out = out.concat(rules.latest());</tag>`,
  free: () => '<ruleref uri="#free_words"/>',
  tag: (text, free) => `<tag>${xml(pushed(text, free))}</tag>`,
  sequence: (items) => items.join(''),
  choice: (options) => `<one-of>${options.map((option) => `<item>${option}</item>`).join('')}</one-of>`,
  optional: (item) => `<item repeat="0-1">${item}</item>`,
  repeat: (item) => `<item repeat="1-">${item}</item>`,
};

/** The grammar as SRGS 1.0 XML with `semantics/1.0` tags; the result of the root rule is the note. */
export function toSrgsXml(trees: Syntax): string {
  const { roots, all } = instances(trees);
  const shares = weights(trees);
  const lines = [
    '<?xml version="1.0" encoding="UTF-8"?>',
    '<grammar xmlns="http://www.w3.org/2001/06/grammar" version="1.0" xml:lang="en-US" mode="voice" root="note" tag-format="semantics/1.0">',
    `<meta name="description" content="stemsay ${xml(trees.description.version)}"/>`,
    `<tag>${xml(noteScript)}</tag>`,
    '<rule id="note" scope="public"><one-of>',
    ...roots.map(
      ({ name }, at) =>
        `<item weight="${shares[at]}"><ruleref uri="#${name}"/><tag>out = note(rules.latest());</tag></item>`,
    ),
    '</one-of></rule>',
    '<rule id="free_words"><ruleref special="GARBAGE"/></rule>',
    ...all.map(
      ({ name, node, under }) =>
        `<rule id="${name}"><tag>out = [];</tag>${write(node, under, xmlStyle).trimEnd()}</rule>`,
    ),
    '</grammar>',
  ];
  return `${lines.join('\n')}\n`;
}

const abnfStyle: Style = {
  word: (word) => word,
  rule: (name) => `$${name} {!{out = out.concat(rules.latest());}!}`,
  free: () => '$free_words',
  tag: (text, free) => `{!{${pushed(text, free)}}!}`,
  sequence: (items) => (items.length === 0 ? '$NULL' : items.join(' ')),
  choice: (options) => `(${options.join(' | ')})`,
  optional: (item) => `[${item}]`,
  repeat: (item) => `(${item}) <1->`,
};

/** The same grammar in the ABNF form of SRGS 1.0. */
export function toSrgsAbnf(trees: Syntax): string {
  const { roots, all } = instances(trees);
  const shares = weights(trees);
  const root = roots.map(({ name }, at) => `/${shares[at]}/ $${name} {!{out = note(rules.latest());}!}`);
  const lines = [
    '#ABNF 1.0 UTF-8;',
    'language en-US;',
    'mode voice;',
    'root $note;',
    'tag-format <semantics/1.0>;',
    `meta 'description' is 'stemsay ${trees.description.version}';`,
    `{!{${noteScript}}!};`,
    `public $note = ${root.join('\n  | ')};`,
    'private $free_words = $GARBAGE;',
    ...all.map(
      ({ name, node, under }) => `private $${name} = {!{out = [];}!} ${write(node, under, abnfStyle)};`,
    ),
  ];
  return `${lines.join('\n')}\n`;
}

const jsgfStyle: Style = {
  word: (word) => word,
  rule: (name) => `<${name}>`,
  free: () => '<free_words>',
  tag: (text) => `{${text}}`,
  sequence: (items) => (items.length === 0 ? '<NULL>' : `(${hung(items.join(' '))})`),
  choice: (options) => `(${options.map(hung).join(' | ')})`,
  optional: (item) => `[${hung(item)}]`,
  repeat: (item) => `(${item})+`,
};

/** In JSGF a tag belongs to the expansion before it; one that stands first hangs on the empty word. */
function hung(text: string): string {
  return text.startsWith('{') ? `<NULL> ${text}` : text;
}

/**
 * The grammar in JSGF 1.0. Tags are those of the description, their paths in full. Free words are the description's
 * free words, since JSGF has no word for "anything".
 */
export function toJsgf(trees: Syntax): string {
  const { roots, all } = instances(trees);
  const shares = weights(trees);
  const free = trees.description.freeWords;
  const lines = [
    '#JSGF V1.0 UTF-8 en;',
    `// stemsay, description ${trees.description.version}`,
    'grammar stemsay;',
    `public <note> = ${roots.map(({ name }, at) => `/${shares[at]}/ <${name}>`).join('\n  | ')};`,
    `<free_words> = (${free.length === 0 ? '<VOID>' : free.join(' | ')})+;`,
    ...all.map(({ name, node, under }) => `<${name}> = ${write(node, under, jsgfStyle)};`),
  ];
  return `${lines.join('\n')}\n`;
}
