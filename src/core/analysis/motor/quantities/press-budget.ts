import type { Supply } from '../../results.ts';
import type { InrushReading, PressReading } from '../codes.ts';
import type { ActuationOptions } from '../../options.ts';
import { lowerBound } from '../../../trace.ts';
import { ofLimits, ofStep } from '../../uncertainty/budget.ts';
import { NORMAL_95 } from '../../uncertainty/normal-95.ts';
import { halfWidthOf, joinedParts, partsOf, type UncertaintyPart } from '../../uncertainty/parts.ts';
import { batchError } from '../motion/run.ts';
import type { Baseline } from '../sensor/baseline.ts';
import type { ClampSpeed } from '../presses/clamp-speed.ts';
import type { Press } from '../presses/presses.ts';
import { shortScatter, stepUncertainty } from '../sensor/converter-step.ts';
import { zeroUncertainty } from '../sensor/zero-uncertainty.ts';
import { sensorParts, type LevelRead } from './sensor-bounds.ts';

/** What the budgets of a press's figures are worked out from. */
interface BudgetContext {
  readonly timeS: Float64Array;
  readonly baseline: Baseline;
  readonly clamp: ClampSpeed;
  readonly options: ActuationOptions;
}

/**
 * Puts beside each figure of a press the parts of its uncertainty (JCGM 100:2008), and the bounds they make where the figure had none.
 * The running level has its parts already.
 */
export function withBudget(actuation: PressReading, press: Press, context: BudgetContext): PressReading {
  const { inrush, run, stalls, supply } = actuation;
  return {
    ...actuation,
    inrush: inrush === null ? null : inrushBudget(inrush, actuation, press, context),
    // a load that is no motor stays at the level that was first read as a stall
    run: run === null || run.uncertainty !== undefined || run.at_least === true ? run : { ...run, ...boundsOf(run.median_a, levelParts({ startS: run.start_s, endS: run.end_s, levelA: run.median_a }, press, context)) },
    stalls: stalls.map((stall) => ({ ...stall, ...boundsOf(stall.level_a, levelParts({ startS: stall.start_s, endS: stall.end_s, levelA: stall.level_a }, press, context)) })),
    supply: supply === null ? null : supplyBudget(supply, context.options),
  };
}

function boundsOf(levelA: number, parts: UncertaintyPart[]): { low_a: number; high_a: number; uncertainty: UncertaintyPart[] } {
  const halfA = halfWidthOf(parts);
  return { low_a: levelA - halfA, high_a: levelA + halfA, uncertainty: parts };
}

/** The climb to a standing level and the end of the press spoil its first and last quarter: the middle half is what it is read from. */
function levelParts(level: LevelRead, press: Press, { timeS, baseline, options }: BudgetContext): UncertaintyPart[] {
  const from = lowerBound(timeS, level.startS);
  const to = lowerBound(timeS, level.endS);
  const quarter = (to - from) >> 2;
  const values = new Float64Array(baseline.deviationA.subarray(from + quarter, to - quarter)).map((value) => value * press.sign);
  const readable = values.length > 2;
  const scatterA = readable ? shortScatter(values) : baseline.noiseA;
  return joinedParts(
    partsOf({
      noise: readable ? batchError(values) / NORMAL_95 : baseline.noiseA,
      'zero-drift': zeroUncertainty(baseline, level.startS, level.endS) / NORMAL_95,
      resolution: stepUncertainty(baseline.stepA, scatterA) / NORMAL_95,
    }),
    sensorParts(level, options, baseline),
  );
}

