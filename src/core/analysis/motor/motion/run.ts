import type { Run } from '../../results.ts';
import { mean, median, robustSigma, slopeOf } from '../../../stats.ts';
import type { Baseline } from '../sensor/baseline.ts';
import { shortScatter, stepUncertainty } from '../sensor/converter-step.ts';
import type { Press } from '../presses/presses.ts';
import { zeroUncertainty } from '../sensor/zero-uncertainty.ts';
import { ofLimits } from '../../uncertainty/budget.ts';
import { partsOf } from '../../uncertainty/parts.ts';
import type { IndexRange } from '../types.ts';
import { student95 } from '../../uncertainty/distributions.ts';
import { NORMAL_95 } from '../../uncertainty/normal-95.ts';
import { MOST_WINDOWS } from '../signal/spectrum.ts';
import { ENOUGH_READINGS } from '../time-scales.ts';

/**
 * The running current: median over the stretches in which the motor turned and had settled.
 *
 * A median of readings that lie on the converter's steps is itself one of the steps; so each reading is spread evenly over its step
 * first (the grouped median of the statistics handbooks, by the golden-ratio sequence).
 *
 * The 95 % bounds join, as root of squares: how far a lopsided ripple, a notch and a load that swings keep the usual current and the mean
 * apart; the run's own scatter, by batch medians, since neighbouring samples are not independent (ripple, hum, the mechanism's waves);
 * how far the clamp's zero may have moved under the press; and what the converter's steps leave open in both. O(n) selection on at most
 * 24,000 samples.
 */
export function runFields(press: Press, ranges: readonly IndexRange[], timeS: Float64Array, baseline: Baseline): Run | null {
  let total = 0;
  for (const range of ranges) total += range.endIndex - range.startIndex;
  if (total < 3) return null;
  const stride = Math.max(1, Math.ceil(total / ENOUGH_READINGS));
  const values = new Float64Array(Math.ceil(total / stride) + ranges.length);
  const times = new Float64Array(values.length);
  // multiples of the golden ratio's fraction fill the unit interval as evenly as any sequence
  const golden = (Math.sqrt(5) - 1) / 2;
  let count = 0;
  for (const range of ranges) {
    for (let i = range.startIndex; i < range.endIndex; i += stride) {
      values[count] = (baseline.deviationA[i] + baseline.stepA * (((count * golden) % 1) - 0.5)) * press.sign;
      times[count++] = timeS[i];
    }
  }
  const used = values.subarray(0, count);
  const medianA = median(used);
  const first = timeS[ranges[0].startIndex];
  const last = timeS[ranges[ranges.length - 1].endIndex - 1];
  const idleScatterA = baseline.hum === null ? baseline.noiseA : Math.hypot(baseline.noiseA, baseline.hum.amplitudeA / Math.SQRT2);
  const scatterA = shortScatter(used);
  const noiseA = batchError(used);
  const movedA = zeroUncertainty(baseline, first, last);
  const steppedA = Math.hypot(stepUncertainty(baseline.stepA, scatterA), stepUncertainty(baseline.stepA, idleScatterA));
  // the level lies anywhere from the median to the mean, and as far on the other side: limits (JCGM 100:2008, 4.3.7)
  const lopsidedA = NORMAL_95 * ofLimits(Math.abs(mean(used) - medianA));
  const errorA = Math.hypot(noiseA, movedA, steppedA, lopsidedA);
  return {
    start_s: first,
    end_s: last,
    median_a: medianA,
    low_a: medianA - errorA,
    high_a: medianA + errorA,
    spread_a: robustSigma(used),
    slope_a_per_s: slopeOf(times.subarray(0, count), used),
    uncertainty: partsOf({ noise: noiseA / NORMAL_95, model: lopsidedA / NORMAL_95, 'zero-drift': movedA / NORMAL_95, resolution: steppedA / NORMAL_95 }),
  };
}

/**
 * Half width of the 95 % interval of the median by the method of batch means: the run is cut into equal batches, the scatter of their
 * medians gives the standard error, and what neighbouring batches have in common makes them count as fewer,
 * n (1 - r)/(1 + r) of them (first-order autocorrelation; any handbook on time series).
 */
export function batchError(values: Float64Array): number {
  const batches = Math.max(2, Math.min(MOST_WINDOWS, Math.floor(values.length / 8)));
  const medians = new Float64Array(batches);
  for (let b = 0; b < batches; b++) {
    const from = Math.floor((values.length * b) / batches);
    medians[b] = median(values.subarray(from, Math.max(from + 1, Math.floor((values.length * (b + 1)) / batches))));
  }
  const meanA = mean(medians);
  let squares = 0;
  let lagged = 0;
  for (let b = 0; b < batches; b++) {
    squares += (medians[b] - meanA) ** 2;
    if (b > 0) lagged += (medians[b] - meanA) * (medians[b - 1] - meanA);
  }
  if (!(squares > 0)) return 0;
  // the estimate of r from n values is low by about 1/n; from a half on it cannot be told from a trend
  const r = Math.max(0, Math.min(0.5, lagged / squares + 1 / batches));
  const independent = Math.max(2, (batches * (1 - r)) / (1 + r));
  return student95(Math.round(independent)) * Math.sqrt(squares / (batches - 1) / independent);
}
