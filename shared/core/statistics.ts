/**
 * Means, spreads and the quantiles that confidence limits need. Pure numbers: no units, no wording. Arguments out
 * of range are a programming mistake and throw a RangeError; nothing here returns NaN. Papers are cited from memory;
 * the values are compared with R.
 */

/** Fails loudly on a value that would poison a total. */
function requireFinite(values: readonly number[], name: string): void {
  for (const value of values) {
    if (!Number.isFinite(value)) throw new RangeError(`${name} requires finite values, found ${value}`);
  }
}

/**
 * Sum with the rounding errors carried along (Neumaier 1974, ZAMM 54:39-51), so that a million trees add up the
 * same in whatever order they were told.
 * Example: `sum([1, 1e100, 1, -1e100]) === 2`.
 */
export function sum(values: readonly number[]): number {
  let total = 0;
  let lost = 0;
  for (const value of values) {
    const next = total + value;
    lost += Math.abs(total) >= Math.abs(value) ? total - next + value : value - next + total;
    total = next;
  }
  return total + lost;
}

/**
 * Arithmetic mean. Needs at least one value.
 * Example: `mean([1, 2, 6]) === 3`.
 */
export function mean(values: readonly number[]): number {
  if (values.length === 0) throw new RangeError('mean requires at least one value');
  requireFinite(values, 'mean');
  return sum(values) / values.length;
}

/**
 * Sample variance with divisor n - 1, by the corrected two-pass method (Chan, Golub & LeVeque 1983, Am. Stat.
 * 37:242-247, eq. 1.7). Needs at least two values.
 * Example: `variance([2, 4, 4, 4, 5, 5, 7, 9])` is 32/7.
 */
export function variance(values: readonly number[]): number {
  if (values.length < 2) throw new RangeError('variance requires at least two values');
  const middle = mean(values);
  const apart = values.map((value) => value - middle);
  const drift = sum(apart);
  return Math.max(0, (sum(apart.map((d) => d * d)) - (drift * drift) / values.length) / (values.length - 1));
}

/**
 * Standard error of the mean of a simple random sample without replacement: sd / sqrt(n), times the finite
 * population correction sqrt(1 - n/N). Shrinks to 0 when the whole population was measured.
 *
 * `sd` >= 0 in any unit (n - 1 divisor), `n` >= 1, `populationSize` >= n or Infinity. Result: the unit of `sd`.
 * Source: Freese 1967, USDA Agriculture Handbook 317 (simple random sampling): s2 13.4842, n 20, N 100 gives 0.734.
 * Example: `standardErrorOfMean(4, 16) === 1`.
 */
export function standardErrorOfMean(
  sd: number,
  n: number,
  populationSize = Number.POSITIVE_INFINITY,
): number {
  if (!(sd >= 0) || !Number.isFinite(sd)) throw new RangeError(`sd must be 0 or more, found ${sd}`);
  if (!(n >= 1) || !(populationSize >= n)) {
    throw new RangeError(`expected 1 <= n <= population, found n ${n} of ${populationSize}`);
  }
  return (sd / Math.sqrt(n)) * Math.sqrt(1 - n / populationSize);
}

/**
 * Middle value; the mean of the two middle ones for an even count (R quantile type 7 at 0.5).
 * Example: `median([92, 97, 90]) === 92`.
 */
export function median(values: readonly number[]): number {
  if (values.length === 0) throw new RangeError('median requires at least one value');
  requireFinite(values, 'median');
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half]! : sorted[half - 1]! / 2 + sorted[half]! / 2;
}

/** Value of a polynomial, lowest power first. */
function polynomial(x: number, coefficients: readonly number[]): number {
  let value = 0;
  for (let i = coefficients.length - 1; i >= 0; i--) value = value * x + coefficients[i]!;
  return value;
}

