/**
 * What the walks, plans and places of a book come to: legs in feet, closings, where a device is. Reckoned when it is asked
 * for, with the pace of who walked; nothing of it is kept.
 */

import type { Book } from '../../book/book.ts';
import type { EdgeWalk, Trail } from '../../book/land-records.ts';
import { err, ok, type Result } from '../../core/result.ts';
import { radians } from '../../core/units.ts';
import { type Located, originPoint, type PlanePoint } from '../../land/error-ellipse.ts';
import { type Leg, type LegSettings, readLeg, type Walker } from '../../land/leg.ts';
import { type Outline, outlineOf, placeAt, pointAt } from '../../land/polygon.ts';
import { type ImportedOutline, readGeoJson } from '../../land/read-geojson.ts';
import { type ClosedTraverse, closeTraverse, followLegs } from '../../land/traverse.ts';
import { knownPosition, reckoned, type WaySettings, wayTo } from '../../land/way.ts';
import type { HeightProblem } from '../../measuring/height/types.ts';
import type { Act } from '../../note/acts.ts';
import type { DeviceId } from '../../note/journal.ts';

type EdgeAct = Extract<Act, { act: 'edge' }>;

/** Whose paces they are: of who speaks on a device, at a point of the settings line. */
export function walkerOf(book: Book, device: DeviceId, point = book.settings.length): Walker {
  const { person, pace, counting, groundShorter } = book.settings.at(device, point);
  return { name: person ?? device, pace, counting, groundShorter };
}

/** Lengths name their units, bearings their north; the declination is that of the place. */
export function legSettings(book: Book): LegSettings {
  const { declination, deviations } = book.settings.now;
  return { units: 'feet', north: 'magnetic', declination, ...(deviations ? { deviations } : {}) };
}

export const waySettings = (book: Book): WaySettings => legSettings(book);

/** The legs of a walk in feet; the first that cannot be read says why. */
export function legsOf(book: Book, walk: EdgeWalk): Result<Leg[], HeightProblem> {
  const settings = legSettings(book);
  const legs: Leg[] = [];
  for (const { said, device, point } of walk.legs) {
    const leg = readLeg(said, walkerOf(book, device, point), settings);
    if (!leg.ok) return leg;
    legs.push(leg.value);
  }
  return ok(legs);
}

/** The sentence for a leg that cannot be read yet. */
export const problemSentence = (problem: HeightProblem): string =>
  problem.kind === 'impossible'
    ? problem.sentence
    : problem.what === 'scale'
      ? 'Is the slope in percent or degrees? Say, for one, leg two was slope twelve percent.'
      : 'The legs wait for the pace: say how many paces you take in a known distance.';

export function closedWalk(book: Book, walk: EdgeWalk): Result<ClosedTraverse, string> {
  const legs = legsOf(book, walk);
  return legs.ok ? closeTraverse(legs.value) : err(problemSentence(legs.error));
}

/** The walk under way on a device, else one of the crew's in the stand that it is in. */
export function openWalk(book: Book, device: DeviceId): EdgeWalk | null {
  const walks = [...book.land.walks.values()];
  const stand = book.standOf(device)?.id ?? null;
  return (
    walks.findLast((walk) => walk.device === device && !walk.closed) ??
    walks.findLast((walk) => !walk.closed && stand !== null && walk.stand === stand) ??
    null
  );
}

/** The newest walk of the stand or stratum in hand, closed or not. */
export function walkInHand(book: Book, device: DeviceId): EdgeWalk | null {
  const open = openWalk(book, device);
  if (open) return open;
  const walks = [...book.land.walks.values()];
  const stand = book.standOf(device)?.id ?? null;
  return walks.findLast((walk) => walk.device === device || walk.stand === stand) ?? null;
}

/** An area with its edge on the plane of a walk or of an edge that was brought in. */
export interface Ground {
  readonly id: string;
  readonly outline: Outline;
  readonly acres: number;
  readonly sdAcres: number | null;
  readonly corners: readonly PlanePoint[];
  /** False where a walk misses its start by more than paces and bearings explain. */
  readonly closes: boolean;
}

/** The ground of an id: a closed walk, or an edge. */
export function groundOf(book: Book, id: string): Result<Ground, string> {
  const walk = book.land.walks.get(id);
  if (walk) {
    const closed = closedWalk(book, walk);
    if (!closed.ok) return closed;
    const { corners, area, crossings, misclosure } = closed.value;
    if (crossings.length > 0)
      return err('Legs of the edge cross, so it encloses nothing. Put them right first.');
    const closes = misclosure.explained;
    return ok({ id, outline: outlineOf(corners), acres: area.acres, sdAcres: area.sdAcres, corners, closes });
  }
  const edge = book.land.edges.find((one) => one.id === id);
  if (!edge) return err('That edge was scratched.');
  const read = edgeRead(edge);
  if (!read.ok) return read;
  const { outline, acres, errorPart } = read.value;
  const corners = outline.parts[0]?.outer ?? [];
  return ok({ id, outline, acres, sdAcres: acres * errorPart, corners, closes: true });
}

const edgesRead = new WeakMap<EdgeAct, Result<ImportedOutline, string>>();

/** An edge that was brought in, on its own plane; read once, as it may have thousands of corners. */
export function edgeRead(edge: EdgeAct): Result<ImportedOutline, string> {
  const known = edgesRead.get(edge);
  if (known !== undefined) return known;
  const read = readGeoJson({ type: 'MultiPolygon', coordinates: edge.parts });
  edgesRead.set(edge, read);
  return read;
}

/** Where one begins: the peg of a walk, the first corner of an edge that was brought in. */
export function startOf(book: Book, ground: string): PlanePoint {
  if (book.land.walks.has(ground)) return originPoint;
  const made = groundOf(book, ground);
  return (made.ok && made.value.corners[0]) || originPoint;
}

