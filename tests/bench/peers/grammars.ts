/**
 * The description as grammars of general parser libraries, generated from the same trees. All of them leave the same
 * list of tags, from which the same code makes the note, so that each peer does the whole work.
 */

import { createToken, EmbeddedActionsParser, type IToken, type TokenType } from 'chevrotain';
import nearley from 'nearley';
import * as ohm from 'ohm-js';
import peggy from 'peggy';
import { Meaning } from '../../../grammar/automaton/meaning.ts';
import { canBeSilent } from '../../../grammar/description/checks.ts';
import { joinPath, type Node, placeTag } from '../../../grammar/description/patterns.ts';
import type { Syntax } from '../../../grammar/description/syntax.ts';
import type { Tag } from '../../../grammar/description/tags.ts';
import type { Note } from '../../../shared/note/note.ts';

/** Reads one sentence; undefined when the peer refuses it. */
export type Peer = (words: string) => Note | undefined;

/** Rules by name, paths in full: a tag is a number into `tags`. */
interface Flat {
  readonly rules: ReadonlyMap<string, Node>;
  readonly roots: readonly string[];
  readonly name: (id: string, under: string) => string;
  readonly unders: ReadonlyMap<string, string>;
  readonly tag: (tag: Tag, under: string) => number;
  /** The note of a list of tag numbers; a string is the free words before it. */
  readonly note: (list: readonly (number | string)[]) => Note;
}

function flatten(trees: Syntax): Flat {
  const tags: Tag[] = [];
  const ids = new Map<string, number>();
  const rules = new Map<string, Node>();
  const unders = new Map<string, string>();
  const name = (id: string, under: string): string => `R_${`${id}_${under}`.replace(/[^a-zA-Z0-9]/g, '_')}`;
  const tag = (each: Tag, under: string): number => {
    const placed = placeTag(each, under);
    const key = JSON.stringify(placed);
    const known = ids.get(key);
    if (known !== undefined) return known;
    ids.set(key, tags.length);
    return tags.push(placed) - 1;
  };
  const visit = (node: Node, under: string): void => {
    if (node.is === 'tag') tag(node.tag, under);
    else if (node.is === 'rule') add(node.id, joinPath(under, node.under));
    else if (node.is === 'optional') visit(node.item, under);
    else if (node.is === 'choice') for (const option of node.options) visit(option, under);
    else if (node.is === 'sequence' || node.is === 'anyOrder')
      for (const item of node.items) visit(item, under);
  };
  const add = (id: string, under: string): string => {
    const key = name(id, under);
    if (rules.has(key)) return key;
    rules.set(key, trees.tree.get(id)!);
    unders.set(key, under);
    visit(trees.tree.get(id)!, under);
    return key;
  };
  const roots = trees.roots.map((rule) => add(rule.id, ''));
  const meaning = new Meaning(tags.map((each) => [each]));
  return {
    rules,
    roots,
    name,
    unders,
    tag,
    note(list) {
      meaning.begin();
      let free = '';
      for (const item of list) {
        if (typeof item === 'string') free = item;
        else meaning.run(item, free);
      }
      return meaning.end();
    },
  };
}

function orders(items: readonly Node[]): Node[][] {
  if (items.length < 2) return [[...items]];
  return items.flatMap((first, at) =>
    orders([...items.slice(0, at), ...items.slice(at + 1)]).map((rest) => [first, ...rest]),
  );
}

function flat(value: unknown, into: (number | string)[]): (number | string)[] {
  if (Array.isArray(value)) for (const item of value) flat(item, into);
  else if (typeof value === 'number' || typeof value === 'string') into.push(value);
  return into;
}

/** Parsing expressions take the first alternative that fits: longer ones are put first, as their manuals advise. */
function longestFirst(options: readonly Node[]): readonly Node[] {
  const length = (node: Node): number => {
    switch (node.is) {
      case 'word':
      case 'free':
        return 1;
      case 'rule':
        return 2;
      case 'sequence':
      case 'anyOrder':
        return node.items.reduce((sum, item) => sum + length(item), 0);
      case 'choice':
        return Math.max(...node.options.map(length));
      case 'optional':
        return length(node.item);
      default:
        return 0;
    }
  };
  return [...options].sort((a, b) => length(b) - length(a));
}

