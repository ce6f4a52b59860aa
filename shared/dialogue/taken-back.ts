/** What a taking back does, and its reply: what went, what is in hand then, and what is asked again. */
import type { Book, DeviceState } from '../book/book.ts';
import type { Act } from '../note/acts.ts';
import type { DeviceId, Entry } from '../note/journal.ts';
import * as wording from '../wording/wording.ts';
import { handWords } from './naming.ts';
import { type Context, kept, type Outcome } from './outcome.ts';

/**
 * What turns entries round: what they did is out, what they took back or put back is as before them. What stands
 * otherwise by now is left alone, or turning this round would change more than this did.
 */
export function turnedEntries(entries: readonly Entry[], book: Book): Act[] {
  const out = new Set(entries.map(({ id }) => id));
  const back = new Set<string>();
  for (const { acts } of entries)
    for (const act of [...acts].reverse()) {
      if (act.act === 'retract')
        for (const id of act.targets.filter((one) => !out.has(one) && book.isRetracted(one))) back.add(id);
      if (act.act === 'restore') {
        for (const id of act.targets) back.delete(id);
        for (const id of act.targets.filter((one) => !book.isRetracted(one))) out.add(id);
      }
    }
  return [
    { act: 'retract', targets: [...out] },
    ...(back.size > 0 ? [{ act: 'restore' as const, targets: [...back] }] : []),
  ];
}

/** What an entry set besides the thing that is taken back by its name stays set. */
export function settingsKept(entries: readonly Entry[]): Act[] {
  return entries.flatMap(({ acts }) =>
    acts.some((act) => act.act === 'tree' || act.act === 'height')
      ? acts.filter((act) => act.act === 'setting')
      : [],
  );
}

/** The question that is asked again because its answer was taken back. */
export function askedAgain(before: DeviceState, book: Book, device: DeviceId): string {
  const newest = book.deviceState(device).questions.at(-1);
  return newest && !before.questions.some(({ entry }) => entry === newest.entry)
    ? ` ${newest.question.text}`
    : '';
}

/** Taken back, with its name, and what is in hand then. Names are those of before. */
export function takenBack(
  context: Context,
  acts: readonly Act[],
  names: readonly string[],
  tail = '',
): Outcome {
  const { book, device } = context;
  const before = { ...book.deviceState(device) };
  return kept(
    acts,
    (after, { units }) =>
      `Scratched: ${wording.list(names, 'and')}. ${handWords(after, device, units)}${askedAgain(before, after, device)}${tail}`,
  );
}
