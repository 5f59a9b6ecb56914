import { describe, expect, it } from 'vitest';
import { propagate, propagateIndependent } from '../../../../src/core/analysis/uncertainty/propagate.ts';
import { mean } from '../../../../src/core/stats.ts';

/**
 * JCGM 100:2008 (GUM), annex H.2: resistance, reactance and impedance from five simultaneous readings of volts, milliamps and phase.
 * Data read from a public transcription and the METAS examples; results computed from them, in agreement with the GUM's table.
 */
const VOLTS = [5.007, 4.994, 5.005, 4.99, 4.999];
const AMPS = [19.663, 19.639, 19.64, 19.685, 19.678].map((milli) => milli / 1000);
const PHASE = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];

function covarianceOfMeans(columns: readonly number[][]): number[][] {
  const count = columns[0]?.length as number;
  return columns.map((a) => columns.map((b) => a.reduce((sum, value, i) => sum + (value - mean(a)) * ((b[i] as number) - mean(b)), 0) / count / (count - 1)));
}

const impedance = ([v, i, phase]: readonly number[]): number[] => {
  const size = (v as number) / (i as number);
  return [size * Math.cos(phase as number), size * Math.sin(phase as number), size];
};

describe('propagation of uncertainty', () => {
  const inputs = [VOLTS, AMPS, PHASE].map(mean);
  const covariance = covarianceOfMeans([VOLTS, AMPS, PHASE]);
  const { values, covariance: found } = propagate(impedance, inputs, covariance);
  const u = (a: number): number => Math.sqrt(found[a]?.[a] as number);
  const r = (a: number, b: number): number => (found[a]?.[b] as number) / u(a) / u(b);

  it('gives R 127.732, X 219.847 and Z 254.260 ohm of GUM H.2', () => {
    expect(values[0]).toBeCloseTo(127.732, 3);
    expect(values[1]).toBeCloseTo(219.847, 3);
    expect(values[2]).toBeCloseTo(254.26, 2);
  });

  it('gives their uncertainties 0.071, 0.296 and 0.236 ohm, the correlation of the readings counted', () => {
    expect(u(0)).toBeCloseTo(0.071, 3);
    // the GUM's 0.295 comes from rounded correlations; unrounded it is 0.2956
    expect(Math.abs(u(1) - 0.296)).toBeLessThan(0.0006);
    expect(u(2)).toBeCloseTo(0.236, 3);
  });

  it('gives the correlations of the results: -0.588, -0.485 and 0.993', () => {
    expect(r(0, 1)).toBeCloseTo(-0.588, 2);
    expect(r(0, 2)).toBeCloseTo(-0.485, 2);
    expect(r(1, 2)).toBeCloseTo(0.993, 3);
  });

  it('gives the wrong 0.204 ohm for Z only to those who ask for independent readings', () => {
    const uncertainties = covariance.map((row, i) => Math.sqrt(row[i] as number));
    expect(propagateIndependent((at) => impedance(at)[2] as number, inputs, uncertainties)).toBeCloseTo(0.204, 3);
  });

  it('takes a reading without uncertainty', () => {
    expect(propagateIndependent(([a, b]) => (a as number) / (b as number), [10, 2], [0.1, 0])).toBeCloseTo(0.05, 9);
  });
});
