import type { Baseline } from './baseline.ts';
import { MOST_WINDOWS, spectrumMaker } from '../signal/spectrum.ts';
import { CLEAR_PART, SMALL_PART } from '../signal/decision-levels.ts';

/** Mean power spectrum of the idle clamp in windows of so many readings; null when no idle stretch is long enough. */
export type IdleSpectra = (length: number) => Float64Array | null;

/** Makes each length once. */
export function idleSpectra(baseline: Baseline): IdleSpectra {
  const made = new Map<number, Float64Array | null>();
  return (length) => {
    const known = made.get(length);
    if (known !== undefined) return known;
    const power = idleSpectrum(baseline, length);
    made.set(length, power);
    return power;
  };
}

/**
 * Mean power spectrum of the idle clamp, windows as long as those of the run; null when no idle stretch is long enough. What the clamp
 * shows with nothing flowing (hum and its harmonics, a converter's own patterns) is no ripple.
 */
function idleSpectrum(baseline: Baseline, length: number): Float64Array | null {
  const { idle, deviationA } = baseline;
  const maker = spectrumMaker(length);
  let windows = 0;
  for (let r = 0; r < idle.length; r += 2) windows += Math.floor((idle[r + 1] - idle[r]) / length);
  if (windows === 0) return null;
  const stride = Math.max(1, Math.ceil(windows / MOST_WINDOWS));
  const power = new Float64Array(length / 2 + 1);
  let seen = 0;
  let used = 0;
  for (let r = 0; r < idle.length; r += 2) {
    for (let from = idle[r]; from + length <= idle[r + 1]; from += length) {
      if (seen++ % stride !== 0) continue;
      maker.addPower(deviationA, from, power);
      used++;
    }
  }
  for (let k = 0; k < power.length; k++) power[k] /= used;
  return power;
}


/** Whether the idle clamp has much of this line itself. */
export function isInIdle(idlePower: Float64Array | null, bin: number, meanPower: number): boolean {
  if (idlePower === null) return false;
  let most = 0;
  for (let k = Math.max(0, bin - 1); k <= Math.min(idlePower.length - 1, bin + 1); k++) most = Math.max(most, idlePower[k]);
  return most > SMALL_PART * meanPower;
}


/** What is left of a mains hum after it was taken out is no ripple, nor its second harmonic. A motor may turn at that rate too: a stronger line is its own. */
export function isMains(hz: number, binHz: number, amplitudeA: number, baseline: Baseline): boolean {
  const { hum } = baseline;
  if (hum === null) return false;
  if (Math.abs(hz - hum.frequencyHz) < Math.max(1, binHz)) return amplitudeA < CLEAR_PART * hum.amplitudeA;
  return Math.abs(hz - 2 * hum.frequencyHz) < Math.max(0.5, binHz / 2) && amplitudeA < hum.amplitudeA;
}
