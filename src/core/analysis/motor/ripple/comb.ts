import { isAt, type Line } from './ripple-line.ts';
import { FASTEST_TURN_HZ, HIGHEST_ROTOR_ORDER } from '../motor-model.ts';

/**
 * Whether a line is one of a comb and no stronger than its neighbours there. Something short that comes once a turn makes lines at every
 * multiple of the rotation rate, beyond those of an uneven rotor's waves; the commutation is one of them, and only one that is stronger than both of those beside it can be distinguished from the rest.
 */
export function isLostInComb(line: Line, lines: readonly Line[], binHz: number): boolean {
  for (const base of lines) {
    if (base.at * binHz > FASTEST_TURN_HZ) break;
    const order = Math.round(line.at / base.at);
    if (order < 2 || !isAt(line, order * base.at, order)) continue;
    const at = (wanted: number): Line | undefined => lines.find((other) => isAt(other, wanted * base.at, wanted));
    if (!Array.from({ length: HIGHEST_ROTOR_ORDER }, (_value, o) => at(o + 2)).every((found) => found !== undefined)) continue;
    const beside = Math.max(at(order - 1)?.power ?? 0, at(order + 1)?.power ?? 0);
    if (beside > line.power) return true;
  }
  return false;
}
