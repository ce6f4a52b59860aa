/** A short way through places: nearest first, then bettered by turning stretches round and moving them (2-opt, or-opt). */
import { lastOf } from '../core/required.ts';
import { feetBetween, type PlanePoint } from './error-ellipse.ts';

/** Gains below this are rounding, feet. */
const leastGain = 1e-6;
/** Beyond so many places only nearest-first is done: the bettering looks at every pair. */
const mostBettered = 400;

/** Length of a way through places in order, feet. */
export function walkLength(places: readonly PlanePoint[]): number {
  let sum = 0;
  for (let i = 1; i < places.length; i++) sum += feetBetween(places[i - 1]!, places[i]!);
  return sum;
}

/**
 * The order of a short open walk through all places, as their positions in the list. It begins near `start` where one is
 * given. Not always the shortest, but no turning round of a stretch, and no moving of one to three places, shortens it.
 */
export function shortWalk(places: readonly PlanePoint[], start: PlanePoint | null): readonly number[] {
  if (places.length < 2) return places.map((_, i) => i);
  if (start !== null) return bettered(nearestFirst(places, nearestTo(places, start)), places, start);
  // Without a start: from the two places that lie farthest west and south, the shorter.
  const ends = [extreme(places, ({ eastFt }) => eastFt), extreme(places, ({ northFt }) => northFt)];
  const walks = ends.map((first) => bettered(nearestFirst(places, first), places, null));
  return lengthIn(walks[0]!, places) <= lengthIn(walks[1]!, places) ? walks[0]! : walks[1]!;
}

const lengthIn = (order: readonly number[], places: readonly PlanePoint[]): number =>
  walkLength(order.map((i) => places[i]!));

function extreme(places: readonly PlanePoint[], of: (at: PlanePoint) => number): number {
  let best = 0;
  places.forEach((at, i) => {
    if (of(at) < of(places[best]!)) best = i;
  });
  return best;
}

function nearestTo(places: readonly PlanePoint[], to: PlanePoint): number {
  return extreme(places, (at) => feetBetween(at, to));
}

function nearestFirst(places: readonly PlanePoint[], first: number): number[] {
  const left = new Set(places.keys());
  const order = [first];
  left.delete(first);
  while (left.size > 0) {
    const at = places[lastOf(order)]!;
    let best = -1;
    let nearest = Number.POSITIVE_INFINITY;
    for (const i of left) {
      const feet = feetBetween(at, places[i]!);
      if (feet < nearest) [best, nearest] = [i, feet];
    }
    order.push(best);
    left.delete(best);
  }
  return order;
}

function bettered(order: number[], places: readonly PlanePoint[], start: PlanePoint | null): number[] {
  if (order.length > mostBettered) return order;
  // -1 stands for the start; a way to nowhere costs nothing.
  const placeOf = (at: number): PlanePoint => (at < 0 && start !== null ? start : places[at]!);
  const feet = (a: number | undefined, b: number | undefined): number => {
    if (a === undefined || b === undefined) return 0;
    return feetBetween(placeOf(a), placeOf(b));
  };
  const walk = start === null ? [...order] : [-1, ...order];
  const from = start === null ? 0 : 1;
  while (turnRound(walk, from, feet) || move(walk, from, feet));
  return walk.slice(from);
}

type Feet = (a: number | undefined, b: number | undefined) => number;

/** Turns stretches round wherever that shortens the walk, in one pass; whether any was. */
function turnRound(walk: number[], from: number, feet: Feet): boolean {
  let better = false;
  for (let i = from; i + 1 < walk.length; i++) {
    for (let j = i + 1; j < walk.length; j++) {
      const now = feet(walk[i - 1], walk[i]) + feet(walk[j], walk[j + 1]);
      const then = feet(walk[i - 1], walk[j]) + feet(walk[i], walk[j + 1]);
      if (then >= now - leastGain) continue;
      for (let a = i, b = j; a < b; a++, b--) [walk[a], walk[b]] = [walk[b]!, walk[a]!];
      better = true;
    }
  }
  return better;
}

/** Moves one to three places to where they shorten the walk most, in one pass; whether any was. */
function move(walk: number[], from: number, feet: Feet): boolean {
  let better = false;
  for (let size = 1; size <= 3; size++) {
    for (let i = from; i + size <= walk.length; i++) {
      const piece = walk.slice(i, i + size);
      const [first, last] = [piece[0], piece.at(-1)];
      const saved = feet(walk[i - 1], first) + feet(last, walk[i + size]) - feet(walk[i - 1], walk[i + size]);
      if (saved <= leastGain) continue;
      const rest = [...walk.slice(0, i), ...walk.slice(i + size)];
      let [place, least] = [-1, saved - leastGain];
      for (let k = from; k <= rest.length; k++) {
        const added = feet(rest[k - 1], first) + feet(last, rest[k]) - feet(rest[k - 1], rest[k]);
        if (added < least) [place, least] = [k, added];
      }
      if (place < 0) continue;
      walk.splice(0, walk.length, ...rest.slice(0, place), ...piece, ...rest.slice(place));
      better = true;
    }
  }
  return better;
}