// Rational approximations of Cody (1969), Math. Comp. 23:631-637, in the normal form of SPECFUN's ANORM
// (Cody 1993, ACM TOMS 19:22-32, Algorithm 715). Constants from memory; the tests compare with R's pnorm.
const centre = {
  top: [18154.98125334356, 1067.6894854603709, 161.02823106855587, 2.2352520354606837],
  topLead: 0.06568233791820745,
  bottom: [45507.78933502673, 10260.932208618979, 976.0985517377767, 47.202581904688245, 1],
};
const middle = {
  top: [
    9842.714838383978, 11602.65143764735, 6848.190450536283, 2494.5375852903726, 597.2702763948002,
    93.50665613217785, 8.883149794388377, 0.39894151208813466, 1.0765576773720192e-8,
  ],
  bottom: [
    19685.429676859992, 38912.00328609327, 34900.95272114598, 18615.571640885097, 6485.558298266761,
    1519.3775994075547, 235.387901782625, 22.266688044328117, 1,
  ],
};

/** exp(-x^2/2) without the loss that squaring a large x brings (Cody's split at sixteenths). */
function gaussian(x: number): number {
  const coarse = Math.trunc(x * 16) / 16;
  return Math.exp(-coarse * coarse * 0.5) * Math.exp(-(x - coarse) * (x + coarse) * 0.5);
}

/** Probability that a standard normal lies above z >= 0.67448975. */
function normalTail(z: number): number {
  if (z <= Math.sqrt(32)) {
    return (gaussian(z) * polynomial(z, middle.top)) / polynomial(z, middle.bottom);
  }
  if (z > 38.6) return 0;
  // Laplace's continued fraction (Abramowitz & Stegun 1964, 26.2.14); 30 terms are ample from here on.
  let fraction = z;
  for (let k = 30; k >= 1; k--) fraction = z + k / fraction;
  return gaussian(z) / (Math.sqrt(2 * Math.PI) * fraction);
}

/**
 * Probability that a standard normal value lies below `z`. Relative error below 1e-13, in the lower tail too.
 * `z` any number, the infinities included. Source: Cody 1969 (see above).
 * Example: `normalCdf(1.959963984540054)` is 0.975.
 */
export function normalCdf(z: number): number {
  if (Number.isNaN(z)) throw new RangeError('normalCdf requires a number, found NaN');
  const size = Math.abs(z);
  if (size <= 0.67448975) {
    const square = z * z;
    const top = polynomial(square, [...centre.top, centre.topLead]);
    return 0.5 + (z * top) / polynomial(square, centre.bottom);
  }
  const tail = normalTail(size);
  return z < 0 ? tail : 1 - tail;
}

/**
 * Value below which a standard normal lies with probability `p`, 0 < p < 1. Relative error about 1e-15.
 * Source: Wichura 1988, Applied Statistics 37:477-484, Algorithm AS 241 (PPND16).
 * Example: `normalQuantile(0.975)` is 1.959963984540054.
 */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`normalQuantile requires 0 < p < 1, found ${p}`);
  const q = p - 0.5;
  if (Math.abs(q) <= 0.425) {
    const r = 0.180625 - q * q;
    return (
      (q *
        polynomial(
          r,
          [
            3.3871328727963665, 133.14166789178438, 1971.5909503065513, 13731.69376550946, 45921.95393154987,
            67265.7709270087, 33430.57558358813, 2509.0809287301227,
          ],
        )) /
      polynomial(
        r,
        [
          1, 42.31333070160091, 687.1870074920579, 5394.196021424751, 21213.794301586597, 39307.89580009271,
          28729.085735721943, 5226.495278852854,
        ],
      )
    );
  }
  const r = Math.sqrt(-Math.log(Math.min(p, 1 - p)));
  const size =
    r <= 5
      ? polynomial(
          r - 1.6,
          [
            1.4234371107496835, 4.630337846156546, 5.769497221460691, 3.6478483247632045, 1.2704582524523684,
            0.2417807251774506, 0.022723844989269184, 0.0007745450142783414,
          ],
        ) /
        polynomial(
          r - 1.6,
          [
            1, 2.053191626637759, 1.6763848301838038, 0.6897673349851, 0.14810397642748008,
            0.015198666563616457, 0.0005475938084995345, 1.0507500716444169e-9,
          ],
        )
      : polynomial(
          r - 5,
          [
            6.657904643501103, 5.463784911164114, 1.7848265399172913, 0.29656057182850487,
            0.026532189526576124, 0.0012426609473880784, 2.7115555687434876e-5, 2.0103343992922881e-7,
          ],
        ) /
        polynomial(
          r - 5,
          [
            1, 0.599832206555888, 0.1369298809227358, 0.014875361290850615, 0.0007868691311456133,
            1.8463183175100548e-5, 1.421511758316446e-7, 2.0442631033899397e-15,
          ],
        );
  return q < 0 ? -size : size;
}

