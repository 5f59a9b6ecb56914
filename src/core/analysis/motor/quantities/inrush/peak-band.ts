import type { InrushReading } from '../../codes.ts';
import type { Baseline } from '../../sensor/baseline.ts';
import type { Sampling } from '../../sensor/sampling.ts';
import { CAME_UP, LITTLE } from '../../signal/decision-levels.ts';
import type { PressView } from '../../motion/press-view.ts';

/**
 * The band in which the peak lies when it is narrow against the time between readings: not lower than it was read, not higher than the
 * fall after it followed back to the reading before, and never above what the motor draws standing. Null where it is too narrow to be worth a word.
 */
export function peakBand(inrush: InrushReading, runA: number | null, view: PressView, { deviationA, noiseA }: Baseline, sampling: Sampling): { lowA: number; highA: number } | null {
  const { press, peak } = view;
  if (press.startsMidway || !press.fromRest || runA === null || inrush.low_peak_a !== undefined || inrush.peak_at_least === true) return null;
  const heightA = peak.peakA - runA;
  if (!(heightA > 0)) return null;
  const at = Math.min(press.endIndex - 1, peak.index + 2);
  const leftA = deviationA[at] * press.sign - runA;
  if (at <= peak.index) return null;
  // after some readings nothing may be left at all: then the fall is as steep as a reading can tell
  const perPeriod = Math.log(heightA / Math.max(leftA, LITTLE * heightA, noiseA)) / (at - peak.index);
  // the peak lay within a period of the highest reading, and a logger that averages shows it half of one later
  const followedA = runA + heightA * Math.exp(1.5 * Math.max(0, perPeriod));
  const standingA = inrush.fit?.high_standstill_a ?? Infinity;
  const highA = Math.max(peak.peakA, Math.min(followedA, standingA)) + noiseA;
  return highA / peak.peakA - 1 > 1 - CAME_UP && sampling.periodS > 0 ? { lowA: peak.peakA - 2 * noiseA, highA } : null;
}
