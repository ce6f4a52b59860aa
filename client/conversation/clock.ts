/**
 * Whether the clock of this device is right, as far as it can tell: by the server's, and by its own last note. What is
 * wrong is said once, and taken back when it is right again. Notes keep their order whatever it shows.
 */

type Off = 'ahead' | 'behind' | 'back' | null;

/** Milliseconds by which clocks may differ before it is worth a word: an answer of the server may be late. */
const slack = 600_000;
const backSlack = 60_000;

/** How far, in words: the nearest of a year, a day, an hour. */
function far(ms: number): string {
  const [unit, length] =
    ms >= 350 * 86_400_000
      ? ['year', 365.25 * 86_400_000]
      : ms >= 86_400_000
        ? ['day', 86_400_000]
        : ['hour', 3_600_000];
  const count = Math.max(1, Math.round(ms / (length as number)));
  return ms < 3_600_000 ? `${Math.round(ms / 60_000)} minutes` : `${count} ${unit}${count === 1 ? '' : 's'}`;
}

export class ClockWatch {
  #said: Off = null;
  /** What the clock showed at the last note of this device. */
  #last = 0;

  /** `say` shows a sentence until it is taken back by null. */
  constructor(private readonly say: (sentence: string | null) => void) {}

  /** A note of this device was said when its clock showed this. */
  note(time: number): void {
    if (this.#last - time > backSlack)
      this.#tell(
        'back',
        'The clock of this device stands before the last note. Notes stay in their order; set the clock right when you can.',
      );
    else if (this.#said === 'back') this.#tell(null, null);
    this.#last = time;
  }

  /** The server's clock showed this when the one here showed `here`. */
  compare(server: number, here: number): void {
    const ahead = here - server;
    if (Math.abs(ahead) <= slack) {
      if (this.#said === 'ahead' || this.#said === 'behind') this.#tell(null, null);
      return;
    }
    // That it stands before the last note says enough.
    if (this.#said === 'back') return;
    const off = ahead > 0 ? 'ahead' : 'behind';
    this.#tell(
      off,
      `The clock of this device is ${far(Math.abs(ahead))} ${off === 'ahead' ? 'ahead of' : 'behind'} the server's. Notes stay in their order, on the day that their clock showed; set the clock right when you can.`,
    );
  }

  #tell(off: Off, sentence: string | null): void {
    if (this.#said === off) return;
    this.#said = off;
    this.say(sentence);
  }
}