/**
 * Gamma(v + 1/2) / Gamma(v), v > 0: upward recurrence to v >= 40, then the asymptotic series in 1/v
 * (DLMF 5.11.13). Never forms the large logarithms whose difference would lose digits.
 */
function gammaHalfRatio(v: number): number {
  let factor = 1;
  let at = v;
  while (at < 40) {
    factor *= at / (at + 0.5);
    at += 1;
  }
  const u = 1 / at;
  return (
    factor *
    Math.sqrt(at) *
    polynomial(u, [1, -1 / 8, 1 / 128, 5 / 1024, -21 / 32768, -399 / 262144, 869 / 4194304])
  );
}

/** Density of Student's t. */
function tDensity(t: number, df: number): number {
  const constant = gammaHalfRatio(df / 2) / Math.sqrt(df * Math.PI);
  return constant * Math.exp(-((df + 1) / 2) * Math.log1p((t * t) / df));
}

/**
 * Continued fraction of the incomplete beta function (DLMF 8.17.22), by Lentz's method as modified by Thompson &
 * Barnett 1986, J. Comp. Phys. 64:490-509.
 */
function betaFraction(x: number, a: number, b: number): number {
  const tiny = 1e-300;
  const away = (value: number) => (Math.abs(value) < tiny ? tiny : value);
  let c = 1;
  let d = 1 / away(1 - ((a + b) * x) / (a + 1));
  let value = d;
  for (let m = 1; m < 20000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / away(1 + even * d);
    c = away(1 + even / c);
    value *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / away(1 + odd * d);
    c = away(1 + odd / c);
    const change = d * c;
    value *= change;
    if (Math.abs(change - 1) < 1e-16) break;
  }
  return value;
}

/** Probability that Student's t lies above t >= 0. */
function tTail(t: number, df: number): number {
  if (t === 0) return 0.5;
  const a = df / 2;
  const square = t * t;
  // Prefactor x^a (1-x)^(1/2) / B(a, 1/2), with x = df / (df + t^2).
  const front =
    (gammaHalfRatio(a) / Math.sqrt(Math.PI)) *
    Math.exp(-a * Math.log1p(square / df)) *
    Math.sqrt(square / (df + square));
  const x = df / (df + square);
  if (x < (a + 1) / (a + 2.5)) return (front * betaFraction(x, a, 0.5)) / (2 * a);
  return 0.5 - front * betaFraction(square / (df + square), 0.5, a);
}

/**
 * Probability that Student's t with `df` degrees of freedom lies below `t`. `df` >= 1, need not be whole;
 * above 100 000 the normal with the first correction is used (difference below 1e-10).
 * Example: `tCdf(2.7764451051977987, 4)` is 0.975.
 * @internal for tests: the quantile is checked against it
 */
export function tCdf(t: number, df: number): number {
  if (Number.isNaN(t)) throw new RangeError('tCdf requires a number, found NaN');
  if (!(df >= 1)) throw new RangeError(`tCdf requires df >= 1, found ${df}`);
  if (df > 1e5) return normalCdf((t * (1 - 1 / (4 * df))) / Math.sqrt(1 + (t * t) / (2 * df)));
  if (!Number.isFinite(t)) return t < 0 ? 0 : 1;
  const tail = tTail(Math.abs(t), df);
  return t < 0 ? tail : 1 - tail;
}

