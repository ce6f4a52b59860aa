/**
 * Random sentences of the description, uniform over its rules by weight and then over every choice, for benches and
 * tuning: walks the pattern trees, so it knows nothing of the automaton that the readers run on.
 */
import type { Trees } from '../grammar/compile.ts';
import type { Node } from '../grammar/pattern.ts';

/** Numbers 0..1 from a seed, always the same (mulberry32). */
export function randomFrom(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** One sentence, lower case, single spaces. */
export function sentence(trees: Trees, random: () => number): string {
  const total = trees.roots.reduce((sum, rule) => sum + (rule.weight ?? 1), 0);
  let draw = random() * total;
  let root = trees.roots[0]!;
  for (const rule of trees.roots) {
    root = rule;
    draw -= rule.weight ?? 1;
    if (draw < 0) break;
  }
  const words: string[] = [];
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)]!;
  const say = (node: Node): void => {
    switch (node.is) {
      case 'word':
        words.push(node.word);
        break;
      case 'sequence':
        node.items.forEach(say);
        break;
      case 'choice':
        say(pick(node.options));
        break;
      case 'optional':
        if (random() < 0.5) say(node.item);
        break;
      case 'anyOrder': {
        const left = [...node.items];
        while (left.length > 0) say(left.splice(Math.floor(random() * left.length), 1)[0]!);
        break;
      }
      case 'rule':
        for (let again = true; again; again = node.repeat && random() < 0.3) say(trees.tree.get(node.id)!);
        break;
      case 'free':
        words.push(pick(trees.description.freeWords));
        break;
      case 'tag':
        break;
    }
  };
  say(trees.tree.get(root.id)!);
  return words.join(' ');
}
