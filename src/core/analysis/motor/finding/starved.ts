import type { MotorEvidence, PressReading } from '../codes.ts';
import { nominalOf, SUPPLY } from '../settings.ts';
import { SMALL_PART } from '../signal/decision-levels.ts';
import type { LeadPlace } from '../sensor/feed-voltage.ts';

/** V at a standing motor of 12 V; the share that a feed may lose there, of a charged battery. */
const standingV = (1 - SUPPLY.starvedStall) * SUPPLY.restedV;
/** of the open-circuit volts lost while running: half way between the two ends of what 12 V equipment must work down to */
const starvedRun = 1 - (SUPPLY.enoughV + SUPPLY.runningV) / 2 / SUPPLY.restedV;

/** The feed loses so much under this motor's current that what the motor does says nothing about the motor. */
export function isStarved(actuation: PressReading, topV: number): boolean {
  const { supply, feed_v: feedV, run } = actuation;
  const standing = run === null;
  if (feedV !== undefined) {
    const nominal = nominalOf(topV);
    const collapses = supply !== null && actuation.inrush !== null && supply.low_ohm * actuation.inrush.peak_a > supply.open_v / 2;
    if (!standing && feedV > nominal * SUPPLY.enoughV) return collapses;
    if (feedV < nominal * (standing ? standingV : SUPPLY.runningV)) return true;
  }
  if (supply === null || !(supply.open_v > 0)) return false;
  if (1 - supply.run_v / supply.open_v > (standing ? SUPPLY.starvedStall : starvedRun)) return true;
  // at the instant of switch-on no motor turns
  return actuation.inrush !== null && supply.low_ohm * actuation.inrush.peak_a > SUPPLY.starvedStall * supply.open_v;
}

/** Volts lost where they show most: while running, or at the switch-on where the run itself draws little. */
export function starvedEvidence({ start_s: atS, supply, inrush, feed_v: feedV, run }: PressReading, place: LeadPlace): MotorEvidence[] {
  if (supply === null) return feedV === undefined ? [] : [{ code: 'low-feed', atS, feedV, place, ran: run !== null }];
  const { open_v: openV, run_v: loadV, source_ohm: sourceOhm, low_ohm: lowOhm, high_ohm: highOhm } = supply;
  const startV = inrush === null ? loadV : openV - sourceOhm * inrush.peak_a;
  return [{ code: 'sagging-feed', atS, place, openV, loadV, startV: loadV - startV > SMALL_PART * openV ? startV : null, sourceOhm, lowOhm, highOhm }];
}
