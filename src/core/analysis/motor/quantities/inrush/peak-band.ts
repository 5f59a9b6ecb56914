import type { InrushReading } from '../../codes.ts';
import type { Baseline } from '../../sensor/baseline.ts';
import type { Sampling } from '../../sensor/sampling.ts';
import type { PressView } from '../../motion/press-view.ts';

/** of the peak; a band narrower than this is not worth a word */
const WORTH = 0.03;
/** readings after the peak whose fall is followed back */
const FOLLOWED = 3;
/** periods for which the peak may have fallen unseen: it lay within one of the highest reading, and a logger that averages shows it half of one later */
const UNSEEN_PERIODS = 1.5;

/**
 * The band in which the peak lies when it is narrow against the time between readings: not lower than it was read, not higher than the
 * fall after it followed back to the reading before, and never above what the motor draws standing. Null where it is no wider than 3 %.
 */
export function peakBand(inrush: InrushReading, runA: number | null, view: PressView, { deviationA, noiseA }: Baseline, sampling: Sampling): { lowA: number; highA: number } | null {
  const { press, peak } = view;
  if (press.startsMidway || !press.fromRest || runA === null || inrush.low_peak_a !== undefined || inrush.peak_at_least === true) return null;
  const heightA = peak.peakA - runA;
  if (!(heightA > 0)) return null;
  const at = Math.min(press.endIndex - 1, peak.index + FOLLOWED);
  const leftA = deviationA[at] * press.sign - runA;
  if (at <= peak.index) return null;
  // after some readings nothing may be left at all: then the fall is as steep as a reading can tell
  const perPeriod = Math.log(heightA / Math.max(leftA, heightA / 20, noiseA)) / (at - peak.index);
  const followedA = runA + heightA * Math.exp(UNSEEN_PERIODS * Math.max(0, perPeriod));
  const standingA = inrush.fit?.high_standstill_a ?? Infinity;
  const highA = Math.max(peak.peakA, Math.min(followedA, standingA)) + noiseA;
  return highA / peak.peakA - 1 > WORTH && sampling.periodS > 0 ? { lowA: peak.peakA - 2 * noiseA, highA } : null;
}
