import { PLAIN_PRESS } from '../../plain-press.ts';
import type { PressReading } from '../../../../../src/core/analysis/motor/codes.ts';
import type { VerdictFacts } from '../../../../../src/core/analysis/motor/finding/types.ts';
import type { InrushFit, Stall } from '../../../../../src/core/analysis/results.ts';

/** Hand-made readings: what they mean is tested on what was read, not on how. */
export function press(fields: Partial<PressReading> = {}): PressReading {
  return {
    ...PLAIN_PRESS,
    inrush: null,
    run: { start_s: 1.2, end_s: 3.9, median_a: 4, low_a: 3.9, high_a: 4.1, spread_a: 0.1, slope_a_per_s: 0 },
    ...fields,
  };
}

/** The same with a switch-on that shows this stall current, 5 % either way. */
export function fitted(standstillA: number, fields: Partial<PressReading> = {}): PressReading {
  const fit: InrushFit = {
    tau_mechanical_s: 0.03, low_mechanical_s: 0.027, high_mechanical_s: 0.033, tau_electrical_s: null, low_electrical_s: null, high_electrical_s: null,
    standstill_a: standstillA, low_standstill_a: 0.95 * standstillA, high_standstill_a: 1.05 * standstillA,
  };
  return press({ inrush: { peak_a: 0.8 * standstillA, at_s: 1.01, settle_s: 0.2, charge_c: 1, i2t_a2s: 10, fit }, ...fields });
}

export function stall(startS: number, endS: number, levelA: number, fields: Partial<Stall> = {}): Stall {
  return { start_s: startS, end_s: endS, level_a: levelA, at: 'travel', ...fields };
}

export function facts(fields: Partial<VerdictFacts> = {}): VerdictFacts {
  return {
    actuations: [press()], asymmetry: null, hasVoltage: false, rateHz: 500, place: null, topV: 0, deadPresses: 0, certain: true, kind: 'motor', sharpEdge: false,
    unseenLoads: 0, isUnusable: false, options: {}, problems: [], ...fields,
  };
}
