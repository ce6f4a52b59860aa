/** What wood brings, put together from a number, a word for money or none, and what it is paid for. */
import type { NoteOf } from '../../shared/note/note.ts';
import type { Draft, Scan } from './scan.ts';

type Price = NoteOf<'price'>;

/** What a price is for, behind "a", "per" or "the". */
const paidFor: readonly (readonly [pattern: RegExp, per: Price['per']])[] = [
  [/^(?:thousand|mbf|m)$/, 'thousand'],
  [/^cords?$/, 'cord'],
  [/^tons?$/, 'ton'],
  [/^tonnes?$/, 'tonne'],
  [/^(?:cubic metres?|cubic meters?)$/, 'cubicMetre'],
  [/^(?:cunits?|hundred cubic feet)$/, 'cunit'],
];
const productWords: readonly (readonly [pattern: RegExp, product: NonNullable<Price['product']>])[] = [
  [/^(?:saw ?logs?|logs?|sawtimber|timber|saw timber)$/, 'saw'],
  [/^(?:pulp|pulpwood)$/, 'pulp'],
  [/^firewood$/, 'firewood'],
];
/** Words that may stand beside a price and change nothing of it. */
const beside =
  /^(?:dollars?|bucks?|is|are|at|brings?|bring|pays?|paying|for|goes|sells?|selling|worth|about|a|an|per|the|of|board|board feet|board foot|price|prices|priced|it|we|get|getting|fetches|now|today|feet)$/;

/** What it is paid for, and the place behind the price where that begins. */
function unitOf(scan: Scan, price: number): { per: Price['per']; used: readonly number[] } | undefined {
  for (let at = price + 1; at < scan.pieces.length && at <= price + 4; at++) {
    const { is, text, number } = scan.pieces[at]!;
    if (is === 'break') return undefined;
    // "A thousand" is a number by itself.
    if (is === 'number')
      return number?.value === 1000 && text === 'a thousand' ? { per: 'thousand', used: [at] } : undefined;
    const led = /^(?:a|an|per|the)$/.test(scan.pieces[at - 1]!.text);
    const bare = text.replace(/^(?:a|an|per|the) /, '');
    const found = paidFor.find(([pattern]) => pattern.test(bare));
    if (found !== undefined && (led || bare !== text)) return { per: found[1], used: [at] };
    if (!beside.test(text)) return undefined;
  }
  return undefined;
}

/** "White pine 180 a thousand", "2000 dollars a thousand", "pulp is 12 a cord". */
export function priceDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.species.length > 1) return undefined;
  const [price] = scan.numbers;
  if (price === undefined) return undefined;
  const said = scan.number(price);
  if (said.unit !== undefined || said.sign !== undefined || said.value <= 0) return undefined;
  const unit = unitOf(scan, price);
  if (unit === undefined || scan.numbers.some((at) => at !== price && !unit.used.includes(at)))
    return undefined;
  const used = new Set([price, ...unit.used, ...scan.species]);
  let product: Price['product'];
  for (const [at, { is, text }] of scan.pieces.entries()) {
    if (is === 'break' || used.has(at)) continue;
    const found = productWords.find(([pattern]) => pattern.test(text));
    if (found !== undefined && product === undefined) product = found[1];
    else if (is !== 'words' || !beside.test(text)) return undefined;
    used.add(at);
  }
  const [species] = scan.species;
  const note: Price = {
    kind: 'price',
    ...(species === undefined ? {} : { facts: { species: scan.name(species) } }),
    ...(product === undefined ? {} : { product }),
    dollars: said.value,
    per: unit.per,
  };
  // "2000 a thousand": of what, and of what money, nobody said.
  const sure = species !== undefined || product !== undefined || /\b(?:dollars?|bucks?)\b/.test(scan.text());
  return { notes: [note], used, against: 0, ...(sure ? {} : { unsure: true }) };
}
