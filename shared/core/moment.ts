/**
 * Days and hours by the clock of those who measured. A moment brings how far its own clock was ahead of universal time; its
 * day begins at that clock's midnight, and stays so wherever and whenever it is read.
 */

const msPerMinute = 60_000;
const msPerDay = 86_400_000;

export interface Moment {
  /** Milliseconds since 1970, as the clock there showed it. */
  readonly time: number;
  /** Minutes by which that clock was ahead of universal time; none where missing. */
  readonly zone?: number | undefined;
}

const local = ({ time, zone = 0 }: Moment): number => time + zone * msPerMinute;

/**
 * Number of the day of a moment, from 1 January 1970.
 * Example: `dayNumber({ time: 4.5 * 3_600_000, zone: -300 }) === -1`, half past eleven at night, five hours west.
 */
export const dayNumber = (moment: Moment): number => Math.floor(local(moment) / msPerDay);

/** "2026-05-01" */
export const dateOf = (moment: Moment): string => new Date(local(moment)).toISOString().slice(0, 10);

/** "09:41" */
export const clockOf = (moment: Moment): string => new Date(local(moment)).toISOString().slice(11, 16);
