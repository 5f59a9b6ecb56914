import type { Actuation, FuseLoad, WireShare } from '../../results.ts';
import type { ActuationOptions } from '../../options.ts';
import type { Baseline } from '../sensor/baseline.ts';
import type { LeadPlace } from '../wire/feed-voltage.ts';
import type { Press } from '../presses/presses.ts';
import { openingBand } from '../../../reference/fuse-opening.ts';
import { wireOhm } from '../../../reference/wire.ts';
import { formatDuration, significant } from '../../../units.ts';

/**
 * What one press asked of the circuit's fuse, at its highest lasting level: a stall if there was one, else the run. The switch-on peak is
 * too short for the opening table and counts in `i2tA2s` only, which is that of the whole press.
 */
export function fuseLoad(actuation: Omit<Actuation, 'fuse' | 'wire'>, ratingA: number, i2tA2s: number): FuseLoad | null {
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
export function wireShare(actuation: Omit<Actuation, 'fuse' | 'wire'>, wire: NonNullable<ActuationOptions['wire']>): WireShare | null {
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

/** What the typed-in wire explains of the feed's loss, for the press with the surest resistance; null without one. */
export function wireSentence(actuations: readonly Actuation[], wire: ActuationOptions['wire'], place: LeadPlace): string | null {
  if (wire === undefined) return null;
  if (place === 'battery') return 'The voltage lead sits at the battery, so the typed-in wire lies behind it and is not judged: put the lead at the motor\'s feed.';
  let best: Actuation | null = null;
  const width = ({ supply }: Actuation): number => (supply === null ? Infinity : (supply.high_ohm - supply.low_ohm) / supply.source_ohm);
  for (const actuation of actuations) if (actuation.wire !== undefined && (best === null || width(actuation) < width(best))) best = actuation;
  const told = best?.wire;
  if (best === null || told === undefined || best.supply === null) return null;
  const size = `${round(wire.lengthM)} m of ${round(wire.areaMm2)} mm² at ${Math.round(wire.temperatureC)} °C`;
  const [low, high] = [percent(told.low_share), told.high_share === null ? 'all' : percent(told.high_share)];
  const band = low === high ? '' : `; ${low} to ${high}`;
  const loss = `${significant(told.wire_ohm * 1000, 2)} of the feed's ${significant(best.supply.source_ohm * 1000, 2)} milliohm (${percent(told.share)}${band})`;
  if (told.low_share > 1.1) return `${size} alone would have more resistance than was measured: ${loss}. The lead sits before part of that wire, or the wire is not as typed in.`;
  const rest = told.sag_v - told.drop_v;
  return `${size} explains ${loss}: ${significant(told.drop_v, 2)} V of the ${significant(told.sag_v, 2)} V lost${rest > 0.05 * told.sag_v ? `; the other ${significant(rest, 2)} V are lost in contacts, the rest of the loop and the battery` : ''}.`;
}

/** three figures, no zeros behind: 1.5, 6, 0.823 */
function round(value: number): string {
  return String(Number(value.toPrecision(3)));
}

function percent(share: number): string {
  return `${Math.round(share * 100)} %`;
}

/** What the highest lasting current asks of the fuse; null without a rating. A band, never a promise. */
export function fuseSentence(actuations: readonly Actuation[]): string | null {
  let worst: Actuation | null = null;
  for (const actuation of actuations) if (actuation.fuse !== undefined && (worst?.fuse === undefined || actuation.fuse.share > worst.fuse.share)) worst = actuation;
  const fuse = worst?.fuse;
  if (worst === null || fuse === undefined) return null;
  const least = worst.run?.at_least === true || worst.stalls.some((stall) => stall.at_least === true);
  const head = `The highest lasting current is ${least ? 'at least ' : ''}${percent(fuse.share)} of the ${fuse.rating_a} A fuse`;
  if (fuse.share <= 1.1) return `${head}: it holds that for 100 hours and more.`;
  const lasted = `${head}, for ${formatDuration(fuse.lasted_s)}`;
  if (fuse.holds_s === null || fuse.opens_s === null) return `${lasted}.`;
  return `${lasted}; at that current such a fuse opens somewhere between ${formatDuration(fuse.holds_s)} and ${formatDuration(fuse.opens_s)}, so a fuse that held proves nothing and one that opened need not be faulty.`;
}
