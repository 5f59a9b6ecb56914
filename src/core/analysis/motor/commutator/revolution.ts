import type { Sampling } from '../sensor/sampling.ts';
import { MOST_WINDOWS, peakBetweenBins, spectrumMaker, strongestBin } from '../signal/spectrum.ts';
import type { IndexRange } from '../types.ts';
import { CLEAR_PART, LITTLE, SMALL_PART, TRIFLE } from '../signal/decision-levels.ts';
import { FEWEST_SAMPLES } from '../ripple/ripple-windows.ts';
import { floorAt } from '../ripple/surroundings.ts';
import { FASTEST_RIPPLE_HZ, FASTEST_TURN_HZ, FEWEST_PER_TURN, HIGHEST_ROTOR_ORDER, USUAL_TURN_HZ } from '../motor-model.ts';
import { clearOfNoise } from '../ripple/line-odds.ts';

/** The revolutions of a stretch: how fast, and where in its turn the rotor is at each sample. */
export interface Revolutions {
  readonly rateHz: number;
  /** ripples in a revolution */
  readonly perRevolution: number;
  /** turns since the first sample of the stretch, rising, one per sample */
  readonly turns: Float64Array;
}

/** turns in one spectrum: lines of neighbouring orders then lie 8 bins apart, and a speed that drifts by some percent keeps the low ones sharp */
const TURNS_IN_WINDOW = 8;

/**
 * Finds the revolution rate and follows the rotor's angle by what comes once a turn. With the ripples per revolution known the place to look
 * is known; without, the lines of a spectrum must form a comb of at least five orders with the commutation standing out among the higher
 * ones. Null when nothing comes once a turn: then no commutation differs from the others.
 */
export function findRevolutions(values: Float32Array, range: IndexRange, sampling: Sampling, rippleHz: number | null, perRevolution: number | undefined): Revolutions | null {
  const guessHz = perRevolution !== undefined && rippleHz !== null ? rippleHz / perRevolution : null;
  const slowestHz = guessHz === null ? USUAL_TURN_HZ : Math.min(guessHz, USUAL_TURN_HZ);
  const power = spectrumOf(values, range, sampling, slowestHz);
  if (power === null) return null;
  const guess = guessHz === null || perRevolution === undefined ? null : nearGuess(power, guessHz, perRevolution);
  const comb = combOf(power, perRevolution);
  const found = guess !== null && (comb === null || isMultiple(comb.rateHz, guess.rateHz)) ? guess : comb;
  if (found === null) return null;
  const turns = follow(values, range, found.rateHz / sampling.rateHz, clearestOrder(power, found.rateHz));
  return { rateHz: (turns[turns.length - 1] / (turns.length - 1)) * sampling.rateHz, perRevolution: found.perRevolution, turns };
}

interface Spectrum {
  readonly power: Float64Array;
  readonly binHz: number;
  /** power over its surroundings from which on a line is one */
  readonly seen: number;
}

function spectrumOf(values: Float32Array, range: IndexRange, sampling: Sampling, slowestHz: number): Spectrum | null {
  const samples = range.endIndex - range.startIndex;
  const wanted = 2 ** Math.round(Math.log2((TURNS_IN_WINDOW * sampling.rateHz) / slowestHz));
  const length = Math.min(wanted, 2 ** Math.floor(Math.log2(samples)));
  if (length < FEWEST_SAMPLES) return null;
  const maker = spectrumMaker(length);
  const windows = Math.min(MOST_WINDOWS, Math.max(1, Math.floor((2 * samples) / length) - 1));
  const power = new Float64Array(length / 2 + 1);
  const startOf = (w: number): number => range.startIndex + (windows === 1 ? 0 : Math.round(((samples - length) * w) / (windows - 1)));
  for (let w = 0; w + 1 < windows; w += 2) maker.addPowers(values, startOf(w), startOf(w + 1), power, power);
  if (windows % 2 === 1) maker.addPower(values, startOf(windows - 1), power);
  return { power, binHz: sampling.rateHz / length, seen: clearOfNoise(Math.floor(FASTEST_RIPPLE_HZ / slowestHz), windows) };
}

/** Highest power within a tolerance of a frequency, over the median of its surroundings; 0 when nothing stands out. */
function lineAt({ power, binHz, seen }: Spectrum, hz: number, within: number): { power: number; hz: number } | null {
  const from = Math.max(2, Math.floor((hz * (1 - within)) / binHz - 1));
  const to = Math.min(power.length - 2, Math.ceil((hz * (1 + within)) / binHz + 1));
  const best = strongestBin(power, from, to);
  if (best > power.length - 2) return null;
  return power[best] > seen * floorAt(power, best) ? { power: power[best], hz: peakBetweenBins(power, best) * binHz } : null;
}

interface Found {
  readonly rateHz: number;
  readonly perRevolution: number;
}

/** Twice the revolution rate has a comb too, of every second line. */
function isMultiple(hz: number, ofHz: number): boolean {
  const times = hz / ofHz;
  return Math.abs(times - Math.round(times)) < LITTLE && Math.round(times) > 0;
}

