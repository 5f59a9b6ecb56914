import { FASTEST_TURN_HZ, FEWEST_PER_TURN, SLOWEST_TURN_HZ, WEAKEST_RIPPLE } from '../motor-model.ts';

/** A line that was chosen as the ripple, and what could be seen beside it. */
interface ChosenLine {
  readonly hz: number;
  /** in one spectrum, mean of the windows */
  readonly power: number;
  /** power that noise leaves there, at some frequency, in the same spectrum */
  readonly floorAt: (hz: number) => number;
}

/**
 * Whether a line may as well be the rotation. It is not when, were it the rotation, its ripple would have shown: fast enough for the logger to see,
 * passed by the clamp, and above the noise. Nor when, with the ripples per revolution known, it would be the ripple of a motor of usual speed.
 *
 * @param cornerHz low-pass corner of the clamp; Infinity where it is not slow
 * @param seenHz highest frequency that the logger shows
 */
export function couldBeRotation(line: ChosenLine, perRevolution: number | undefined, cornerHz: number, seenHz: number): boolean {
  if (line.hz >= FASTEST_TURN_HZ || (perRevolution !== undefined && line.hz >= SLOWEST_TURN_HZ * perRevolution)) return false;
  const rippleHz = line.hz * (perRevolution ?? FEWEST_PER_TURN);
  if (rippleHz > seenHz) return true;
  const passed = (1 + (line.hz / cornerHz) ** 2) / (1 + (rippleHz / cornerHz) ** 2);
  return line.power * WEAKEST_RIPPLE ** 2 * passed < line.floorAt(rippleHz);
}
