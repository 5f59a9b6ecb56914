import { mean, robustSigma, sampleDeviation } from '../../../stats.ts';
import type { Commutation, Ripple } from '../../results.ts';
import type { Baseline } from '../sensor/baseline.ts';
import { longestWhole, type Press } from '../presses/presses.ts';
import { notchTrain } from './notches.ts';
import { FEWEST_PERIODS, HIGHEST_ROTOR_ORDER } from '../motor-model.ts';
import { CLEAR_PART, clearOf, FEWEST, NEARLY_ALL } from '../signal/decision-levels.ts';
import { findRevolutions, type Revolutions } from './revolution.ts';
import { HIGHEST_SHARE } from '../ripple/ripple-windows.ts';
import type { Readings } from '../sensor/readings.ts';
import type { IndexRange } from '../types.ts';
import { student95 } from '../../uncertainty/distributions.ts';

/** places in a ripple at which the fold is looked at */
const BINS_A_RIPPLE = 6;
/** of the running level; what is shallower is one of the differences that every commutator has from bar to bar. Scored: sound commutators called bad, against bad ones found */
const LEAST_SHARE = 0.07;

/**
 * A commutation that is low or missing once per revolution. The run is averaged turn by turn, which leaves what comes once a turn
 * and the ripple. The ripple and the waves of an uneven rotor, of the first orders and often the stronger ones, are fitted and taken off; a
 * bad segment leaves a notch one commutation wide. The deepest place counts when it is as deep as a ripple is high, stands out of the
 * scatter of the other places, and is there in every part of the run.
 */
export function badCommutation(press: Press, running: readonly IndexRange[], ripple: Ripple | null, perRevolution: number | undefined, readings: Readings): Commutation | null {
  const range = longestWhole(running, readings.sampling);
  if (range === null) return null;
  const found = byFolding(press, range, ripple, perRevolution, readings) ?? notchTrain(press, range, readings.baseline, readings.sampling);
  return found === null || isOnWire(found, readings.baseline) ? null : found;
}

/**
 * Whether another load's pulses, a clear part of the notch's depth, are on the wire while the motor stands still: they reach farther than what is read between them
 * scatters. Averaged turn by turn they leave notches of their own between them.
 */
function isOnWire({ depth_a: depthA }: Commutation, { reachA, deviationA, idle, stepA }: Baseline): boolean {
  if (reachA < CLEAR_PART * depthA) return false;
  const stretches = Array.from({ length: idle.length >> 1 }, (_value, r) => deviationA.subarray(idle[2 * r], idle[2 * r + 1]));
  return reachA > clearOf() * Math.max(stepA, robustSigma(stretches.flatMap((stretch) => [...stretch])));
}

function byFolding(press: Press, range: IndexRange, ripple: Ripple | null, perRevolution: number | undefined, readings: Readings): Commutation | null {
  const { baseline, sampling } = readings;
  const revolutions = findRevolutions(baseline.deviationA, range, sampling, ripple?.frequency_hz ?? null, perRevolution);
  if (revolutions === null) return null;
  const { rateHz, turns } = revolutions;
  const total = Math.floor(turns[turns.length - 1]);
  if (total < FEWEST_PERIODS || rateHz * revolutions.perRevolution > HIGHEST_SHARE * sampling.rateHz || revolutions.perRevolution <= HIGHEST_ROTOR_ORDER) return null;
  const folded = { press, range, baseline };
  const whole = foldPart(folded, revolutions, 0, total);
  const notch = deepestNotch(whole.profile);
  if (notch === null || notch.depthA < clearOf(whole.profile.length) * notch.othersA || notch.depthA < Math.max(LEAST_SHARE * whole.levelA, NEARLY_ALL * notch.rippleA)) return null;
  const depths = Array.from({ length: FEWEST }, (_value, part) => {
    const { profile } = foldPart(folded, revolutions, (total * part) / FEWEST, (total * (part + 1)) / FEWEST);
    return depthAt(profile, notch.bin);
  });
  const meanA = mean(depths);
  const halfWidthA = (student95(FEWEST) * sampleDeviation(depths)) / Math.sqrt(FEWEST);
  if (!(meanA > halfWidthA) || depths.some((value) => value < CLEAR_PART * meanA)) return null;
  return { revolutions_per_s: rateHz, ripples_per_revolution: revolutions.perRevolution, depth_a: meanA, low_a: meanA - halfWidthA, high_a: meanA + halfWidthA, share: meanA / whole.levelA, revolutions: total };
}

/** The stretch that is averaged turn by turn. */
interface Folded {
  readonly press: Press;
  readonly range: IndexRange;
  readonly baseline: Baseline;
}

