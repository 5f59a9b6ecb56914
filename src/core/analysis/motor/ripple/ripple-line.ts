import { clearOfNoise } from './line-odds.ts';
import { LITTLE } from '../signal/decision-levels.ts';
import { peakBetweenBins, strongestBin } from '../signal/spectrum.ts';
import { FASTEST_TURN_HZ, FEWEST_PER_TURN, HIGHEST_ROTOR_ORDER, SLOWEST_TURN_HZ, WEAKEST_RIPPLE } from '../motor-model.ts';

/** One line of a spectrum. */
export interface Line {
  readonly bin: number;
  /** position between bins */
  readonly at: number;
  readonly power: number;
}

/**
 * Power over the surroundings from which on a line is clear, in the sum of so many spectra. The windows of a run share its drifts and the waves of its load: they count as
 * the root of their number.
 */
export function clearFactor(bins: number, averaged: number): number {
  return clearOfNoise(bins, Math.sqrt(averaged));
}

/** Lines that stand clear of their surroundings, `floors`, in the sum of `averaged` spectra. */
export function findLines(power: Float64Array, floors: Float64Array, averaged: number, lowestBin: number): Line[] {
  const factor = clearFactor(power.length, averaged);
  const lines: Line[] = [];
  const last = power.length - 2;
  for (let k = Math.max(2, lowestBin); k <= last; k++) {
    if (power[k] < power[k - 1] || power[k] < power[k + 1]) continue;
    if (power[k] > factor * floors[k] && power[k] > 0) lines.push({ bin: k, at: peakBetweenBins(power, k), power: power[k] });
  }
  return lines;
}

/** The strongest bin within some percent of an expected place, as windows and presses of one motor differ, where it stands out of the surroundings; null where it does not. */
export function lineAt(power: Float64Array, floors: Float64Array, averaged: number, at: number): Line | null {
  const first = Math.max(2, Math.floor(at * (1 - LITTLE)));
  const last = Math.min(power.length - 2, Math.ceil(at * (1 + LITTLE)));
  if (last < first) return null;
  const best = strongestBin(power, first, last);
  if (best === first || best === last || power[best] < clearFactor(power.length, averaged) * floors[best]) return null;
  return { bin: best, at: peakBetweenBins(power, best), power: power[best] };
}

/**
 * Picks the commutation ripple among the lines. What is uneven in the rotor or the gear makes a line at the rotation rate and its low
 * multiples, which can be the strongest of all; the commutation stands out again at a high multiple of it. A line whose multiples only
 * fade is the commutation itself, and so is one that is too fast for the rotor.
 */
export function chooseRipple(lines: readonly Line[], perRevolution: number | undefined, binHz: number): Line | null {
  if (lines.length === 0) return null;
  const strongest = lines.reduce((best, line) => (line.power > best.power ? line : best));
  if (strongest.at * binHz > HIGHEST_ROTOR_ORDER * FASTEST_TURN_HZ) return strongest;
  if (perRevolution !== undefined) return ofKnownTurn(lines, perRevolution, binHz) ?? fastEnough(lines, perRevolution, binHz);
  let best: Line | null = null;
  for (const line of lines) {
    if (!standsOut(line, strongest)) continue;
    if (best === null || line.power > best.power) best = line;
  }
  return best ?? strongest;
}

/** The strongest line that lies at the typed in multiple of a line of the rotor's, of one of its low orders. */
function ofKnownTurn(lines: readonly Line[], perRevolution: number, binHz: number): Line | null {
  let known: Line | null = null;
  for (const low of lines) {
    if (low.at * binHz > HIGHEST_ROTOR_ORDER * FASTEST_TURN_HZ) break;
    for (let order = 1; order <= HIGHEST_ROTOR_ORDER; order++) {
      const times = perRevolution / order;
      const line = strongestOf(lines.filter((one) => isAt(one, low.at * times, times)));
      if (line !== null && isMoreThanHarmonic(line, low) && (known === null || line.power > known.power)) known = line;
    }
  }
  return known;
}

/** The strongest line that a motor of a usual speed makes, unless it is a low multiple of a stronger one: then it is the rotor's. */
function fastEnough(lines: readonly Line[], perRevolution: number, binHz: number): Line | null {
  let best: Line | null = null;
  for (const line of lines) {
    if (line.at * binHz < SLOWEST_TURN_HZ * perRevolution || (best !== null && line.power <= best.power)) continue;
    const isRotors = lines.some((low) => low.power > line.power && isLowMultiple(line, low));
    if (!isRotors) best = line;
  }
  return best;
}

function isLowMultiple(line: Line, low: Line): boolean {
  const order = Math.round(line.at / low.at);
  return order > 1 && order <= FEWEST_PER_TURN && isAt(line, order * low.at, order);
}

/** Whether a line far above the strongest one is more than a harmonic of it. */
function standsOut(line: Line, strongest: Line): boolean {
  return line.power >= WEAKEST_RIPPLE ** 2 * strongest.power && isMoreThanHarmonic(line, strongest);
}

function isMoreThanHarmonic(line: Line, low: Line): boolean {
  const times = line.at / low.at;
  return Math.round(times) >= FEWEST_PER_TURN / 2 && isMoreThanFading(line, low);
}

/** Whether it has twice the amplitude of the harmonic that a rectified wave would have there. */
export function isMoreThanFading(line: Line, low: Line): boolean {
  return line.power > (2 * fading(line.at / low.at)) ** 2 * low.power;
}

/** Amplitude of the harmonic of a rectified wave at this multiple of its first. */
function fading(times: number): number {
  return 3 / (4 * times * times - 1);
}

function strongestOf(lines: readonly Line[]): Line | null {
  return lines.reduce<Line | null>((best, line) => (best === null || line.power > best.power ? line : best), null);
}

/** Whether a line lies at a place that is so many times another's: a place is known to a part of a bin, and its multiple to as many times that. */
export function isAt(line: Line, place: number, times: number): boolean {
  return Math.abs(line.at - place) < Math.sqrt(Math.max(1, times));
}

/** The line itself where only its second harmonic stood clear of the hum beside it: the idle clamp, which lacks the harmonic, does not make its first. */
export function firstOf(found: readonly Line[], picked: Line): Line {
  const first = found.find((line) => isAt(picked, 2 * line.at, 2) && line.power > picked.power);
  return first ?? picked;
}
