/**
 * The measured stands that `tests/references/stands/fetch.R` fetches: data of others under their own licence, which are not in
 * the repository. A test that needs one is skipped, and counted as skipped, where it was not fetched.
 */
import { existsSync } from 'node:fs';

const stands = [
  'trees_black_cherry',
  'longleaf',
  'spruces',
  'finpines',
  'ufc_even_plots',
  'grand_fir',
  'nuts',
  'white_pines',
] as const;
export type MeasuredStand = (typeof stands)[number];

/** Where a stand lies once it was fetched. */
export const standFile = (name: MeasuredStand): URL =>
  new URL(`../references/stands/${name}.csv`, import.meta.url);

export const hasStand = (name: MeasuredStand): boolean => existsSync(standFile(name));
