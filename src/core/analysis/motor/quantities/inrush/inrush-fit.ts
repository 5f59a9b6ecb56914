import type { InrushFit } from '../../../results.ts';
import type { NoFit } from '../../codes.ts';
import { switchOnCurve, type SwitchOn } from '../../../../reference/motor.ts';
import { fitModel, type Fit } from '../../../fit.ts';
import { propagate } from '../../../uncertainty/propagate.ts';
import { CLEAR_PART, FEWEST, LITTLE, MOST_OF, NEARLY_ALL, SMALL_PART, TRIFLE } from '../../signal/decision-levels.ts';
import { EDGE } from '../../signal/levels.ts';
import { lagOne } from '../../../../stats.ts';
import { NORMAL_95 } from '../../../uncertainty/normal-95.ts';

/** A switch-on as the fit sees it: time from the first sample, magnitude of the current. */
export interface SwitchOnCurve {
  readonly timeS: readonly number[];
  readonly currentA: readonly number[];
  readonly periodS: number;
  readonly peakA: number;
  readonly peakAtS: number;
  readonly runA: number;
  /** ripple deviation of the run, which no curve of a switch-on follows, A */
  readonly scatterA: number;
  /** the clamp's own time constant, s; 0 when it follows within a sample */
  readonly clampS: number;
  /** the slowest that the clamp can be, s; null where the trace does not show it: then L/R is not distinguished from it */
  readonly clampAtMostS: number | null;
}

export type FitAnswer = { readonly fit: InrushFit; readonly why: null } | { readonly fit: null; readonly why: NoFit };

/**
 * Fits the motor's own equations to a switch-on (reference/motor.ts): standstill current, run, L/R and mechanical time constant, and when
 * within a sample the switch closed. Where the rise is not seen, one exponential is fitted to the fall alone and L/R is null.
 *
 * What the equations leave out (a load that is not steady, dry friction that holds the rotor for a moment, ripple, a winding that warms) is in the bounds as a small part of
 * a time constant and of a current followed back, and as half of that for a current that was seen.
 */
export function fitSwitchOn(curve: SwitchOnCurve): FitAnswer {
  const fallS = fallTime(curve);
  if (fallS === null) return { fit: null, why: { code: 'small-fall' } };
  if (fallS < FEWEST * curve.periodS) return { fit: null, why: { code: 'few-samples', samples: Math.max(1, Math.round(fallS / curve.periodS)) } };
  const whole = riseSeen(curve) ? fitWhole(curve, fallS) : null;
  if (whole !== null && residual(whole, curve.timeS.length) < worstResidual(curve)) {
    const fit = tellWhole(whole, curve);
    if (fit !== null) return { fit, why: null };
  }
  const fall = fitFall(curve, fallS);
  if (fall === null) return { fit: null, why: { code: 'other-shape' } };
  return { fit: fall, why: null };
}

/** s from the peak until a third (1/e) of its height above the run is left; null when that is not reached. */
function fallTime({ timeS, currentA, peakAtS, peakA, runA }: SwitchOnCurve): number | null {
  const leftA = runA + (peakA - runA) / Math.E;
  for (let i = 0; i < timeS.length; i++) if (timeS[i] > peakAtS && currentA[i] < leftA) return timeS[i] - peakAtS;
  return null;
}

function riseSeen({ timeS, currentA, peakAtS, peakA }: SwitchOnCurve): boolean {
  let below = 0;
  for (let i = 0; timeS[i] < peakAtS; i++) if (currentA[i] < EDGE.from * peakA) below++;
  return below > 1;
}

/** Whether a half width, as a share of its value, leaves something to tell. */
function isTold(share: number): boolean {
  return share < 0.5;
}

function motorOf(parameters: readonly number[]): SwitchOn {
  return { standstillA: parameters[0], runA: parameters[1], electricalS: Math.exp(parameters[2]), mechanicalS: Math.exp(parameters[3]) };
}

/** the motor's curve, begun so long after the first sample */
function delayed(parameters: readonly number[]): (atS: number) => number {
  const curve = switchOnCurve(motorOf(parameters));
  return (atS) => curve(atS - parameters[4]);
}

function falling([restA, stepA, logS]: readonly number[]): (atS: number) => number {
  const rate = 1 / Math.exp(logS);
  return (atS) => restA + stepA * Math.exp(-atS * rate);
}

function fitWhole(curve: SwitchOnCurve, fallS: number): Fit | null {
  const { timeS, currentA, peakA, peakAtS, runA, periodS } = curve;
  let best: Fit | null = null;
  // the peak comes some electrical time constants after the switch, the fewer the closer both are
  for (const part of [CLEAR_PART, MOST_OF]) {
    const start = [peakA, runA, Math.log(Math.max(periodS, part * peakAtS)), Math.log(fallS), -0.5 * periodS];
    const fit = fitModel(delayed, timeS, currentA, start, true);
    if (fit !== null && Math.abs(fit.parameters[4]) < 2 * periodS + peakAtS / 2 && (best === null || fit.squares < best.squares)) best = fit;
    if (best !== null && residual(best, timeS.length) < TRIFLE * (peakA - runA)) break;
  }
  return best;
}

function worstResidual({ peakA, runA, scatterA }: SwitchOnCurve): number {
  return Math.hypot(LITTLE * (peakA - runA), scatterA);
}

function residual(fit: Fit, count: number): number {
  return Math.sqrt(fit.squares / Math.max(1, count - fit.parameters.length));
}

