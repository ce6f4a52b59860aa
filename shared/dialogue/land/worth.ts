/** Prices as they are said, and what the wood is worth by them. */
import { totalsOf } from '../../book/totals-of.ts';
import type { Act } from '../../note/acts.ts';
import type { Product } from '../../note/land-words.ts';
import { type LogRule, usualLogRule } from '../../note/log-rules.ts';
import type { NoteOf, SpeciesRef } from '../../note/note.ts';
import type { Breakdown } from '../../note/question-topics.ts';
import { genusOfName } from '../../note/species.ts';
import { noAppraisal, worthOf } from '../../totals/prices.ts';
import type { TotalsScope } from '../../totals/types.ts';
import * as wording from '../../wording/wording.ts';
import { scopeOf } from '../asked-scope.ts';
import { partsOf } from '../broken-down.ts';
import { type Context, kept, type Outcome, refused, said } from '../outcome.ts';
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
  const named = facts?.species;
  const species = named === undefined ? [] : codesOf(context, named);
  const rule = note.rule ?? null;
  const act: Act = { act: 'price', species, product: product ?? null, dollars, per, rule };
  const of = [
    ...(named === undefined ? [] : [typeof named === 'string' ? named : wording.speciesName(named)]),
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

/** What the wood of the whole, or of what was asked for, is worth by the prices that were said. */
export function worthAnswer(context: Context, note: NoteOf<'ask'>): Outcome {
  const { book, settings } = context;
  if (book.land.prices.length === 0)
    return refused('No price was said yet. Say, for one, red oak is 450 dollars a thousand.');
  const made = scopeOf(context, note.scope);
  if (!made.ok) return refused(made.error);
  const rule = note.rule ?? settings.logRule ?? usualLogRule;
  if (note.by !== undefined) return worthByPart(context, note.by, made.value.scope, rule);
  const worth = worthOf(totalsOf(book), book.land.prices, made.value.scope, { rule });
  if (worth.value === null) return said(worth.leftOut.join(' ') || 'Nothing to go by yet.');
  const { value, low, high } = worth;
  const error =
    low === null || high === null
      ? '. One plot, so no error yet'
      : value > 0
        ? `, give or take ${wording.digits((50 * (high - low)) / value, 0)} percent`
        : '';
  const missing = worth.leftOut[0] ? ` ${worth.leftOut[0]}` : '';
  const lines = worth.lines.map(
    ({ price, volume, dollars, counted }) =>
      `${ofWords(
        price.species.map((code) => wording.speciesName(code)),
        price.product,
      )}: ${wording.digits(volume, 1)} at ${wording.digits(price.dollars, 2)} dollars ${unitNames[price.per]}, ${money(dollars)}${counted ? '' : ', not counted: worth more as something else'}.`,
  );
  return said(
    `About ${money(value)}${made.value.words}${error}.${missing} ${noAppraisal}`,
    [...lines, ...worth.assumed, ...worth.leftOut].join('\n'),
  );
}

/** Each part with what its wood is worth, the most first; what has no price is named. */
function worthByPart(context: Context, by: Breakdown, scope: TotalsScope, rule: LogRule): Outcome {
  const { book } = context;
  const parts = partsOf(context, by, scope).flatMap(({ name, scopes }) =>
    scopes.map((one) => ({
      name: scopes.length === 1 || one.species === undefined ? name : wording.speciesName(one.species),
      worth: worthOf(totalsOf(book), book.land.prices, one, { rule }),
    })),
  );
  const valued = parts
    .flatMap(({ name, worth }) =>
      worth.value === null || worth.value === 0 ? [] : [{ name, value: worth.value }],
    )
    .sort((a, b) => b.value - a.value);
  const [bare] = parts;
  if (valued.length === 0)
    return said(bare?.worth.leftOut.join(' ') || 'No wood here has a price yet. Nothing to go by.');
  const others = parts.length - valued.length;
  const left = others === 0 ? '' : ` ${others === 1 ? '1 has' : `${others} have`} no value.`;
  const lines = valued.map(({ name, value }) => `${name} about ${money(value)}`);
  return said(
    `${wording.sentence(wording.list(lines.slice(0, 6)))}.${left} ${noAppraisal}`,
    lines.join('\n'),
  );
}

/** Three figures: more than its error deserves is not said. */
const money = (dollars: number): string =>
  `${wording.thousands(Number(dollars.toPrecision(dollars >= 100 ? 3 : 2)))} dollars`;

function ofWords(species: readonly string[], product: Product | null): string {
  const names = species.length === 0 ? 'all wood' : wording.list(species.slice(0, 3));
  return wording.sentence(product === null ? names : `${names} as ${productNames[product]}`);
}
