/** What the Book shows of each entry: the words, who and when, and what stands now because of it. */
import type { Book } from '../../shared/book/book.ts';
import * as wording from '../../shared/book/wording.ts';
import type { Entry } from '../../shared/journal.ts';

export interface BookRow {
  readonly entry: Entry;
  readonly who: string;
  /** Number of the tree that it is about, null for none. */
  readonly tree: number | null;
  /** What is in the book now because of it; empty where it only asked or answered. */
  readonly stands: string;
  readonly state: 'stands' | 'taken back' | 'said' | 'waits for an answer';
  readonly doubted: boolean;
  readonly clip: string | null;
}

/** Rows, newest first, at most `limit`. */
export function bookRows(book: Book, device: string, limit: number): BookRow[] {
  const doubted = new Set(book.doubts.filter((one) => one.state === 'open').map((one) => one.entry));
  const waiting = new Set(book.hand(device).questions.map((question) => question.entry));
  return book.entries
    .slice(-limit)
    .reverse()
    .map((entry) => {
      const tree = book.tree(treeOf(entry));
      const did = entry.acts.some((act) => act.act !== 'settle' && act.act !== 'retract');
      return {
        entry,
        who: entry.person ?? (entry.device === device ? 'here' : `device ${entry.device.slice(-4)}`),
        tree: tree?.number ?? null,
        stands: book.isRetracted(entry.id) ? '' : standing(book, entry, device),
        state: book.isRetracted(entry.id)
          ? 'taken back'
          : waiting.has(entry.id)
            ? 'waits for an answer'
            : did
              ? 'stands'
              : 'said',
        doubted: doubted.has(entry.id),
        clip: entry.heard?.clip ?? null,
      };
    });
}

function treeOf(entry: Entry): string | null {
  for (const act of entry.acts) {
    if (act.act === 'tree') return act.id;
    if (act.act === 'amend') return act.target;
    if (act.act === 'height') return act.tree;
  }
  return null;
}

function standing(book: Book, entry: Entry, device: string): string {
  const { units } = book.settingsOf(device);
  const parts: string[] = [];
  for (const act of entry.acts) {
    if (act.act === 'tree' || act.act === 'amend') {
      const tree = book.tree(act.act === 'tree' ? act.id : act.target);
      if (tree) parts.push(`Tree ${tree.number}, ${wording.treeFacts(tree, units)}`);
    } else if (act.act === 'height' || act.act === 'remeasure') {
      const height = book.height(act.act === 'height' ? act.id : act.target);
      const of = book.tree(height?.tree ?? null);
      if (height?.value) {
        const { feet, sdFeet } = height.value;
        parts.push(`${of ? `Tree ${of.number}, ` : ''}${wording.heightAndError(feet, sdFeet, units)}`);
      } else if (height?.problem?.kind === 'needs')
        parts.push(`A height that waits for the ${height.problem.what}`);
    } else if (act.act === 'plot') {
      const plot = book.plot(act.id);
      if (plot) parts.push(`Plot ${plot.number}, ${plot.empty ? 'empty' : wording.plotSize(plot, units)}`);
    } else if (act.act === 'stand') parts.push(`Stand ${act.name}`);
    else if (act.act === 'stratum') parts.push(`Stratum ${act.name}`);
    else if (act.act === 'setting') parts.push('A setting');
    else if (act.act === 'remark') parts.push('A remark');
    else if (act.act === 'retract') parts.push('Took something back');
  }
  return wording.sentence([...new Set(parts)].join('; '));
}
