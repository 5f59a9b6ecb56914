import { median } from '../../../stats.ts';
import { BAD_ZERO_A } from './idle.ts';
import { quietScatter } from '../signal/levels.ts';
import { LEVEL_S, MAINS_PERIOD_S } from '../time-scales.ts';
import { CLEAR_PART, FEWEST, LITTLE, clearOf } from '../signal/decision-levels.ts';


/**
 * The level that is on the wire before the first press and after the last one, A; 0 where there is none: another load, or a clamp that was
 * not zeroed. Every departure from it must go at once, as a switch makes it, and come back to it: a motor that is running when the
 * recording begins and stalls on the way climbs slowly and would look the same otherwise. `means` are those of blocks of one mains period.
 */
export function backgroundOf(means: Float64Array): number {
  const count = means.length;
  if (count < 2 * FEWEST) return 0;
  const [startA, endA] = [median(means.subarray(0, FEWEST)), median(means.subarray(count - FEWEST))];
  const levelA = (startA + endA) / 2;
  // a clamp may show a bad zero, and wander as far again
  if (Math.abs(levelA) < 2 * BAD_ZERO_A) return 0;
  const noiseA = clearOf(count) * quietScatter(means);
  const bandA = Math.max(CLEAR_PART * Math.abs(levelA), noiseA);
  if (Math.abs(startA - endA) > bandA || !departsAtOnce(means, levelA, bandA)) return 0;
  // what a small motor draws beside a large level is within that band too: the level is that of the ends
  const atEndsA = Math.max(LITTLE * Math.abs(levelA), noiseA, Math.abs(startA - endA));
  return median(means.filter((value) => Math.abs(value - levelA) <= atEndsA));
}

function departsAtOnce(means: Float64Array, levelA: number, bandA: number): boolean {
  let departures = 0;
  // a switched load is there and gone within so many blocks: a jam climbs as the motor loses its speed, which takes longer
  const edge = Math.ceil(LEVEL_S / MAINS_PERIOD_S);
  for (let b = 1; b < means.length; b++) {
    if (Math.abs(means[b - 1] - levelA) > bandA || Math.abs(means[b] - levelA) <= bandA) continue;
    let end = b;
    while (end < means.length && Math.abs(means[end] - levelA) > bandA) end++;
    if (end - b < 2) continue;
    departures++;
    const away = means.subarray(b, end).map((value) => Math.abs(value - levelA));
    const usualA = median(away);
    // near to zero is the idle wire, and the level at the ends a load that was let go of in between
    if (Math.abs(median(means.subarray(b, end))) < CLEAR_PART * Math.abs(levelA)) return false;
    // past zero it can only be another circuit's current: no motor that runs one way begins the other way by stalling
    const isAcross = median(means.subarray(b, end)) * levelA < 0;
    if ((!isAcross && away[Math.min(away.length - 1, edge - 1)] < usualA / 2) || away[Math.max(0, away.length - edge)] < usualA / 2) return false;
    b = end;
  }
  return departures > 0;
}
