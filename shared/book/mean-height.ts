/**
 * The mean height of a book with its whole error: how trees and plots differ, and beside it what the heights share. A pace
 * that is 2 percent too long makes every height paced with it 2 percent too tall; more trees do not average that out.
 */

import { dayNumber } from '../core/moment.ts';
import { tQuantile } from '../core/statistics.ts';
import { type Estimate, speciesKey, type TotalsScope } from '../totals/types.ts';
import { length, sentence } from '../wording/wording.ts';
import type { Book } from './book.ts';
import type { HeightNode } from './height-node.ts';
import { totalsOf } from './totals-of.ts';
import type { Tree } from './tree-records.ts';

/** What the mean height of a scope shares, feet: the pace's and the eye's part of its standard error. */
interface SharedError {
  readonly paceFt: number;
  readonly eyeFt: number;
}

/**
 * The parts of a mean height's error that do not average out. The pace and the eye of one person are the same in all of
 * their heights; those of two people are independent. Trees count alike here, also at a gauge, whose weights hardly differ
 * from tree to tree against the size of such an error.
 */
export function sharedErrorOf(book: Book, scope: TotalsScope = {}): SharedError {
  const byPerson = new Map<string, { pace: number; eye: number }>();
  let trees = 0;
  for (const tree of book.trees()) {
    if (tree.heightFt === null || !within(book, tree, scope)) continue;
    let first: HeightNode | null = null;
    let last: HeightNode | null = null;
    for (const id of tree.heights) {
      const node = book.height(id);
      if (node === null) continue;
      first ??= node;
      if (node.feet !== null) last = node;
    }
    if (first === null || last === null) continue;
    trees++;
    const { person } = first;
    // Several heights of one tree share their pace: one of them stands for all.
    const own = byPerson.get(person);
    if (own === undefined) byPerson.set(person, { pace: last.paceSdFeet, eye: last.eyeSdFeet });
    else {
      own.pace += last.paceSdFeet;
      own.eye += last.eyeSdFeet;
    }
  }
  // What all heights of a person share adds up; what two people err is independent.
  const part = (of: 'pace' | 'eye'): number =>
    trees === 0 ? 0 : Math.hypot(...[...byPerson.values()].map((sums) => sums[of] / trees));
  return { paceFt: part('pace'), eyeFt: part('eye') };
}

function within(book: Book, tree: Tree, scope: TotalsScope): boolean {
  const byPlace = scope.stand !== undefined || scope.stratum !== undefined;
  const plot = byPlace ? book.plot(tree.plot) : null;
  const status = scope.status ?? 'live';
  const stratum = scope.stratum === undefined ? null : plot?.stratum;
  return (
    tree.counted &&
    (status === 'all' || tree.status === status || (status === 'live' && tree.status === 'cull')) &&
    (scope.species === undefined || speciesKey(tree) === scope.species) &&
    (scope.plot === undefined || tree.plot === scope.plot) &&
    (scope.stand === undefined || (plot?.stand ?? tree.stand) === scope.stand) &&
    (stratum === null ||
      stratum === scope.stratum ||
      (typeof stratum === 'string' && book.strata.get(stratum)?.name === scope.stratum)) &&
    (scope.day === undefined || dayNumber(tree) === scope.day) &&
    (scope.person === undefined || tree.person === scope.person)
  );
}

/**
 * Mean height with its whole error. `se` holds the sampling error and the shared one; the limits take Student's t for the
 * first and the normal for the second. Without a sampling error (one plot) there is none to widen, and the shared part is
 * told alone.
 * Example: 100 trees whose mean has a sampling error of 1 ft and 2 ft of the pace: 2.2 ft.
 */
export function meanHeight(book: Book, scope: TotalsScope = {}): Estimate {
  const found = totalsOf(book).meanHeight(scope);
  if (found.value === null) return found;
  const { paceFt, eyeFt } = sharedErrorOf(book, scope);
  const shared = Math.hypot(paceFt, eyeFt);
  if (!(shared > 0)) return found;
  const names = [paceFt > 0 ? 'pace' : '', eyeFt > 0 ? 'eye height' : ''].filter((name) => name !== '');
  const assumed = [
    ...found.assumed,
    `${sentence(names.join(' and '))}, common to these heights, give the mean an error of ${length(shared, book.settings.now.units)} that does not average out.`,
  ];
  if (found.se === null) return { ...found, assumed };
  const tail = (1 + found.confidence) / 2;
  const sampling = found.df > 0 ? found.se * tQuantile(tail, found.df) : 0;
  const half = Math.hypot(sampling, shared * tQuantile(tail, 1e6));
  return {
    ...found,
    se: Math.hypot(found.se, shared),
    low: found.value - half,
    high: found.value + half,
    samplingErrorPct: (100 * half) / found.value,
    assumed,
  };
}
