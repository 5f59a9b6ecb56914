/**
 * The pace of lines that carry no time, from their arrivals (s, rising). They come in bunches, some late and none early, so only the
 * least late ones of a stretch are looked at.
 */

/** Lines of this long are kept at the start to measure the pace, s; at least so many lines; a slow logger is measured on three. */
const MEASURE_S = 1;
const MEASURE_LINES = 8;
const SLOW_MEASURE_S = 3;
const SLOW_LINES = 3;
/** What the operating system had stored before the port was opened comes at once; the first fifth is left out of the measurement. */
const LEAVE_OUT_PART = 0.2;
/** A step between bunches of more than this, s, and of so many usual ones, is a pause and no part of the pace. */
const PAUSE_S = 0.25;
const PAUSE_STEPS = 20;
/** A logger that sends less than a line a minute is none; such a step is a pause in any case, s. */
const LONGEST_STEP_S = 60;

export function isMeasurable(arrivals: readonly number[]): boolean {
  const count = arrivals.length;
  const elapsedS = arrivals[count - 1] - arrivals[0];
  return (elapsedS >= MEASURE_S && count >= MEASURE_LINES) || (elapsedS >= SLOW_MEASURE_S && count >= SLOW_LINES);
}

/**
 * The stretch of lines since the last pause: index of its first line (0 without a pause), and how long lines have come altogether, the
 * pauses left out, s. Lines may be missing in a pause, or only late: a pace measured across it would be anything.
 */
export function sincePause(arrivals: readonly number[]): { startIndex: number; busyS: number } {
  const count = arrivals.length;
  const steps: number[] = [];
  for (let i = 1; i < count; i += 1) if (arrivals[i] > arrivals[i - 1]) steps.push(arrivals[i] - arrivals[i - 1]);
  steps.sort((a, b) => a - b);
  const usualS = steps.length === 0 ? 0 : steps[(steps.length - 1) >> 1];
  // one step among many lines is a pause between two bunches; among two or three it is all that is known
  const limitS = steps.length < 2 && count >= MEASURE_LINES ? PAUSE_S : Math.min(LONGEST_STEP_S, Math.max(PAUSE_S, PAUSE_STEPS * usualS));
  let startIndex = 0;
  let busyS = 0;
  for (let i = 1; i < count; i += 1) {
    const stepS = arrivals[i] - arrivals[i - 1];
    if (stepS > limitS) startIndex = i;
    else busyS += stepS;
  }
  return { startIndex, busyS };
}

/** Seconds from line to line: from the least late line of the first quarter to that of the last, the first fifth left out. */
export function measurePeriod(arrivals: readonly number[]): number {
  const count = arrivals.length;
  const startS = arrivals[0] + LEAVE_OUT_PART * (arrivals[count - 1] - arrivals[0]);
  let from = 0;
  if (count >= 2 * MEASURE_LINES) while (from < count - 2 && arrivals[from] < startS) from += 1;
  const roughS = Math.max(1e-7, (arrivals[count - 1] - arrivals[from]) / Math.max(1, count - 1 - from));
  const quarter = Math.max(1, (count - from) >> 2);
  const low = leastLate(arrivals, from, from + quarter, roughS);
  const high = leastLate(arrivals, count - quarter, count, roughS);
  return high > low && arrivals[high] > arrivals[low] ? (arrivals[high] - arrivals[low]) / (high - low) : roughS;
}

/** Of the arrivals `[startIndex, endIndex)` the index of the one least behind an even grid of this period. */
export function leastLate(arrivals: readonly number[], startIndex: number, endIndex: number, periodS: number): number {
  let best = startIndex;
  for (let i = startIndex + 1; i < endIndex; i += 1) {
    if (arrivals[i] - i * periodS < arrivals[best] - best * periodS) best = i;
  }
  return best;
}
