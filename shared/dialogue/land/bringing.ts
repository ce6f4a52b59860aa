/** An edge that comes from a file: kept with the stand or stratum, its area taken only after a yes. */

import type { Book } from '../../book/book.ts';
import type { Plane } from '../../core/plane.ts';
import { metresPerFoot } from '../../core/units.ts';
import { readGeoJson } from '../../land/read-geojson.ts';
import type { Act } from '../../note/acts.ts';
import type { DeviceId } from '../../note/journal.ts';
import type { NoteOf } from '../../note/note.ts';
import * as wording from '../../wording/wording.ts';
import { asking, type Context, kept, type Outcome, refused } from '../outcome.ts';
import { areaQuestion, noSurvey } from './closing.ts';
import { edgeRead, walkInHand } from './ground.ts';
import { placeNamed } from './place-named.ts';

type EdgeAct = Extract<Act, { act: 'edge' }>;

/** Further than this from where notes of the book were said, an edge is doubted, feet (60 miles). */
const farFt = 316_800;

export function bringOutcome(context: Context, note: NoteOf<'traverse'>): Outcome {
  const { book, edge: parts, id, settings } = context;
  if (parts === null)
    return refused(
      'Choose the file: Charts has a button to bring in an edge, and stemsay edge FILE does it on the command line. Or walk it: say start a traverse.',
    );
  const read = readGeoJson({ type: 'MultiPolygon', coordinates: parts });
  if (!read.ok) return refused(`${read.error} Nothing was taken in.`);
  const place = placeNamed(context, note);
  if (typeof place === 'string') return refused(place);
  const { stand, stratum } = place;
  const act: Act = { act: 'edge', id, stand: stand?.id ?? null, stratum: stratum?.id ?? null, parts };
  const { acres, plane } = read.value;
  const name = stratum?.name ?? stand?.name;
  const far = farFrom(book, plane);
  const corners = parts.flat().reduce((sum, ring) => sum + ring.length, 0);
  const lead = `The edge of ${name === undefined ? 'the area' : wording.placeName(name)}, ${corners} corners: ${wording.area(Number(acres.toPrecision(3)), settings.units)}.${far} ${drawnHow} ${noSurvey}`;
  const target = stratum
    ? { of: 'stratum' as const, ...stratum }
    : stand && { of: 'stand' as const, ...stand };
  const question = areaQuestion(target, { acres, sdAcres: 0 }, settings.units);
  return question
    ? asking(question, [act], { say: () => `${lead} ${question.text}` })
    : kept([act], () => `${lead} No stand is in hand: say its name, then use that area.`);
}

const drawnHow = 'How well it was drawn is not known, so totals take its area as exact.';

/** A sentence where the edge lies far from where notes were said; empty where it does not, or no place is known. */
function farFrom(book: Book, plane: Plane): string {
  for (const { position } of book.entries.placed()) {
    if (!position) continue;
    const { east, north } = plane.at(position);
    const feet = Math.hypot(east, north) / metresPerFoot;
    if (feet < farFt) return '';
    return ` It lies ${wording.thousands(Math.round(feet / 5280))} miles from where notes of this book were said: undo it if it is another wood, or if its degrees are the wrong way round.`;
  }
  return '';
}

/** The edge that was brought in last for the stratum or stand in hand, where no walk came after it. */
export function edgeInHand(book: Book, device: DeviceId): EdgeAct | null {
  const stand = book.standOf(device)?.id ?? null;
  const stratum = book.stratumOf(device)?.id ?? null;
  const of = book.land.edges.filter((edge) => edge.stand === stand);
  const edge = of.findLast((one) => one.stratum === stratum) ?? of.findLast((one) => one.stratum === null);
  if (!edge) return null;
  const walk = walkInHand(book, device);
  const timeOf = (entry: string): number => book.entry(entry)?.time ?? 0;
  return walk && timeOf(walk.id) > timeOf(edge.id) ? null : edge;
}

/** Its area becomes that of the stand or stratum. */
export function useEdge(context: Context, note: NoteOf<'traverse'>, edge: EdgeAct): Outcome {
  const { book } = context;
  const read = edgeRead(edge);
  if (!read.ok) return refused(read.error);
  const named = note.stand !== undefined || note.stratum !== undefined;
  const place = named ? placeNamed(context, note) : null;
  if (typeof place === 'string') return refused(place);
  const stratum = place ? place.stratum : book.strata.get(edge.stratum ?? '');
  const stand = place ? place.stand : (book.stands.get(edge.stand ?? '') ?? book.standOf(context.device));
  const target = stratum ?? stand;
  if (!target) return refused('No stand is in hand. Say its name first, such as new stand mill lot.');
  const { acres } = read.value;
  const act: Act = {
    act: 'area',
    of: stratum ? 'stratum' : 'stand',
    target: target.id,
    acres,
    sdAcres: null,
    walk: null,
  };
  return kept(
    [act],
    (_, now) =>
      `${wording.placeName(target.name)}: ${wording.area(Number(acres.toPrecision(3)), now.units)}, from the edge that was brought in.`,
  );
}
