/** What is planned for the stand in hand: how many plots, from which diameter up. Both are settings that the stand keeps. */
import { diameterToInches } from '../core/units.ts';
import type { NoteOf } from '../note/note.ts';
import type { PlotRecord } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import { asking, type Context, kept, type Outcome, refused, said } from './outcome.ts';
import { kindInUse, kindOfSize } from './plot-meant.ts';

const standInHand = ({ book, device }: Context): string | null => book.standOf(device)?.id ?? null;

/** Those of the stand in hand that count for its plan: of the kind in use, and those whose size nobody said. */
function plotsBegun(context: Context): readonly PlotRecord[] {
  const stand = standInHand(context);
  const kind = kindInUse(context);
  return [...context.book.plots()].filter(({ stand: of, size }) => {
    const own = kindOfSize(size);
    return of === stand && (kind === null || own === null || own === kind);
  });
}

/** "Points" by a gauge, "plots" else. */
const named = (context: Context, count: number): string => {
  const word = kindInUse(context) === 'factor' ? 'point' : 'plot';
  return `${count} ${word}${count === 1 ? '' : 's'}`;
};

/** Nobody takes more in a stand (common practice, no source). */
const mostPlanned = 300;

export function planOutcome(context: Context, note: NoteOf<'plot'>): Outcome {
  const { count } = note;
  if (count === undefined || count < 1) return refused('How many plots? Say, for one, twelve plots planned.');
  if (count > mostPlanned && !context.sure)
    return asking({
      about: 'doubt',
      text: `${wording.sentence(wording.plotCount(count))} are many for one stand. Say it again, or keep it?`,
      options: [],
      pending: note,
    });
  return kept(
    [{ act: 'setting', set: { what: 'planned', stand: standInHand(context), plots: count } }],
    () => {
      const place = context.book.standOf(context.device);
      const where = place === null ? '' : ` in ${wording.standName(place.name)}`;
      const begun = plotsBegun(context).length;
      return `${wording.sentence(named(context, count))} planned${where}.${begun === 0 ? '' : ` ${leftWords(context, count)}`}`;
    },
  );
}

export function leastOutcome(context: Context, { diameter }: NoteOf<'plot'>): Outcome {
  const { settings } = context;
  const inches = diameter === undefined ? null : diameterToInches(diameter, settings.units);
  if (inches !== null && !(inches > 0))
    return refused('From which diameter up? Say, for one, nothing under five inches.');
  return kept(
    [{ act: 'setting', set: { what: 'leastDiameter', stand: standInHand(context), inches } }],
    () =>
      inches === null
        ? 'Every tree is measured from here on.'
        : `Trees from ${wording.diameter(inches, diameter?.unit === 'cm' ? 'metres' : settings.units)} up. I ask about smaller ones.`,
  );
}

/** "13 of 18 left, behind the one that is open." */
function leftWords(context: Context, planned: number): string {
  const begun = plotsBegun(context);
  const open = begun.find(({ id, closed }) => id === context.deviceState.plot && !closed);
  const left = planned - begun.length;
  if (left <= 0) {
    const more = left < 0 ? `, and ${-left} more` : '';
    return open === undefined
      ? `None left: all ${planned} are taken${more}.`
      : `Plot ${open.number} is the last of the ${planned}${more}.`;
  }
  return open === undefined
    ? `${left} of ${planned} left.`
    : `${left} of ${planned} left after plot ${open.number}.`;
}

/** How many are left of what was planned here; null where nobody planned any. */
export function plannedLeft(context: Context): Outcome | null {
  const planned = context.settings.planned.get(standInHand(context));
  return planned === undefined ? null : said(leftWords(context, planned));
}
