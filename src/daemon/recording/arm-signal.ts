import { MAD_TO_SIGMA, median } from '../../core/stats.ts';
import type { SampleBlock } from '../../core/trace.ts';

/** Steps from sample to sample that the noise is judged by: half a second at 1 kS/s. */
const NOISE_STEPS = 512;
/** The noise is judged anew after so many samples. */
const JUDGE_AFTER = 64;
/** Fewer steps say nothing yet. */
const LEAST_STEPS = 16;

/**
 * The last six samples of the current and how noisy it is: enough to tell a change from noise without waiting. A median of three takes single wild samples out; the noise is the median
 * absolute step from sample to sample, which a change of level now and then does not move.
 */
export class ArmSignal {
  readonly #timesS = new Float64Array(6);
  readonly #values = new Float64Array(6);
  readonly #steps = new Float64Array(NOISE_STEPS);
  #count = 0;
  #stepCount = 0;
  #lastA = Number.NaN;
  #noiseA = 0;

  /** after missing time nothing follows on what was before; the noise stays known */
  gap(): void {
    this.#count = 0;
    this.#lastA = Number.NaN;
  }

  push(timeS: number, valueA: number): void {
    this.#timesS.copyWithin(0, 1);
    this.#values.copyWithin(0, 1);
    this.#timesS[5] = timeS;
    this.#values[5] = valueA;
    this.#count++;
    if (!Number.isNaN(this.#lastA)) {
      this.#steps[this.#stepCount++ % NOISE_STEPS] = Math.abs(valueA - this.#lastA);
      if (this.#stepCount % JUDGE_AFTER === 0 || this.#stepCount === LEAST_STEPS) this.#noiseA = (median(this.#steps.subarray(0, Math.min(this.#stepCount, NOISE_STEPS))) * MAD_TO_SIGMA) / Math.SQRT2;
    }
    this.#lastA = valueA;
  }

  /** standard deviation of a sample, A; 0 while unknown */
  get noiseA(): number {
    return this.#noiseA;
  }

  get knowsNoise(): boolean {
    return this.#stepCount >= LEAST_STEPS;
  }

  /** median of the last three samples, NaN before there are three */
  get levelA(): number {
    return this.#count < 3 ? Number.NaN : middle(this.#values, 3);
  }

  /** change from the three samples before to the last three, NaN before there are six */
  get changeA(): number {
    return this.#count < 6 ? Number.NaN : middle(this.#values, 3) - middle(this.#values, 0);
  }

  /** the steepest step from sample to sample among the last six, upwards (1) or downwards (-1), A/s and positive */
  steepest(direction: 1 | -1): number {
    let steepest = 0;
    for (let i = 1; i < 6; i++) steepest = Math.max(steepest, (direction * (this.#values[i]! - this.#values[i - 1]!)) / (this.#timesS[i]! - this.#timesS[i - 1]!));
    return steepest;
  }

  /** Time of the first of the last three samples that is at `valueA` or past it: two of three make the median, so it may have begun one before the last. */
  firstPast(valueA: number): number {
    for (let i = 3; i < 5; i++) if (this.#values[i]! >= valueA) return this.#timesS[i]!;
    return this.#timesS[5]!;
  }

  /** time of the sample before the last: a median of three sees a step with its second sample */
  get beforeLastS(): number {
    return this.#timesS[4]!;
  }
}

function middle(values: Float64Array, at: number): number {
  const [a, b, c] = [values[at]!, values[at + 1]!, values[at + 2]!];
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
}

/** Samples of a block one by one, without an object for each. */
export function eachSample({ timeS, currentA }: SampleBlock, see: (timeS: number, currentA: number) => boolean): void {
  for (let i = 0; i < timeS.length; i++) if (see(timeS[i]!, currentA[i]!)) return;
}
