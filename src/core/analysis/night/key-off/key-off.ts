import type { Voltage } from '../levels/voltage-track.ts';
import { HAND_BLIP_S, MOST_ZERO_A, NEAR_S, REST_S, TRIFLE_SHARE } from '../settings.ts';
import { batteriesOf } from './volts.ts';
import type { Readings, Segment } from '../types.ts';

/** A lead-acid battery above this is being charged, V a 12 V system: full and rested it is at 12.73 V, a charger holds 13.5 V and more (Trojan T-105 data sheet). */
const CHARGED_V = 13.2;
/** When charging ends, the voltage falls at once by this much, V: from 13.5 V to a full battery's 12.73 V is twice as far. What is left goes slowly. */
const CHARGE_FALL_V = 0.4;
/** An ignition that is on draws at least this, A: pump, coils and controllers (common practice, no published source). */
const IGNITION_A = 3.5;

/**
 * Where the parked vehicle begins, when the recording began with the engine running, a charger on or the ignition on: after the last
 * level of current into the battery, where the voltage leaves what a battery on charge shows, or after a level far above all that
 * follows. Null when nothing of that is there: then the recording began with the vehicle parked, or does not show it.
 */
export function findKeyOff(readings: Readings): number | null {
  const candidates = [chargingEnds(readings), chargedEnds(readings), ignitionEnds(readings)].filter((atS) => atS !== null);
  const latestS = Math.max(...candidates);
  // with nothing after it, it is no beginning
  return latestS > readings.firstS && latestS < readings.lastS - 1 ? latestS : null;
}

/**
 * End of the current into the battery with which the recording began: the last moment up to which it flowed for the greater part of the
 * time. A panel or a charger ends slowly, with breaks; pulses with longer rests between them are a charger that keeps a parked vehicle.
 */
function chargingEnds({ segments, belowZeroA, firstS }: Readings): number | null {
  if (!segments.some((segment) => segment.meanA < -MOST_ZERO_A)) return null;
  let end = -1;
  let fedS = 0;
  segments.forEach(({ startS, endS, meanA }, k) => {
    if (meanA >= -belowZeroA) return;
    fedS += endS - startS;
    if (fedS >= (endS - firstS) / 2) end = k;
  });
  return end < 0 ? null : segments[withDusk(segments, end)].endS;
}

/** The last of the rising levels that follow a current into the battery and lie below the level that lasts longest afterwards. */
function withDusk(segments: readonly Segment[], end: number): number {
  const after = segments.slice(end + 1);
  if (after.length === 0) return end;
  const longest = after.reduce((best, one) => (one.endS - one.startS > best.endS - best.startS ? one : best));
  let last = end;
  while (segments[last + 1].startS < longest.startS && segments[last + 1].meanA < (1 - TRIFLE_SHARE) * longest.meanA) last++;
  return last;
}

function chargedEnds({ voltage, segments }: Readings): number | null {
  if (voltage === null) return null;
  const fallS = fallFromCharge(voltage);
  if (fallS === null) return null;
  // the current changes at the same moment, and more sharply
  let best: Segment | null = null;
  for (const segment of segments.slice(0, -1)) {
    if (Math.abs(segment.endS - fallS) > 2 * voltage.widthS) continue;
    if (best === null || Math.abs(segment.endS - fallS) < Math.abs(best.endS - fallS)) best = segment;
  }
  return best?.endS ?? fallS;
}

/** The last moment at which the voltage falls from what a battery on charge shows. */
function fallFromCharge(voltage: Voltage): number | null {
  const { startS, meanV } = voltage;
  const batteries = batteriesOf(voltage);
  let fallS: number | null = null;
  for (let i = 0; i + 2 < meanV.length; i++) {
    if (meanV[i] < CHARGED_V * batteries) continue;
    const after = Math.min(meanV[i + 1], meanV[i + 2]);
    if (meanV[i] - after > CHARGE_FALL_V * batteries && after < CHARGED_V * batteries) fallS = startS[i + 1];
  }
  return fallS;
}

/** End of one level far above all that follows, with the lamps and modules of a parked vehicle after it. */
function ignitionEnds({ segments, firstS }: Readings): number | null {
  let end = 0;
  while (end < segments.length && segments[end].meanA >= Math.max(IGNITION_A, end === 0 ? 0 : segments[end - 1].meanA / 2)) end++;
  const held = segments.slice(0, end).filter((segment) => segment.endS > firstS + HAND_BLIP_S);
  if (held.length === 0) return null;
  const levelsA = held.map((segment) => segment.meanA);
  const lowestA = Math.min(...levelsA);
  const endS = segments[end - 1].endS;
  // the loads of a parked vehicle go off one after the other: their level only falls, that of an ignition comes back
  const onlyFalls = levelsA.length > 1 && levelsA.every((levelA, i) => i === 0 || levelA < levelsA[i - 1]);
  if (onlyFalls || endS - firstS < REST_S || Math.max(...levelsA) - lowestA > TRIFLE_SHARE * lowestA) return null;
  // lamps and fans are off within minutes; amperes that go on are a load of the parked vehicle, such as its heater, and what ended may be a part of it
  const amperesS = segments.slice(end).reduce((sum, segment) => sum + (segment.meanA > IGNITION_A / 2 ? segment.endS - segment.startS : 0), 0);
  if (amperesS > NEAR_S) return null;
  const after = segments.slice(end).map((segment) => segment.meanA);
  // something still goes off after it: the level right after is not yet the last one
  return Math.max(...after) < lowestA / 2 && after[0] > 2 * after[after.length - 1] ? endS : null;
}

/** The readings from a moment on: what came before is no part of the parked vehicle. */
export function readingsFrom(readings: Readings, fromS: number): Readings {
  const segments = readings.segments.filter((segment) => segment.endS > fromS).map((segment) => {
    if (segment.startS >= fromS) return segment;
    let startBlock = segment.startBlock;
    while (startBlock + 1 < segment.endBlock && readings.blocks.startS[startBlock] < fromS) startBlock++;
    return { ...segment, startBlock, startS: fromS };
  });
  return { ...readings, segments, firstS: fromS };
}
