import { mean, median } from '../../stats.ts';

/** A line that was chosen as the ripple, and what could be seen beside it. */
export interface ChosenLine {
  readonly hz: number;
  /** in one spectrum, mean of the windows */
  readonly power: number;
  /** power that noise leaves there, at some frequency, in the same spectrum */
  readonly floorAt: (hz: number) => number;
}

/** revolutions per second; small motors of vehicles turn at 900 rpm and more under load, starved or dragging ones at two thirds of that. Common practice */
const USUAL_TURN_HZ = 10;
/** ripples per revolution when they are not known: three segments and two brushes, the fewest built (outside numbers 3.3) */
const FEWEST_PER_TURN = 6;
/** Hz; the fastest such motors, 6600 rpm: below this a lone line may be the rotation itself (outside numbers 3.1) */
export const FASTEST_TURN_HZ = 110;
/** ripple over what comes once a turn, in amplitude, before the clamp; motors with bent shafts have as little. Scored */
const LEAST_RIPPLE = 0.03;

/**
 * Whether the line may as well be the rotation. It is not when, were it the rotation, its ripple would have shown: fast enough for the
 * logger to see, passed by the clamp, and above the noise. Where that ripple would be hidden, a line of a usual speed for a ripple is still taken for one.
 *
 * @param cornerHz low-pass corner of the clamp; Infinity where it is not slow
 * @param seenHz highest frequency that the logger shows
 */
export function couldBeRotation(line: ChosenLine, perRevolution: number | undefined, cornerHz: number, seenHz: number): boolean {
  const perTurn = perRevolution ?? FEWEST_PER_TURN;
  if (perRevolution !== undefined) return line.hz < USUAL_TURN_HZ * perRevolution;
  if (line.hz >= FASTEST_TURN_HZ) return false;
  const rippleHz = line.hz * perTurn;
  if (rippleHz > seenHz) return true;
  const passed = (1 + (line.hz / cornerHz) ** 2) / (1 + (rippleHz / cornerHz) ** 2);
  return line.power * LEAST_RIPPLE ** 2 * passed < line.floorAt(rippleHz);
}

const FEWEST_TURNS = 5;
/** readings a turn that are enough for a line once a turn */
const READINGS_A_TURN = 12;
/** power over that of the surroundings; noise alone reaches this in about one of a thousand (exponential distribution, three places tried) */
const STANDS_OUT = 8;

/**
 * Whether something comes once a turn beside a ripple of so many Hz: an uneven rotor, which most motors show. It confirms that the line is
 * the ripple of a slow motor and not the rotation of a fast one. `values` are readings at even speed.
 */
export function comesOnceATurn(values: Float32Array, from: number, to: number, rateHz: number, turnHz: number): boolean {
  const turns = ((to - from) / rateHz) * turnHz;
  if (turns < FEWEST_TURNS) return false;
  const block = Math.max(1, Math.floor(rateHz / (turnHz * READINGS_A_TURN)));
  const count = Math.floor((to - from) / block);
  const means = Float64Array.from({ length: count }, (_value, b) => mean(values.subarray(from + b * block, from + (b + 1) * block)));
  const cyclesABlock = (turnHz * block) / rateHz;
  const apart = 1 / (count * cyclesABlock);
  const own = Math.max(...[-0.4, 0, 0.4].map((bins) => powerAt(means, cyclesABlock * (1 + bins * apart))));
  const beside = [-5, -4, -3, 3, 4, 5].map((bins) => 1 + bins * apart).filter((times) => times > 0.3);
  return own > STANDS_OUT * median(beside.map((times) => powerAt(means, cyclesABlock * times)));
}

/** Power of the sum of a wave over the readings, Hann window, mean and slope out. */
function powerAt(readings: Float64Array, cyclesAReading: number): number {
  const count = readings.length;
  const half = count >> 1;
  const slope = (mean(readings.subarray(count - half)) - mean(readings.subarray(0, half))) / (count - half);
  const middle = mean(readings);
  let real = 0;
  let imaginary = 0;
  for (let i = 0; i < count; i++) {
    const value = (readings[i] - middle - slope * (i - (count - 1) / 2)) * (0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / count));
    real += value * Math.cos(2 * Math.PI * cyclesAReading * i);
    imaginary += value * Math.sin(2 * Math.PI * cyclesAReading * i);
  }
  return real * real + imaginary * imaginary;
}
