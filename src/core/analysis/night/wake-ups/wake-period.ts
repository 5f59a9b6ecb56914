import type { WakeRhythm, WakeUp } from '../../results.ts';
import { median } from '../../../stats.ts';

/** A start this near to the beat, as a share of the period, is on it. */
const ON_BEAT = 0.12;
/** At least this share of the wake-ups must be on the beat, and this share of the beats must be seen. */
const REGULAR_SHARE = 0.75;
const SEEN_SHARE = 0.6;

/**
 * The beat of wake-ups that nobody caused. Every distance between neighbours is tried as the period; starts are numbered in whole
 * periods (so that a missed wake-up, or time without samples, does not spoil it) and the trial with most starts on its beat wins. A
 * straight line through those starts gives the period and, from its residuals, the doubt. Needs three wake-ups; null with fewer.
 */
export function wakePeriod(wakeUps: readonly WakeUp[]): WakeRhythm | null {
  const starts = wakeUps.filter((wake) => wake.cause === null || wake.cause === undefined).map((wake) => wake.start_s);
  if (starts.length < 3) return null;
  const apart: number[] = [];
  for (let i = 1; i < starts.length; i++) apart.push(starts[i] - starts[i - 1]);
  const trials = [median(apart), ...(apart.length > MOST_TRIALS ? apart.slice(0, MOST_TRIALS) : apart)];
  let best: Beat | null = null;
  for (const trialS of trials) {
    const beat = onBeat(starts, trialS);
    if (beat !== null && (best === null || beat.starts.length > best.starts.length || (beat.starts.length === best.starts.length && beat.scatterS < best.scatterS))) best = beat;
  }
  if (best === null) return null;
  const seen = best.starts.length / (best.numbers[best.numbers.length - 1] + 1);
  const regular = best.starts.length >= 3 && best.starts.length >= REGULAR_SHARE * starts.length && seen >= SEEN_SHARE;
  return { period_s: best.periodS, low_s: best.periodS - best.doubtS, high_s: best.periodS + best.doubtS, regular };
}

/** True when a start lies a whole number of periods from another, within the share that counts as on the beat. */
export function isOnBeat(startS: number, otherS: number, periodS: number): boolean {
  const beats = Math.abs(startS - otherS) / periodS;
  return Math.round(beats) >= 1 && Math.abs(beats - Math.round(beats)) <= ON_BEAT;
}

const MOST_TRIALS = 60;

interface Beat {
  readonly periodS: number;
  readonly doubtS: number;
  readonly scatterS: number;
  readonly starts: readonly number[];
  readonly numbers: readonly number[];
}

/** Follows the beat from each start to the next that fits it; starts off the beat are passed over. */
function onBeat(starts: readonly number[], trialS: number): Beat | null {
  let best: { starts: number[]; numbers: number[] } = { starts: [], numbers: [] };
  for (let from = 0; from < Math.min(3, starts.length - 1); from++) {
    const chosen = [starts[from]];
    const numbers = [0];
    for (let i = from + 1; i < starts.length; i++) {
      const beats = (starts[i] - chosen[chosen.length - 1]) / trialS;
      const whole = Math.round(beats);
      if (whole < 1 || Math.abs(beats - whole) > ON_BEAT) continue;
      chosen.push(starts[i]);
      numbers.push(numbers[numbers.length - 1] + whole);
    }
    if (chosen.length > best.starts.length) best = { starts: chosen, numbers };
  }
  const count = best.starts.length;
  if (count < 2) return null;
  const middle = best.numbers.reduce((sum, value) => sum + value, 0) / count;
  const meanS = best.starts.reduce((sum, value) => sum + value, 0) / count;
  let xx = 0;
  let xy = 0;
  for (let i = 0; i < count; i++) {
    xx += (best.numbers[i] - middle) ** 2;
    xy += (best.numbers[i] - middle) * (best.starts[i] - meanS);
  }
  const periodS = xy / xx;
  let rest = 0;
  for (let i = 0; i < count; i++) rest += (best.starts[i] - meanS - periodS * (best.numbers[i] - middle)) ** 2;
  const scatterS = Math.sqrt(rest / Math.max(1, count - 2));
  return { periodS, doubtS: Math.max(0.001 * periodS, (2.5 * scatterS) / Math.sqrt(xx)), scatterS, ...best };
}
