import { median } from '../../../stats.ts';
import type { PressView } from '../motion/press-view.ts';
import { QUICKEST_ROTOR_S } from '../motor-model.ts';
import type { Readings } from '../sensor/readings.ts';
import { INRUSH } from '../settings.ts';
import { SMALL_PART } from '../signal/decision-levels.ts';

/**
 * Whether the clamp was zeroed while current flowed: the supposedly idle reading then carries the commutator's ripple, and the supposed presses are the pauses. No sensor
 * is quieter with current in it than without, unless it is at the end of its range. A pause has no switch-on peak either. Steps of the converter are not counted: a level
 * between two of them hops, one on a step does not. Where the ripple does not show, the switch-on does: it follows the supposed press, past zero, and no rotor that
 * never turned gives back more than it drew.
 */
export function isZeroedUnderCurrent(views: readonly PressView[], idleRippleVarianceA2: number, clipA: number | null, readings: Readings): boolean {
  if (views.length === 0 || clipA !== null) return false;
  const isLevel = ({ envelope, peak }: PressView): boolean => envelope.cells > 0 && peak.peakA < (1 + SMALL_PART) * median(envelope.levelA);
  const isQuieter = ({ envelope }: PressView): boolean => median(envelope.rippleVarianceA2) < 0.5 ** 2 * idleRippleVarianceA2;
  if (!views.every(isLevel)) return false;
  const ended = views.filter(({ press }) => !press.endsMidway);
  return (idleRippleVarianceA2 > readings.baseline.stepA ** 2 && views.every(isQuieter)) || (ended.length > 0 && ended.every((view) => startsAfter(view, readings)));
}

/** Whether a current of the other sign, larger than the level itself, follows it for as long as a rotor takes to gain speed. */
function startsAfter({ press, envelope }: PressView, { baseline: { deviationA }, sampling }: Readings): boolean {
  const followed = deviationA.subarray(press.endIndex, press.endIndex + Math.max(2, Math.round(QUICKEST_ROTOR_S * sampling.rateHz)));
  return -median(followed) * press.sign > INRUSH.overRun * median(envelope.levelA);
}
