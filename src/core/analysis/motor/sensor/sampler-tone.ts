import type { Ripple } from '../../results.ts';

/** largest denominator of the fractions of the sampling rate at which a logger's own patterns lie (interleaved converters, its clock's divisions) */
const LARGEST_DENOMINATOR = 8;
/** of the frequency; a clock's own fraction is met this well, a rotor's speed hardly ever stays there */
const MET = 0.0015;

/**
 * Whether a line lies at a simple fraction of the sampling rate: it is then the sampler's own, whatever else it might be, and no speed. A
 * motor that turns just so is passed over too, about once in forty.
 */
export function isSamplersOwn({ frequency_hz: hz, low_hz: lowHz, high_hz: highHz }: Ripple, rateHz: number): boolean {
  const halfWidth = Math.max(MET * hz, Math.min(highHz - hz, hz - lowHz));
  for (let denominator = 2; denominator <= LARGEST_DENOMINATOR; denominator++) {
    for (let numerator = 1; 2 * numerator <= denominator; numerator++) {
      if (Math.abs(hz - (rateHz * numerator) / denominator) <= Math.min(halfWidth, 2 * MET * hz)) return true;
    }
  }
  return false;
}
