/** What an entry did, in words and numbers: for a taking back to say what went, and a putting back what came again. */

import type { Book, Tree } from '../book/book.ts';
import { settingRow } from '../book/settings.ts';
import type { Units } from '../core/units.ts';
import type { Act, TreeFields } from '../note/acts.ts';
import { type DeviceId, type Entry, meantBy } from '../note/journal.ts';
import type { PlotRecord } from '../totals/types.ts';
import { legWords } from '../wording/ground.ts';
import * as wording from '../wording/wording.ts';
import type { Tongue } from './types.ts';

/** "tree 4, beech, 9 inches", "the height of 48 feet", "the pace of 5.3 feet". */
export function nameOfEntry(book: Book, tongue: Tongue, entry: Entry, units: Units): string {
  const named = entry.acts.flatMap((act) => {
    const name = nameOfAct(book, entry, act, units);
    return name === null ? [] : [{ act: act.act, name }];
  });
  // A tree with its height is one thing; a plot that closed the one before it is that plot.
  const whole = named.find(({ act }) => act === 'plot' || act === 'leg') ?? named[0];
  if (whole !== undefined) return whole.name;
  const { asks } = entry;
  if (asks) return asks.pending ? `${tongue.speak(asks.pending)}, not counted yet` : `"${entry.words}"`;
  if (entry.acts.some(({ act }) => act === 'next')) return 'the step to the next tree';
  return `"${entry.words}"`;
}

function nameOfAct(book: Book, entry: Entry, act: Act, units: Units): string | null {
  switch (act.act) {
    case 'tree':
      return nameOfTree(book.tree(act.id), entry, units);
    case 'amend': {
      const tree = book.tree(act.target);
      const what = fieldsWords(act.fields, units);
      const of = tree ? ` ${meantBy(entry).kind === 'change' ? 'as' : 'of'} tree ${tree.number}` : '';
      return meantBy(entry).kind === 'change'
        ? `the change of${of.replace(' as', '')} to ${what}`
        : `${what}${of}`;
    }
    case 'height':
    case 'remeasure':
      return nameOfRecord(book, act.act === 'height' ? act.id : act.target, units) ?? 'the height that waits';
    case 'assign': {
      const tree = book.tree(act.tree);
      return tree ? `giving the height to tree ${tree.number}` : 'the height without a tree';
    }
    case 'setting':
      return settingRow(act.set.what).named(act.set, units);
    case 'plot': {
      const plot = book.plot(act.id);
      return plot?.size
        ? `plot ${plot.number}, ${wording.plotSize(plot, units)}`
        : `plot ${plot?.number ?? act.number}`;
    }
    case 'plotAmend':
      return nameOfPlotChange(book.plot(act.target), act, units);
    case 'stand':
    case 'stratum':
      return `${act.act} ${wording.placeName(act.name)}`;
    case 'remark':
      return `the remark${act.text ? ` "${act.text}"` : ''}`;
    case 'word':
      return `the word "${act.word}"`;
    default:
      return nameOfLand(book, act, units);
  }
}

/** What an act of a walk, a plan, a place or a price did; null for other acts. */
export function nameOfLand(book: Book, act: Act, units: Units): string | null {
  switch (act.act) {
    case 'traverse':
      return 'the walk round the edge';
    case 'leg':
      return `leg ${act.number}, ${legWords(book.land.leg(act.id)?.said ?? act.leg)}`;
    case 'legAmend':
      return `the change of leg ${book.land.leg(act.target)?.number ?? ''} to ${legWords(act.leg)}`;
    case 'walkEnd':
      return 'the closing of the walk';
    case 'area':
      return `the ${act.of}'s area, ${wording.area(act.acres, units)}`;
    case 'edge':
      return 'the edge that was brought in';
    case 'plan':
      return `the plan of ${wording.plotCount(act.plots.length)}`;
    case 'place':
      return act.plot === undefined ? 'the place' : `the place at plot ${act.plot}`;
    case 'around':
      return `the way round to the ${act.side}`;
    case 'price':
      return `the price of ${act.dollars} dollars`;
    default:
      return null;
  }
}

