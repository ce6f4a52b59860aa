/**
 * The rules that only say numbers: parts of `numbers.ts` and rules made of them. Each spells a value by trying the
 * usual wordings against its own rule, so a part never says what it would not read back.
 */

import { sameField } from '../../shared/note/note-key.ts';
import { compileTrees } from '../automaton/compile.ts';
import { unitWords } from '../description/numbers.ts';
import type { Node } from '../description/patterns.ts';
import { type Said, wordings } from '../description/spell-numbers.ts';
import { children, patternOf, type Syntax } from '../description/syntax.ts';
import { createReader, type Reader } from '../reading/exact.ts';

export interface NumberParts {
  /** The name under which a tree is asked for when it only says a number; undefined when it does not. */
  partOf(node: Node): string | undefined;
  /** Units that the part can say; undefined among them when it may say none. */
  units(id: string): readonly (string | undefined)[];
  /** True when a tree says numbers or units, or parts of them, and sets no field. */
  isNumeric(node: Node): boolean;
  /** True when a tree sets a field or takes free words. */
  hasFields(node: Node): boolean;
  /** The value in the part's words, or undefined when the part cannot say it. */
  say(id: string, said: Said): string | undefined;
}

export function createNumberParts(trees: Syntax): NumberParts {
  const kinds = new Map<string, Uses>();
  const readers = new Map<string, Reader>();
  const unitsKnown = new Map<string, readonly (string | undefined)[]>();
  const spoken = new Map<string, string | undefined>();
  const unnamed: Node[] = [];
  const readerOf = (id: string): Reader => {
    let reader = readers.get(id);
    if (reader === undefined) {
      const node: Node = id.startsWith('#')
        ? unnamed[Number(id.slice(1))]!
        : { is: 'rule', id, under: '', repeat: false, range: undefined };
      reader = createReader(compileTrees(only(trees, node)));
      readers.set(id, reader);
    }
    return reader;
  };
  return {
    partOf(node) {
      const uses = usesOf(trees, node, kinds);
      if (!uses.numbers || uses.fields) return undefined;
      if (node.is === 'rule' && !node.repeat) return node.id;
      return `#${unnamed.push(node) - 1}`;
    },
    isNumeric(node) {
      const uses = usesOf(trees, node, kinds);
      return (uses.numbers || uses.units) && !uses.fields;
    },
    hasFields: (node) => usesOf(trees, node, kinds).fields,
    units(id) {
      let found = unitsKnown.get(id);
      if (found === undefined) {
        found = [undefined, ...Object.keys(unitWords)].filter((unit) =>
          [5, 2.5, 0.5].some((value) => this.say(id, { value, unit }) !== undefined),
        );
        unitsKnown.set(id, found);
      }
      return found;
    },
    say(id, said) {
      const key = `${id} ${said.value} ${said.unit} ${said.pair}`;
      if (spoken.has(key)) return spoken.get(key);
      const words = wordings(said).find((wording) => {
        const read = readerOf(id).read(wording);
        return read.ok && read.value.some((reading) => says(reading.notes[0], said));
      });
      spoken.set(key, words);
      return words;
    },
  };
}

/** Whether the fields that `only` sets are those of the value. */
function says(fields: Readonly<Record<string, unknown>>, { value, unit, pair }: Said): boolean {
  return sameField(fields.said, { value, unit }) && (pair === undefined || sameField(fields.pair, pair));
}

/** A description that says one part and nothing else. */
function only(trees: Syntax, part: Node): Syntax {
  const node: Node = {
    is: 'sequence',
    items: [
      part,
      { is: 'tag', tag: { op: 'number', path: 'said', sign: 1, quantity: true, append: false } },
      { is: 'tag', tag: { op: 'pair', path: 'pair' } },
    ],
  };
  return { ...trees, roots: [{ id: 'only', patterns: [] }], tree: new Map([...trees.tree, ['only', node]]) };
}

interface Uses {
  readonly numbers: boolean;
  readonly units: boolean;
  readonly fields: boolean;
}

function usesOf(trees: Syntax, node: Node, known: Map<string, Uses>): Uses {
  if (node.is === 'tag') {
    const numbers = node.tag.op === 'digit';
    const units = node.tag.op === 'unit';
    return { numbers, units, fields: !numbers && !units };
  }
  if (node.is === 'free') return { numbers: false, units: false, fields: true };
  if (node.is === 'rule') {
    let uses = known.get(node.id);
    if (uses === undefined) {
      uses = usesOf(trees, patternOf(trees, node.id), known);
      known.set(node.id, uses);
    }
    return uses;
  }
  const inner = children(node).map((child) => usesOf(trees, child, known));
  return {
    numbers: inner.some((use) => use.numbers),
    units: inner.some((use) => use.units),
    fields: inner.some((use) => use.fields),
  };
}
