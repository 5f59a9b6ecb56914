import { median } from '../../stats.ts';
import type { ActuationResult } from '../results.ts';
import type { Measured } from './change.ts';
import type { Metric } from './metrics.ts';

/**
 * Scales figures of the second trace to the supply voltage of the first one, by the equations of a permanent-magnet motor under the
 * same load torque (textbook: V = R i + k w, torque = k i; reference/outside-numbers section 3): running current does not change,
 * stall and inrush current go with V, speed with V - R i, the time for the same travel against it.
 */
export interface SupplyScale {
  readonly beforeV: number;
  readonly afterV: number;
  /** voltage under load, before over after: factor for stall and inrush current */
  readonly voltageFactor: number;
  /** (V - R i) before over after: factor for speed; equals voltageFactor where R is unknown */
  readonly speedFactor: number;
}

/** Below this difference of the voltage under load nothing is scaled: it changes speed less than the tolerance of a speed. */
const SAME_SUPPLY = 0.02;

/** Null where a trace has no voltage, or where both had the same within two per cent. */
export function supplyScale(before: ActuationResult, after: ActuationResult): SupplyScale | null {
  const beforeV = typicalRunV(before);
  const afterV = typicalRunV(after);
  if (beforeV === null || afterV === null || Math.abs(beforeV / afterV - 1) < SAME_SUPPLY) return null;
  const resistance = motorOhm(before) ?? motorOhm(after);
  const emf = (result: ActuationResult, volts: number): number => {
    const runA = typicalRunA(result);
    return resistance === null || runA === null ? volts : Math.max(volts - resistance * runA, volts * 0.2);
  };
  return { beforeV, afterV, voltageFactor: beforeV / afterV, speedFactor: emf(before, beforeV) / emf(after, afterV) };
}

export function scaled(measured: Measured, metric: Metric, scale: SupplyScale | null): Measured {
  if (scale === null || metric.follows === 'none') return measured;
  const factor = metric.follows === 'voltage' ? scale.voltageFactor : metric.follows === 'speed' ? scale.speedFactor : 1 / scale.speedFactor;
  return { value: measured.value * factor, sigma: measured.sigma === null ? null : measured.sigma * factor };
}

function typicalRunV(result: ActuationResult): number | null {
  const volts = result.actuations.flatMap(({ supply }) => (supply === null ? [] : [supply.run_v]));
  return volts.length === 0 ? null : median(volts);
}

function typicalRunA(result: ActuationResult): number | null {
  const amps = result.actuations.flatMap(({ run }) => (run === null ? [] : [run.median_a]));
  return amps.length === 0 ? null : median(amps);
}

/** Resistance of motor and brushes from a stall: the voltage left for it over its current. Null without a stall or without voltage. */
function motorOhm(result: ActuationResult): number | null {
  const values = result.actuations.flatMap(({ supply, stalls }) => {
    const stall = stalls[0];
    if (supply === null || stall === undefined || !(stall.level_a > 0)) return [];
    const volts = supply.open_v - supply.source_ohm * stall.level_a;
    return volts > 0 ? [volts / stall.level_a] : [];
  });
  return values.length === 0 ? null : median(values);
}