/** Start value for the t quantile: upper tail `q`, 0 < q < 0.5. Hill 1970, CACM 13:619-620, Algorithm 396. */
function hillStart(q: number, n: number): number {
  const a = 1 / (n - 0.5);
  const b = 48 / (a * a);
  let c = (((20700 * a) / b - 98) * a - 16) * a + 96.36;
  const d = ((94.5 / (b + c) - 3) / b + 1) * Math.sqrt((a * Math.PI) / 2) * n;
  let y = (2 * d * q) ** (2 / n);
  if (y > 0.05 + a) {
    const x = normalQuantile(q);
    y = x * x;
    if (n < 5) c += 0.3 * (n - 4.5) * (x + 0.6);
    c = (((0.05 * d * x - 5) * x - 7) * x - 2) * x + b + c;
    y = (((((0.4 * y + 6.3) * y + 36) * y + 94.5) / c - y - 3) / b + 1) * x;
    y = Math.expm1(a * y * y);
  } else {
    y =
      ((1 / (((n + 6) / (n * y) - 0.089 * d - 0.822) * (n + 2) * 3) + 0.5 / (n + 4)) * y - 1) *
        ((n + 1) / (n + 2)) +
      1 / y;
  }
  return Math.sqrt(n * y);
}

/**
 * Value below which Student's t with `df` degrees of freedom lies with probability `p`.
 *
 * `p` in (0, 1); `df` >= 1, need not be whole (Satterthwaite), may be Infinity (the normal). For a two-sided 95 %
 * interval pass p = 0.975. Relative error below 1e-12: exact for 1 and 2, else Hill's Algorithm 396 refined by
 * Halley steps on the incomplete beta function; above df 100 000 the Cornish-Fisher expansion
 * (Abramowitz & Stegun 1964, 26.7.5).
 * Example: `tQuantile(0.975, 4)` is 2.7764451051977987.
 */
export function tQuantile(p: number, df: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`tQuantile requires 0 < p < 1, found ${p}`);
  if (!(df >= 1)) throw new RangeError(`tQuantile requires df >= 1, found ${df}`);
  if (p === 0.5) return 0;
  if (df === Number.POSITIVE_INFINITY) return normalQuantile(p);
  const upper = p > 0.5;
  const q = upper ? 1 - p : p;
  const sign = upper ? 1 : -1;
  if (df === 1) return sign / Math.tan(Math.PI * q);
  if (df === 2) return (sign * (1 - 2 * q)) / Math.sqrt(2 * q * (1 - q));
  if (df > 1e5) {
    const z = -normalQuantile(q);
    const s = z * z;
    const u = 1 / df;
    const terms = [
      1,
      (s + 1) / 4,
      ((5 * s + 16) * s + 3) / 96,
      (((3 * s + 19) * s + 17) * s - 15) / 384,
      ((((79 * s + 776) * s + 1482) * s - 1920) * s - 945) / 92160,
    ];
    return sign * z * polynomial(u, terms);
  }
  let t = hillStart(q, df);
  for (let i = 0; i < 12; i++) {
    const step = (tTail(t, df) - q) / tDensity(t, df);
    const change = step * (1 + (step * t * (df + 1)) / (2 * (t * t + df)));
    // A step that overshoots the centre is halved instead: the tail falls all the way from 0 to infinity.
    t = t + change > 0 ? t + change : t / 2;
    if (Math.abs(change) <= 1e-14 * t) break;
  }
  return sign * t;
}

/**
 * Probability that a chi-square value with a whole number of degrees of freedom exceeds `x` >= 0; how surprising
 * a disagreement is. Finite sum (Abramowitz & Stegun 1964, 26.4.4 and 26.4.5).
 * Example: `chiSquareTail(3.841458820694124, 1)` is 0.05.
 */
export function chiSquareTail(x: number, df: number): number {
  if (!(x >= 0)) throw new RangeError(`chiSquareTail requires x >= 0, found ${x}`);
  if (!Number.isInteger(df) || df < 1) throw new RangeError(`chiSquareTail requires whole df, found ${df}`);
  if (x === Number.POSITIVE_INFINITY) return 0;
  const half = x / 2;
  const odd = df % 2 === 1;
  let tail = odd ? 2 * normalCdf(-Math.sqrt(x)) : Math.exp(-half);
  let term = odd ? Math.exp(-half) * Math.sqrt(half) * (2 / Math.sqrt(Math.PI)) : Math.exp(-half) * half;
  for (let a = odd ? 1.5 : 2; a <= df / 2; a++) {
    tail += term;
    term *= half / a;
  }
  return Math.min(1, tail);
}
