/** What stands in the book because of an entry, in words. */
import type { Book } from '../../shared/book/book.ts';
import { settingRow } from '../../shared/book/settings.ts';
import type { Units } from '../../shared/core/units.ts';
import { nameOfLand } from '../../shared/dialogue/naming.ts';
import type { Act } from '../../shared/note/acts.ts';
import type { DeviceId, Entry } from '../../shared/note/journal.ts';
import * as wording from '../../shared/wording/wording.ts';

/** What stands in the book because of an entry, in the units of who looks; empty where it changed nothing. */
export function standingOf(book: Book, entry: Entry, device: DeviceId): string {
  const { units } = book.settingsOf(device);
  const parts = entry.acts.flatMap((act) => standingOfAct(book, act, units) ?? []);
  return wording.sentence([...new Set(parts)].join('; '));
}

/** What stands because of one act; null where nothing does. */
function standingOfAct(book: Book, act: Act, units: Units): string | null {
  switch (act.act) {
    case 'tree':
    case 'amend': {
      const tree = book.tree(act.act === 'tree' ? act.id : act.target);
      return tree && `Tree ${tree.number}, ${wording.treeFacts(tree, units)}`;
    }
    case 'height':
    case 'remeasure':
      return heightWords(book, act.act === 'height' ? act.id : act.target, units);
    case 'plot': {
      const plot = book.plot(act.id);
      return plot && `Plot ${plot.number}, ${plot.empty ? 'empty' : wording.plotSize(plot, units)}`;
    }
    case 'plotAmend':
      return plotChangeWords(book, act, units);
    case 'stand':
      return `Stand ${act.name}`;
    case 'stratum':
      return `Stratum ${act.name}`;
    case 'setting':
      return settingRow(act.set.what).told(act.set, units);
    case 'word':
      return `"${act.word}" is ${act.species === undefined ? (act.mark ?? 'a word') : wording.speciesName(act.species)}`;
    case 'remark':
      return act.text === '' ? 'A remark' : `Remark: ${act.text}`;
    case 'retract':
      return 'Took something back';
    case 'restore':
      return 'Put something back';
    default:
      return nameOfLand(book, act, units);
  }
}

function heightWords(book: Book, id: string, units: Units): string | null {
  const height = book.height(id);
  if (height?.value) {
    const { feet, sdFeet } = height.value;
    const of = book.tree(height.tree);
    return `${of ? `Tree ${of.number}, ` : ''}${wording.heightAndError(feet, sdFeet, units)}`;
  }
  return height?.problem?.kind === 'needs' ? `A height that waits for the ${height.problem.what}` : null;
}

function plotChangeWords(book: Book, act: Extract<Act, { act: 'plotAmend' }>, units: Units): string | null {
  const plot = book.plot(act.target);
  if (!plot) return null;
  const size = act.size || act.slopePct !== undefined ? `, ${wording.plotSize(plot, units)}` : '';
  return `Plot ${plot.number}${act.closed ? ' closed' : ''}${act.empty ? ', empty' : ''}${size}`;
}
