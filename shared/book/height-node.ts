/** A measured height: what was said of it, and of what it came to only what counts. All of it is worked out when asked. */

import { measure } from '../measuring/height/index.ts';
import type { Cause, Height, HeightProblem } from '../measuring/height/types.ts';
import type { DeviceId } from '../note/journal.ts';
import type { Measurement, Method } from '../note/note.ts';
import type { Settings } from './settings.ts';

/** Something that an entry said. */
export interface SaidBy<T> {
  readonly entry: string;
  readonly value: T;
}

/** A measured height, of a tree or of none. */
export class HeightNode {
  readonly id: string;
  /** The entry that measured it. */
  readonly entry: string;
  /** On which it was measured: with the pace of who speaks there. */
  readonly device: DeviceId;
  /** Point of the settings line at which it was measured. */
  point: number;
  tree: string | null;
  /** Trees that it was said to be of, where that was said later. */
  assigned: readonly SaidBy<string | null>[];
  /** What was said of it and stands. */
  said: readonly SaidBy<Measurement | null>[];
  /** What was taken back of it among the rest; null until something was. */
  all: SaidBy<Measurement | null>[] | null = null;
  gone = false;
  problem: HeightProblem | null = null;
  /** Feet, with the whole error and what the pace and the eye height have of it; `feet` null while there is no value. */
  feet: number | null = null;
  sdFeet = 0;
  paceSdFeet = 0;
  eyeSdFeet = 0;
  #settings: Settings | null = null;

  constructor(
    of: Pick<HeightNode, 'id' | 'entry' | 'device' | 'point' | 'tree'> & {
      readonly measurement: Measurement;
    },
  ) {
    this.id = of.id;
    this.entry = of.entry;
    this.device = of.device;
    this.point = of.point;
    this.tree = of.tree;
    this.assigned = [{ entry: of.entry, value: of.tree }];
    this.said = [{ entry: of.entry, value: of.measurement }];
  }

  /** Works it out with these settings; with none it has no value. */
  measureWith(settings: Settings | null): void {
    this.#settings = settings;
    this.feet = null;
    this.problem = null;
    const result = this.#result();
    if (result === null) return;
    if (!result.ok) {
      this.problem = result.error;
      return;
    }
    this.feet = result.value.feet;
    this.sdFeet = result.value.sdFeet;
    this.paceSdFeet = sdOf(result.value, 'pace');
    this.eyeSdFeet = sdOf(result.value, 'eye');
  }

  /** With its shares, its working and its sketch. */
  get value(): Height | null {
    if (this.feet === null) return null;
    const result = this.#result();
    return result?.ok ? result.value : null;
  }

  /** How it was measured, where it has a value. */
  get method(): Method | null {
    return this.feet === null ? null : (this.said.at(-1)?.value?.method ?? null);
  }

  /** Who measured it. */
  get person(): string {
    return this.#settings?.person ?? this.device;
  }

  #result(): ReturnType<typeof measure> | null {
    const measurement = this.said.at(-1)?.value;
    return measurement && this.#settings ? measure(measurement, this.#settings) : null;
  }
}

const sdOf = (height: Height, cause: Cause): number =>
  height.shares.find((share) => share.cause === cause)?.sdFeet ?? 0;
