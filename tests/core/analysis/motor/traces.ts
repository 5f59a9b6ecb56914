import type { Trace } from '../../../../src/core/trace.ts';

/** A hand-drawn trace: current (and voltage) as a function of time, without any noise unless the function makes it. */
export function draw(rateHz: number, durationS: number, currentA: (atS: number) => number, voltageV?: (atS: number) => number): Trace {
  const count = Math.round(rateHz * durationS);
  const timeS = Float64Array.from({ length: count }, (_value, i) => i / rateHz);
  return { timeS, currentA: Float32Array.from(timeS, currentA), voltageV: voltageV === undefined ? null : Float32Array.from(timeS, voltageV), gaps: [] };
}

/** Repeatable noise of this standard deviation, roughly normal (sum of three uniform ones, linear congruential as in Numerical Recipes). */
export function noise(sigmaA: number, seed = 1): () => number {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 4294967296 - 0.5;
  };
  return () => sigmaA * 2 * (uniform() + uniform() + uniform());
}

/** Switch-on of a motor: peak falling to run with a time constant. */
export function press(atS: number, onS: number, offS: number, peakA: number, runA: number, fallS = 0.04): number {
  if (atS < onS || atS >= offS) return 0;
  return runA + (peakA - runA) * Math.exp(-(atS - onS) / fallS);
}
