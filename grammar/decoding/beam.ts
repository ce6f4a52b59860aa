/** The paths that a search keeps in its beam, in flat arrays. */
import { grown } from '../automaton/lattice.ts';

const never = Number.NEGATIVE_INFINITY;

/** Paths in the beam, one token a place: scores of those that end in its phone and in a blank after it. */
export class Beam {
  count = 0;
  place = new Int32Array(256);
  state = new Int32Array(256);
  node = new Int32Array(256);
  label = new Float64Array(256);
  blank = new Float64Array(256);
  /** Lattice records from which the word was entered. */
  labelFrom = new Int32Array(256);
  blankFrom = new Int32Array(256);

  add(place: number, state: number, node: number): number {
    if (this.count === this.place.length) {
      const room = 2 * this.count;
      this.place = grown(this.place, room);
      this.state = grown(this.state, room);
      this.node = grown(this.node, room);
      this.label = grown(this.label, room);
      this.blank = grown(this.blank, room);
      this.labelFrom = grown(this.labelFrom, room);
      this.blankFrom = grown(this.blankFrom, room);
    }
    const slot = this.count++;
    this.place[slot] = place;
    this.state[slot] = state;
    this.node[slot] = node;
    this.label[slot] = never;
    this.blank[slot] = never;
    return slot;
  }
}