/** With its height, where both were said in one. */
function nameOfTree(tree: Tree | null, entry: Entry, units: Units): string {
  if (!tree) return 'the tree';
  const height =
    tree.heightFt !== null && entry.acts.some((one) => one.act === 'height')
      ? `, ${wording.length(tree.heightFt, units, tree.heightSdFt ?? 1)}`
      : '';
  return `tree ${tree.number}, ${wording.treeFacts(tree, units)}${height}`;
}

function nameOfPlotChange(
  plot: PlotRecord | null,
  act: Extract<Act, { act: 'plotAmend' }>,
  units: Units,
): string {
  const of = `plot ${plot?.number ?? ''}`.trim();
  if (act.closed) return `the closing of ${of}`;
  if (act.closed === false) return `the opening of ${of} again`;
  if (act.size && plot) return `the size of ${of}, ${wording.plotSize({ ...plot, size: act.size }, units)}`;
  if (act.slopePct !== undefined) return `the slope of ${of}, ${wording.digits(act.slopePct, 0)} percent`;
  return `the change to ${of}`;
}

/** A height or a tree as it stands: "the height of tree 4, 48 feet". Null for what is not there. */
export function nameOfRecord(book: Book, id: string, units: Units): string | null {
  const node = book.height(id);
  const tree = book.tree(node ? node.tree : id);
  if (!node) return tree ? `tree ${tree.number}, ${wording.treeFacts(tree, units)}` : null;
  const of = tree ? ` of tree ${tree.number}` : '';
  return node.value
    ? `the height${of}, ${wording.length(node.value.feet, units, node.value.sdFeet)}`
    : `the height${of} that waits`;
}

function fieldsWords(fields: TreeFields, units: Units): string {
  const parts: string[] = [];
  if (fields.species != null) parts.push(wording.speciesName(fields.species));
  else if (fields.called != null) parts.push(fields.called);
  if (fields.diameterIn != null) parts.push(wording.diameter(fields.diameterIn, units));
  else if (fields.diameterIn === null) parts.push('no diameter');
  if (fields.logs != null) parts.push(wording.logs(fields.logs));
  if (fields.merchFt != null) parts.push(`${wording.length(fields.merchFt, units)} merchantable`);
  if (fields.status !== undefined) parts.push(fields.status);
  if (fields.marks) parts.push(...fields.marks);
  if (fields.unmarked) parts.push(`not ${wording.list(fields.unmarked, 'nor')}`);
  if (fields.defectPct !== undefined) parts.push(`${wording.digits(fields.defectPct, 0)} percent defect`);
  if (fields.count !== undefined) parts.push(wording.treeCount(fields.count));
  if (fields.formClass != null) parts.push(`form class ${wording.digits(fields.formClass, 0)}`);
  if (fields.plot !== undefined) parts.push('another plot');
  if (fields.half) parts.push('half a tree');
  else if (fields.counted !== undefined) parts.push(fields.counted ? 'in' : 'out');
  return parts.length > 0 ? wording.list(parts) : 'what was added';
}

/** What a device has in hand: "Tree 4, beech, 9 inches, is in hand." */
export function handWords(book: Book, device: DeviceId, units: Units): string {
  const { tree, plot } = book.deviceState(device);
  const record = book.tree(tree);
  if (record) return `In hand: tree ${record.number}, ${wording.treeFacts(record, units)}.`;
  const on = book.plot(plot);
  const walk = [...book.land.walks.values()].findLast((one) => one.device === device && !one.closed);
  if (walk && !on) return `The walk has ${walk.legs.length === 1 ? '1 leg' : `${walk.legs.length} legs`}.`;
  return on ? `No tree is in hand; plot ${on.number} is open.` : 'No tree is in hand.';
}
