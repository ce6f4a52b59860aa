/** Stands and strata in the dialogue: named, gone back to, done with. */
import type { Book } from '../book/book.ts';
import { areaToAcres } from '../core/units.ts';
import type { NoteOf } from '../note/note.ts';
import { isPartOf, placeKey } from '../note/place-key.ts';
import type { StandRecord } from '../totals/types.ts';
import * as wording from '../wording/wording.ts';
import { oddStratum } from './odd-values.ts';
import { asking, type Context, kept, type Outcome, refused } from './outcome.ts';
import { close } from './plots.ts';

/** The stands that a name may mean: the one of that name, else all of which it is a part. */
function standsMeant({ stands }: Pick<Book, 'stands'>, name: string): readonly StandRecord[] {
  const all = [...stands.values()];
  const own = all.filter((stand) => placeKey(stand.name) === placeKey(name));
  return own.length > 0 ? own : all.filter((stand) => isPartOf(name, stand.name));
}

/** Named once more, and nothing else said of it. */
const isKnown = (book: Book, { name, area }: NoteOf<'stand'>): boolean =>
  area === undefined && [...book.stands.values()].some((stand) => placeKey(stand.name) === placeKey(name));

export function areaOutcome(context: Context, note: NoteOf<'stand' | 'stratum'>): Outcome {
  const { settings, id, book } = context;
  if (note.kind === 'stand' && (note.back || note.done || isKnown(book, note)))
    return knownStand(context, note);
  const odd =
    note.kind === 'stratum' && !context.sure ? oddStratum(context, note, book.standOf(context.device)) : null;
  if (odd) return odd;
  const acres = note.area ? areaToAcres(note.area, settings.units) : null;
  const name = wording.sentence(
    note.kind === 'stand' ? wording.standName(note.name) : wording.placeName(note.name),
  );
  return kept([{ act: note.kind, id, name: note.name, acres }], () => {
    const first = note.kind === 'stand' && book.stands.size === 0;
    const caution = note.kind === 'stand' ? ` ${cautionFor(first)}` : '';
    return acres === null
      ? `${name}.${caution}`
      : `${name}, ${wording.area(acres, settings.units)}.${caution}`;
  });
}

/** "Back to stand three", "done with stand three": one that was named before. */
function knownStand(context: Context, note: NoteOf<'stand'>): Outcome {
  const { book, device, id } = context;
  const [stand, ...others] = standsMeant(book, note.name);
  const said = wording.standName(note.name);
  if (stand === undefined) return note.done ? refused(`There is no ${said} here.`) : askWhetherNew(note);
  if (others.length > 0)
    return refused(
      `That may be ${wording.list(
        [stand, ...others].map(({ name }) => wording.standName(name)),
        'or',
      )}. Say its whole name.`,
    );
  const name = wording.sentence(wording.standName(stand.name));
  const inHand = book.standOf(device);
  const plots = (after: Book): string =>
    wording.plotCount([...after.plots()].filter((plot) => plot.stand === stand.id).length);
  if (note.done) {
    if (inHand?.id !== stand.id)
      return kept(
        [],
        () => `${name} is not in hand${inHand ? `, but ${wording.standName(inHand.name)}` : ''}.`,
      );
    const done = context.book.plot(context.deviceState.plot) ? close(context, undefined) : kept([], () => '');
    return { ...done, say: (after) => `${name} is done: ${plots(after)}.` };
  }
  if (inHand?.id === stand.id) return kept([], (after) => `${name} is in hand: ${plots(after)}.`);
  return kept(
    [{ act: 'stand', id, name: stand.name, acres: null }],
    (after) => `${name} again: ${plots(after)}.`,
  );
}

function askWhetherNew({ name, area }: NoteOf<'stand'>): Outcome {
  const said = wording.standName(name);
  const note: NoteOf<'stand'> = { kind: 'stand', name, ...(area === undefined ? {} : { area }) };
  return asking({
    about: 'confirm',
    text: `There is no ${said} here. Is it a new stand?`,
    options: [{ say: `new stand, ${said}`, note }],
  });
}

/** Common practice, no source; local rules and licensed practice go before it. */
export function cautionFor(first: boolean): string {
  return first
    ? 'Stop before you look up; check overhead for hung limbs. Keep two tree lengths from anyone cutting, and poles away from power lines.'
    : 'Stop before you look up; check overhead for hung limbs.';
}
