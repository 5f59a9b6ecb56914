/** A line that was chosen as the ripple, and what could be seen beside it. */
interface ChosenLine {
  readonly hz: number;
  /** in one spectrum, mean of the windows */
  readonly power: number;
  /** power that noise leaves there, at some frequency, in the same spectrum */
  readonly floorAt: (hz: number) => number;
}

/** revolutions per second, 480 rpm; small motors of vehicles turn at 900 rpm and more under load, starved or dragging ones at half of that. Common practice */
export const SLOWEST_TURN_HZ = 8;
/** the same, 300 rpm; down to this a line is the ripple of a known motor only where it cannot be the rotation. Common practice */
export const DRAGGING_TURN_HZ = 5;
/** ripples per revolution when they are not known: three segments and two brushes, the fewest built (driver for the TI DRV821x) */
export const FEWEST_PER_TURN = 6;
/** Hz; 6600 rpm, as fast as such motors turn under load: below this a lone line may be the rotation itself. Common practice, no published source */
export const FASTEST_TURN_HZ = 110;
/** ripple over what comes once a turn, in amplitude, before the clamp; motors with bent shafts have as little. Scored */
export const WEAKEST_RIPPLE = 0.025;

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
