import type { CalibrationRecord } from '../../core/analysis/uncertainty/calibration.ts';

interface HeldParts {
  /** the calibrations that are kept of a logger with any of these names */
  readonly find: (names: readonly string[]) => Promise<readonly CalibrationRecord[]>;
  /** others hold now */
  readonly onChange: () => void;
}

/** The calibrations that hold of the logger in use: looked up when it says who it is, and anew when a person has made one or taken one back. */
export class HeldCalibrations {
  readonly #parts: HeldParts;
  #names: readonly string[] = [];
  /** counts the look-ups: the answer to any but the last is out of date */
  #round = 0;
  #looking: Promise<void> = Promise.resolve();
  all: readonly CalibrationRecord[] = [];

  constructor(parts: HeldParts) {
    this.#parts = parts;
  }

  /** The logger in use goes by these names; nothing that is kept of the one before holds any more. */
  use(names: readonly string[]): void {
    if (names.length === this.#names.length && names.every((name, i) => name === this.#names[i])) return;
    this.#names = names;
    this.#put([]);
    this.lookAgain();
  }

  lookAgain(): void {
    this.#looking = this.#look(++this.#round);
  }

  /** The same once the look-up that goes on is answered: what a recording has to know before it begins. */
  async known(): Promise<readonly CalibrationRecord[]> {
    for (let looking: Promise<void> | null = null; looking !== this.#looking; ) {
      looking = this.#looking;
      await looking;
    }
    return this.all;
  }

  async #look(round: number): Promise<void> {
    const found = await this.#parts.find(this.#names);
    if (round === this.#round) this.#put(found);
  }

  #put(calibrations: readonly CalibrationRecord[]): void {
    if (calibrations.length + this.all.length === 0) return;
    this.all = calibrations;
    this.#parts.onChange();
  }
}
