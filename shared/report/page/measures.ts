/** What a report asks of its book: once, for all sections that show it. */

import type { Book } from '../../book/book.ts';
import { meanHeight } from '../../book/mean-height.ts';
import { totalsOf } from '../../book/totals-of.ts';
import { logRules, usualLogRule } from '../../note/log-rules.ts';
import type { Estimate } from '../../totals/types.ts';

/** A value of the stand, with the name that the report has for it. */
export interface Measure {
  readonly name: string;
  readonly estimate: Estimate;
  /** Its name in the table of sources; null where another value has the same. */
  readonly sourced: string | null;
}

/** Those that the book has a value for. */
export function reportedMeasures(book: Book): readonly Measure[] {
  const totals = totalsOf(book);
  const rule = book.settings.now.logRule ?? usualLogRule;
  const sawlogs = `Sawlogs, ${logRules[rule].name}`;
  const asked: readonly (readonly [name: string, estimate: Estimate, sourced?: string | null])[] = [
    ['Basal area', totals.basalArea()],
    ['Trees', totals.density()],
    [sawlogs, totals.volumePerAcre(rule)],
    [`${sawlogs}, in all`, totals.volume(rule), null],
    ['Whole stems', totals.perAcre('cubic')],
    ['Biomass above ground', totals.perAcre('biomass')],
    ['Carbon in it', totals.perAcre('carbon'), 'Carbon'],
    ['Mean height', meanHeight(book)],
    ['Lorey’s height (weighted by basal area)', totals.loreyHeight(), 'Lorey’s height'],
    ['Top height', totals.topHeight()],
    ['Quadratic mean diameter', totals.quadraticDiameter(), null],
  ];
  // Nought board feet of trees whose logs nobody said are no value.
  return asked
    .filter(([, { value, unit, trees }]) => value !== null && !(unit.startsWith('bf') && trees === 0))
    .map(([name, estimate, sourced = name]) => ({ name, estimate, sourced }));
}
