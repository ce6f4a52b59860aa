/** What a species name means in this book. */

import type { SpeciesRef } from '../note/note.ts';
import { speciesOfNickname } from '../note/species.ts';
import { namedIn, nativeTo, type Region } from '../note/species-regions.ts';
import type { Context } from './outcome.ts';

type Meaning = { readonly code: number } | { readonly codes: readonly number[] };

/** The species of a reference in this book, or the codes among which to ask: those that grow where the stand is. */
export function speciesOf(context: Context, ref: SpeciesRef): Meaning {
  const settled = settledOf(context, ref);
  if (settled !== undefined) return { code: settled };
  const codes = speciesOfNickname(String(ref));
  return oneOf(codes.length > 1 ? namedIn(String(ref), regionOf(context), codes) : codes);
}

/** All that a name may mean, wherever it grows: a tree that stands in the book is called by any name it has. */
export function speciesNamed(context: Context, ref: SpeciesRef): Meaning {
  const settled = settledOf(context, ref);
  return settled === undefined ? oneOf(speciesOfNickname(String(ref))) : { code: settled };
}

const oneOf = (codes: readonly number[]): Meaning => {
  const [only, ...others] = codes;
  return only !== undefined && others.length === 0 ? { code: only } : { codes };
};

/** What was taught or answered. */
function settledOf({ book, settings }: Context, ref: SpeciesRef): number | undefined {
  if (typeof ref === 'number') return ref;
  const user = book.words.findLast((word) => word.word === ref && word.species !== undefined);
  return settings.nicknames.get(ref) ?? user?.species;
}

/**
 * Where the stand in hand is: as was said, else as its trees tell, else those of the book; where they tell nothing, by the
 * units: who works in metres is taken to be in Europe.
 */
function regionOf({ book, device, settings }: Context): Region {
  if (settings.region !== null) return settings.region;
  const stand = book.standOf(device)?.id ?? null;
  const here = new Set<number>();
  const all = new Set<number>();
  for (const tree of book.trees()) {
    if (tree.species === null) continue;
    all.add(tree.species);
    if (tree.stand === stand) here.add(tree.species);
  }
  const metric = settings.units === 'metres';
  const european = continentOf(here) ?? continentOf(all) ?? metric;
  return european ? 'europe' : (sideOf(here) ?? sideOf(all) ?? 'america');
}

const most = <T>(values: readonly T[], one: T, other: T): T | null => {
  const difference =
    values.filter((value) => value === one).length - values.filter((value) => value === other).length;
  return difference === 0 ? null : difference > 0 ? one : other;
};

const continentOf = (codes: ReadonlySet<number>): boolean | null =>
  most(
    [...codes].map((code) => nativeTo(code).europe),
    true,
    false,
  );

const sideOf = (codes: ReadonlySet<number>): 'east' | 'west' | null =>
  most(
    [...codes].map((code) => nativeTo(code).side),
    'east',
    'west',
  );
