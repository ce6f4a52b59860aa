/** Which trees a question is about: species, plot, stratum, day, person and status, as they are said. */

import type { Book } from '../book/book.ts';
import { err, ok, type Result } from '../core/result.ts';
import type { Scope, SpeciesRef } from '../note/note.ts';
import { genusOfName } from '../note/species.ts';
import { type SpeciesKey, speciesKey, type TotalsScope } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import type { Context } from './outcome.ts';
import { plotMeant } from './plot-meant.ts';
import { speciesNamed } from './species-of.ts';

/** The scope of a question in the ids of the book, with its words for the answer; an error names what is not there. */
export function scopeOf(
  context: Context,
  scope: Scope | undefined,
): Result<{ scope: TotalsScope; words: string }, string> {
  const { book, deviceState } = context;
  if (scope === undefined) return scopeOf(context, {});
  const words: string[] = [];
  const here = book.standOf(context.device)?.id ?? null;
  // Where there are several stands, a question is about that of who asks.
  let stand = book.stands.size > 1 && !scope.everywhere ? here : null;
  let found: TotalsScope = {};
  if (scope.species !== undefined) {
    const keys = speciesKeysOf(context, scope.species);
    // Several of a genus are asked for one by one: see `total`.
    if (keys.length > 1) return err(whichOf(keys));
    found = { ...found, species: keys[0]! };
    words.push(`of ${wording.speciesName(keys[0]!)}`);
  }
  if (scope.plot !== undefined) {
    const plot = scope.plot === 'this' ? book.plot(deviceState.plot) : plotMeant(context, scope.plot);
    if (!plot) return err(noPlot(scope.plot));
    found = { ...found, plot: plot.id };
    words.push(`on plot ${plot.number}`);
  }
  if (scope.stratum !== undefined) {
    const place = placeMeant(book, scope.stratum, here);
    if (place === null) return err(`There is no stand or stratum ${scope.stratum}.`);
    if (place.stand !== undefined) stand = place.stand;
    found = { ...found, ...place.found };
    words.push(`in ${wording.standName(place.name)}`);
  }
  if (scope.day === 'week') return err('Of a week I tell the tallest and the thickest tree. Ask by the day.');
  if (scope.day !== undefined) {
    found = { ...found, day: dayOf(context, scope.day) };
    words.push(scope.day);
  }
  if (scope.person !== undefined) {
    found = { ...found, person: scope.person };
    words.push(`by ${wording.sentence(scope.person)}`);
  }
  if (scope.status !== undefined) {
    found = { ...found, status: scope.status };
    words.push(statusWords(scope.status));
  }
  if (scope.everywhere) words.push('in the whole book');
  return ok({
    scope: stand === null ? found : { ...found, stand },
    words: words.map((one) => ` ${one}`).join(''),
  });
}

const dayOf = ({ today }: Context, day: 'today' | 'yesterday'): number =>
  day === 'today' ? today : today - 1;

const statusWords = (status: NonNullable<Scope['status']>): string =>
  `that ${status === 'live' ? 'live' : `are ${status}`}`;

const noPlot = (plot: number | 'this'): string =>
  plot === 'this' ? 'No plot is open.' : `There is no plot ${plot}.`;

/** A stratum by its name, else a stand that is called so: "basal area of Mill Lot"; `stand`: another than that in hand counts. */
function placeMeant(
  book: Book,
  name: string,
  here: string | null,
): { readonly name: string; readonly found: TotalsScope; readonly stand?: string | null } | null {
  const stratum = stratumMeant(book, name, here);
  if (stratum)
    return {
      name: stratum.name,
      found: { stratum: stratum.id },
      ...(stratum.elsewhere ? { stand: null } : {}),
    };
  const stands = [...book.stands.values()];
  const near = stands.filter((each) => isShortFor(name, each.name));
  const stand = stands.find((each) => each.name === name) ?? (near.length === 1 ? near[0] : undefined);
  return stand === undefined
    ? null
    : { name: stand.name, found: {}, ...(book.stands.size > 1 ? { stand: stand.id } : {}) };
}

const numberWords = 'zero one two three four five six seven eight nine ten eleven twelve'.split(' ');

/** Words of a name without those that any stand has; figures for number words, "14 b" as "14b". */
const wordsOf = (name: string): readonly string[] =>
  name
    .toLowerCase()
    .replace(/(\d) (?=[a-z](?: |$))/g, '$1')
    .split(/[\s-]+/)
    .map((word) => (numberWords.includes(word) ? String(numberWords.indexOf(word)) : word))
    .filter((word) => !/^(?:stand|compartment|number|wood|the|)$/.test(word));

/** "14b" for "harl wood 14b", "3" for "stand three upland oak". */
function isShortFor(said: string, whole: string): boolean {
  const [own, all] = [wordsOf(said), wordsOf(whole)];
  return own.length > 0 && own.every((word) => all.includes(word));
}

/** Two stands may each have a "ridge": that of the stand in hand is meant, another only where this one has none. */
function stratumMeant(book: Book, name: string, here: string | null) {
  const own = book.stratumNamed(name, here);
  const stratum = own ?? [...book.strata.values()].find((each) => each.name === name);
  return stratum && { id: stratum.id, name: stratum.name, elsewhere: own === null };
}

/** What a species name stands for among the trees of the book: one key, or all of a genus that are there. */
export function speciesKeysOf(context: Context, ref: SpeciesRef): readonly SpeciesKey[] {
  const species = speciesNamed(context, ref);
  const there = [...new Set([...context.book.trees()].map(speciesKey))];
  if ('code' in species) {
    // Told by a name before it was said what that means.
    const { code } = species;
    const means = (key: SpeciesKey): boolean => {
      const named = typeof key === 'string' ? speciesNamed(context, key) : null;
      return named !== null && 'code' in named && named.code === code;
    };
    return [code, ...there.filter(means)];
  }
  const meant = there.filter(
    (key) =>
      key === ref ||
      (typeof key === 'string' && isWithin(speciesNamed(context, key), species.codes)) ||
      (typeof key === 'number' && (species.codes.includes(key) || key === genusOfName(String(ref)))),
  );
  return meant.length > 0 ? meant : [String(ref)];
}

/** "White pine" is a pine, whichever it is. */
const isWithin = (named: ReturnType<typeof speciesNamed>, codes: readonly number[]): boolean =>
  !('code' in named) && named.codes.length > 0 && named.codes.every((code) => codes.includes(code));

const whichOf = (keys: readonly SpeciesKey[]): string =>
  `Which: ${wording.list(keys.slice(0, 6).map(wording.speciesName), 'or')}? Ask again with its full name.`;
