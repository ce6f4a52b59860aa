/** A tree that is told from the others of its plot: "the smallest one", "the biggest beech", "the dead one". */
import type { Which } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import type { Scan } from './scan.ts';

const foremost: readonly (readonly [Concept, NonNullable<Which['most']>])[] = [
  ['thinnest', 'thinnest'],
  ['thickest', 'thickest'],
  ['shortest', 'shortest'],
  ['tallest', 'tallest'],
];
const states: readonly (readonly [Concept, NonNullable<Which['status']>])[] = [
  ['dead', 'dead'],
  ['cull', 'cull'],
];
const definite = /^(?:the|that|this)$/;
const nothingMore = /^(?:one|tree|stem)$/;

interface Foremost {
  readonly which: Which;
  readonly tree?: never;
  readonly used: readonly number[];
}

/**
 * The tree, and the places of the words for it; undefined where no such words stand behind "the", or first. A state names a tree only with
 * a word for one behind it: "the dead one".
 */
export function foremostTarget(scan: Scan): Foremost | undefined {
  for (let at = 0; at < scan.pieces.length; at++) {
    const before = scan.pieces[at - 1];
    if (before !== undefined && !definite.test(before.text) && !before.concepts.has('scratch')) continue;
    const found = foremostAt(scan, at);
    if (found !== undefined) return found;
  }
  return undefined;
}

function foremostAt(scan: Scan, at: number): Foremost | undefined {
  const { concepts } = scan.pieces[at]!;
  const next = scan.pieces[at + 1];
  const species = next?.is === 'species' && next.many !== true ? next.species : undefined;
  const named = species === undefined ? {} : { species };
  const one = species !== undefined || nothingMore.test(next?.text ?? '');
  const used = one ? [at, at + 1] : [at];
  const most = foremost.find(([concept]) => concepts.has(concept))?.[1];
  if (most !== undefined) return { which: { ...named, most }, used };
  const status = states.find(([concept]) => concepts.has(concept))?.[1];
  const told = one && species === undefined;
  return status === undefined || !told ? undefined : { which: { status }, used };
}
