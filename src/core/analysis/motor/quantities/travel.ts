import type { Asymmetry, Travel } from '../../results.ts';
import type { PressReading } from '../codes.ts';
import { mean, median, sampleDeviation } from '../../../stats.ts';
import { combinedOf, halfWidthWithout, joinedParts, scaledParts, withoutSources, type UncertaintyPart } from '../../uncertainty/parts.ts';
import { twoSided95 } from '../../uncertainty/distributions.ts';
import { NORMAL_95 } from '../../uncertainty/normal-95.ts';
import { propagateIndependent } from '../../uncertainty/propagate.ts';
import type { Press } from '../presses/presses.ts';
import { SMALL_PART } from '../signal/decision-levels.ts';
import { INRUSH } from '../settings.ts';

/**
 * How far the motor turned in one press: the ripples of the run, and what it turned while it got up to speed or came to a stop, which no
 * ripple count shows. `atSpeedS` is the time at running speed that comes to the same way (see timeAtSpeed); null where it is not known, and
 * then anything from none to all of the unseen time is possible. Time standing still counts for nothing.
 */
export function travelOf(actuation: PressReading, perRevolution: number | undefined, atSpeedS: number | null): Travel | null {
  const { ripple, run } = actuation;
  if (ripple === null || run === null || actuation.dropouts.length > 0) return null;
  const stoodS = actuation.stalls.reduce((sum, stall) => sum + stall.end_s - stall.start_s, 0);
  const followedS = ripple.count / ripple.frequency_hz;
  const poweredS = actuation.end_s - actuation.start_s - stoodS;
  const unseenS = Math.max(0, poweredS - followedS);
  if (unseenS > poweredS / 2) return null;
  const lastsS = atSpeedS ?? followedS + unseenS / 2;
  // the speed by the current may be off (load met on the way, sagging feed)
  const openS = atSpeedS === null ? unseenS / 2 : SMALL_PART * unseenS;
  const rate = ripple.frequency_hz;
  const ripples = rate * lastsS;
  const sigma = propagateIndependent(([hz, s]) => hz * s, [rate, lastsS], [(ripple.high_hz - ripple.low_hz) / (2 * NORMAL_95), openS / NORMAL_95]);
  const low = Math.max(0, ripples - NORMAL_95 * sigma);
  const high = ripples + NORMAL_95 * sigma;
  const known = perRevolution !== undefined && perRevolution > 0;
  return {
    ripples,
    low_ripples: low,
    high_ripples: high,
    revolutions: known ? ripples / perRevolution : null,
    low_revolutions: known ? low / perRevolution : null,
    high_revolutions: known ? high / perRevolution : null,
  };
}

/**
 * Time at running speed that makes the same way as the whole press: at a constant voltage the speed of a brushed motor falls in a straight
 * line from the run to nothing at the standstill current, w/w_run = (I_stand - i)/(I_stand - I_run) (v = R i + k w). O(n).
 */
export function timeAtSpeed(press: Press, runA: number, standingA: number, timeS: Float64Array, deviationA: Float32Array): number | null {
  if (!(standingA > INRUSH.overRun * runA)) return null;
  let sum = 0;
  let last = 0;
  for (let i = press.startIndex; i < press.endIndex; i++) {
    // the rise of the current itself, before the rotor moves, would read as speed
    const share = i - press.startIndex < 1 ? 0 : Math.max(0, (standingA - deviationA[i] * press.sign) / (standingA - runA));
    if (i > press.startIndex) sum += ((timeS[i] - timeS[i - 1]) * (share + last)) / 2;
    last = share;
  }
  return sum;
}

interface Sized {
  readonly value: number;
  /** standard uncertainty of the mean */
  readonly sigma: number;
  /** degrees of freedom it was got with; Infinity where it is that of the single readings */
  readonly degrees: number;
}

/** Mean of readings that each carry an uncertainty. From three on their scatter holds all that differs from press to press; of two it counts where it is the larger. */
function combined(readings: readonly { value: number; low: number; high: number }[]): Sized | null {
  const count = readings.length;
  if (count === 0) return null;
  const value = mean(readings.map((reading) => reading.value));
  const within = Math.sqrt(readings.reduce((sum, { low, high }) => sum + ((high - low) / (2 * NORMAL_95)) ** 2, 0)) / count;
  const scatter = sampleDeviation(readings.map((reading) => reading.value)) / Math.sqrt(count);
  return scatter > (count > 2 ? 0 : within) ? { value, sigma: scatter, degrees: count - 1 } : { value, sigma: within, degrees: Infinity };
}

