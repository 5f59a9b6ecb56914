import { UPPER_95, chiSquaredQuantile } from '../../uncertainty/distributions.ts';

import type { WakeUp } from '../../results.ts';

/**
 * What wake-ups add to the average at the very least, A: their mean charge above the rest, at the lower 95 % bound of the rate of events
 * at random (Garwood 1936: half the chi-squared quantile of 2n degrees of freedom, over the time). One or two say little of how often
 * more will come.
 */
export function wakingAdds(wakeUps: readonly WakeUp[], restA: number, overS: number): number {
  if (wakeUps.length === 0 || !(overS > 0)) return 0;
  let chargeC = 0;
  for (const wake of wakeUps) chargeC += wake.charge_c - restA * (wake.end_s - wake.start_s);
  const leastCount = chiSquaredQuantile(1 - UPPER_95, 2 * wakeUps.length) / 2;
  return ((chargeC / wakeUps.length) * leastCount) / overS;
}