/** The low order that is seen best: the angle is followed by it. */
function clearestOrder(spectrum: Spectrum, rateHz: number): number {
  let best = 1;
  let most = 0;
  for (let order = 1; order <= HIGHEST_ROTOR_ORDER; order++) {
    const power = lineAt(spectrum, order * rateHz, TRIFLE)?.power ?? 0;
    if (power > most) {
      most = power;
      best = order;
    }
  }
  return best;
}

function nearGuess(spectrum: Spectrum, guessHz: number, perRevolution: number): Found | null {
  const line = lineAt(spectrum, guessHz, LITTLE);
  return line === null ? null : { rateHz: line.hz, perRevolution };
}

/** A comb of lines without knowing where: each low line may be one of the low orders. */
function combOf(spectrum: Spectrum, known: number | undefined): Found | null {
  const { power, binHz } = spectrum;
  const last = Math.min(power.length - 2, Math.floor(FASTEST_TURN_HZ / binHz));
  let strongest = 0;
  for (let k = 2; k <= last; k++) strongest = Math.max(strongest, power[k]);
  const tried: number[] = [];
  for (let k = Math.max(2, Math.floor(USUAL_TURN_HZ / binHz)); k <= last; k++) {
    if (power[k] >= power[k - 1] && power[k] >= power[k + 1] && power[k] > SMALL_PART * strongest) tried.push(peakBetweenBins(power, k) * binHz);
  }
  for (const hz of tried) {
    for (let order = 1; order <= HIGHEST_ROTOR_ORDER; order++) {
      const rateHz = hz / order;
      if (rateHz < USUAL_TURN_HZ) continue;
      if (!isComb(spectrum, rateHz) || hasBetween(spectrum, rateHz)) continue;
      const perRevolution = standingOrder(spectrum, rateHz);
      if (perRevolution !== null && (known === undefined || perRevolution === known)) return { rateHz, perRevolution };
    }
  }
  return null;
}

/** Lines half way between the orders: the comb of a slower turn, of which these are every second line. */
function hasBetween(spectrum: Spectrum, rateHz: number): boolean {
  return [0.5, 1.5].some((part) => part * rateHz > 2 * spectrum.binHz && lineAt(spectrum, part * rateHz, TRIFLE) !== null);
}

function isComb(spectrum: Spectrum, rateHz: number): boolean {
  for (let order = 1; order <= HIGHEST_ROTOR_ORDER + 1; order++) if (lineAt(spectrum, order * rateHz, TRIFLE) === null) return false;
  return true;
}

/** The order of twice the amplitude of those beside it: the commutation. */
function standingOrder(spectrum: Spectrum, rateHz: number): number | null {
  const most = Math.floor(Math.min(FASTEST_RIPPLE_HZ, (spectrum.power.length - 2) * spectrum.binHz) / rateHz) - 1;
  const sizes = new Float64Array(most + 2);
  for (let order = 1; order <= most + 1; order++) sizes[order] = Math.sqrt(lineAt(spectrum, order * rateHz, CLEAR_PART / order)?.power ?? 0);
  let best: number | null = null;
  for (let order = FEWEST_PER_TURN; order <= most; order++) {
    if (sizes[order] > 2 * Math.max(sizes[order - 1], sizes[order + 1]) && (best === null || sizes[order] > sizes[best])) best = order;
  }
  return best;
}

/** Turns since the start, by complex demodulation at one order and the phase of what is left. */
function follow(values: Float32Array, range: IndexRange, turnsPerSample: number, order: number): Float64Array {
  const count = range.endIndex - range.startIndex;
  // the phase is averaged over half of the turns of a window, by a mean over half of that twice
  const half = Math.max(2, Math.round(TURNS_IN_WINDOW / 4 / turnsPerSample));
  const level = smoothed(new Float64Array(count).map((_value, i) => values[range.startIndex + i]), Math.round(1 / turnsPerSample));
  const real = new Float64Array(count);
  const imaginary = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const angle = -2 * Math.PI * ((i * turnsPerSample * order) % 1);
    const value = values[range.startIndex + i] - level[i];
    real[i] = value * Math.cos(angle);
    imaginary[i] = value * Math.sin(angle);
  }
  // twice a moving mean is a triangle: close enough to a Hann window, and one pass each
  const slowReal = smoothed(smoothed(real, half), half);
  const slowImaginary = smoothed(smoothed(imaginary, half), half);
  const turns = new Float64Array(count);
  let whole = 0;
  let before = 0;
  for (let i = 0; i < count; i++) {
    const phase = Math.atan2(slowImaginary[i], slowReal[i]) / (2 * Math.PI);
    if (i > 0) whole -= Math.round(phase - before);
    before = phase;
    turns[i] = i * turnsPerSample + (phase + whole) / order;
  }
  const first = turns[0];
  for (let i = 0; i < count; i++) turns[i] -= first;
  return turns;
}

/** Mean of the `width` values about each, fewer at the ends. */
function smoothed(values: Float64Array, width: number): Float64Array {
  const count = values.length;
  const sums = new Float64Array(count + 1);
  for (let i = 0; i < count; i++) sums[i + 1] = sums[i] + values[i];
  const half = width >> 1;
  const result = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const from = Math.max(0, i - half);
    const to = Math.min(count, i - half + width);
    result[i] = (sums[to] - sums[from]) / (to - from);
  }
  return result;
}