/**
 * Forward over reverse with its 95 % bounds; null unless both were read. The two are independent recordings of different presses; few
 * presses tell their scatter badly, so Student's t has the effective degrees of freedom (Welch and Satterthwaite, JCGM 100:2008, G.4.1).
 */
function ratioOf(forward: Sized | null, reverse: Sized | null): { ratio: number; low: number; high: number } | null {
  if (forward === null || reverse === null || !(reverse.value > 0)) return null;
  const ratio = forward.value / reverse.value;
  const shares = [forward, reverse].map(({ value, sigma }) => sigma / value);
  const combinedShare = Math.hypot(...shares);
  const freed = [forward, reverse].reduce((sum, { degrees }, side) => sum + shares[side] ** 4 / degrees, 0);
  const degrees = freed > 0 ? combinedShare ** 4 / freed : Infinity;
  const half = twoSided95(degrees) * combinedShare * ratio;
  return { ratio, low: Math.max(0, ratio - half), high: ratio + half };
}

/** Forward against reverse: current, time under power and travel; null unless the motor ran in both directions. */
export function asymmetryOf(actuations: readonly PressReading[]): Asymmetry | null {
  const ran = (direction: PressReading['direction']): PressReading[] => actuations.filter((actuation) => actuation.direction === direction && actuation.run !== null);
  const forward = ran('forward');
  const reverse = ran('reverse');
  const current = (list: readonly PressReading[]): Sized | null => combined(list.flatMap(({ run }) => (run === null ? [] : [withoutScale(run)])));
  const travel = (list: readonly PressReading[]): Sized | null =>
    combined(list.flatMap(({ travel: counted }) => (counted === null || counted === undefined ? [] : [{ value: counted.ripples, low: counted.low_ripples, high: counted.high_ripples }])));
  const run = ratioOf(current(forward), current(reverse));
  if (run === null) return null;
  const far = ratioOf(travel(forward), travel(reverse));
  const lastsS = (list: readonly PressReading[]): number => median(list.map((actuation) => actuation.end_s - actuation.start_s));
  const levelA = (list: readonly PressReading[]): number => median(list.map((actuation) => actuation.run?.median_a ?? 0));
  const ratio = levelA(forward) / levelA(reverse);
  return {
    run_ratio: ratio,
    low_run_ratio: Math.min(ratio, run.low),
    high_run_ratio: Math.max(ratio, run.high),
    uncertainty: ratioParts(forward, reverse, (run.high - run.low) / 2 / NORMAL_95),
    duration_ratio: lastsS(forward) / lastsS(reverse),
    travel_ratio: far === null ? null : far.ratio,
    low_travel_ratio: far === null ? null : far.low,
    high_travel_ratio: far === null ? null : far.high,
  };
}

/** One sensor read both directions: its scale is in neither side of their ratio. */
function withoutScale({ median_a: value, low_a: low, high_a: high, uncertainty }: NonNullable<PressReading['run']>): { value: number; low: number; high: number } {
  return { value, low: value - halfWidthWithout(value - low, uncertainty, 'gain'), high: value + halfWidthWithout(high - value, uncertainty, 'gain') };
}

/** Parts of the ratio of the two means; what the presses differ by beyond their own parts is noise. */
function ratioParts(forward: readonly PressReading[], reverse: readonly PressReading[], combined: number): UncertaintyPart[] {
  const level = (list: readonly PressReading[]): number => mean(list.map(({ run }) => run?.median_a ?? 0));
  const ratio = level(forward) / level(reverse);
  const own = joinedParts(
    ...[forward, reverse].flatMap((list) => list.map(({ run }) => scaledParts(withoutSources(run?.uncertainty ?? [], 'gain'), ratio / level(list) / list.length))),
  );
  const beyond = Math.sqrt(Math.max(0, combined ** 2 - combinedOf(own) ** 2));
  return joinedParts(own, [{ source: 'noise', contribution: beyond }]);
}
