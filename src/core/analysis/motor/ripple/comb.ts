import type { Line } from './ripple-line.ts';
import { FASTEST_TURN_HZ } from '../motor-model.ts';

/** orders of the rotation, from the first on, that make lines a comb: what comes once a turn and is short shows in all of them, the waves of an uneven rotor in the first two or three */
export const FEWEST_ORDERS = 5;
/** bins; how far lines of one comb may be off their places: a parabola's error and a drift of the speed within a window */
const PLACED = 0.75;

/**
 * Whether a line is one of a comb and no stronger than its neighbours there. Something short that comes once a turn makes lines at every
 * multiple of the rotation rate; the commutation is one of them, and only one that is stronger than both of those beside it can be distinguished from the rest.
 */
export function isLostInComb(line: Line, lines: readonly Line[], binHz: number): boolean {
  for (const base of lines) {
    if (base.at * binHz > FASTEST_TURN_HZ) break;
    const order = Math.round(line.at / base.at);
    if (order < 2 || !isAt(line, order * base.at, order)) continue;
    const at = (wanted: number): Line | undefined => lines.find((other) => isAt(other, wanted * base.at, wanted));
    if (!Array.from({ length: FEWEST_ORDERS - 1 }, (_value, o) => at(o + 2)).every((found) => found !== undefined)) continue;
    const beside = Math.max(at(order - 1)?.power ?? 0, at(order + 1)?.power ?? 0);
    if (beside > line.power) return true;
  }
  return false;
}

/** The place of a base is known to a part of a bin, and so its multiple to as many times that. */
function isAt(line: Line, place: number, order: number): boolean {
  return Math.abs(line.at - place) < PLACED * Math.sqrt(order);
}
