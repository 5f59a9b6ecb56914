import type { PressReading } from '../codes.ts';
import type { LeadPlace } from '../sensor/feed-voltage.ts';
import { nominalOf, SUPPLY } from '../settings.ts';

/**
 * Presses whose volts are not their motor's: next to none, though the motor draws what only a feed with its volts gives it (one motor lead measured against ground shows
 * nothing in the direction in which that lead is the grounded one), or next to none at the battery, while current flows. A winding takes no more than V/R, so that the peak
 * falls with the volts.
 */
export function voltsElsewhere(actuations: readonly PressReading[], place: LeadPlace, topV: number): ReadonlySet<PressReading> {
  const isFed = ({ feed_v: feedV }: PressReading): boolean => feedV !== undefined && feedV >= nominalOf(topV) * SUPPLY.runningV;
  const fedPeakA = actuations.filter(isFed).reduce((most, one) => Math.max(most, highestOf(one)), 0);
  const draws = (one: PressReading): boolean => place === 'battery' || (fedPeakA > 0 && highestOf(one) > (SUPPLY.deadV / SUPPLY.runningV) * fedPeakA);
  return new Set(actuations.filter((one) => one.feed_v !== undefined && one.feed_v < SUPPLY.deadV && draws(one)));
}

function highestOf({ inrush, run, stalls }: PressReading): number {
  return Math.max(inrush?.peak_a ?? 0, run?.median_a ?? 0, ...stalls.map((stall) => stall.level_a));
}
