import { normalQuantile } from '../../uncertainty/distributions.ts';
import { FASTEST_RIPPLE_HZ, USUAL_RIPPLE_HZ } from '../motor-model.ts';

/** Hz; ripple of small motors is usually within this, nine of ten: a 10-segment seat motor at 3000 turns a minute makes 500 Hz, a 3-pole pump motor at 1000 a hundred, a window lift 600 (common practice, no published source) */
const USUAL_HZ = [100, USUAL_RIPPLE_HZ] as const;

/** Density of ripple frequencies, per Hz but for a constant factor: normal in the logarithm, nine of ten within USUAL_HZ. */
function density(hz: number): number {
  const middle = (Math.log(USUAL_HZ[0]) + Math.log(USUAL_HZ[1])) / 2;
  // a twentieth lies beyond either end
  const sigma = Math.log(USUAL_HZ[1] / USUAL_HZ[0]) / (2 * normalQuantile(1 - 1 / 20));
  return Math.exp(-((Math.log(hz) - middle) ** 2) / (2 * sigma * sigma)) / hz;
}

/**
 * Probability that a line is where it seems to be, before the trace itself is asked: how usual a ripple of its frequency is, against all
 * faster ones that sampling at `rateHz` would show in the same place (rate minus it, rate plus it, twice the rate minus it and so on).
 */
export function genuineShare(hz: number, rateHz: number): number {
  let faster = 0;
  for (let times = 1; times * rateHz - hz <= FASTEST_RIPPLE_HZ; times++) faster += density(times * rateHz - hz) + density(times * rateHz + hz);
  const seen = density(hz);
  return seen / (seen + faster);
}
