import { describe, expect, it } from 'vitest';
import { findBaseline, type Baseline } from '../../../../../src/core/analysis/motor/sensor/baseline.ts';
import { sampledAt } from '../ripple/columns.ts';
import { noise } from '../traces.ts';

const RATE_HZ = 500;
/** So many seconds of readings 2 ms apart; a block of one mains period is ten of them. */
function read(durationS: number, currentA: (atS: number) => number): Baseline {
  const count = durationS * RATE_HZ;
  const timeS = Float64Array.from({ length: count }, (_value, i) => i / RATE_HZ);
  return findBaseline(timeS, Float32Array.from(timeS, (atS) => currentA(atS)), sampledAt(RATE_HZ, count));
}
const isOn = (atS: number, fromS = 2, toS = 4): boolean => atS >= fromS && atS < toS;
const at = ({ deviationA }: Baseline, atS: number): number => deviationA[Math.round(atS * RATE_HZ)]!;

describe('the resting level of the clamp', () => {
  it('is taken off every reading, and told', () => {
    const baseline = read(8, (atS) => 0.1 + (isOn(atS) ? 5 : 0));
    expect(baseline).toMatchObject({ found: true, backgroundA: 0, hum: null });
    expect([baseline.currentA, baseline.driftA, baseline.noiseA, at(baseline, 1), at(baseline, 3)]).toEqual([0.1, 0, 0, 0, 5].map((value) => expect.closeTo(value, 6)));
    expect([...baseline.idle]).toEqual([0, 990, 2010, 4000]);
  });

  it('is joined by lines across a press, and carried on level beyond the last stretch', () => {
    // 20 mA a second: nodes of a second each, in the middle of it
    const baseline = read(8, (atS) => 0.02 * atS + (isOn(atS) ? 5 : 0));
    expect([0.6, 1.5, 3, 6, 7].map((atS) => at(baseline, atS))).toEqual([0, 0, 5, 0, 0].map((value) => expect.closeTo(value, 2)));
    expect(baseline.driftA).toBeCloseTo(0.02 * 7, 2);
    expect(baseline.currentA).toBeCloseTo(0.02 * 5, 1);
    for (const [n, nodeS] of baseline.nodeS.entries()) expect(baseline.nodeA[n]).toBeCloseTo(0.02 * nodeS, 3);
    // 1.98 s and 3.98 s of idle time in pieces of about one second
    expect(baseline.nodeS).toHaveLength(6);
    expect(baseline.nodeS.map((nodeS) => Number(nodeS.toFixed(1)))).toEqual([0.5, 1.5, 4.5, 5.5, 6.5, 7.5]);
    // before the first node and behind the last the level stays: half a second of 20 mA a second
    expect([at(baseline, 0), at(baseline, 7.998)]).toEqual([expect.closeTo(-0.01, 2), expect.closeTo(0.01, 2)]);
  });

  it('has the scatter of its readings, and the reach that 99 of 100 keep to', () => {
    const hiss = noise(0.05, 4);
    const baseline = read(40, (atS) => hiss() + (isOn(atS, 10, 20) ? 5 : 0));
    // 0.05 A of noise, 2.5 times that for 99 %: a sum of three even ones reaches a little less far than a normal one
    expect(Math.abs(baseline.noiseA / 0.05 - 1)).toBeLessThan(0.03);
    expect(baseline.reachA / 0.05).toBeGreaterThan(2.2);
    expect(baseline.reachA / 0.05).toBeLessThan(2.6);
    // a clamp of ten times the sensitivity
    const again = noise(0.05, 4);
    const tenfold = read(40, (atS) => 10 * (again() + (isOn(atS, 10, 20) ? 5 : 0)));
    expect(tenfold.noiseA / baseline.noiseA).toBeCloseTo(10, 3);
    expect(tenfold.reachA / baseline.reachA).toBeCloseTo(10, 3);
  });

  it('is told from another load that is there before and after, which is taken off too', () => {
    const baseline = read(8, (atS) => 2 + (isOn(atS) ? 5 : 0));
    expect(baseline.backgroundA).toBeCloseTo(2, 6);
    expect([baseline.currentA, at(baseline, 1), at(baseline, 3)]).toEqual([0, 0, 5].map((value) => expect.closeTo(value, 5)));
  });

  it('has the step of the converter', () => {
    const hiss = noise(0.1, 2);
    expect(read(8, (atS) => Math.round((hiss() + (isOn(atS) ? 5 : 0)) / 0.0625) * 0.0625).stepA).toBe(0.0625);
  });

  it('is without the hum that was taken out, whose size it is not', () => {
    const hiss = noise(0.01, 3);
    const baseline = read(8, (atS) => hiss() + 0.2 * Math.sin(2 * Math.PI * 50 * atS) + (isOn(atS) ? 5 : 0));
    expect(baseline.hum?.frequencyHz).toBeCloseTo(50, 2);
    expect(baseline.hum?.amplitudeA).toBeCloseTo(0.2, 2);
    // with it the scatter is 0.2/sqrt(2) = 0.14 A
    expect(Math.abs(baseline.noiseA / 0.01 - 1)).toBeLessThan(0.1);
  });

  it('is zero where nothing is idle: the readings stay as they are', () => {
    const baseline = read(4, (atS) => 5 + atS);
    expect(baseline).toMatchObject({ found: false, currentA: 0, noiseA: 0, reachA: 0, driftA: 0, backgroundA: 0, hum: null, nodeS: [], nodeA: [] });
    expect(baseline.idle).toHaveLength(0);
    expect(at(baseline, 1)).toBeCloseTo(6, 5);
  });
});
