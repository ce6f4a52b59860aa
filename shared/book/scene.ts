/** Where and when an act happens. */
import type { DeviceId } from '../note/journal.ts';
export interface Scene {
  readonly entry: string;
  /** True where it is played behind entries that come after it in the order. */
  readonly late: boolean;
  readonly device: DeviceId;
  /** By the clock of its device. */
  readonly time: number;
  readonly zone: number;
  readonly person: string | null;
  /** Plot, stand and stratum in hand. */
  readonly plot: string | null;
  readonly stand: string | null;
  readonly stratum: string | null;
}
