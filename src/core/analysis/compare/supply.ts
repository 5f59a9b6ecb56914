import { median } from '../../stats.ts';
import type { Actuation, ActuationResult, Supply } from '../results.ts';
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
  /** open-circuit voltage, before over after: factor for stall and inrush current */
  readonly voltageFactor: number;
  /** (V - R i) of the second trace's current at both voltages: factor for its speed; equals the ratio of voltages where R is unknown */
  readonly speedFactor: number;
}

/** Below this difference of the voltage under load nothing is scaled: it changes speed less than the tolerance of a speed. */
const SAME_SUPPLY = 0.02;

/** Null where a trace has no voltage, where both had the same within two per cent, and where the leads sat at different places. */
export function supplyScale(before: ActuationResult, after: ActuationResult): SupplyScale | null {
  const beforeV = typical(before, ({ run_v: runV }) => runV);
  const afterV = typical(after, ({ run_v: runV }) => runV);
  if (beforeV === null || afterV === null || leadsDiffer(before, after) || Math.abs(beforeV / afterV - 1) < SAME_SUPPLY) return null;
  const open = (typical(before, ({ open_v: openV }) => openV) ?? beforeV) / (typical(after, ({ open_v: openV }) => openV) ?? afterV);
  const dropV = (motorOhm(before) ?? motorOhm(after) ?? 0) * (typicalRunA(after) ?? 0);
  // a drop near the supply would make any factor: a motor that keeps less than a fifth hardly turns
  const emf = (volts: number): number => Math.max(volts - dropV, volts * 0.2);
  return { beforeV, afterV, voltageFactor: open, speedFactor: emf(beforeV) / emf(afterV) };
}

/** One lead at the motor, the other at the battery: their voltages and feed resistances are of different stretches of wire. */
export function leadsDiffer(before: ActuationResult, after: ActuationResult): boolean {
  const [first, second] = [before.trace.voltage_at, after.trace.voltage_at];
  return first !== null && second !== null && first !== second;
}

export function scaled(measured: Measured, metric: Metric, scale: SupplyScale | null): Measured {
  if (scale === null || metric.follows === 'none') return measured;
  const factor = metric.follows === 'voltage' ? scale.voltageFactor : metric.follows === 'speed' ? scale.speedFactor : 1 / scale.speedFactor;
  return { ...measured, value: measured.value * factor, sigma: measured.sigma === null ? null : measured.sigma * factor };
}

/**
 * What the running current may be off by after no scaling, A as [low, high]: under dry friction it does not follow the supply at all,
 * under a load that grows with speed it follows as the speed does. Which load it is, the trace does not tell.
 */
export function loadModelDoubt(after: readonly Measured[], scale: SupplyScale | null): readonly [number, number] | undefined {
  if (scale === null || after.length === 0) return undefined;
  const follows = (after.reduce((sum, { value }) => sum + value, 0) / after.length) * (scale.speedFactor - 1);
  return [Math.min(follows, 0), Math.max(follows, 0)];
}

function typical(result: ActuationResult, read: (supply: Supply) => number): number | null {
  return middle(result.actuations, ({ supply }) => (supply === null ? [] : [read(supply)]));
}

function typicalRunA(result: ActuationResult): number | null {
  return middle(result.actuations, ({ run }) => (run === null ? [] : [run.median_a]));
}

/** Resistance of motor and brushes from a stall: the voltage left for it over its current. Null without a stall or without voltage. */
function motorOhm(result: ActuationResult): number | null {
  return middle(result.actuations, ({ supply, stalls }) => {
    const stall = stalls[0];
    if (supply === null || stall === undefined || !(stall.level_a > 0)) return [];
    const volts = supply.open_v - supply.source_ohm * stall.level_a;
    return volts > 0 ? [volts / stall.level_a] : [];
  });
}

function middle(actuations: readonly Actuation[], read: (actuation: Actuation) => number[]): number | null {
  const values = actuations.flatMap(read);
  return values.length === 0 ? null : median(values);
}
