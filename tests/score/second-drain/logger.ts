import type { Gap, Trace } from '../../../src/core/trace.ts';
import type { Chance } from './chance.ts';
import type { Load } from './loads.ts';

/** How the current becomes numbers: the sensor and its faults, the converter, the rate, the holes. */
export interface Logger {
  readonly name: string;
  readonly rateHz: number;
  /** rms of one sample, A, and how much of it wanders from sample to sample (first-order, s) */
  readonly noiseA: number;
  readonly wanderA: number;
  readonly wanderTauS: number;
  readonly stepA: number;
  readonly zeroA: number;
  /** the zero moves by this much over the recording, as the bay cools */
  readonly driftA: number;
  readonly driftTauS: number;
  /** mean over each sample's interval, or the value at its moment */
  readonly averages: boolean;
  /** above `coarseAboveA` a second range with a coarser step and its own zero; null: one range */
  readonly ranges: { readonly coarseAboveA: number; readonly coarseStepA: number; readonly coarseZeroA: number } | null;
}

const MAX_SAMPLES = 500_000;

export function chooseLogger(chance: Chance, durationS: number): Logger {
  const rates = [1, 1, 2, 5, 10, 20, 50, 100, 200, 1000].filter((rateHz) => rateHz * durationS <= MAX_SAMPLES);
  const rateHz = chance.oneOf(rates);
  const kind = chance.oneOf(['shunt monitor', 'shunt monitor', 'fine shunt', 'milliamp clamp', 'Hall IC']);
  const averages = rateHz <= 20 && chance.happens(0.6);
  const drifts = chance.happens(0.25);
  const base = { name: kind, rateHz, averages, wanderA: 0, wanderTauS: 1, driftA: 0, driftTauS: 3600, zeroA: 0, ranges: null };
  if (kind === 'shunt monitor') return { ...base, noiseA: 0.0033 * chance.between(0.2, 1), stepA: 0.00333 };
  if (kind === 'fine shunt') {
    const stepA = chance.oneOf([0.0001, 0.0005, 0.001]);
    const switched = chance.happens(0.5);
    return {
      ...base,
      noiseA: stepA * chance.between(0.3, 2),
      stepA,
      ranges: switched ? { coarseAboveA: chance.between(0.9, 1.5), coarseStepA: 0.02, coarseZeroA: chance.between(-0.015, 0.015) } : null,
    };
  }
  if (kind === 'milliamp clamp') {
    return { ...base, noiseA: chance.between(0.0005, 0.003), wanderA: 0.0004, wanderTauS: 20, stepA: 0.001, driftA: drifts ? chance.between(-0.004, 0.004) : 0 };
  }
  // Hall IC: 0.11 A peak to peak at 2 kHz (ACS712 data sheet, page 5), averaged in the logger for slower rates
  const noiseA = Math.max(0.002, 0.018 * Math.min(1, Math.sqrt(rateHz / 1000)) * chance.between(0.7, 1.5));
  return { ...base, noiseA, wanderA: noiseA * 0.1, wanderTauS: 5, stepA: 0.0026, driftA: drifts ? chance.between(-0.03, 0.03) : 0, driftTauS: chance.between(1800, 7200) };
}

/** The recording of `loads` by `logger`, with the holes cut out. */
export function record(loads: readonly Load[], durationS: number, logger: Logger, holes: readonly Gap[], chance: Chance): Trace {
  const periodS = 1 / logger.rateHz;
  const count = Math.floor(durationS * logger.rateHz);
  const timeS = new Float64Array(count);
  const currentA = new Float32Array(count);
  const parts = logger.averages ? 8 : 1;
  const keep = Math.exp(-periodS / logger.wanderTauS);
  const innovation = logger.wanderA * Math.sqrt(1 - keep * keep);
  let wander = logger.wanderA * chance.normal();
  let coarse = logger.ranges !== null;
  let kept = 0;
  let hole = 0;
  for (let index = 0; index < count; index++) {
    const atS = index * periodS;
    let sum = 0;
    for (let part = 0; part < parts; part++) {
      const partS = logger.averages ? atS + ((part + 0.5) / parts) * periodS : atS;
      for (let load = 0; load < loads.length; load++) sum += loads[load](partS);
    }
    const trueA = sum / parts;
    wander = wander * keep + innovation * chance.normal();
    if (logger.ranges !== null) coarse = coarse ? trueA > logger.ranges.coarseAboveA * 0.7 : trueA > logger.ranges.coarseAboveA;
    const zeroA = logger.zeroA + driftAt(logger, atS) + (coarse ? logger.ranges!.coarseZeroA : 0);
    const stepA = coarse ? logger.ranges!.coarseStepA : logger.stepA;
    const readA = trueA + zeroA + wander + logger.noiseA * chance.normal();
    while (hole < holes.length && atS >= holes[hole].endS) hole++;
    if (hole < holes.length && atS > holes[hole].startS && atS < holes[hole].endS) continue;
    timeS[kept] = atS;
    currentA[kept] = Math.round(readA / stepA) * stepA;
    kept++;
  }
  return { timeS: timeS.slice(0, kept), currentA: currentA.slice(0, kept), voltageV: null, gaps: holes.filter((gap) => gap.startS < durationS) };
}

/** How far the zero has moved from where it began. */
export function driftAt(logger: Logger, atS: number): number {
  return logger.driftA === 0 ? 0 : logger.driftA * (1 - Math.exp(-atS / logger.driftTauS));
}
