/** Everything that can be read off a book, for comparing two; figures to nine digits, as sums may be made in another order. */

import type { Book } from '../../shared/book/book.ts';
import { meanHeight } from '../../shared/book/mean-height.ts';
import { totalsOf } from '../../shared/book/totals-of.ts';
import type { DeviceId } from '../../shared/note/journal.ts';

export function pictureOf(book: Book, devices: readonly DeviceId[]): unknown {
  const entries = [...book.entries];
  const scopes = [{}, ...[...book.plots()].map((plot) => ({ plot: plot.id }))];
  return shown({
    entries: entries.map((entry) => entry.id),
    aside: book.aside,
    trees: [...book.trees()],
    byNumber: [...book.trees()].map(({ number }) => book.treeNumbered(number)?.id),
    last: book.lastTree?.id,
    takenBack: [...book.trees()].map(({ number }) => book.takenBackTree(number)?.id),
    heights: [...book.heights()].map(({ id, tree, value, problem, device, point }) => ({
      id,
      tree,
      feet: value?.feet,
      sd: value?.sdFeet,
      problem,
      settings: book.settings.at(device, point),
    })),
    waiting: devices.map((device) => [...book.waiting(device)].map(({ id }) => id).sort()),
    plots: [...book.plots()],
    stands: [...book.stands.values()],
    strata: [...book.strata.values()],
    words: book.words,
    remarks: book.remarks,
    doubts: book.doubts,
    whole: totalsOf(book).bookDoubts(),
    settings: [book.settings.now, ...devices.map((device) => book.settingsOf(device))],
    hands: devices.map((device) => ({
      ...book.deviceState(device),
      stand: book.standOf(device)?.name,
      stratum: book.stratumOf(device)?.name,
    })),
    back: entries.filter((entry) => book.isRetracted(entry.id)).map((entry) => entry.id),
    news: devices.map((device) => Object.entries(book.newsFor(device) ?? {}).sort()),
    totals: scopes.map((scope) => [
      totalsOf(book).trees(scope).value,
      totalsOf(book).basalArea(scope).value,
      totalsOf(book).total('cubic', scope).value,
      totalsOf(book).volumePerAcre('doyle', scope).value,
      totalsOf(book).quadraticDiameter(scope).value,
      totalsOf(book).meanHeight(scope).value,
      totalsOf(book).foremostTree('tallest', scope)?.id,
      totalsOf(book).foremostTree('thickest', scope)?.id,
      meanHeight(book, scope).value,
    ]),
    stock: totalsOf(book).stockTable(),
    guess: book.curve.predict(833, 14).feet,
  });
}

function shown(value: unknown): unknown {
  if (typeof value === 'number') return Number(value.toPrecision(9));
  if (value instanceof Map) return [...value].map(shown);
  if (Array.isArray(value)) return value.map(shown);
  if (value !== null && typeof value === 'object')
    return Object.fromEntries(Object.entries(value).map(([key, part]) => [key, shown(part)]));
  return value;
}
