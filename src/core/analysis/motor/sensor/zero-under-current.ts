import { median } from '../../../stats.ts';
import type { PressView } from '../motion/press-view.ts';
import { STALL } from '../settings.ts';

/**
 * Whether the clamp was zeroed while current flowed: the supposedly idle reading then carries the commutator's ripple, and the supposed presses are the pauses. No sensor
 * is quieter with current in it than without. Steps of the converter are not counted: a level between two of them hops, one on a step does not.
 */
export function isZeroedUnderCurrent(views: readonly PressView[], idleRippleVarianceA2: number, stepA: number): boolean {
  if (views.length === 0 || idleRippleVarianceA2 <= stepA ** 2) return false;
  return views.every(({ envelope }) => envelope.cells > 0 && median(envelope.rippleVarianceA2) < STALL.rippleLeft ** 2 * idleRippleVarianceA2);
}