function inrushBudget(inrush: InrushReading, { run, start_s: startS }: PressReading, press: Press, context: BudgetContext): InrushReading {
  const { baseline, options } = context;
  const endS = startS + inrush.settle_s;
  const level = (levelA: number): UncertaintyPart[] => [
    ...sensorParts({ startS, endS, levelA }, options, baseline),
    { source: 'zero-drift', contribution: zeroUncertainty(baseline, startS, endS) / NORMAL_95 },
  ];
  const shape = startOf(press, endS, context);
  const runA = run?.median_a ?? 0;
  const peak = joinedParts(partsOf({ noise: baseline.noiseA, resolution: ofStep(baseline.stepA), bandwidth: peakRounding(inrush, runA, context.clamp) }), level(inrush.peak_a));
  // every reading's zero is the same: it counts with the time for the charge, and with twice the charge for the square
  const common = level(0);
  const lengthS = Math.max(inrush.settle_s, shape.periodS);
  const gain = level(1).find(({ source }) => source === 'gain')?.contribution ?? 0;
  const readingA = Math.hypot(baseline.noiseA, ofStep(baseline.stepA));
  const charge = joinedParts(
    partsOf({ noise: readingA * Math.sqrt(shape.periodS * lengthS), gain: gain * inrush.charge_c, bandwidth: ofLimits(shape.lagS * runA), model: shape.edgeC }),
    common.map(({ source, contribution }) => ({ source, contribution: contribution * lengthS })),
  );
  const i2t = joinedParts(
    partsOf({ noise: 2 * readingA * Math.sqrt(shape.periodS * inrush.i2t_a2s), gain: 2 * gain * inrush.i2t_a2s, bandwidth: ofLimits(shape.lagS * runA ** 2 + shape.roundedA2s), model: shape.edgeA2s }),
    common.map(({ source, contribution }) => ({ source, contribution: 2 * contribution * inrush.charge_c })),
  );
  const [halfC, halfA2s] = [halfWidthOf(charge), halfWidthOf(i2t)];
  return {
    ...inrush,
    low_charge_c: inrush.charge_c - halfC,
    high_charge_c: inrush.charge_c + halfC,
    low_i2t_a2s: Math.max(0, inrush.i2t_a2s - halfA2s),
    high_i2t_a2s: inrush.i2t_a2s + halfA2s,
    uncertainty: peak,
    charge_uncertainty: charge,
    i2t_uncertainty: i2t,
  };
}

interface StartShape {
  readonly periodS: number;
  /** time constant of the sensor, s; 0 where it follows within a reading */
  readonly lagS: number;
  /** what a slow sensor takes off the I²t by rounding: the square of its time constant times the integral of the slope squared, A² s */
  readonly roundedA2s: number;
  /** the rise fell anywhere between two readings: half of what one of them covers, as a limit, C and A² s */
  readonly edgeC: number;
  readonly edgeA2s: number;
}

/** What the switch-on looks like between its readings: how steep, and how much lies in the first of them. */
function startOf(press: Press, endS: number, { timeS, baseline, clamp }: BudgetContext): StartShape {
  const to = Math.min(press.endIndex, lowerBound(timeS, endS) + 1);
  const { deviationA } = baseline;
  const periodS = to - press.startIndex > 1 ? (timeS[to - 1] - timeS[press.startIndex]) / (to - 1 - press.startIndex) : 0;
  const noiseA2 = baseline.noiseA ** 2 * 2;
  let steepA2 = 0;
  let edgeA = 0;
  for (let i = press.startIndex + 1; i < to; i++) {
    const riseA = deviationA[i] - deviationA[i - 1];
    steepA2 += Math.max(0, riseA * riseA - noiseA2);
    if (i <= press.startIndex + 2) edgeA = Math.max(edgeA, Math.abs(deviationA[i]));
  }
  const lagS = clamp.followS;
  return { periodS, lagS, roundedA2s: periodS > 0 ? (lagS * lagS * steepA2) / periodS : 0, edgeC: ofLimits((edgeA * periodS) / 2), edgeA2s: ofLimits((edgeA * edgeA * periodS) / 2) };
}

/**
 * A sensor of time constant T takes T²/2 times the curvature off a rounded peak (its step response has the variance T²); the curvature of
 * a motor's is its height over the run over both its time constants. 0 where the switch-on was not fitted.
 */
function peakRounding({ fit, peak_a: peakA }: InrushReading, runA: number, { followS }: ClampSpeed): number {
  if (fit == null || !(fit.tau_mechanical_s > 0)) return 0;
  const riseS = fit.tau_electrical_s ?? fit.tau_mechanical_s;
  return ofLimits((followS * followS * Math.max(0, peakA - runA)) / (2 * riseS * fit.tau_mechanical_s));
}

/** The slope of volts over amps goes with the scale of the volts and against that of the amps; zeros drop out of it. */
function supplyBudget(supply: Supply, { gainUncertaintyPercent = 0, voltageGainPercent = 0 }: ActuationOptions): Supply {
  const halfOhm = (supply.high_ohm - supply.low_ohm) / 2;
  const read = supply.uncertainty ?? partsOf({ noise: halfOhm / NORMAL_95 });
  const scales = partsOf({ gain: (Math.hypot(gainUncertaintyPercent, voltageGainPercent) / 100) * supply.source_ohm });
  const addedOhm = halfWidthOf(scales);
  const at = supply.source_ohm;
  return { ...supply, low_ohm: Math.max(0, at - Math.hypot(at - supply.low_ohm, addedOhm)), high_ohm: at + Math.hypot(supply.high_ohm - at, addedOhm), uncertainty: joinedParts(read, scales) };
}
