import { formatCurrent } from '../../core/units.ts';
import type { SampleBlock } from '../../core/trace.ts';
import type { Zero } from '../recording/types.ts';

/** Seconds of readings a zero is the mean of; what the page promises. */
export const ZERO_WINDOW_S = 2;
/** Fewer readings make no mean worth subtracting. */
const MIN_READINGS = 10;
/** The two halves of a steady window differ by more than this many standard errors in 1 of 16,000 windows of white noise (normal distribution). */
const MOVING_SIGMAS = 4;
/** Share of full scale above which a "zero" is more likely a current that flows; clamps drift by less (common practice, no published source). */
const LARGE_SHARE = 0.1;

/**
 * The zero step: the mean of the last two seconds becomes the new zero. `block` are readings that `before` was already taken off, so
 * the new zero is the old one plus their mean; how far it moved since is said, since a clamp that drifts by more than the drain that
 * is looked for cannot show it. Returns a sentence when the readings do not allow a zero.
 */
export function takeZero(block: SampleBlock, before: Zero | null, fullScaleA: number | null, takenAt: Date): Zero | string {
  const { currentA } = block;
  const count = currentA.length;
  if (count < MIN_READINGS) return `Only ${count} readings came in the last ${ZERO_WINDOW_S} seconds: wait until the logger sends, then take the zero again.`;
  const half = count >> 1;
  const early = meanOf(currentA, 0, half);
  const late = meanOf(currentA, half, count);
  const whole = meanOf(currentA, 0, count);
  const noiseA = Math.sqrt(whole.squares / Math.max(1, count - 1));
  const zeroA = (before?.zeroA ?? 0) + whole.mean;
  if (fullScaleA !== null && Math.abs(zeroA) > LARGE_SHARE * fullScaleA) {
    return `The reading is ${formatCurrent(zeroA)}, too far from zero to be an offset: take the conductor out of the clamp, or switch the circuit off, then take the zero again.`;
  }
  const texts = [`Zero taken: ${formatCurrent(zeroA)} is subtracted, noise ${formatCurrent(noiseA)}.`];
  // within-half scatter, so that a step between the halves does not hide itself
  const scatter = Math.sqrt((early.squares + late.squares) / Math.max(1, count - 2));
  if (Math.abs(late.mean - early.mean) > MOVING_SIGMAS * scatter * Math.sqrt(1 / half + 1 / (count - half))) {
    texts.push('The reading was still moving: wait for the clamp to settle and take it again.');
  }
  if (before !== null) texts.push(`It moved by ${formatCurrent(whole.mean)} since ${before.takenAt.slice(11, 16)} UTC.`);
  return { zeroA, noiseA, readings: count, takenAt: takenAt.toISOString(), text: texts.join(' ') };
}

function meanOf(values: Float32Array, startIndex: number, endIndex: number): { mean: number; squares: number } {
  let sum = 0;
  for (let i = startIndex; i < endIndex; i++) sum += values[i]!;
  const mean = sum / (endIndex - startIndex);
  let squares = 0;
  for (let i = startIndex; i < endIndex; i++) squares += (values[i]! - mean) ** 2;
  return { mean, squares };
}