export function peggyPeer(trees: Syntax): Peer {
  const flatTrees = flatten(trees);
  const write = (node: Node, under: string): string => {
    switch (node.is) {
      case 'word':
        return `("${node.word}" _)`;
      case 'tag':
        return `(""{ return ${flatTrees.tag(node.tag, under)} })`;
      case 'free':
        return 'Free';
      case 'sequence':
        return node.items.length === 0 ? '""' : `(${node.items.map((item) => write(item, under)).join(' ')})`;
      case 'choice':
        return `(${longestFirst(node.options)
          .map((option) => write(option, under))
          .join(' / ')})`;
      case 'optional':
        return `(${write(node.item, under)})?`;
      case 'anyOrder':
        return write(
          { is: 'choice', options: orders(node.items).map((items) => ({ is: 'sequence', items })) },
          under,
        );
      case 'rule': {
        const rule = flatTrees.name(node.id, joinPath(under, node.under));
        return node.repeat ? `${rule}+` : rule;
      }
    }
  };
  const source = [
    `Note = ${flatTrees.roots.map((root) => `list:${root} !. { return list }`).join(' / ')}`,
    '_ = (" "+ / !.) { return null }',
    'Free = words:$(Word (" " Word)*) _ { return words.trim() }',
    "Word = [a-z'-]+",
    ...[...flatTrees.rules].map(([name, node]) => `${name} = ${write(node, flatTrees.unders.get(name)!)}`),
  ].join('\n');
  const parser = peggy.generate(source.replaceAll('" _)', '" _ { return null })'), { cache: false });
  return (words) => {
    try {
      return flatTrees.note(flat(parser.parse(words), []));
    } catch {
      return undefined;
    }
  };
}

export function ohmPeer(trees: Syntax): Peer {
  const flatTrees = flatten(trees);
  const tagRules = new Set<number>();
  const write = (node: Node, under: string): string => {
    switch (node.is) {
      case 'word':
        return `"${node.word}" ws`;
      case 'tag': {
        const id = flatTrees.tag(node.tag, under);
        tagRules.add(id);
        return `t${id}`;
      }
      case 'free':
        return 'free';
      case 'sequence':
        return node.items.length === 0 ? '""' : `(${node.items.map((item) => write(item, under)).join(' ')})`;
      case 'choice':
        return `(${longestFirst(node.options)
          .map((option) => pack(option, under))
          .join(' | ')})`;
      case 'optional':
        return canBeSilent(trees, node.item) ? pack(node.item, under) : `${pack(node.item, under)}?`;
      case 'anyOrder':
        return write(
          { is: 'choice', options: orders(node.items).map((items) => ({ is: 'sequence', items })) },
          under,
        );
      case 'rule': {
        const rule = lower(flatTrees.name(node.id, joinPath(under, node.under)));
        return node.repeat ? `${rule}+` : rule;
      }
    }
  };
  // All alternatives must have one arity: each becomes a rule of its own.
  const packed: string[] = [];
  const pack = (node: Node, under: string): string => {
    if (node.is === 'rule' && !node.repeat) return write(node, under);
    const body = write(node, under);
    return `p${packed.push(body) - 1}`;
  };
  const lower = (name: string): string => `r${name.slice(1)}`;
  const rules = [...flatTrees.rules].map(
    ([name, node]) => `${lower(name)} = ${write(node, flatTrees.unders.get(name)!)}`,
  );
  const source = [
    'G {',
    `start = ${flatTrees.roots.map((root) => `(${lower(root)} end)`).join(' | ')}`,
    'ws = " "+ | end',
    'free = word (" " word)* ws',
    'word = ("a".."z" | "\'" | "-")+',
    ...rules,
    ...packed.map((body, id) => `p${id} = ${body}`),
    ...[...tagRules].map((id) => `t${id} = ""`),
    '}',
  ].join('\n');
  const grammar = ohm.grammar(source);
  const semantics = grammar.createSemantics();
  const tagActions = Object.fromEntries(
    [...tagRules].map((id) => [
      `t${id}`,
      function (this: unknown, _empty: ohm.Node): (number | string)[] {
        return [id];
      },
    ]),
  );
  semantics.addOperation<(number | string)[]>('list', {
    _nonterminal(...children: ohm.Node[]) {
      return children.flatMap((child) => child.list() as (number | string)[]);
    },
    _iter(...children: ohm.Node[]) {
      return children.flatMap((child) => child.list() as (number | string)[]);
    },
    _terminal() {
      return [];
    },
    free(first: ohm.Node, _spaces: ohm.Node, others: ohm.Node, _end: ohm.Node) {
      return [
        `${first.sourceString} ${others.children.map((child: ohm.Node) => child.sourceString).join(' ')}`.trim(),
      ];
    },
    ws(_any: ohm.Node) {
      return [];
    },
    ...tagActions,
  } as never);
  return (words) => {
    const match = grammar.match(words, 'start');
    return match.succeeded() ? flatTrees.note(semantics(match).list() as (number | string)[]) : undefined;
  };
}

