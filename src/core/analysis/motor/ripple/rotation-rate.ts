import { median } from '../../../stats.ts';
import { meanOf } from '../signal/levels.ts';
import { peakBetweenBins, spectrumMaker, strongestBin } from '../signal/spectrum.ts';
import { PLACED } from './line-track.ts';
import { FASTEST_TURN_HZ, FEWEST_TURNS, SLOWEST_TURN_HZ } from '../motor-model.ts';

/** The rate of rotation, by a strong line once a turn. */
export interface RotationRate {
  readonly hz: number;
  readonly uncertaintyHz: number;
}

/** power over the surroundings of a line that is sure to be one; noise passes in about one of ten million spectra (exponential distribution) */
const STRONG = 30;
/** power over the surroundings of half the rate that makes the strongest line a second order; noise passes in about one of twenty (exponential distribution, three bins) */
const HALF_SEEN = 6;

/**
 * The rate of rotation of a run, from readings at even speed: the strongest line in the range of such motors, or half of it where a line is
 * there too. Null when none is strong or the run is short. What meshes in a gear can make such a line as well, so an order found by it needs a second sign.
 * (revolution.ts follows the angle itself, for which a comb of lines must show.)
 */
export function findRotationRate(values: Float32Array, from: number, to: number, rateHz: number): RotationRate | null {
  // four readings of the fastest turn are enough
  const block = Math.max(1, Math.floor(rateHz / (4 * FASTEST_TURN_HZ)));
  const count = Math.floor((to - from) / block);
  const length = 2 ** Math.floor(Math.log2(count));
  if (count < 64) return null;
  const readings = new Float64Array(count).map((_value, b) => meanOf(values, from + b * block, from + (b + 1) * block));
  const power = new Float64Array(length / 2 + 1);
  const maker = spectrumMaker(length);
  maker.addPower(readings, 0, power);
  if (count > length) maker.addPower(readings, count - length, power);
  const binHz = rateHz / block / length;
  const first = Math.ceil(SLOWEST_TURN_HZ / binHz);
  const last = Math.min(power.length - 2, Math.floor(FASTEST_TURN_HZ / binHz));
  if (first < 4 || last <= first) return null;
  const best = strongestBin(power, first, last);
  if (best === first || best * binHz * (length * block) / rateHz < FEWEST_TURNS || power[best] < STRONG * floorAt(power, best)) return null;
  const hz = peakBetweenBins(power, best) * binHz;
  const starts = count > length ? [from, from + (count - length) * block] : [from];
  if (starts.reduce((sum, start) => sum + powerAt(values, start, length * block, hz / rateHz), 0) < (power[best] * block * block) / 4) return null;
  const half = Math.round(hz / 2 / binHz);
  const isSecond = half >= 4 && Math.max(power[half - 1], power[half], power[half + 1]) > HALF_SEEN * floorAt(power, half);
  return { hz: isSecond ? hz / 2 : hz, uncertaintyHz: (PLACED * binHz) / (isSecond ? 2 : 1) };
}

/**
 * Power of a line in all readings (Hann window): means of some of them fold the ripple down to where a turn may be. Cosine and sine of the line and the
 * window's cosine come by turning pointers from reading to reading. O(n).
 */
function powerAt(values: Float32Array, from: number, count: number, perReading: number): number {
  const levelA = meanOf(values, from, from + count);
  const [lineCosine, lineSine] = [Math.cos(2 * Math.PI * perReading), Math.sin(2 * Math.PI * perReading)];
  const [windowCosine, windowSine] = [Math.cos((2 * Math.PI) / count), Math.sin((2 * Math.PI) / count)];
  let [cosine, sine, hannCosine, hannSine] = [1, 0, 1, 0];
  let real = 0;
  let imaginary = 0;
  for (let i = 0; i < count; i++) {
    const value = (values[from + i] - levelA) * (0.5 - 0.5 * hannCosine);
    real += value * cosine;
    imaginary += value * sine;
    const before = cosine;
    cosine = before * lineCosine - sine * lineSine;
    sine = sine * lineCosine + before * lineSine;
    const hannBefore = hannCosine;
    hannCosine = hannBefore * windowCosine - hannSine * windowSine;
    hannSine = hannSine * windowCosine + hannBefore * windowSine;
  }
  return real * real + imaginary * imaginary;
}

function floorAt(power: Float64Array, bin: number): number {
  return median(power.subarray(Math.max(1, bin - 16), Math.min(power.length, bin + 17)));
}

/** lines nearer to a whole number of turns than this are one. Scored */
const WHOLE = 0.06;
/** an order known no better than this says nothing: half way to the next is 0.5 */
const LEAST_SURE = 0.25;

/** The order of a line: how many times a turn it comes; null when that is no whole number or cannot be known. */
export function orderOf(hz: number, turn: RotationRate): number | null {
  const order = hz / turn.hz;
  const tolerance = Math.max(WHOLE, (2 * order * turn.uncertaintyHz) / turn.hz);
  if (tolerance > LEAST_SURE) return null;
  return Math.abs(order - Math.round(order)) < tolerance ? Math.round(order) : null;
}

/** Whether the order can be known at all. */
export function isSure(hz: number, turn: RotationRate): boolean {
  return (2 * hz * turn.uncertaintyHz) / turn.hz ** 2 <= LEAST_SURE;
}
