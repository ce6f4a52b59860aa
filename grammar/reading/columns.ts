/** The columns of the tolerant reader's search: what stands at each place of the input. */
import { grown } from '../automaton/lattice.ts';

/** The score of what was never reached. */
export const never = Number.NEGATIVE_INFINITY;

/** Paths that stand at one column of the input: inside words (tokens) and between words (records). */
export class TolerantColumn {
  tokens = 0;
  place = new Int32Array(64);
  state = new Int32Array(64);
  node = new Int32Array(64);
  score = new Float64Array(64);
  from = new Int32Array(64);
  waiting = new Uint8Array(64);
  readonly records: number[] = [];
  readonly recordScore: number[] = [];
  /** By record: that its best path ends in a word that was left out. */
  readonly recordSupposed: boolean[] = [];
  best = never;

  clear(): void {
    this.tokens = 0;
    this.records.length = 0;
    this.recordScore.length = 0;
    this.recordSupposed.length = 0;
    this.best = never;
  }

  add(place: number, state: number, node: number): number {
    if (this.tokens === this.place.length) {
      const room = 2 * this.tokens;
      this.place = grown(this.place, room);
      this.state = grown(this.state, room);
      this.node = grown(this.node, room);
      this.score = grown(this.score, room);
      this.from = grown(this.from, room);
      const waiting = new Uint8Array(room);
      waiting.set(this.waiting);
      this.waiting = waiting;
    }
    const token = this.tokens++;
    this.place[token] = place;
    this.state[token] = state;
    this.node[token] = node;
    this.score[token] = never;
    this.waiting[token] = 0;
    return token;
  }
}
