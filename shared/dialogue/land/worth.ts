/** Prices as they are said, and what the wood is worth by them. */
import type { Act } from '../../note/acts.ts';
import type { NoteOf, SpeciesRef } from '../../note/note.ts';
import { genusOfName } from '../../note/species.ts';
import * as wording from '../../wording/wording.ts';
import { type Context, kept, type Outcome, refused } from '../outcome.ts';
import { speciesOf } from '../species-of.ts';

const productNames = { saw: 'saw logs', pulp: 'pulp', firewood: 'firewood' } as const;
const unitNames = {
  thousand: 'a thousand board feet',
  cord: 'a cord',
  ton: 'a ton',
  tonne: 'a tonne',
  cubicMetre: 'a cubic metre',
  cunit: 'a hundred cubic feet',
} as const;

export function priceOutcome(context: Context, note: NoteOf<'price'>): Outcome {
  const { facts, product, dollars, per } = note;
  const said = facts?.species;
  const species = said === undefined ? [] : codesOf(context, said);
  const rule = note.rule ?? null;
  const act: Act = { act: 'price', species, product: product ?? null, dollars, per, rule };
  const of = [
    ...(said === undefined ? [] : [typeof said === 'string' ? said : wording.speciesName(said)]),
    ...(product === undefined ? [] : [productNames[product]]),
  ];
  return kept(
    [act],
    () =>
      `${wording.sentence(of.length === 0 ? 'all wood' : of.join(' '))}: ${wording.digits(dollars, 2)} dollars ${unitNames[per]}.`,
  );
}

/** All species that the name may mean, and their genus. */
function codesOf(context: Context, ref: SpeciesRef): number[] {
  const species = speciesOf(context, ref);
  if ('code' in species) return [species.code];
  const genus = genusOfName(String(ref));
  return [...species.codes, ...(typeof genus === 'number' ? [genus] : [])];
}

export function worthAnswer({ book }: Context, _note: NoteOf<'ask'>): Outcome {
  if (book.land.prices.length === 0)
    return refused('No price was said yet. Say, for one, red oak is 450 dollars a thousand.');
  return refused('Not yet.');
}
