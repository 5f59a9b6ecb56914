import type { FuseLoad, WireShare } from '../../results.ts';
import type { PressReading } from '../codes.ts';
import type { ActuationOptions } from '../../options.ts';
import type { Baseline } from '../sensor/baseline.ts';
import type { Press } from '../presses/presses.ts';
import { openingBand } from '../../../reference/fuse-opening.ts';
import { wireOhm } from '../../../reference/wire.ts';

/**
 * What one press asked of the circuit's fuse, at its highest lasting level: a stall if there was one, else the run. The switch-on peak is
 * too short for the opening table and counts in `i2tA2s` only, which is that of the whole press.
 */
export function fuseLoad(actuation: Omit<PressReading, 'fuse' | 'wire'>, ratingA: number, i2tA2s: number): FuseLoad | null {
  const levels: { levelA: number; lastedS: number }[] = actuation.stalls.map((stall) => ({ levelA: stall.level_a, lastedS: stall.end_s - stall.start_s }));
  if (actuation.run !== null) {
    const otherwise = [...actuation.stalls, ...actuation.dropouts].reduce((sum, range) => sum + range.end_s - range.start_s, actuation.inrush?.settle_s ?? 0);
    levels.push({ levelA: actuation.run.median_a, lastedS: Math.max(0, actuation.end_s - actuation.start_s - otherwise) });
  }
  if (levels.length === 0) return null;
  const top = levels.reduce((best, level) => (level.levelA > best.levelA ? level : best));
  const band = openingBand(top.levelA, ratingA);
  return {
    rating_a: ratingA,
    share: top.levelA / ratingA,
    lasted_s: top.lastedS,
    i2t_a2s: i2tA2s,
    holds_s: band === null ? null : band.shortestS,
    opens_s: band === null || !Number.isFinite(band.longestS) ? null : band.longestS,
  };
}

/** I²t of a whole press, A² s, by the trapezoidal rule; the clamp's own noise would add its variance to every square. O(n). */
export function pressI2t(press: Press, timeS: Float64Array, baseline: Baseline): number {
  const { deviationA, noiseA } = baseline;
  let sum = 0;
  for (let i = press.startIndex + 1; i < press.endIndex; i++) {
    const before = deviationA[i - 1];
    const now = deviationA[i];
    sum += (timeS[i] - timeS[i - 1]) * ((before * before + now * now) / 2 - noiseA * noiseA);
  }
  return Math.max(0, sum);
}

/** Share of the feed's resistance, and so of its sag, that the typed-in wire explains, with the bounds that the resistance has. */
export function wireShare(actuation: Omit<PressReading, 'fuse' | 'wire'>, wire: NonNullable<ActuationOptions['wire']>): WireShare | null {
  const { supply } = actuation;
  if (supply === null || !(supply.source_ohm > 0)) return null;
  const ohm = wireOhm(wire.areaMm2, wire.lengthM, wire.temperatureC);
  const levelA = actuation.run?.median_a ?? actuation.stalls[0]?.level_a ?? 0;
  return {
    wire_ohm: ohm,
    drop_v: ohm * levelA,
    sag_v: supply.source_ohm * levelA,
    share: ohm / supply.source_ohm,
    low_share: ohm / supply.high_ohm,
    high_share: supply.low_ohm > 0 ? ohm / supply.low_ohm : null,
  };
}
