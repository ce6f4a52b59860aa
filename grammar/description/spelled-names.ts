/** Names of the description: the phrases of a rule that holds only words and constants. */
import type { Node } from './patterns.ts';

interface SpelledName {
  readonly words: readonly string[];
  readonly value: string | number;
}

/** The phrases of a rule that holds only words and constants, each with its constant. */
export function namesOf(node: Node | undefined): SpelledName[] {
  const spelled = node === undefined ? [] : spell(node);
  return spelled.flatMap(({ words, value }) =>
    value === undefined || words.length === 0 ? [] : [{ words, value }],
  );
}

interface Spelled {
  readonly words: readonly string[];
  readonly value: string | number | undefined;
}

function spell(node: Node): Spelled[] {
  switch (node.is) {
    case 'word':
      return [{ words: [node.word], value: undefined }];
    case 'tag':
      return [
        {
          words: [],
          value: node.tag.op === 'const' && typeof node.tag.value !== 'boolean' ? node.tag.value : undefined,
        },
      ];
    case 'choice':
      return node.options.flatMap(spell);
    case 'optional':
      return [{ words: [], value: undefined }, ...spell(node.item)];
    case 'sequence':
      return node.items.reduce<Spelled[]>(
        (all, item) =>
          all.flatMap((before) =>
            spell(item).map((one) => ({
              words: [...before.words, ...one.words],
              value: one.value ?? before.value,
            })),
          ),
        [{ words: [], value: undefined }],
      );
    default:
      return [];
  }
}
