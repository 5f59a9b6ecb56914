import { clearOfNoise } from './line-odds.ts';
import { FEWEST_SAMPLES, HIGHEST_SHARE } from './ripple-windows.ts';
import { floorAt } from './surroundings.ts';
import { CLEAR_PART, FALSE_ALARM, LITTLE, SMALL_PART } from '../signal/decision-levels.ts';
import { meanOf } from '../signal/levels.ts';
import { peakBetweenBins, spectrumMaker, strongestBin } from '../signal/spectrum.ts';
import { FASTEST_TURN_HZ, FEWEST_PERIODS, SLOWEST_TURN_HZ } from '../motor-model.ts';

/** The rate of rotation, by a strong line once a turn. */
export interface RotationRate {
  readonly hz: number;
  readonly uncertaintyHz: number;
}

/**
 * The rate of rotation of a run, from readings at even speed: the strongest line in the range of such motors, or half of it where a line is
 * there too. Null when none is strong or the run is short. What meshes in a gear can make such a line as well, so an order found by it needs a second sign.
 * (revolution.ts follows the angle itself, for which a comb of lines must show.)
 */
export function findRotationRate(values: Float32Array, from: number, to: number, rateHz: number): RotationRate | null {
  const block = Math.max(1, Math.floor((HIGHEST_SHARE * rateHz) / (2 * FASTEST_TURN_HZ)));
  const count = Math.floor((to - from) / block);
  const length = 2 ** Math.floor(Math.log2(count));
  if (count < FEWEST_SAMPLES) return null;
  const readings = new Float64Array(count).map((_value, b) => meanOf(values, from + b * block, from + (b + 1) * block));
  const power = new Float64Array(length / 2 + 1);
  const maker = spectrumMaker(length);
  maker.addPower(readings, 0, power);
  if (count > length) maker.addPower(readings, count - length, power);
  const binHz = rateHz / block / length;
  const first = Math.max(2, Math.ceil(SLOWEST_TURN_HZ / binHz));
  const last = Math.min(power.length - 2, Math.floor(FASTEST_TURN_HZ / binHz));
  if (last <= first) return null;
  const best = strongestBin(power, first, last);
  if (best === first || best < FEWEST_PERIODS || power[best] < clearOfNoise(last - first + 1, 1, FALSE_ALARM ** 2) * floorAt(power, best)) return null;
  const hz = peakBetweenBins(power, best) * binHz;
  const starts = count > length ? [from, from + (count - length) * block] : [from];
  if (starts.reduce((sum, start) => sum + powerAt(values, start, length * block, hz / rateHz), 0) < power[best] * (block / 2) ** 2) return null;
  const half = Math.round(hz / 2 / binHz);
  const isSecond = half >= 2 && Math.max(power[half - 1], power[half], power[half + 1]) > clearOfNoise(3, 1, LITTLE) * floorAt(power, half);
  return { hz: isSecond ? hz / 2 : hz, uncertaintyHz: (SMALL_PART * binHz) / (isSecond ? 2 : 1) };
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

/** The order of a line: how many times a turn it comes; null when that is no whole number or cannot be known, as where it is known no better than half way to the half between two. */
export function orderOf(hz: number, turn: RotationRate): number | null {
  const order = hz / turn.hz;
  const tolerance = Math.max(LITTLE, (2 * order * turn.uncertaintyHz) / turn.hz);
  if (tolerance > CLEAR_PART) return null;
  return Math.abs(order - Math.round(order)) < tolerance ? Math.round(order) : null;
}

/** Whether the order can be known at all. */
export function isSure(hz: number, turn: RotationRate): boolean {
  return (2 * hz * turn.uncertaintyHz) / turn.hz ** 2 <= CLEAR_PART;
}
