/** What was in doubt and what became of it, and what was corrected: with the words that were said. */

import type { Book, RegisteredDoubt } from '../../book/book.ts';
import { totalsOf } from '../../book/totals-of.ts';
import { clockOf, dateOf, dayNumber } from '../../core/moment.ts';
import { secondDoubtsOfBook } from '../../dialogue/second-look.ts';
import { type Entry, meantBy, momentOf } from '../../note/journal.ts';
import type { Section } from './sections.ts';

const states = { open: 'open', kept: 'kept as it was', mended: 'mended', dropped: 'dropped' } as const;

export function doubtSection(book: Book): Section {
  const settledBy = new Map<string, Entry>();
  for (const entry of book.entries) {
    for (const act of entry.acts) if (act.act === 'settle') settledBy.set(act.entry, entry);
  }
  const clock = clockIn(book);
  const rows = book.doubts.map((one: RegisteredDoubt) => {
    const answer = settledBy.get(one.entry);
    return [
      clock(book.entry(one.entry)),
      book.tree(one.tree)?.number.toString() ?? '',
      one.doubt.sentence,
      one.state === 'open' ? '' : quoted(answer?.words ?? ''),
      states[one.state],
    ];
  });
  const { units } = book.settings.now;
  const looks = secondDoubtsOfBook(book, units).map(({ about, sentence }) => [
    '',
    book.tree(about ?? null)?.number.toString() ?? '',
    `Look again: ${sentence}`,
    '',
    'open',
  ]);
  const marks = totalsOf(book)
    .bookDoubts(units)
    .map((mark) => ['', '', `${mark.sentence} ${mark.mend}`, '', 'open']);
  const all = [...rows, ...looks, ...marks];
  if (all.length === 0) return { heading: 'Doubts', lines: ['None.'] };
  return {
    heading: 'Doubts',
    table: { head: ['at', 'tree', 'doubt', 'then said', 'now'], rows: all, wide: true },
  };
}

/** Entries that changed or took back what others had said. */
export function correctionSection(book: Book): Section | null {
  const clock = clockIn(book);
  const rows: string[][] = [];
  for (const entry of book.entries) {
    const what = correctionOf(book, entry);
    if (what === null) continue;
    const taken = book.isRetracted(entry.id) ? '; itself taken back' : '';
    rows.push([clock(entry), what.tree, quoted(entry.words), `${what.did}${taken}`]);
  }
  if (rows.length === 0) return null;
  return {
    heading: 'Corrections',
    table: { head: ['at', 'tree', 'said', 'what it did'], rows, wide: true },
  };
}

function correctionOf(book: Book, entry: Entry): { readonly tree: string; readonly did: string } | null {
  const numberOf = (id: string | null | undefined): string => book.tree(id ?? null)?.number.toString() ?? '';
  for (const act of entry.acts) {
    if (act.act === 'retract') {
      const words = act.targets.map((target) => quoted(book.entry(target)?.words ?? ''));
      const first = book.entry(act.targets[0]!)?.acts.find((each) => each.act === 'height');
      return {
        tree: first?.act === 'height' ? numberOf(first.tree) : '',
        did: `takes back ${words.join(', ')}`,
      };
    }
    if (act.act === 'remeasure') {
      const before = book.entry(act.target)?.words ?? '';
      const tree = numberOf(book.height(act.target)?.tree);
      return { tree, did: `${act.measurement === null ? 'drops' : 'replaces'} ${quoted(before)}` };
    }
    if (act.act === 'amend' && meantBy(entry).kind === 'change') {
      return {
        tree: numberOf(act.target),
        did: `changes ${Object.keys(act.fields).map(fieldName).join(', ')}`,
      };
    }
  }
  return null;
}

/** Tells when an entry was said; with its day where the book has several. */
function clockIn({ entries }: Book): (entry: Entry | undefined) => string {
  const [first, last] = [entries.at(0), entries.at(-1)].map((entry) => entry && dayNumber(momentOf(entry)));
  return (entry) => {
    if (entry === undefined) return '';
    const moment = momentOf(entry);
    return `${first === last ? '' : `${dateOf(moment)} `}${clockOf(moment)}`;
  };
}

const quoted = (words: string): string => (words === '' ? '' : `“${words}”`);

const fieldNames: Readonly<Record<string, string>> = {
  species: 'the species',
  diameterIn: 'the diameter',
  logs: 'the logs',
  merchFt: 'the merchantable height',
  status: 'the status',
  marks: 'the marks',
  defectPct: 'the defect',
  count: 'the count',
  formClass: 'the form class',
  counted: 'whether it counts',
  plot: 'the plot',
};
const fieldName = (field: string): string => fieldNames[field] ?? field;