/** Places on the plane of one edge that was brought in, on that of another; null where either is a walk. */
function betweenEdges(book: Book, from: string, to: string): ((at: PlanePoint) => PlanePoint) | null {
  const [one, other] = [from, to].map((id) => {
    const edge = book.land.edges.find((each) => each.id === id);
    const read = edge && edgeRead(edge);
    return read?.ok ? read.value.plane : null;
  });
  return one && other ? (at) => pointAt(other, placeAt(one, at)) : null;
}

/** A position on the plane of another ground, where both lie on the earth; null where that is not known. */
export function locatedOn(
  book: Book,
  { ground, located }: Pick<Whereabouts, 'ground' | 'located'>,
  to: string,
): Located | null {
  if (ground === to) return located;
  const moved = betweenEdges(book, ground, to);
  return moved && { ...located, at: moved(located.at) };
}

/** The ground of the stratum in hand, else of the stand: its last edge that was closed or brought in. */
export function groundInHand(book: Book, device: DeviceId): Result<Ground, string> {
  const stand = book.standOf(device)?.id ?? null;
  const stratum = book.stratumOf(device)?.id ?? null;
  const of = [...[...book.land.walks.values()].filter(({ closed }) => closed), ...book.land.edges].filter(
    (one) => one.stand === stand,
  );
  const found = of.findLast((one) => one.stratum === stratum) ?? of.findLast((one) => one.stratum === null);
  if (found) return groundOf(book, found.id);
  const [strand] = of.flatMap((one) => book.strata.get(one.stratum ?? '') ?? []);
  return strand
    ? err(
        `The whole stand has no edge, only strata of it have. Say lay out plots over the strata, or stratum ${strand.name} first.`,
      )
    : err('There is no edge here yet. Walk round it first: say start a traverse; or bring one in as a file.');
}

/**
 * Degrees by which the plane of a walk is turned from true north to that of its bearings. Places are kept by the bearings
 * as they were read, so that a declination that is said later turns the plan with the edge, and nobody is led astray.
 */
function turnOf(book: Book, ground: string): number {
  const first = book.land.walks.get(ground)?.legs[0];
  return first?.said.north === 'magnetic' ? (book.settings.now.declination ?? 0) : 0;
}

function turned({ eastFt, northFt }: PlanePoint, degrees: number): PlanePoint {
  const turn = radians(degrees);
  const [sin, cos] = [Math.sin(turn), Math.cos(turn)];
  return { eastFt: eastFt * cos + northFt * sin, northFt: northFt * cos - eastFt * sin };
}

/** A place as the book keeps it. */
export const keptPoint = (book: Book, ground: string, at: PlanePoint): PlanePoint =>
  turned(at, -turnOf(book, ground));
/** A kept place on the plane of its ground as it is now. */
export const pointNow = (book: Book, ground: string, at: PlanePoint): PlanePoint =>
  turned(at, turnOf(book, ground));

/** Where a device is, by the plane of which walk or edge; null while that is not known. */
export interface Whereabouts {
  readonly ground: string;
  readonly located: Located;
  /** The way that was told last and is being walked. */
  readonly way: Extract<Act, { act: 'way' }> | null;
}

export function whereabouts(book: Book, device: DeviceId): Whereabouts | null {
  const trail = book.land.trail(device);
  const last = trail.findLastIndex(({ act }) => act.act === 'place');
  const placed = trail[last];
  const walked = lastOnWalk(book, device);
  const timeOf = (entry: string): number => book.entry(entry)?.time ?? 0;
  if (walked && (!placed || timeOf(walked.entry) > timeOf(placed.entry))) {
    const after = trail.filter(({ entry }) => timeOf(entry) > timeOf(walked.entry));
    return moved(book, device, walked, after);
  }
  if (placed?.act.act !== 'place') return null;
  const { ground, at, sdFt } = placed.act;
  const located = knownPosition(pointNow(book, ground, at), sdFt);
  return moved(book, device, { ground, located }, trail.slice(last + 1));
}

/** Where the device is by the last leg that it said, or by the closing of its walk. */
function lastOnWalk(book: Book, device: DeviceId) {
  const walk = [...book.land.walks.values()].findLast((one) => one.device === device);
  if (!walk) return null;
  const entry = walk.closed ? book.land.endOf(walk.id) : walk.legs.at(-1)?.entry;
  const legs = legsOf(book, walk);
  if (entry === undefined || entry === null || !legs.ok) return null;
  const located = walk.closed ? knownPosition(originPoint, 0) : followLegs(legs.value).end;
  return { entry, ground: walk.id, located };
}

/** Round an obstacle one comes back on the line, less sure of where. */
function moved(
  book: Book,
  device: DeviceId,
  { ground, located }: Pick<Whereabouts, 'ground' | 'located'>,
  trail: readonly Trail[],
): Whereabouts {
  const walker = walkerOf(book, device);
  const settings = waySettings(book);
  let way: Whereabouts['way'] = null;
  let at = located;
  let of = ground;
  for (const { act } of trail) {
    if (act.act === 'way') {
      const there = locatedOn(book, { ground: of, located: at }, act.ground);
      if (there === null) continue;
      [at, of] = [there, act.ground];
      way = { ...act, to: pointNow(book, act.ground, act.to) };
    }
    if (act.act !== 'around') continue;
    const ahead = way === null ? 0 : wayTo(at, way.to, walker, settings).azimuth;
    const off = ahead + (act.side === 'right' ? 90 : -90);
    at = reckoned(at, { azimuth: off, feet: act.feet }, walker, settings);
    at = reckoned(at, { azimuth: off + 180, feet: act.feet }, walker, settings);
  }
  return { ground: of, located: at, way };
}
