import type { Mark, Trace } from '../../../src/core/trace.ts';
import type { Chance } from '../second-drain/chance.ts';

/** A parked vehicle: it winds down, sleeps, and one fuse is pulled for a while. */
export interface ParkedNight {
  readonly trace: Trace;
  readonly marks: readonly Mark[];
  readonly sensor: { readonly gainUncertaintyPercent: number; readonly zeroUncertaintyA: number; readonly zeroDriftAPerHour: number };
  readonly sleepA: number;
  readonly pulledA: number;
}

const RATE_HZ = 2;

export function parkNight(chance: Chance): ParkedNight {
  const awakeA = chance.between(2, 6);
  const sleepA = chance.between(0.02, 0.045);
  const pulledA = sleepA * chance.between(0.3, 0.7);
  const sleepsS = chance.between(60, 200);
  const pullS = sleepsS + chance.between(1000, 1300);
  const refitS = pullS + chance.between(240, 400);
  const lengthS = refitS + chance.between(240, 400);
  const sensor = { gainUncertaintyPercent: chance.between(0.4, 1.6), zeroUncertaintyA: chance.spread(0.0002, 0.0012), zeroDriftAPerHour: chance.spread(0.0001, 0.0008) };
  const gain = 1 + (sensor.gainUncertaintyPercent / 100) * chance.normal();
  const zeroA = sensor.zeroUncertaintyA * chance.normal();
  const driftAPerS = (sensor.zeroDriftAPerHour / 3600) * chance.normal();
  const noiseA = chance.spread(0.0015, 0.006);
  const stepA = chance.oneOf([0.0005, 0.001, 0.0025]);
  const count = Math.round(lengthS * RATE_HZ);
  const timeS = Float64Array.from({ length: count }, (_value, i) => i / RATE_HZ);
  const currentA = Float32Array.from(timeS, (atS) => {
    const flowsA = atS < sleepsS ? awakeA : atS >= pullS && atS < refitS ? sleepA - pulledA : sleepA;
    return Math.round((gain * flowsA + zeroA + driftAPerS * atS + noiseA * chance.normal()) / stepA) * stepA;
  });
  const marks: Mark[] = [{ timeS: pullS + chance.between(-1, 2), kind: 'pull', label: 'F7' }, { timeS: refitS + chance.between(-1, 2), kind: 'refit', label: 'F7' }];
  return { trace: { timeS, currentA, voltageV: null, gaps: [] }, marks, sensor, sleepA, pulledA };
}
