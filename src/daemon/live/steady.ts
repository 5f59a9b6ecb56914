import type { SampleBlock } from '../../core/trace.ts';
import type { SteadyReading } from '../../core/wire/calibration.ts';

/** Seconds of readings that a calibration's reading is the mean of: the same as of the zero step. */
export const STEADY_WINDOW_S = 2;
/** Parts of it that are compared with each other: eight means give a scatter, and each spans five periods of 20 Hz and more. */
const PARTS = 8;
/** Fewer readings than this a part make no mean worth comparing. */
const FEWEST_A_PART = 2;
/** Two halves that differ by more of their standard uncertainties than this are a reading on its way: 1 in 16,000 windows of white noise (normal distribution). */
const MOVING_SIGMAS = 4;

/** What the readings of one channel say while they are held still; null where there are too few. `addBack`: what a zero step took off. */
export function steadyReading(values: Float32Array | null, addBack: number): SteadyReading | null {
  if (values === null || values.length < PARTS * FEWEST_A_PART) return null;
  const means: number[] = [];
  for (let part = 0; part < PARTS; part++) means.push(meanOf(values, Math.floor((values.length * part) / PARTS), Math.floor((values.length * (part + 1)) / PARTS)));
  if (means.some((mean) => Number.isNaN(mean))) return null;
  const whole = means.reduce((sum, mean) => sum + mean, 0) / PARTS;
  const scatter = Math.sqrt(means.reduce((sum, mean) => sum + (mean - whole) ** 2, 0) / (PARTS - 1));
  const half = PARTS / 2;
  const [early, late] = [means.slice(0, half), means.slice(half)].map((list) => list.reduce((sum, mean) => sum + mean, 0) / half) as [number, number];
  // within each half, so that a ramp does not hide itself
  const within = Math.sqrt(means.reduce((sum, mean, part) => sum + (mean - (part < half ? early : late)) ** 2, 0) / (PARTS - 2));
  return { mean: whole + addBack, uncertainty: scatter / Math.sqrt(PARTS), moving: Math.abs(late - early) > MOVING_SIGMAS * within * Math.sqrt(2 / half) };
}

/** Both channels of a block whose current a zero step was taken off. */
export function steadyOf({ currentA, voltageV }: SampleBlock, zeroA: number): { current: SteadyReading | null; voltage: SteadyReading | null } {
  return { current: steadyReading(currentA, zeroA), voltage: steadyReading(voltageV, 0) };
}

function meanOf(values: Float32Array, startIndex: number, endIndex: number): number {
  let sum = 0;
  for (let i = startIndex; i < endIndex; i++) sum += values[i]!;
  return sum / (endIndex - startIndex);
}
