/**
 * Makes a deterministic machine minimal: states that accept the same (word, tags) continuations become one, by
 * partition refinement from "same endings" until nothing splits any more.
 */
import { required } from '../../shared/core/required.ts';
import type { Tag } from '../description/tags.ts';

/** A deterministic machine before it is laid out: state 0 is the start. */
export interface Machine {
  readonly words: readonly string[];
  readonly wordId: ReadonlyMap<string, number>;
  readonly tagSequences: readonly (readonly Tag[])[];
  /** Per sequence how many of its tags come before the word. */
  readonly tagsBefore: readonly number[];
  /** Per state flat pairs (symbol, to), each symbol once, in order of symbols. */
  readonly arcs: readonly (readonly number[])[];
  /** Per state the tag sequences with which it may end, sorted. */
  readonly finals: readonly (readonly number[])[];
}

/** The machine with the fewest states that accepts the same. All states must be reachable and able to end. */
export function minimise(machine: Machine): Machine {
  const count = machine.arcs.length;
  // Arcs sorted by symbol, so that equal states have equal rows.
  const rows = machine.arcs.map((arcs) => {
    const order = Array.from({ length: arcs.length / 2 }, (_, i) => i).sort(
      (a, b) => arcs[2 * a]! - arcs[2 * b]!,
    );
    const row = new Float64Array(arcs.length);
    order.forEach((from, to) => {
      row[2 * to] = arcs[2 * from]!;
      row[2 * to + 1] = arcs[2 * from + 1]!;
    });
    return row;
  });
  let classOf = new Int32Array(count);
  let classes = 0;
  const byShape = new Map<string, number>();
  for (let state = 0; state < count; state++) {
    const row = rows[state]!;
    let shape = `${machine.finals[state]!.join(',')};`;
    for (let i = 0; i < row.length; i += 2) shape += `${row[i]},`;
    let id = byShape.get(shape);
    if (id === undefined) {
      id = classes++;
      byShape.set(shape, id);
    }
    classOf[state] = id;
  }
  // States of one class now have the same endings and symbols; only targets can still tell them apart.
  for (;;) {
    const next = new Int32Array(count);
    const buckets = new Map<number, number[]>();
    let nextClasses = 0;
    for (let state = 0; state < count; state++) {
      const row = rows[state]!;
      let hash = classOf[state]!;
      for (let i = 1; i < row.length; i += 2) hash = (Math.imul(hash, 0x01000193) ^ classOf[row[i]!]!) | 0;
      const bucket = buckets.get(hash);
      if (bucket === undefined) {
        buckets.set(hash, [state]);
        next[state] = nextClasses++;
        continue;
      }
      const twin = bucket.find((other) => sameTargets(state, other));
      if (twin === undefined) {
        bucket.push(state);
        next[state] = nextClasses++;
      } else {
        next[state] = next[twin]!;
      }
    }
    const before = classOf;
    const settled = nextClasses === classes;
    classOf = next;
    classes = nextClasses;
    if (settled) return merged(machine, before);

    function sameTargets(a: number, b: number): boolean {
      if (classOf[a] !== classOf[b]) return false;
      const x = rows[a]!;
      const y = rows[b]!;
      for (let i = 1; i < x.length; i += 2) if (classOf[x[i]!] !== classOf[y[i]!]) return false;
      return true;
    }
  }
}

function merged(machine: Machine, classOf: Int32Array): Machine {
  const place = new Map<number, number>();
  const keep: number[] = [];
  for (let state = 0; state < classOf.length; state++) {
    if (place.has(classOf[state]!)) continue;
    place.set(classOf[state]!, keep.length);
    keep.push(state);
  }
  const to = (state: number): number => required(place.get(classOf[state]!), 'the place of a class');
  return {
    ...machine,
    arcs: keep.map((state) => machine.arcs[state]!.map((value, i) => (i % 2 === 1 ? to(value) : value))),
    finals: keep.map((state) => machine.finals[state]!),
  };
}
