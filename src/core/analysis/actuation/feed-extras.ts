import type { Actuation, FuseLoad, WireShare } from '../results.ts';
import type { ActuationOptions } from '../options.ts';
import { openingBand } from '../../reference/fuse-opening.ts';
import { wireOhm } from '../../reference/wire.ts';

/**
 * What one press asked of the circuit's fuse, at its highest lasting level: a stall if there was one, else the run. The switch-on peak is
 * too short for the opening table and counts in the I²t only, which is the run's and the stalls' squared levels by their time plus the
 * inrush's own integral.
 */
export function fuseLoad(actuation: Omit<Actuation, 'fuse' | 'wire'>, ratingA: number): FuseLoad | null {
  const levels: { levelA: number; lastedS: number }[] = actuation.stalls.map((stall) => ({ levelA: stall.level_a, lastedS: stall.end_s - stall.start_s }));
  if (actuation.run !== null) {
    const standingS = levels.reduce((sum, level) => sum + level.lastedS, 0);
    levels.push({ levelA: actuation.run.median_a, lastedS: Math.max(0, actuation.run.end_s - actuation.run.start_s - standingS) });
  }
  if (levels.length === 0) return null;
  const top = levels.reduce((best, level) => (level.levelA > best.levelA ? level : best));
  const band = openingBand(top.levelA, ratingA);
  const i2tA2s = levels.reduce((sum, level) => sum + level.levelA * level.levelA * level.lastedS, actuation.inrush?.i2t_a2s ?? 0);
  return {
    rating_a: ratingA,
    share: top.levelA / ratingA,
    lasted_s: top.lastedS,
    i2t_a2s: i2tA2s,
    holds_s: band === null ? null : band.shortestS,
    opens_s: band === null || !Number.isFinite(band.longestS) ? null : band.longestS,
  };
}

/** Share of the feed's resistance that the typed-in wire explains. */
export function wireShare(actuation: Omit<Actuation, 'fuse' | 'wire'>, wire: NonNullable<ActuationOptions['wire']>): WireShare | null {
  if (actuation.supply === null || !(actuation.supply.source_ohm > 0)) return null;
  const ohm = wireOhm(wire.areaMm2, wire.lengthM, wire.temperatureC);
  return { wire_ohm: ohm, share: ohm / actuation.supply.source_ohm };
}

/** One sentence about the fuse, or null when there is nothing worth saying. */
export function fuseSentence(actuations: readonly Actuation[]): string | null {
  let worst: FuseLoad | null = null;
  for (const actuation of actuations) if (actuation.fuse !== undefined && (worst === null || actuation.fuse.share > worst.share)) worst = actuation.fuse;
  if (worst === null || worst.share <= 1.1) return null;
  const percent = Math.round(worst.share * 100);
  if (worst.holds_s === null || worst.opens_s === null) return `The highest lasting current is ${percent} % of the ${worst.rating_a} A fuse.`;
  return `The highest lasting current is ${percent} % of the ${worst.rating_a} A fuse, for ${worst.lasted_s.toFixed(1)} s; at that current such a fuse opens somewhere between ${worst.holds_s.toPrecision(2)} s and ${worst.opens_s.toPrecision(2)} s, so it may well hold.`;
}
