/**
 * Reads pattern text into a tree and says what is wrong with it. Every other reader of the description works on
 * these trees or on the automaton made of them.
 */
import { DescriptionError } from './model.ts';
import type { NumberAction, Tag } from './tags.ts';

export type Node =
  | { readonly is: 'word'; readonly word: string }
  | { readonly is: 'sequence'; readonly items: readonly Node[] }
  | { readonly is: 'choice'; readonly options: readonly Node[] }
  | { readonly is: 'optional'; readonly item: Node }
  /** All of the items, in any order. */
  | { readonly is: 'anyOrder'; readonly items: readonly Node[] }
  | {
      readonly is: 'rule';
      readonly id: string;
      /** Path under which the rule's tags go, '' for none. */
      readonly under: string;
      readonly repeat: boolean;
      readonly range: readonly [number, number] | undefined;
    }
  /** Free words, one or more: a name, or any text. */
  | { readonly is: 'free'; readonly text: boolean }
  | { readonly is: 'tag'; readonly tag: Tag };

const numberActions: readonly NumberAction[] = [
  'add',
  'times',
  'shift',
  'append',
  'point',
  'decimal',
  'part',
  'over',
  'feet',
];

/**
 * One pattern as a tree. Throws DescriptionError naming the rule and the column.
 * Example: `parsePattern('r', '[at] <count> paces {distance.count=#}')`.
 */
export function parsePattern(rule: string, text: string): Node {
  let at = 0;
  const fail = (problem: string): never => {
    throw new DescriptionError(rule, `${problem} at column ${at + 1} of "${text}"`);
  };
  const space = (): void => {
    while (text[at] === ' ') at++;
  };
  const sequence = (): Node => {
    const items: Node[] = [];
    for (;;) {
      space();
      const char = text[at];
      if (char === undefined || char === ')' || char === ']' || char === '|' || char === '&') break;
      items.push(item());
    }
    return items.length === 1 ? items[0]! : { is: 'sequence', items };
  };
  /** What stands between brackets: `a | b` or `a & b`, not both. */
  const inside = (): Node => {
    const parts = [sequence()];
    const mark = text[at];
    while (text[at] === '|' || text[at] === '&') {
      if (text[at] !== mark) fail('"|" and "&" are mixed; put brackets round one of them');
      at++;
      parts.push(sequence());
    }
    if (parts.length === 1) return parts[0]!;
    if (parts.some(isEmpty)) fail('an alternative is empty');
    return mark === '&' ? { is: 'anyOrder', items: parts } : { is: 'choice', options: parts };
  };
  const close = (mark: string): void => {
    if (text[at] !== mark) fail(`"${mark}" is missing`);
    at++;
  };
  const item = (): Node => {
    const char = text.charAt(at);
    if (char === '(' || char === '[') {
      at++;
      const node = inside();
      if (isEmpty(node)) fail('the brackets are empty');
      close(closing[char]);
      return char === '(' ? node : { is: 'optional', item: node };
    }
    if (char === '<' || char === '{') {
      const end = text.indexOf(closing[char], at);
      if (end < 0) fail(`"${char}" is not closed`);
      const body = text.slice(at + 1, end).trim();
      const node: Node = char === '<' ? reference(body, fail) : { is: 'tag', tag: parseTag(body, fail) };
      at = end + 1;
      return node;
    }
    const word = /^[a-z][a-z'-]*/.exec(text.slice(at))?.[0];
    if (word === undefined) return fail(`"${char}" cannot begin a word`);
    at += word.length;
    const next = text[at];
    if (!endsWord(next)) return fail(`"${next}" cannot stand in a word`);
    return { is: 'word', word };
  };
  const node = inside();
  if (at < text.length) fail(`"${text[at]}" has no beginning`);
  return node;
}

const closing = { '(': ')', '[': ']', '<': '>', '{': '}' } as const;

const isEmpty = (node: Node): boolean => node.is === 'sequence' && node.items.length === 0;

const endsWord = (char: string | undefined): boolean => char === undefined || ' ()[]|&<{'.includes(char);

function reference(body: string, fail: (problem: string) => never): Node {
  if (body === 'word+' || body === 'text+') return { is: 'free', text: body === 'text+' };
  const found =
    /^(?:([a-zA-Z.]+)\/)?([a-zA-Z][\w.-]*?)(\+)?(?::(-?\d+(?:\.\d+)?)\.\.(-?\d+(?:\.\d+)?))?$/.exec(body);
  if (found === null) return fail(`"<${body}>" is not a rule, a part, <word+> or <text+>`);
  const [, under, id, plus, low, high] = found;
  if (id === 'word') return fail('free words are written <word+>');
  return {
    is: 'rule',
    id: id ?? '',
    under: under ?? '',
    repeat: plus !== undefined,
    range: low === undefined ? undefined : [Number(low), Number(high)],
  };
}

/** The text between the braces of a tag, or one entry of `sets`. */
export function parseTag(body: string, fail: (problem: string) => never): Tag {
  const action = /^([a-z]+)(?: (\S+))?$/.exec(body);
  if (action !== null) return actionTag(body, action[1]!, action[2], fail);
  const equals = /^((?:[a-zA-Z]\w*(?:\.[a-zA-Z]\w*)*(?:\[\])?)?)=(.+)$/.exec(body);
  if (equals === null) return fail(`"{${body}}" is no tag`);
  const [path, value] = [equals[1]!, equals[2]!];
  if (value === '@') return { op: 'words', path };
  if (value === '##') return { op: 'pair', path };
  if (/^#(?:u|-|u-|-u)?$/.test(value)) {
    const append = path.endsWith('[]');
    return {
      op: 'number',
      path: append ? path.slice(0, -2) : path,
      sign: value.includes('-') ? -1 : 1,
      quantity: value.includes('u'),
      append,
    };
  }
  if (path === '') return fail(`"{${body}}" names no field`);
  if (value.startsWith('#')) return fail(`"{${body}}" is no tag`);
  return { op: 'const', path, value: constantOf(value) };
}

function actionTag(
  body: string,
  word: string,
  operand: string | undefined,
  fail: (problem: string) => never,
): Tag {
  if (word === 'unit' && operand !== undefined) return { op: 'unit', unit: operand };
  const action = numberActions.find((one) => one === word);
  const value = operand === undefined ? 0 : Number(operand);
  if (action === undefined || !Number.isFinite(value)) return fail(`"{${body}}" is no number action`);
  return { op: 'digit', action, value };
}

function constantOf(value: string): string | number | boolean {
  if (value === 'true' || value === 'false') return value === 'true';
  return /^-?\d+(\.\d+)?$/.test(value) ? Number(value) : value;
}

/** `a` under `height` is `height.a`. The empty path under `height` is `height`. */
export function joinPath(under: string, path: string): string {
  return under === '' ? path : path === '' ? under : `${under}.${path}`;
}

/** The tag with its path put under another. */
export function placeTag(tag: Tag, under: string): Tag {
  if (under === '' || tag.op === 'digit' || tag.op === 'unit') return tag;
  return { ...tag, path: joinPath(under, tag.path) };
}
