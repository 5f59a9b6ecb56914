import { couldBeAlias } from './alias-test.ts';
import { isAt, isMoreThanFading, type Line } from './ripple-line.ts';
import { FEWEST_PER_TURN, HIGHEST_ROTOR_ORDER } from '../motor-model.ts';
import { isSure, orderOf, type RotationRate } from './rotation-rate.ts';

/**
 * The line at twice the rate where this one comes once a segment and not once a commutation: commutations per revolution are the least common
 * multiple of brushes and segments (driver for the TI DRV821x), and so an even number, as brushes come in pairs. Unlike segments make the lower line the stronger.
 */
export function byOrder(line: Line, lines: readonly Line[], turn: RotationRate, binHz: number, perRevolution: number | undefined): Line {
  const order = orderOf(line.at * binHz, turn);
  if (order === null || order <= HIGHEST_ROTOR_ORDER || !(order % 2 === 1 || 2 * order === perRevolution) || order === perRevolution) return line;
  return lines.find((other) => isAt(other, 2 * line.at, 2) && isMoreThanFading(other, line)) ?? line;
}

/** Whether a line comes so few times a turn, but more than once, that it is an uneven rotor's or what it drives, and no commutation. */
export function isRotors(hz: number, turn: RotationRate): boolean {
  const order = orderOf(hz, turn);
  return order !== null && order > 1 && order < FEWEST_PER_TURN;
}

/** Whether the line comes no whole number of times a turn, but the faster line does that would be folded to this place. */
export function isAliasByOrder(hz: number, turn: RotationRate, rateHz: number): boolean {
  if (!couldBeAlias(rateHz, hz) || !isSure(hz, turn) || orderOf(hz, turn) !== null) return false;
  const faster = orderOf(rateHz - hz, turn);
  return faster !== null && faster % 2 === 0;
}
