import type { Baseline } from '../../../../../src/core/analysis/motor/sensor/baseline.ts';
import { describeSampling, type Sampling } from '../../../../../src/core/analysis/motor/sensor/sampling.ts';
import type { Press } from '../../../../../src/core/analysis/motor/presses/presses.ts';

/** A clamp that reads these amperes, with nothing to subtract and no idle stretch unless one is given. */
export function readBy(deviationA: Float32Array, idle: Int32Array = new Int32Array(0), backgroundA = 0): Baseline {
  return { deviationA, idle, backgroundA, currentA: 0, noiseA: 0.01, reachA: 0.03, found: true, driftA: 0, hum: null, nodeS: [], nodeA: [], stepA: 0 };
}

export function sampledAt(rateHz: number, count: number): Sampling {
  return describeSampling(Float64Array.from({ length: count }, (_value, i) => i / rateHz), []);
}

export function pressOf(startIndex: number, endIndex: number, sign: 1 | -1 = 1): Press {
  return { startIndex, endIndex, sign, startsMidway: false, endsMidway: false, cut: null, fromRest: true, dropouts: [] };
}
