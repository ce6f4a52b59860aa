/** What each device is busy with, and the questions that are open on it. */
import type { Question } from '../note/acts.ts';

export interface OpenQuestion {
  readonly entry: string;
  readonly question: Question;
}

/** What a device is busy with. */
export interface DeviceState {
  tree: string | null;
  plot: string | null;
  /** Null until one was named on this device; then that of the book holds. */
  stand: string | null;
  stratum: string | null;
  /** Height of the tree in hand, or of no tree, that was measured last. */
  height: string | null;
  /** The height measured last, of whatever tree: its advice is not repeated tree after tree. */
  measured: string | null;
  /** Ids of this device's entries in order. */
  readonly entries: string[];
  /** Open questions, the newest last. */
  questions: OpenQuestion[];
}

export class DeviceStates {
  readonly #deviceStates = new Map<string, DeviceState>();
  /** The device on which a stand was named last. */
  #named: string | null = null;

  of(device: string): DeviceState {
    let deviceState = this.#deviceStates.get(device);
    if (!deviceState) {
      deviceState = {
        tree: null,
        plot: null,
        stand: null,
        stratum: null,
        height: null,
        measured: null,
        entries: [],
        questions: [],
      };
      this.#deviceStates.set(device, deviceState);
    }
    return deviceState;
  }

  all(): Iterable<DeviceState> {
    return this.#deviceStates.values();
  }

  /** From now on the stand of this device is that of whoever named none. */
  nameStand(device: string): void {
    this.#named = device;
  }

  /** The hand whose stand and stratum hold on a device: its own once a stand was named there, else the crew's. */
  placeOf(device: string): DeviceState {
    const own = this.of(device);
    return own.stand === null && this.#named !== null ? this.of(this.#named) : own;
  }

  /** An open question of any device, and the device on which it was put. */
  openQuestion(entry: string): { readonly device: string; readonly open: OpenQuestion } | null {
    for (const [device, deviceState] of this.#deviceStates) {
      const open = deviceState.questions.find((one) => one.entry === entry);
      if (open) return { device, open };
    }
    return null;
  }

  closeQuestion(entry: string): void {
    for (const deviceState of this.#deviceStates.values()) {
      if (deviceState.questions.length > 0)
        deviceState.questions = deviceState.questions.filter((open) => open.entry !== entry);
    }
  }
}
