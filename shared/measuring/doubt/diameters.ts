/**
 * How thick the trees of a stand are: the logarithm of the diameter as a Gaussian of unknown middle and spread, so the
 * next tree is Student-t (normal-gamma conjugate prior; Bernardo & Smith 1994, Bayesian Theory, section 5.2).
 */

/** Prior: middle of the trees that people measure, inches; its worth in trees; spread and its worth. By judgement. */
const usualIn = 11;
const middleWorth = 0.3;
const spread = 0.5;
const spreadWorth = 4;
/** Narrowest relative error with which a diameter is read, so that a plantation of one size does not forbid others. */
const leastSpread = 0.12;
const quantum = 2 ** -20;

export class DiameterSpread {
  #n = 0;
  #sum = 0;
  #squares = 0;

  get n(): number {
    return this.#n;
  }

  /** Takes in (`by` 1) or out (-1) a diameter, inches > 0. */
  count(diameterIn: number, by: 1 | -1): void {
    const x = Math.log(diameterIn / usualIn);
    this.#n += by;
    this.#sum += by * quantum * Math.round(x / quantum);
    this.#squares += by * quantum * Math.round((x * x) / quantum);
  }

  /** Centre and scale of ln(diameter, inches) of the next tree, and the degrees of freedom of its Student-t. */
  next(): { readonly centre: number; readonly scale: number; readonly df: number } {
    const n = this.#n;
    const mean = n === 0 ? 0 : this.#sum / n;
    const within = Math.max(this.#squares - n * mean * mean, 0);
    const worth = middleWorth + n;
    const df = spreadWorth + n;
    const squares = spreadWorth * spread ** 2 + within + (middleWorth * n * mean * mean) / worth;
    const scale = Math.sqrt((squares / df) * (1 + 1 / worth) + leastSpread ** 2);
    return { centre: Math.log(usualIn) + this.#sum / worth, scale, df };
  }

  /** Diameter in the middle of what the next tree is expected to have, inches. */
  get middleIn(): number {
    return Math.exp(this.next().centre);
  }

  /** Logarithm of the density of the next tree's diameter, per unit of ln(diameter), up to a constant. */
  logDensity(diameterIn: number): number {
    const { centre, scale, df } = this.next();
    const z = (Math.log(diameterIn) - centre) / scale;
    return -Math.log(scale) - 0.9189385332046727 - 0.5 * (df + 1) * Math.log1p((z * z) / df);
  }

  /** Seven diameters that stand for the next tree's, with equal shares, inches. */
  representatives(): readonly number[] {
    const { centre, scale } = this.next();
    return [-1.85, -0.95, -0.4, 0, 0.4, 0.95, 1.85].map((z) => Math.exp(centre + scale * z));
  }
}