function tellWhole(fit: Fit, curve: SwitchOnCurve): InrushFit | null {
  const motor = motorOf(fit.parameters);
  const widen = autocorrelationFactor(curve, delayed(fit.parameters));
  const width = (p: number): number => NORMAL_95 * widen * fit.deviations[p];
  const mechanical = Math.hypot(width(3), SMALL_PART);
  const electrical = Math.hypot(width(2), SMALL_PART);
  const { clampAtMostS } = curve;
  const clear = isTold(electrical) && motor.electricalS > curve.periodS / 2 && clampAtMostS !== null && motor.electricalS > FEWEST * clampAtMostS;
  // a slow clamp adds its own lag to the rise: the fast pole is then the clamp's, and the motor's own figures follow from the poles
  const lag = clear || curve.clampS === 0 ? 1 : lagFactor(motor);
  const standstillA = motor.standstillA * lag;
  if (!isTold(mechanical) || !(standstillA > (1 - LITTLE) * curve.peakA)) return null;
  const standstill = Math.hypot(width(0) * lag, LITTLE * standstillA);
  return {
    tau_mechanical_s: motor.mechanicalS / lag,
    low_mechanical_s: (motor.mechanicalS * Math.exp(-mechanical)) / lag,
    high_mechanical_s: motor.mechanicalS * Math.exp(mechanical),
    tau_electrical_s: clear ? motor.electricalS : null,
    low_electrical_s: clear ? Math.max(0, motor.electricalS * Math.exp(-electrical) - (clampAtMostS ?? 0)) : null,
    high_electrical_s: clear ? motor.electricalS * Math.exp(electrical) : null,
    standstill_a: standstillA,
    low_standstill_a: motor.standstillA - standstill,
    high_standstill_a: standstillA + standstill,
  };
}

/**
 * With poles p < q, L/R and the load make the initial slope V/L = standstill (p + q), a clamp's lag makes it standstill q: the same curve
 * means a standstill current higher by (p + q)/q, and a mechanical time constant shorter by that.
 */
function lagFactor({ electricalS, mechanicalS }: SwitchOn): number {
  const root = 1 - (4 * electricalS) / mechanicalS;
  return root > 0 ? 2 / (1 + Math.sqrt(root)) : 1;
}

/**
 * One exponential through the fall alone. The rise that was not seen lies between nothing and the peak's own delay, and with it both the
 * mechanical time constant (slow pole: 1/p = tm (1 - te p)) and the standstill current, which lies between the peak and the fall followed
 * back to the switch: the bounds hold both ends.
 */
function fitFall(curve: SwitchOnCurve, fallS: number): InrushFit | null {
  const { periodS, peakAtS, runA, peakA } = curve;
  const timeS: number[] = [];
  const currentA: number[] = [];
  const fromS = peakAtS + Math.max(periodS, 0.5 * peakAtS);
  for (let i = 0; i < curve.timeS.length; i++) {
    if (curve.timeS[i] < fromS) continue;
    timeS.push(curve.timeS[i] - fromS);
    currentA.push(curve.currentA[i]);
  }
  const fit = fitModel(falling, timeS, currentA, [runA, peakA - runA, Math.log(fallS)], true);
  if (fit === null || residual(fit, timeS.length) > worstResidual(curve)) return null;
  const widen = autocorrelationFactor({ ...curve, timeS, currentA }, falling(fit.parameters));
  const slowS = Math.exp(fit.parameters[2]);
  const width = NORMAL_95 * widen * fit.deviations[2];
  if (!isTold(width) || !(fit.parameters[1] > 0)) return null;
  const most = Math.min(CLEAR_PART, (0.5 * (peakAtS + periodS)) / slowS);
  // back to the switch, which closed within the sample before the first
  const worked = propagate(([restA, stepA, logS]) => [restA + stepA * Math.exp((fromS + 0.5 * periodS) / Math.exp(logS))], fit.parameters, fit.covariance);
  const standstillA = worked.values[0];
  const halfWidthA = NORMAL_95 * widen * Math.sqrt(worked.covariance[0][0]) + (standstillA - runA) * (Math.exp(periodS / slowS) - 1) * 0.5;
  if (!isTold(halfWidthA / standstillA)) return null;
  const lowA = Math.min(peakA, standstillA) * (1 - SMALL_PART);
  const highA = Math.max(peakA, standstillA) + Math.hypot(halfWidthA, SMALL_PART * standstillA);
  const factor = Math.exp(Math.hypot(width, SMALL_PART));
  return {
    tau_mechanical_s: slowS * (1 + most / 2),
    low_mechanical_s: slowS / factor,
    high_mechanical_s: (slowS * factor) / (1 - most),
    tau_electrical_s: null,
    low_electrical_s: null,
    high_electrical_s: null,
    standstill_a: (peakA + Math.max(peakA, standstillA)) / 2,
    low_standstill_a: lowA,
    high_standstill_a: highA,
  };
}

/** Residuals that follow each other are worth fewer points (effective sample size of a first-order process). */
function autocorrelationFactor(curve: Pick<SwitchOnCurve, 'timeS' | 'currentA'>, fitted: (atS: number) => number): number {
  const off = curve.timeS.map((atS, i) => curve.currentA[i] - fitted(atS));
  const r1 = Math.min(NEARLY_ALL, Math.max(0, lagOne(off)));
  return Math.sqrt((1 + r1) / (1 - r1));
}
