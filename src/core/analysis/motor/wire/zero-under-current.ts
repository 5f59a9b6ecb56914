import { median } from '../../../stats.ts';
import type { PressView } from '../motion/press-view.ts';
import { INRUSH, STALL } from '../settings.ts';

/**
 * Whether the clamp was zeroed while current flowed: the supposedly idle reading then carries the commutator's ripple, and the supposed presses are the pauses. No sensor
 * is quieter with current in it than without, unless it is at the end of its range. A pause has no switch-on peak either. Steps of the converter are not counted: a level
 * between two of them hops, one on a step does not.
 */
export function isZeroedUnderCurrent(views: readonly PressView[], idleRippleVarianceA2: number, stepA: number, clipA: number | null): boolean {
  if (views.length === 0 || clipA !== null || idleRippleVarianceA2 <= stepA ** 2) return false;
  const isPause = ({ envelope, peak }: PressView): boolean =>
    envelope.cells > 0 && peak.peakA < INRUSH.fallsAtOnce * median(envelope.levelA) && median(envelope.rippleVarianceA2) < STALL.rippleLeft ** 2 * idleRippleVarianceA2;
  return views.every(isPause);
}
