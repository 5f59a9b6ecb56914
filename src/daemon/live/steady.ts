import type { SampleBlock } from '../../core/trace.ts';
import { calibrationName } from '../../core/analysis/uncertainty/calibration.ts';
import type { SteadyReading, SteadyView } from '../../core/wire/calibration.ts';
import type { Feed } from './feed.ts';
import { NO_READING_S } from './status.ts';

/** Seconds of readings that a calibration's reading is the mean of: the same as of the zero step. */
export const STEADY_WINDOW_S = 2;
/** Parts of it that are compared with each other: eight means give a scatter, and each spans five periods of 20 Hz and more. */
const PARTS = 8;
/** Fewer readings than this a part make no mean worth comparing. */
const FEWEST_A_PART = 2;
/** Two halves that differ by more of their standard uncertainties than this are a reading on its way: 1 in 16,000 windows of white noise (normal distribution). */
const MOVING_SIGMAS = 4;

/** What the readings of one channel say while they are held still; null where there are too few. `addBack`: what a zero step took off. */
function steadyReading(values: Float32Array | null, addBack: number): SteadyReading | null {
  if (values === null || values.length < PARTS * FEWEST_A_PART) return null;
  const parts = Array.from({ length: PARTS }, (_, part) => values.subarray(Math.floor((values.length * part) / PARTS), Math.floor((values.length * (part + 1)) / PARTS)));
  const means = parts.map(meanOf);
  if (means.some((mean) => Number.isNaN(mean))) return null;
  const whole = means.reduce((sum, mean) => sum + mean, 0) / PARTS;
  const scatter = Math.sqrt(means.reduce((sum, mean) => sum + (mean - whole) ** 2, 0) / (PARTS - 1));
  const half = PARTS / 2;
  const [early, late] = [means.slice(0, half), means.slice(half)].map((list) => list.reduce((sum, mean) => sum + mean, 0) / half) as [number, number];
  // within each half, so that a ramp does not hide itself
  const within = Math.sqrt(means.reduce((sum, mean, part) => sum + (mean - (part < half ? early : late)) ** 2, 0) / (PARTS - 2));
  return { mean: whole + addBack, uncertainty: scatter / Math.sqrt(PARTS), moving: Math.abs(late - early) > MOVING_SIGMAS * within * Math.sqrt(2 / half) || scatter > wobbleOf(values, parts, means) };
}

/**
 * What the logger reads while nothing changes, without the zero step, which the record of a trace has by itself. `block`: the newest
 * readings; what came before the logger fell silent is no reading of now.
 */
export function steadyView({ logger, spec, state, zeroA }: Feed, block: SampleBlock, readingAgeS: number | null): SteadyView {
  const isNow = state.state === 'live' && readingAgeS !== null && readingAgeS <= NO_READING_S;
  const read = isNow ? { ...steadyOf(block, zeroA), readings: block.timeS.length } : { current: null, voltage: null, readings: 0 };
  return { logger: logger === null ? null : calibrationName(logger, spec), ...read };
}

/** Both channels of a block whose current a zero step was taken off. */
function steadyOf({ currentA, voltageV }: SampleBlock, zeroA: number): { current: SteadyReading | null; voltage: SteadyReading | null } {
  return { current: steadyReading(currentA, zeroA), voltage: steadyReading(voltageV, 0) };
}

/**
 * What single readings of a part scatter by, in three parts of four, or one step of the reading where that is more: parts that differ by
 * more than this are at different levels.
 */
function wobbleOf(values: Float32Array, parts: readonly Float32Array[], means: readonly number[]): number {
  const scatters = parts.map((part, p) => Math.sqrt(part.reduce((sum, value) => sum + (value - means[p]!) ** 2, 0) / (part.length - 1))).sort((a, b) => a - b);
  let step = Infinity;
  for (let i = 1; i < values.length; i++) {
    const apart = Math.abs(values[i]! - values[i - 1]!);
    if (apart > 0 && apart < step) step = apart;
  }
  return Math.max(scatters[(3 * PARTS) / 4 - 1]!, Number.isFinite(step) ? step : 0);
}

function meanOf(values: Float32Array): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
