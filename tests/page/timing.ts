/** Quantiles of what was timed in a page. */

/** The value that a share of the values does not pass; NaN where there are none. Example: the p95 is `shareOf(times, 0.95)`. */
export function shareOf(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}