/** Mean current by place in the turn, averaged over the width of one ripple, its level, and the height of the ripple that was averaged out. */
function foldPart({ press, range, baseline }: Folded, { turns, perRevolution }: Revolutions, fromTurn: number, toTurn: number): { profile: Float64Array; levelA: number } {
  const bins = perRevolution * BINS_A_RIPPLE;
  const sums = new Float64Array(bins);
  const counts = new Float64Array(bins);
  let levelA = 0;
  let count = 0;
  for (let i = 0; i < turns.length && turns[i] < toTurn; i++) {
    if (turns[i] < fromTurn) continue;
    const place = turns[i] - Math.floor(turns[i]);
    const valueA = baseline.deviationA[range.startIndex + i] * press.sign;
    const bin = Math.min(bins - 1, Math.floor(place * bins));
    sums[bin] += valueA;
    counts[bin]++;
    levelA += valueA;
    count++;
  }
  levelA /= Math.max(1, count);
  const means = Float64Array.from(sums, (sum, b) => (counts[b] > 0 ? sum / counts[b] - levelA : 0));
  return { profile: means, levelA };
}

interface Notch {
  readonly bin: number;
  readonly depthA: number;
  /** scatter of the other places about the waves, A */
  readonly othersA: number;
  /** height of the ordinary ripple, A */
  readonly rippleA: number;
}

/** What every motor shows (the ripple, and the orders of an uneven rotor: eccentric, out of balance, poles unlike), and a notch at the first bin one ripple wide, as columns. */
function designOf(bins: number): { waves: Float64Array[]; notch: Float64Array } {
  const waves = [new Float64Array(bins).fill(1)];
  const ripples = bins / BINS_A_RIPPLE;
  for (const order of [...Array.from({ length: HIGHEST_ROTOR_ORDER }, (_value, o) => o + 1), ripples, 2 * ripples]) {
    waves.push(new Float64Array(bins).map((_value, b) => Math.cos((2 * Math.PI * order * b) / bins)));
    waves.push(new Float64Array(bins).map((_value, b) => Math.sin((2 * Math.PI * order * b) / bins)));
  }
  const fall = new Float64Array(bins);
  let lost = 0;
  for (let round = 0; round < 2; round++) {
    for (let b = 0; b < bins; b++) {
      // L/R delays both flanks of the notch by about half a ripple
      lost += ((b < BINS_A_RIPPLE ? 1 : 0) - lost) * (1 - Math.exp(-2 / BINS_A_RIPPLE));
      fall[b] = lost;
    }
  }
  const top = fall.reduce((most, value) => Math.max(most, value), 0);
  return { waves, notch: fall.map((value) => value / top) };
}

/** The place whose notch explains most, beside waves of the first orders, with the scatter that is left of the other places. */
function deepestNotch(profile: Float64Array): Notch | null {
  const { waves, notch } = designOf(profile.length);
  const bins = profile.length;
  // the waves are at right angles to each other on a whole turn, so taking them out of profile and notch is one product each
  const flat = without(profile, waves);
  let best = { bin: 0, depthA: 0, flatNotch: flat };
  for (let bin = 0; bin < bins; bin++) {
    const flatNotch = without(new Float64Array(bins).map((_value, b) => notch[(b - bin + bins) % bins]), waves);
    const depthA = -along(flat, flatNotch);
    if (depthA > 0 && (best.depthA === 0 || depthA > best.depthA)) best = { bin, depthA, flatNotch };
  }
  if (best.depthA === 0) return null;
  let squares = 0;
  let count = 0;
  for (let b = 0; b < bins; b++) {
    const away = Math.min((b - best.bin + bins) % bins, (best.bin - b + bins) % bins);
    // beside the notch its shape is only roughly known, and the same segment passes the other brush half a turn later
    if (away <= BINS_A_RIPPLE || Math.abs(away - bins / 2) <= BINS_A_RIPPLE) continue;
    squares += (flat[b] + best.depthA * best.flatNotch[b]) ** 2;
    count++;
  }
  const height = Math.hypot(along(profile, waves[2 * HIGHEST_ROTOR_ORDER + 1]), along(profile, waves[2 * HIGHEST_ROTOR_ORDER + 2]));
  return { bin: best.bin, depthA: best.depthA, othersA: Math.sqrt(squares / Math.max(1, count)), rippleA: 2 * height };
}

function depthAt(profile: Float64Array, bin: number): number {
  const { waves, notch } = designOf(profile.length);
  const bins = profile.length;
  const flatNotch = without(new Float64Array(bins).map((_value, b) => notch[(b - bin + bins) % bins]), waves);
  const flat = without(profile, waves);
  return -along(flat, flatNotch);
}

/** Coefficient of a wave in the profile. */
function along(values: Float64Array, wave: Float64Array): number {
  let squares = 0;
  let sum = 0;
  for (let b = 0; b < values.length; b++) {
    squares += wave[b] * wave[b];
    sum += wave[b] * values[b];
  }
  return sum / squares;
}

function without(values: Float64Array, waves: readonly Float64Array[]): Float64Array {
  const left = values.slice();
  for (const wave of waves) {
    const size = along(values, wave);
    for (let b = 0; b < values.length; b++) left[b] -= size * wave[b];
  }
  return left;
}
