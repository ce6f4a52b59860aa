/**
 * A script with a counter in every block of it: what a fuzzer looks at after each input. A counter costs one addition in the
 * compiled code, where the engine's own block counts keep the code from being compiled well.
 */
import { parseSync } from 'oxc-parser';

export interface Instrumented {
  readonly code: string;
  /** Counters: the length of the byte array that the script counts in. */
  readonly blocks: number;
  /** Texts that the script compares with or has in it, those that it compares with first. */
  readonly texts: readonly string[];
  /** Numbers that it compares with. */
  readonly numbers: readonly number[];
}

interface Node {
  readonly type: string;
  readonly start: number;
  readonly end: number;
  readonly [key: string]: unknown;
}

const isNode = (value: unknown): value is Node =>
  typeof value === 'object' && value !== null && typeof (value as Node).type === 'string';

const loop = { body: 'statement' } as const;
const choice = 'expression';
/** Parts of a node that run by themselves: each is a block, and is made one where it is a bare expression or statement. */
const partsOf: Record<string, Record<string, 'expression' | 'statement'>> = {
  FunctionDeclaration: { body: choice },
  FunctionExpression: { body: choice },
  ArrowFunctionExpression: { body: choice },
  ConditionalExpression: { consequent: choice, alternate: choice },
  LogicalExpression: { right: choice },
  IfStatement: { consequent: 'statement', alternate: 'statement' },
  CatchClause: loop,
  ForStatement: loop,
  ForInStatement: loop,
  ForOfStatement: loop,
  WhileStatement: loop,
  DoWhileStatement: loop,
};
const compares = new Set(['===', '!==', '==', '!=', '<', '>', '<=', '>=']);
const longestText = 32;

/**
 * The script, counting its blocks in the byte array that `globalThis[counts]` is when it is loaded. Throws where it is no
 * script.
 *
 * Example: `instrumented('if (a) b();', 'counts').blocks === 1`
 */
export function instrumented(source: string, counts: string): Instrumented {
  const { program, errors } = parseSync('script.cjs', source);
  if (errors.length > 0) throw new Error(errors[0]!.message);
  const walk = new Walk();
  const body = program.body as unknown as readonly Node[];
  walk.insert(endOfDirectives(body) ?? 0, `;const $counts = globalThis.${counts};`);
  for (const one of body) walk.visit(one);
  const { compared, other, numbers, blocks } = walk;
  return {
    code: walk.into(source),
    blocks,
    texts: [...compared, ...[...other].filter((text) => !compared.has(text))],
    numbers: [...numbers],
  };
}

/** Directives stay first. */
const endOfDirectives = (body: readonly Node[]): number | undefined =>
  body.findLast((one) => typeof one.directive === 'string')?.end;

class Walk {
  blocks = 0;
  readonly compared = new Set<string>();
  readonly other = new Set<string>();
  readonly numbers = new Set<number>();
  readonly #inserts: { readonly at: number; readonly text: string }[] = [];

  insert(at: number, text: string): void {
    this.#inserts.push({ at, text });
  }

  visit(node: Node): void {
    this.#literals(node);
    if (node.type === 'SwitchCase') {
      this.#case(node);
      return;
    }
    for (const [key, value] of Object.entries(node)) {
      if (isNode(value)) this.#part(node, key, value);
      else if (Array.isArray(value)) for (const one of value) if (isNode(one)) this.visit(one);
    }
  }

  into(source: string): string {
    // A sort that keeps the order of those at one place: outer ones open first and close last.
    this.#inserts.sort((a, b) => a.at - b.at);
    const pieces: string[] = [];
    let at = 0;
    for (const insert of this.#inserts) {
      pieces.push(source.slice(at, insert.at), insert.text);
      at = insert.at;
    }
    return pieces.join('') + source.slice(at);
  }

  #part(parent: Node, key: string, node: Node): void {
    const kind = partsOf[parent.type]?.[key];
    if (kind === undefined) this.visit(node);
    else if (node.type === 'BlockStatement') {
      const first = endOfDirectives(node.body as readonly Node[]) ?? node.start + 1;
      this.insert(first, `;${this.#count()};`);
      this.visit(node);
    } else {
      const [open, between, close] = kind === 'expression' ? '(,)' : '{;}';
      this.insert(node.start, `${open}${this.#count()}${between}`);
      this.visit(node);
      this.insert(node.end, close!);
    }
  }

  #case({ test, consequent }: Node): void {
    if (isNode(test)) this.visit(test);
    const body = consequent as readonly Node[];
    if (body.length > 0) this.insert(body[0]!.start, `${this.#count()};`);
    for (const one of body) this.visit(one);
  }

  #count(): string {
    return `$counts[${this.blocks++}]++`;
  }

  #literals(node: Node): void {
    if (node.type === 'Literal') this.#literal(node, this.other);
    const sides =
      node.type === 'SwitchCase'
        ? [node.test]
        : node.type === 'BinaryExpression' && compares.has(String(node.operator))
          ? [node.left, node.right]
          : [];
    for (const side of sides) {
      if (!isNode(side) || side.type !== 'Literal') continue;
      this.#literal(side, this.compared);
      if (typeof side.value === 'number') this.numbers.add(side.value);
    }
  }

  #literal({ value }: Node, into: Set<string>): void {
    if (typeof value === 'string' && value.length > 0 && value.length <= longestText) into.add(value);
  }
}
