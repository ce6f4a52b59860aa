/** What goes into the files of a book: its records as they stand, what each tree comes to, and what was set. */

import type { Book } from '../../book/book.ts';
import { totalsOf } from '../../book/totals-of.ts';
import { heightMethods } from '../../measuring/height/methods.ts';
import { type Entry, momentOf } from '../../note/journal.ts';
import { type LogRule, logRules, usualLogRule } from '../../note/log-rules.ts';
import type { SettingAct } from '../../note/settings.ts';
import type { TreeValues } from '../../totals/totals.ts';
import type { PlotRecord, StandRecord, TreeRecord } from '../../totals/types.ts';

/** What a book holds at the moment it is exported. */
export interface Wood {
  readonly trees: readonly TreeRecord[];
  readonly plots: readonly PlotRecord[];
  readonly stands: readonly StandRecord[];
  readonly strata: readonly StandRecord[];
  readonly entries: readonly Entry[];
  /** In which units the files are written. */
  readonly units: 'feet' | 'metres';
  /** By which rule their board feet are. */
  readonly rule: LogRule;
  /** Girard form class of trees that have none of their own, percent. */
  readonly formClass: number;
  /** By tree or plot; nothing where it is missing. */
  readonly besides: ReadonlyMap<string, Besides>;
  /** What was set and holds, in the order in which it was said. */
  readonly settings: readonly KeptSetting[];
}

/** What stands beside the record of a tree or a plot. */
export interface Besides {
  readonly remarks: readonly string[];
  /** How the height was measured. */
  readonly methods: readonly string[];
  readonly values: TreeValues | null;
}

export interface KeptSetting {
  readonly entry: string;
  readonly time: number;
  /** Who had been named when it was said; null: nobody. */
  readonly person: string | null;
  readonly set: SettingAct;
}

export function woodOf(book: Book): Wood {
  const { units, logRule } = book.settings.now;
  const rule = logRule ?? usualLogRule;
  const trees = [...book.trees()];
  const plots = [...book.plots()];
  const remarks = remarksOf(book);
  const besides = new Map<string, Besides>();
  const totals = totalsOf(book);
  for (const { id } of plots) besides.set(id, { remarks: remarks.get(id) ?? [], methods: [], values: null });
  for (const tree of trees) {
    const methods = new Set(tree.heights.flatMap((id) => wayOf(book, id)));
    besides.set(tree.id, {
      remarks: remarks.get(tree.id) ?? [],
      methods: [...methods],
      values: totals.valuesOf(tree, rule),
    });
  }
  return {
    trees,
    plots,
    stands: [...book.stands.values()],
    strata: [...book.strata.values()],
    entries: [...book.entries.placed()],
    units,
    rule,
    formClass: book.ledger.formClass,
    besides,
    settings: keptSettings(book),
  };
}

/** How a height was measured; of one that came from a table, what that says. */
export function wayOf(book: Book, id: string): readonly string[] {
  const node = book.height(id);
  const said = node?.said.at(-1)?.value;
  if (!node?.method || !said) return [];
  return [said.method === 'reading' && said.was !== undefined ? said.was : heightMethods[node.method].short];
}

/** Remarks by the tree that they were said of, else by the plot. */
function remarksOf(book: Book): ReadonlyMap<string, readonly string[]> {
  const found = new Map<string, string[]>();
  for (const { text, tree, plot } of book.remarks) {
    const of = tree ?? plot;
    if (of === null) continue;
    const own = found.get(of);
    if (own) own.push(text);
    else found.set(of, [text]);
  }
  return found;
}

/** How a device talks, who speaks on it, what it will do next and what is still planned are no settings of a book's values. */
const ofDevices: ReadonlySet<SettingAct['what']> = new Set([
  'voice',
  'attention',
  'person',
  'plotSize',
  'planned',
  'leastDiameter',
]);

function keptSettings(book: Book): KeptSetting[] {
  return book.settings.holding().flatMap(({ entry, who, set }) => {
    const said = book.entry(entry);
    if (said === undefined || ofDevices.has(set.what)) return [];
    return [{ entry, time: momentOf(said).time, person: who ?? null, set }];
  });
}

/** The rule and the form class in words, for a file that has no rows of settings. */
export const volumeWords = ({ rule, formClass }: Pick<Wood, 'rule' | 'formClass'>): string =>
  `${logRules[rule].name}, form class ${formClass} where none was said`;
