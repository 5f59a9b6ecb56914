import { median } from '../../../stats.ts';
import type { ClampSpeed } from '../presses/clamp-speed.ts';
import type { PressView } from '../motion/press-view.ts';
import type { Baseline } from '../sensor/baseline.ts';
import type { Sampling } from '../sensor/sampling.ts';
import { LOAD } from '../settings.ts';
import { LEVEL_S } from '../time-scales.ts';
import { CLEAR_PART, FEWEST, LITTLE, NEARLY_ALL, SMALL_PART, TRIFLE, clearOf } from '../signal/decision-levels.ts';

/** What one press shows of its load, seen as a curve. */
export interface Curve {
  /** s until the current first reached nine tenths of its highest of the switch-on */
  readonly riseS: number;
  /** s from a tenth to nine tenths of the end level as it comes up, and back down as it ends */
  readonly climbS: number;
  /** the first part of it, to half the level */
  readonly halfClimbS: number;
  readonly fallS: number;
  /** it comes up more slowly than contact and clamp do, as its end shows them */
  readonly lags: boolean;
  /** s from the switch-on until the contact was last open as it bounced */
  readonly bouncesS: number;
  readonly peakA: number;
  /** level of the last part, A */
  readonly endA: number;
  /** s from the peak until half, and a tenth, of its height above the end level is left; Infinity where that is not reached */
  readonly halfS: number;
  readonly tenthS: number;
  /** s, all readings above that tenth together: where noise keeps crossing it, or the switch-off comes too soon to show it passed for good */
  readonly tenthSeenS: number;
  /** it moves more than the idle clamp: a commutator, a compressor */
  readonly alive: boolean;
  /** surely without even the ripple of the faintest commutator */
  readonly quiet: boolean;
  readonly lastsS: number;
}

/** What the trace says beside its presses. */
export interface LoadContext {
  readonly baseline: Baseline;
  readonly sampling: Sampling;
  readonly clamp: ClampSpeed;
  readonly idleRippleVarianceA2: number;
  /** the reading at which the sensor clips, A; null when it does not */
  readonly clipA: number | null;
  /** for each press, whether a ripple that is a speed was read */
  readonly rippled: readonly boolean[];
  /** all current is that of a chopped supply: its mean shows neither how the current of a pulse comes up nor whether it ripples */
  readonly chopped: boolean;
}


/** What the readings of one press show of its load. */
export function curveOf(view: PressView, { baseline, sampling, idleRippleVarianceA2 }: LoadContext): Curve {
  const { press, peak, envelope } = view;
  const { sign, startIndex, endIndex } = press;
  const deviationA = baseline.deviationA;
  const last = Math.max(startIndex, endIndex - Math.max(FEWEST, Math.round(CLEAR_PART * (endIndex - startIndex))));
  const endA = median(deviationA.subarray(last, endIndex)) * sign;
  let rise = startIndex;
  while (rise < endIndex && deviationA[rise] * sign < NEARLY_ALL * Math.min(peak.peakA, (1 + LITTLE) * Math.max(endA, 0))) rise++;
  const first = (share: number): number => {
    let i = startIndex;
    while (i < endIndex && deviationA[i] * sign < share * endA) i++;
    return i;
  };
  const gone = (share: number): number => {
    let i = Math.max(startIndex, endIndex - 2);
    while (i < deviationA.length && deviationA[i] * sign > share * endA) i++;
    return i;
  };
  let lastOpen = Math.min(endIndex - 1, startIndex + Math.round(LEVEL_S * sampling.rateHz));
  while (lastOpen > startIndex && deviationA[lastOpen] * sign > SMALL_PART * endA) lastOpen--;
  const late = envelope.rippleVarianceA2.subarray(Math.floor(envelope.cells / 2));
  const restA2 = late.length > 0 ? median(late) - idleRippleVarianceA2 : 0;
  // a cell's mean square of m readings scatters by sqrt(2/m) of itself, a median of so many cells by sqrt(pi/2)/sqrt(cells) of that
  const unsureA2 = clearOf() * idleRippleVarianceA2 * Math.sqrt(Math.PI / (envelope.step * Math.max(1, late.length)));
  const tenthA = endA + SMALL_PART * (peak.peakA - endA);
  return {
    riseS: (rise - startIndex) * sampling.periodS,
    climbS: (first(NEARLY_ALL) - first(SMALL_PART)) * sampling.periodS,
    halfClimbS: (first(0.5) - first(SMALL_PART)) * sampling.periodS,
    fallS: (gone(SMALL_PART) - gone(NEARLY_ALL)) * sampling.periodS,
    lags: [SMALL_PART, TRIFLE].some((share) => lags(press, baseline, sampling, share)),
    bouncesS: (lastOpen - startIndex) * sampling.periodS,
    peakA: peak.peakA, endA,
    halfS: timeAbove(view, baseline, endA + (peak.peakA - endA) / 2) * sampling.periodS,
    tenthS: timeAbove(view, baseline, tenthA) * sampling.periodS,
    tenthSeenS: deviationA.subarray(peak.index, endIndex).reduce((above, readingA) => (readingA * sign > tenthA ? above + 1 : above), 0) * sampling.periodS,
    // a level between two steps of the converter reads now the one, now the other, while the idle one may rest on one of them
    alive: restA2 > Math.max(idleRippleVarianceA2, (LOAD.aliveShare * endA) ** 2, (baseline.stepA / 2) ** 2),
    quiet: restA2 + unsureA2 < (LOAD.aliveShare * endA) ** 2,
    lastsS: (endIndex - startIndex) * sampling.periodS,
  };
}

