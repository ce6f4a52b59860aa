/** How far off one stood for the last height, said right; and angles that are read again from where one stands. */
import type { HeightNode } from '../book/height-node.ts';
import { lastOf } from '../core/required.ts';
import type { Act } from '../note/acts.ts';
import type { Distance, Measurement, NoteOf } from '../note/note.ts';
import * as wording from '../wording/wording.ts';
import { changedMeasurement } from './changed-values.ts';
import { heightOutcome } from './heights.ts';
import { type Context, type Outcome, refused } from './outcome.ts';
import { lastHeightOf, redoneAs } from './redone.ts';

/** "I was standing at ninety", "I was at 60, not 50": of the tree in hand, else of what was measured last. */
export function stoodElsewhere(context: Context, note: NoteOf<'change'>): Outcome {
  const { was, ...change } = note;
  const node = lastHeightOf(context) ?? context.book.height(context.deviceState.measured);
  const measurement = node?.said.at(-1)?.value;
  if (!node || !measurement) return refused('No height was measured yet whose distance that could be.');
  const distance = distanceIn(measurement);
  if (distance === null)
    return refused('The last height had no distance to change. Say the measurement again.');
  if (was !== undefined && !isAt(distance, was))
    return refused(
      `The last height was taken from ${wording.digits(countOf(distance), 2)}, not ${wording.digits(was, 2)}. Nothing is changed. Say which tree, then how far off you were.`,
    );
  const next = changedMeasurement(measurement, change);
  if (!next.ok) return refused(next.error);
  const means: NoteOf<'height'> = { kind: 'height', height: next.value };
  const outcome = heightOutcome(context, next.value, node.tree, means, { remeasure: node.id });
  const { entry } = lastOf(node.said);
  const doubted = context.book.doubts.some((doubt) => doubt.entry === entry && doubt.state === 'open');
  const settled: Act[] = doubted ? [{ act: 'settle', entry, code: '*', how: 'mended' }] : [];
  return outcome.state === 'kept' ? { ...outcome, acts: [...outcome.acts, ...settled] } : outcome;
}

const distanceIn = (measurement: Measurement): Distance | null =>
  'distance' in measurement ? measurement.distance : null;

const countOf = (distance: Distance): number =>
  distance.by === 'length' ? distance.length.value : distance.count;

const isAt = (distance: Distance, was: number): boolean => Math.abs(countOf(distance) - was) < 1e-9;

/** "Do it again: 74 percent, foot minus six": from the same distance; null where the height before it had none. */
export function sightedAgain(
  context: Context,
  before: HeightNode | null,
  note: NoteOf<'change'>,
): Outcome | null {
  const measurement = before?.said.at(-1)?.value;
  if (!before || measurement?.method !== 'angles') return null;
  const next = changedMeasurement(measurement, note);
  if (!next.ok) return refused(next.error);
  const means: NoteOf<'height'> = { kind: 'height', height: next.value };
  return { ...redoneAs(context, before, means), means };
}