export function nearleyPeer(trees: Syntax): Peer {
  const flatTrees = flatten(trees);
  type Symbol = string | { literal: string } | { test: (word: string) => boolean };
  const rules: { name: string; symbols: Symbol[]; postprocess?: (data: unknown[]) => unknown }[] = [];
  let fresh = 0;
  const write = (node: Node, under: string): Symbol[] => {
    switch (node.is) {
      case 'word':
        return [{ literal: node.word }];
      case 'tag': {
        const id = flatTrees.tag(node.tag, under);
        const name = `t${id}`;
        if (!rules.some((rule) => rule.name === name))
          rules.push({ name, symbols: [], postprocess: () => id });
        return [name];
      }
      case 'free':
        return ['free'];
      case 'sequence':
        return node.items.flatMap((item) => write(item, under));
      case 'anyOrder':
        return write(
          { is: 'choice', options: orders(node.items).map((items) => ({ is: 'sequence', items })) },
          under,
        );
      case 'choice': {
        const name = `c${fresh++}`;
        for (const option of node.options)
          rules.push({ name, symbols: write(option, under), postprocess: untagged });
        return [name];
      }
      case 'optional': {
        const name = `o${fresh++}`;
        rules.push({ name, symbols: [], postprocess: () => null });
        rules.push({ name, symbols: write(node.item, under), postprocess: untagged });
        return [name];
      }
      case 'rule': {
        const rule = flatTrees.name(node.id, joinPath(under, node.under));
        if (!node.repeat) return [rule];
        const name = `m${fresh++}`;
        rules.push({ name, symbols: [rule] });
        rules.push({ name, symbols: [name, rule] });
        return [name];
      }
    }
  };
  /** Words are objects with a value; only numbers and the strings of free words are kept. */
  const untagged = (data: unknown[]): unknown =>
    data.filter((item) => typeof item !== 'string' || item.startsWith('@'));
  rules.push({
    name: 'free',
    symbols: ['freeWords'],
    postprocess: (data) => `@${(data as unknown[]).flat(Infinity).join(' ')}`,
  });
  rules.push({ name: 'freeWords', symbols: [{ test: () => true }] });
  rules.push({ name: 'freeWords', symbols: ['freeWords', { test: () => true }] });
  for (const [name, node] of flatTrees.rules) {
    rules.push({ name, symbols: write(node, flatTrees.unders.get(name)!), postprocess: untagged });
  }
  for (const root of flatTrees.roots) rules.push({ name: 'start', symbols: [root] });
  const grammar = nearley.Grammar.fromCompiled({
    ParserRules: rules,
    ParserStart: 'start',
    Lexer: undefined,
  } as never);
  return (words) => {
    const parser = new nearley.Parser(grammar);
    try {
      parser.feed(words.split(' ') as never);
    } catch {
      return undefined;
    }
    if (parser.results.length === 0) return undefined;
    const list = flat(parser.results[0], []).map((item) => (typeof item === 'string' ? item.slice(1) : item));
    return flatTrees.note(list);
  };
}