/**
 * Whether more readings lie between nothing and the level as the current comes up than clamp and contact leave there: each time the contact is seen to close twice as many as when it opens in the end, and one by
 * chance. What is nearer to either level than a share of it, or than noise makes, is no such reading.
 */
function lags({ startIndex, endIndex, sign }: PressView['press'], { deviationA, noiseA, stepA }: Baseline, { rateHz }: Sampling, share: number): boolean {
  const wide = Math.max(FEWEST, Math.round(LEVEL_S * rateHz));
  if (endIndex - startIndex < 2 * wide + FEWEST) return false;
  const at = (i: number): number => deviationA[i] * sign;
  const levelOf = (from: number): number => median(deviationA.subarray(from, from + wide)) * sign;
  const bandOf = (levelA: number): number => Math.max(share * levelA, clearOf(wide) * noiseA, stepA);
  const isBetween = (i: number, levelA: number): boolean => at(i) > bandOf(levelA) && at(i) < levelA - bandOf(levelA);
  const [soonA, lastA] = [levelOf(startIndex + wide), levelOf(endIndex - FEWEST - wide)];
  let [coming, closings] = [0, 1];
  for (let i = startIndex; i < startIndex + wide; i++) {
    coming += Number(isBetween(i, soonA));
    closings += Number(i > startIndex && at(i) < at(i - 1) - bandOf(soonA) && at(i) < soonA - bandOf(soonA));
  }
  // what a mechanism that springs back drives through its shorted motor comes up again
  let lowest = endIndex - FEWEST;
  for (let i = lowest; i < deviationA.length && at(i) > bandOf(lastA) && at(i) < at(lowest) + bandOf(lastA); i++) if (at(i) <= at(lowest)) lowest = i;
  let going = 0;
  for (let i = endIndex - FEWEST; i <= lowest; i++) going += Number(isBetween(i, lastA));
  return coming > closings * (1 + 2 * going);
}

/**
 * Readings above a level from the peak on, until as many as that, and a bounce, lie below it: the time a fall takes to that level, whatever a contact
 * that bounces cuts out of it. Infinity where the press ends before.
 */
function timeAbove({ press, peak }: PressView, { deviationA }: Baseline, levelA: number): number {
  let above = 0;
  let below = 0;
  for (let i = peak.index; i < press.endIndex; i++) {
    if (deviationA[i] * press.sign > levelA) {
      above++;
      below = 0;
    } else if (++below > above + FEWEST) return above;
  }
  return Infinity;
}

/** From a tenth to nine tenths of a level a first-order rise takes ln 9 of its time constants, s. */
export function climbOf(timeConstantS: number): number {
  return Math.log(NEARLY_ALL / SMALL_PART) * timeConstantS;
}
