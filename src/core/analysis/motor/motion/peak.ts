import type { Baseline } from '../sensor/baseline.ts';
import type { Press } from '../presses/presses.ts';
import type { Sampling } from '../sensor/sampling.ts';
import { clearOf } from '../signal/decision-levels.ts';
import { LOAD } from '../settings.ts';
import { SWITCH_ON_S } from '../time-scales.ts';

export interface Peak {
  readonly index: number;
  readonly peakA: number;
}

/**
 * The highest reading shortly after the switch-on. Where the clamp is noisy the highest of many readings is too high, so each reading is
 * averaged with its neighbours by a parabola (Savitzky and Golay 1964), over as many as the peak is wide and none of the
 * rise or the bounce before it.
 */
export function findPeak(press: Press, baseline: Baseline, sampling: Sampling): Peak {
  const { sign, startIndex } = press;
  const endIndex = Math.min(press.endIndex, startIndex + Math.max(3, Math.round(SWITCH_ON_S * sampling.rateHz)));
  const deviationA = baseline.deviationA;
  let index = startIndex;
  for (let i = startIndex; i < endIndex; i++) if (deviationA[i] * sign > deviationA[index] * sign) index = i;
  const rawA = deviationA[index] * sign;
  if (baseline.noiseA < LOAD.aliveShare * rawA) return { index, peakA: rawA };
  const limitA = 0.85 * rawA - baseline.noiseA;
  let from = index;
  while (from > startIndex && deviationA[from - 1] * sign > limitA) from--;
  let to = index + 1;
  while (to < endIndex && deviationA[to] * sign > limitA) to++;
  const half = Math.min(Math.floor((to - from) / 2), Math.ceil((12 * baseline.noiseA) / rawA) * 40);
  // a parabola needs two readings on either side: with fewer it is a mean, which a sharp peak stands out of
  if (half < 2) return { index, peakA: rawA };
  let peakA = -Infinity;
  let at = index;
  for (let i = from; i < to; i++) {
    const smoothA = parabola(deviationA, Math.max(from, i - half), Math.min(to, i + half + 1), i) * sign;
    if (smoothA > peakA) {
      peakA = smoothA;
      at = i;
    }
  }
  // the highest of these readings is too high by no more than noise makes of so many, and never too low
  const leastA = rawA - clearOf(to - from) * baseline.noiseA;
  return { index: at, peakA: Math.min(rawA, Math.max(leastA, peakA)) };
}

/** Value at `at` of the least-squares parabola through `[from, to)`. */
function parabola(values: Float32Array, from: number, to: number, at: number): number {
  const count = to - from;
  if (count < 4) {
    let sum = 0;
    for (let i = from; i < to; i++) sum += values[i];
    return sum / count;
  }
  const middle = (from + to - 1) / 2;
  const scale = count / 2;
  let s2 = 0;
  let s4 = 0;
  let y0 = 0;
  let y1 = 0;
  let y2 = 0;
  for (let i = from; i < to; i++) {
    const x = (i - middle) / scale;
    s2 += x * x;
    s4 += x * x * x * x;
    y0 += values[i];
    y1 += values[i] * x;
    y2 += values[i] * x * x;
  }
  const determinant = count * s4 - s2 * s2;
  const a = (y0 * s4 - y2 * s2) / determinant;
  const c = (count * y2 - s2 * y0) / determinant;
  const x = (at - middle) / scale;
  return a + (y1 / s2) * x + c * x * x;
}
