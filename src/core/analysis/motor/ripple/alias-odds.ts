import { normalQuantile } from '../../uncertainty/distributions.ts';
import { FASTEST_RIPPLE_HZ, FEWEST_PER_TURN, USUAL_RIPPLE_HZ, USUAL_TURN_HZ } from '../motor-model.ts';
import { LITTLE } from '../signal/decision-levels.ts';

/** Density of ripple frequencies, per Hz but for a constant factor: normal in the logarithm, with a little of it below the fewest of the slowest usual turn, and a little above the usual. */
function density(hz: number): number {
  const slowestHz = USUAL_TURN_HZ * FEWEST_PER_TURN;
  const middle = Math.log(slowestHz * USUAL_RIPPLE_HZ) / 2;
  const sigma = Math.log(USUAL_RIPPLE_HZ / slowestHz) / (2 * normalQuantile(1 - LITTLE));
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