/** LL(k) with k words of look-ahead; the library's own checks for ambiguity are off, the first alternative wins. */
export function chevrotainPeer(trees: Syntax, lookahead: number): Peer {
  const flatTrees = flatten(trees);
  const anyWord = createToken({ name: 'AnyWord', pattern: /[a-z'-]+/ });
  const types = new Map<string, TokenType>();
  const typeOf = (word: string): TokenType => {
    let type = types.get(word);
    if (type === undefined) {
      type = createToken({ name: `W_${word.replace(/\W/g, '_')}`, pattern: word, categories: [anyWord] });
      types.set(word, type);
    }
    return type;
  };
  const words = (node: Node): void => {
    if (node.is === 'word') typeOf(node.word);
    else if (node.is === 'optional') words(node.item);
    else if (node.is === 'choice') node.options.forEach(words);
    else if (node.is === 'sequence' || node.is === 'anyOrder') node.items.forEach(words);
  };
  for (const node of flatTrees.rules.values()) words(node);

  class Generated extends EmbeddedActionsParser {
    list: (number | string)[] = [];
    readonly start: () => void;
    private readonly made = new Map<string, () => void>();

    constructor() {
      super([anyWord, ...types.values()], {
        maxLookahead: lookahead,
        skipValidations: true,
        recoveryEnabled: false,
      });
      for (const [name, node] of flatTrees.rules) this.define(name, node, flatTrees.unders.get(name)!);
      this.start = this.RULE('start', () => {
        this.or(
          0,
          flatTrees.roots.map((root, at) => ({
            ALT: () => this.subrule(at, this.made.get(root)! as never),
          })) as never,
        );
      }) as () => void;
      this.performSelfAnalysis();
    }

    private define(name: string, node: Node, under: string): void {
      const body = this.write(node, under, { next: 0, inner: 0, name });
      this.made.set(name, this.RULE(name, body) as () => void);
    }

    /** Each step of a rule gets a number of its own, as the library wants. */
    private write(node: Node, under: string, at: { next: number; inner: number; name: string }): () => void {
      const id = at.next++;
      // The library numbers up to 255 in a rule; what is beyond goes into a rule of its own.
      if (id > 200) {
        const name = `${at.name}_${at.inner++}`;
        this.define(name, node, under);
        at.next = id;
        const use = at.next++ % 255;
        return () => this.subrule(use, this.made.get(name)! as never);
      }
      switch (node.is) {
        case 'word': {
          const type = typeOf(node.word);
          return () => this.consume(id, type);
        }
        case 'tag': {
          const tag = flatTrees.tag(node.tag, under);
          return () => this.ACTION(() => this.list.push(tag));
        }
        case 'free':
          return () => {
            let said = '';
            this.atLeastOne(id, () => {
              const token: IToken = this.consume(id, anyWord);
              said = said === '' ? token.image : `${said} ${token.image}`;
            });
            this.ACTION(() => this.list.push(said));
          };
        case 'sequence': {
          const items = node.items.map((item) => this.write(item, under, at));
          return () => {
            for (const item of items) item();
          };
        }
        case 'anyOrder':
          return this.write(
            { is: 'choice', options: orders(node.items).map((items) => ({ is: 'sequence', items })) },
            under,
            at,
          );
        case 'choice': {
          const options = longestFirst(node.options).map((option) => this.write(option, under, at));
          const alternatives = options.map((option) => ({ ALT: option }));
          return () => this.or(id, alternatives as never);
        }
        case 'optional': {
          const item = this.write(node.item, under, at);
          return () => this.option(id, item);
        }
        case 'rule': {
          const name = flatTrees.name(node.id, joinPath(under, node.under));
          const use = (): void => this.subrule(id, this.made.get(name)! as never);
          return node.repeat ? () => this.atLeastOne(id, use) : use;
        }
      }
    }
  }
  const parser = new Generated();
  return (text) => {
    const tokens: IToken[] = text.split(' ').map((image, at) => {
      const type = types.get(image) ?? anyWord;
      return { image, startOffset: at, tokenType: type, tokenTypeIdx: type.tokenTypeIdx! } as IToken;
    });
    parser.input = tokens;
    parser.list = [];
    parser.start();
    return parser.errors.length > 0 ? undefined : flatTrees.note(parser.list);
  };
}
