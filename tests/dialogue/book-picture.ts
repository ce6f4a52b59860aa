/** All that can be read off a book as one device has it, for comparing two. */

import type { Book } from '../../shared/book/book.ts';
import { totalsOf } from '../../shared/book/totals-of.ts';
import { deviceId } from '../../shared/note/journal.ts';

/** All that can be read off a book, but for the entries themselves. */
export function picture(book: Book): unknown {
  const { entries: _, ...hand } = book.deviceState(deviceId('device-1'));
  return {
    trees: [...book.trees()].map(({ heightFt, heightSdFt, ...tree }) => ({
      ...tree,
      heights: tree.heights.filter((id) => book.height(id)),
      heightFt: heightFt?.toFixed(9),
      heightSdFt: heightSdFt?.toFixed(9),
    })),
    plots: [...book.plots()],
    stands: [...book.stands.values()],
    strata: [...book.strata.values()],
    settings: book.settingsOf(deviceId('device-1')),
    doubts: book.doubts.filter(({ state }) => state !== 'dropped'),
    remarks: book.remarks,
    words: book.words,
    prices: book.land.prices,
    hand,
    area: totalsOf(book).basalArea({ status: 'all' }).value?.toFixed(9),
    volume: totalsOf(book).volume('doyle').value?.toFixed(9),
    count: totalsOf(book).trees().value,
    guess: book.curve.predict(833, 14).feet.toFixed(6),
  };
}
