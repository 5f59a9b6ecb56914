/** How often the 95 % bounds of a figure held what flowed. */
export class Held {
  held = 0;
  all = 0;
  /** of traces, since the errors of one sensor are common to all its figures */
  traces = 0;
  #squares = 0;

  /** `value` between its bounds, against the truth; half the bounds over 1.96 is its standard uncertainty */
  see(truth: number, value: number, low: number, high: number): void {
    this.all++;
    if (low <= truth && truth <= high) this.held++;
    this.#squares += ((truth - value) / ((high - low) / 2 / 1.96)) ** 2;
  }

  get share(): number {
    return this.held / Math.max(1, this.all);
  }

  /** Root mean square of the errors in standard uncertainties: 1 where the bounds are as wide as they should be. */
  get spread(): number {
    return Math.sqrt(this.#squares / Math.max(1, this.all));
  }
}
