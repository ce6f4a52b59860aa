/** An answer broken down: each species, plot, stratum, day or person with its own value. */

import { dayNumber } from '../core/moment.ts';
import type { Breakdown } from '../note/question-topics.ts';
import { speciesByCode, spokenName } from '../note/species.ts';
import type { Estimate, SpeciesKey, TotalsScope } from '../totals/types.ts';
import { speciesKey } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import type { Context } from './outcome.ts';

/** One part of a breakdown: its name and the scopes that it is the sum of. */
export interface Part {
  readonly name: string;
  readonly scopes: readonly TotalsScope[];
}

const dayNames = (today: number, day: number): string =>
  day === today ? 'today' : day === today - 1 ? 'yesterday' : `${today - day} days ago`;

/** "oak" of northern red oak: the last word of the common name; what was called otherwise is its own genus. */
function genusOf(key: SpeciesKey): string {
  if (key === null) return 'species not said';
  if (typeof key === 'string') return key;
  const species = speciesByCode(key);
  return species ? (spokenName(species.commonName).split(' ').at(-1) ?? '') : `species ${key}`;
}

/** The parts of a scope that hold anything, in the order in which they came. */
export function partsOf(context: Context, by: Breakdown, scope: TotalsScope): Part[] {
  const { book, today } = context;
  const trees = [...book.trees()].filter(
    (tree) =>
      (scope.stand === undefined || tree.stand === scope.stand) &&
      (scope.plot === undefined || tree.plot === scope.plot) &&
      (scope.species === undefined || speciesKey(tree) === scope.species),
  );
  const each = <T>(values: readonly T[], part: (value: T) => Part): Part[] => [...new Set(values)].map(part);
  switch (by) {
    case 'species':
      return each(trees.map(speciesKey), (species) => ({
        name: wording.speciesName(species),
        scopes: [{ ...scope, species }],
      }));
    case 'genus': {
      const keys = [...new Set(trees.map(speciesKey))];
      return each(keys.map(genusOf), (name) => ({
        name,
        scopes: keys.filter((key) => genusOf(key) === name).map((species) => ({ ...scope, species })),
      }));
    }
    case 'plot':
      return [...book.plots()]
        .filter(({ stand }) => scope.stand === undefined || stand === scope.stand)
        .map(({ id, number }) => ({ name: `plot ${number}`, scopes: [{ ...scope, plot: id }] }));
    case 'stratum':
      return [...book.strata.values()].map(({ id, name }) => ({
        name: wording.placeName(name),
        scopes: [{ ...scope, stratum: id }],
      }));
    case 'stand':
      return [...book.stands.values()].map(({ id, name }) => ({
        name: wording.placeName(name),
        scopes: [{ ...scope, stand: id }],
      }));
    case 'day':
      return each(trees.map(dayNumber), (day) => ({
        name: dayNames(today, day),
        scopes: [{ ...scope, day }],
      }));
    case 'person':
      return each(
        trees.flatMap((tree) => tree.person ?? []),
        (person) => ({ name: wording.sentence(person), scopes: [{ ...scope, person }] }),
      );
    case 'status':
      return (['live', 'dead', 'cull'] as const).map((status) => ({
        name: status,
        scopes: [{ ...scope, status }],
      }));
  }
}

/** Most parts that are said aloud; the rest goes to the page. */
const mostSaid = 6;

/**
 * Each part with its value, the largest first; sums where a part has several scopes. A mean has no sum: a genus then
 * gives its species.
 */
export function brokenDown(
  parts: readonly Part[],
  adds: boolean,
  estimate: (scope: TotalsScope) => Estimate,
  say: (estimate: Estimate, value: number) => string,
): { text: string; detail: string } {
  const single = parts.flatMap(({ name, scopes }) =>
    adds || scopes.length === 1
      ? [{ name, scopes }]
      : scopes.map((scope) => ({ name: wording.speciesName(scope.species ?? null), scopes: [scope] })),
  );
  const rows = single.flatMap(({ name, scopes }) => {
    const found = scopes.map(estimate).filter(({ value }) => value !== null && value !== 0);
    const [first] = found;
    if (!first) return [];
    const value = found.reduce((sum, each) => sum + (each.value ?? 0), 0);
    return [{ name, value, said: `${name} ${say(first, value)}` }];
  });
  rows.sort((a, b) => b.value - a.value);
  if (rows.length === 0) return { text: 'Nothing to break down yet.', detail: '' };
  const shown = rows.slice(0, mostSaid).map(({ said }) => said);
  const rest = rows.length - shown.length;
  const more = rest > 0 ? ` And ${rest} more on the page.` : '';
  return {
    text: `${wording.sentence(wording.list(shown))}.${more}`,
    detail: rows.map(({ said }) => wording.sentence(said)).join('\n'),
  };
}
