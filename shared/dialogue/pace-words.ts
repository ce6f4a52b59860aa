/** The pace in words, as it is counted: a step where every step is. */
import type { Settings } from '../book/settings.ts';
import { feetToMetres } from '../core/units.ts';
import * as wording from '../wording/wording.ts';

/** Two steps (common practice, no source). */
export const usualPace = (units: Settings['units']): string =>
  units === 'metres' ? 'a metre and a half' : 'five feet';

/** "Pace 5.26 feet, give or take 0.1. Walk it again to firm it up."; of who counts every step that of a step. */
export function paceReply({ pace, walks, units, counting }: Settings): string {
  if (!pace) return 'Kept.';
  const part = counting === 'steps' ? 0.5 : 1;
  const long = (feet: number): string => wording.paceLength(part * feet, units);
  const from = walks.length > 1 ? ` from ${walks.length} walks` : '';
  const sd = part * pace.sdFeet;
  const error = units === 'metres' ? wording.digits(100 * feetToMetres(sd), 0) : wording.digits(sd, 2);
  const firm = walks.length === 1 ? ' Walk it again to firm it up.' : '';
  const is =
    counting === 'steps'
      ? `${wording.sentence(long(pace.feet))} for each step that you count`
      : `Pace ${long(pace.feet)}`;
  if (pace.drift) {
    return `${is}${from}, give or take ${error}. The last walk gave ${long(pace.drift.laterFeet)}, the earlier ones ${long(pace.drift.earlierFeet)}: walk it again.`;
  }
  return `${is}${from}, give or take ${error}.${firm}`;
}
