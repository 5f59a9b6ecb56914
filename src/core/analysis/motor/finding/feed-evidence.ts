import type { ActuationOptions } from '../../options.ts';
import type { MotorEvidence, PressReading } from '../codes.ts';
import type { LeadPlace } from '../sensor/feed-voltage.ts';
import { SMALL_PART } from '../signal/decision-levels.ts';

/** What the typed-in wire explains of the feed's loss, by the press with the surest resistance. One that would have more than the whole by itself was not typed in right, or lies behind the lead. */
export function wireEvidence(actuations: readonly PressReading[], wire: ActuationOptions['wire'], place: LeadPlace): MotorEvidence[] {
  if (wire === undefined) return [];
  if (place === 'battery') return [{ code: 'wire-behind-lead' }];
  const surest = actuations.flatMap(({ supply, wire: share }) => (supply === null || share === undefined ? [] : [{ supply, share, width: (supply.high_ohm - supply.low_ohm) / supply.source_ohm }])).toSorted((a, b) => a.width - b.width)[0];
  if (surest === undefined) return [];
  const { share, supply } = surest;
  const restV = share.sag_v - share.drop_v;
  const { lengthM, areaMm2, temperatureC } = wire;
  return [{ code: 'wire', lengthM, areaMm2, temperatureC, share, sourceOhm: supply.source_ohm, exceeds: share.low_share > 1 + SMALL_PART, restV: restV > SMALL_PART * share.sag_v ? restV : null }];
}

/** A feed that warms under current, by the press in which its resistance grew most. */
export function warmingEvidence(actuations: readonly PressReading[]): MotorEvidence[] {
  const grown = actuations.flatMap(({ start_s: atS, feed_warmed: warmed }) => (warmed === undefined ? [] : [{ code: 'feed-warms' as const, atS, fromOhm: warmed.from_ohm, toOhm: warmed.to_ohm }]));
  return grown.toSorted((a, b) => b.toOhm - b.fromOhm - (a.toOhm - a.fromOhm)).slice(0, 1);
}

/** What the highest lasting current of all presses asks of the fuse. */
export function fuseEvidence(actuations: readonly PressReading[]): MotorEvidence[] {
  const highest = actuations.flatMap((actuation) => (actuation.fuse === undefined ? [] : [{ actuation, fuse: actuation.fuse }])).toSorted((a, b) => b.fuse.share - a.fuse.share)[0];
  if (highest === undefined) return [];
  const { run, stalls } = highest.actuation;
  return [{ code: 'fuse', atLeast: run?.at_least === true || stalls.some((stall) => stall.at_least === true), fuse: highest.fuse }];
}
