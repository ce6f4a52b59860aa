/**
 * Days by the clock of those who measured. Each entry brings how far its device's clock was from universal time; a day of
 * the book begins at that clock's midnight, and stays so wherever the book is read later.
 */

const msPerMinute = 60_000;
const msPerDay = 86_400_000;

export class LocalDays {
  /** Where the clock changed, in the order of the entries: from this time on, so many minutes east. */
  readonly #turns: { readonly from: number; readonly minutes: number }[] = [];

  /** Takes an entry in its turn; entries of before this was recorded count as universal time. */
  take(time: number, minutes = 0): void {
    if (minutes !== (this.#turns.at(-1)?.minutes ?? 0)) this.#turns.push({ from: time, minutes });
  }

  /** The reading of the clock then, as milliseconds since midnight of 1 January 1970 by that clock. */
  local(time: number): number {
    let minutes = 0;
    for (let at = this.#turns.length - 1; at >= 0; at--) {
      const turn = this.#turns[at]!;
      if (turn.from > time) continue;
      minutes = turn.minutes;
      break;
    }
    return time + minutes * msPerMinute;
  }

  /** Number of the day of a time. Example: half past eleven at night, five hours west, is still the day before. */
  dayOf(time: number): number {
    return Math.floor(this.local(time) / msPerDay);
  }

  /** "2026-05-01" */
  date(time: number): string {
    return new Date(this.local(time)).toISOString().slice(0, 10);
  }

  /** "09:41" */
  clock(time: number): string {
    return new Date(this.local(time)).toISOString().slice(11, 16);
  }
}

/** Day number of now on a clock so many minutes east. */
export const dayNow = (time: number, minutes: number): number =>
  Math.floor((time + minutes * msPerMinute) / msPerDay);
