import type { Run } from '../../../results.ts';
import type { InrushReading, PressReading } from '../../codes.ts';
import { median } from '../../../../stats.ts';
import { switchOnPeak } from '../../../../reference/motor.ts';
import type { ClampSpeed } from '../../presses/clamp-speed.ts';
import { fitSwitchOn, type FitAnswer, type SwitchOnCurve } from './inrush-fit.ts';
import type { PressView } from '../../motion/press-view.ts';
import { LOAD } from '../../settings.ts';
import { FEWEST, LITTLE, SMALL_PART } from '../../signal/decision-levels.ts';
import type { Readings } from '../../sensor/readings.ts';
import type { Motion } from '../../types.ts';

/** What the clamp read, how it was sampled and how fast it follows. */
interface Sensor extends Readings {
  readonly clamp: ClampSpeed;
}

/** Adds the fit of the switch-on, or why there is none, and bounds of the peak where the clamp was too slow for it. */
export function withFit(inrush: InrushReading, run: Run | null, view: PressView, motion: Motion, sensor: Sensor): InrushReading {
  const { sampling, clamp } = sensor;
  const answer = fitOf(inrush, run, view, motion, sensor);
  const fitted: InrushReading = answer.fit === null ? { ...inrush, fit: null, no_fit: answer.why } : { ...inrush, fit: answer.fit };
  const delayS = (view.peak.index - view.press.startIndex) * sampling.periodS;
  return inrush.peak_at_least === true ? fitted : { ...fitted, ...peakBounds(fitted, clamp, delayS) };
}

function fitOf(inrush: InrushReading, run: Run | null, view: PressView, motion: Motion, sensor: Sensor): FitAnswer {
  if (inrush.peak_at_least === true) return { fit: null, why: { code: 'beyond-range' } };
  if (!view.press.fromRest) return { fit: null, why: { code: 'still-turning' } };
  if (run === null) return { fit: null, why: { code: 'too-short' } };
  const curve = curveOf(run.median_a, view, motion, sensor);
  return curve === null ? { fit: null, why: { code: 'samples-missing' } } : fitSwitchOn(curve);
}

/** The switch-on on a grid that widens with time: points are as far apart as a small part of the time since it, every sample at first, means of more later. */
function curveOf(runA: number, view: PressView, motion: Motion, { baseline, sampling, clamp }: Sensor): SwitchOnCurve | null {
  const { press, peak } = view;
  const { deviationA } = baseline;
  const fallEnd = (motion.inrushEnd ?? peak.index + 1) - peak.index;
  // as much of the fall as is left out of what counts as settled: beyond it is nothing but the load's own waves
  let endIndex = Math.min(press.endIndex, peak.index + Math.max(2 * FEWEST, 2 * fallEnd));
  for (const range of [...press.dropouts, ...motion.stalls]) if (range.startIndex > press.startIndex) endIndex = Math.min(endIndex, range.startIndex);
  if (sampling.holes.some((hole) => hole > press.startIndex && hole < endIndex)) return null;
  const timeS: number[] = [];
  const currentA: number[] = [];
  for (let i = press.startIndex; i < endIndex; ) {
    const width = Math.min(endIndex - i, Math.max(1, Math.floor((i - press.startIndex) * SMALL_PART)));
    let sum = 0;
    for (let j = i; j < i + width; j++) sum += deviationA[j] * press.sign;
    timeS.push((i + (width - 1) / 2 - press.startIndex) * sampling.periodS);
    currentA.push(sum / width);
    i += width;
  }
  return { timeS, currentA, periodS: sampling.periodS, peakA: peak.peakA, peakAtS: (peak.index - press.startIndex) * sampling.periodS, runA, scatterA: rippleDeviation(view), clampS: clamp.followS, clampAtMostS: clamp.atMostS };
}

function rippleDeviation({ envelope }: PressView): number {
  return Math.sqrt(median(envelope.rippleVarianceA2.subarray(envelope.cells >> 1)));
}

/**
 * A clamp that follows slowly rounds the peak off. What flowed lies between what was read and the standstill current of the fit, which
 * no switch-on can pass. The clamp's lag and L/R add up to the rise that was fitted, so the part that is not the clamp's gives the peak
 * that a fast sensor would have shown: bounds are given when that differs. One that follows within a small part of the time to the peak has seen it nearly whole.
 */
function peakBounds(inrush: InrushReading, clamp: ClampSpeed, delayS: number): Partial<InrushReading> {
  if (!(clamp.followS > SMALL_PART * delayS)) return {};
  const fit = inrush.fit ?? null;
  if (fit === null) return { low_peak_a: inrush.peak_a, high_peak_a: null };
  const electricalS = Math.max(LOAD.quickestWindingS, (fit.tau_electrical_s ?? clamp.followS) - clamp.followS);
  const peak = switchOnPeak({ standstillA: fit.standstill_a, runA: 0, electricalS, mechanicalS: fit.tau_mechanical_s });
  const unslowedA = peak === null ? fit.standstill_a : peak.peakA;
  return unslowedA > (1 + LITTLE) * inrush.peak_a ? { low_peak_a: inrush.peak_a, high_peak_a: fit.high_standstill_a } : {};
}

/**
 * A motor that was still coasting the other way when the switch closed starts with its own EMF added to the feed's: the standstill current
 * comes out too high, and nothing in that press alone shows it. The other presses of the same motor do.
 */
export function withoutTurningStarts(actuations: readonly PressReading[]): PressReading[] {
  const fits = actuations.flatMap(({ inrush }) => (inrush?.fit == null ? [] : [inrush.fit.standstill_a]));
  if (fits.length <= 2) return [...actuations];
  const usualA = median(fits);
  return actuations.map((actuation) => {
    const { inrush } = actuation;
    if (inrush?.fit == null || inrush.fit.low_standstill_a <= usualA) return actuation;
    return { ...actuation, inrush: { ...inrush, fit: null, no_fit: { code: 'above-other-presses' } } };
  });
}
