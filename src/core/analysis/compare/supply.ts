import { median } from '../../stats.ts';
import { STALL } from '../motor/settings.ts';
import type { Actuation, ActuationResult, Supply } from '../results.ts';
import type { Measured } from './change.ts';
import type { Metric } from './metrics/metrics.ts';

/**
 * Scales figures of the second trace to the supply voltage of the first one, by the equations of a permanent-magnet motor under the
 * same load torque (textbook: V = R i + k w, torque = k i): running current does not change,
 * stall and inrush current go with V, speed with V - R i, the time for the same travel against it.
 */
export interface SupplyScale {
  readonly beforeV: number;
  readonly afterV: number;
  /** open-circuit voltage, before over after: factor for stall and inrush current */
  readonly voltageFactor: number;
  /** (V - R i) of the second trace's current at both voltages: factor for its speed, and the range in which it lies for what is known of R */
  readonly speedFactor: number;
  readonly lowSpeedFactor: number;
  readonly highSpeedFactor: number;
}

/** Below this difference of the voltage under load nothing is scaled: it changes speed less than the tolerance of a speed. */
const SAME_SUPPLY = 0.02;

/** Null where a trace has no voltage, where both had the same within two per cent, and where the leads sat at different places. */
export function supplyScale(before: ActuationResult, after: ActuationResult): SupplyScale | null {
  const beforeV = typical(before, ({ run_v: runV }) => runV);
  const afterV = typical(after, ({ run_v: runV }) => runV);
  if (beforeV === null || afterV === null || leadsDiffer(before, after) || Math.abs(beforeV / afterV - 1) < SAME_SUPPLY) return null;
  const open = (typical(before, ({ open_v: openV }) => openV) ?? beforeV) / (typical(after, ({ open_v: openV }) => openV) ?? afterV);
  const runA = typicalRunA(after) ?? 0;
  // a motor turns while its load takes less than the current of standing over 1.3 (see settings.ts, STALL.overRun): R is below V / (1.3 i)
  const mostOhm = runA > 0 ? Math.min(beforeV, afterV) / (STALL.overRun * runA) : 0;
  const ohm = motorOhm(before) ?? motorOhm(after) ?? { low: 0, middle: mostOhm / 2, high: mostOhm };
  const factor = (resistance: number): number => {
    const dropV = Math.min(resistance, mostOhm) * runA;
    return (beforeV - dropV) / (afterV - dropV);
  };
  const ends = [factor(ohm.low), factor(ohm.high)];
  return { beforeV, afterV, voltageFactor: open, speedFactor: factor(ohm.middle), lowSpeedFactor: Math.min(...ends), highSpeedFactor: Math.max(...ends) };
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
 * What a scaled figure may be off by, in its unit as [low, high]. Speed and travel time: for what is known of the motor's resistance.
 * Running current: under dry friction it does not follow the supply at all, under a load that grows with speed it follows as the speed
 * does; which load it is, the trace does not tell. `second`: the second trace's values as scaled.
 */
export function modelUncertainty(metric: Metric, second: readonly Measured[], scale: SupplyScale | null): readonly [number, number] | undefined {
  if (scale === null || second.length === 0) return undefined;
  const mean = second.reduce((sum, { value }) => sum + value, 0) / second.length;
  const { speedFactor, lowSpeedFactor, highSpeedFactor } = scale;
  if (metric.follows === 'speed') return [mean * (lowSpeedFactor / speedFactor - 1), mean * (highSpeedFactor / speedFactor - 1)];
  if (metric.follows === 'time') return [mean * (speedFactor / highSpeedFactor - 1), mean * (speedFactor / lowSpeedFactor - 1)];
  if (metric.name !== 'run_a') return undefined;
  return [mean * Math.min(lowSpeedFactor - 1, 0), mean * Math.max(highSpeedFactor - 1, 0)];
}

function typical(result: ActuationResult, read: (supply: Supply) => number): number | null {
  return middle(result.actuations, ({ supply }) => (supply === null ? [] : [read(supply)]));
}

function typicalRunA(result: ActuationResult): number | null {
  return middle(result.actuations, ({ run }) => (run === null ? [] : [run.median_a]));
}

/**
 * Resistance of motor and brushes: the voltage left for it over the current of standing, from a stall, or from the fitted switch-on
 * with its bounds. A stall is read within some per cent, and warms the windings by up to 20 %.
 */
function motorOhm(result: ActuationResult): { low: number; middle: number; high: number } | null {
  const at = (read: (actuation: Actuation) => number | undefined): number | null =>
    middle(result.actuations, (actuation) => {
      const standingA = read(actuation);
      const { supply } = actuation;
      if (supply === null || standingA === undefined || !(standingA > 0)) return [];
      const volts = supply.open_v - supply.source_ohm * standingA;
      return volts > 0 ? [volts / standingA] : [];
    });
  const stalled = at(({ stalls }) => stalls.find((stall) => stall.at_least !== true)?.level_a);
  if (stalled !== null) return { low: stalled * (1 - WARMING), middle: stalled, high: stalled };
  const fitted = at(({ inrush }) => inrush?.fit?.standstill_a);
  const low = at(({ inrush }) => inrush?.fit?.high_standstill_a);
  const high = at(({ inrush }) => inrush?.fit?.low_standstill_a);
  return fitted === null || low === null || high === null ? null : { low, middle: fitted, high };
}

/** Share by which windings of a stalled motor rise in resistance. */
const WARMING = 0.2;

function middle(actuations: readonly Actuation[], read: (actuation: Actuation) => number[]): number | null {
  const values = actuations.flatMap(read);
  return values.length === 0 ? null : median(values);
}
