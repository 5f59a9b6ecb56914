import { describe, expect, test } from 'vitest';
import { lowerBound, type Trace } from '../../src/core/trace.ts';
import { simulateTrace } from './simulate-trace.ts';
import type { Scenario, SimulatedTrace } from '../../src/simulate/scenario.ts';
import { findScenario, SCENARIOS } from '../../src/simulate/scenarios.ts';

function scenarioNamed(name: string): Scenario {
  const scenario = findScenario(name);
  if (scenario === undefined) throw new Error(`no scenario ${name}`);
  return scenario;
}

const simulated = (name: string, durationS?: number): SimulatedTrace => simulateTrace(scenarioNamed(name), 9, durationS);

function values(trace: Trace, fromS: number, toS: number): Float32Array {
  return trace.currentA.subarray(lowerBound(trace.timeS, fromS), lowerBound(trace.timeS, toS));
}

function mean(samples: Float32Array): number {
  return samples.reduce((sum, value) => sum + value, 0) / samples.length;
}

const median = (samples: Float32Array): number => Float32Array.from(samples).sort()[samples.length >> 1];

describe('published numbers of parked vehicles', () => {
  test('the module table draws 130.2 mA until one controller sleeps after 20 minutes, and 10.9 mA from then on', () => {
    // Jeep KJ 2007 service information, sums with the maxima of its table
    const { trace, truth } = simulated('minibus-sleeps');
    expect(mean(values(trace, 60, 1199))).toBeCloseTo(0.1302, 3);
    expect(mean(values(trace, 1201, 2400))).toBeCloseTo(0.0109, 3);
    expect(truth.asleepAtS).toBe(1200);
    expect(truth.asleepLevelA).toBeCloseTo(0.0109, 4);
    expect(truth.wakeUps).toEqual([]);
    expect(truth.finding).toBe('asleep');
  });

  test('a door wakes its lamps and the controller of that table, which draws 130.2 mA with the others for 20 minutes after', () => {
    // 1.4 A of lamps for 25 s come on top
    const { rateHz, start } = scenarioNamed('minibus-sleeps');
    const vehicle = start(9);
    const meanOf = (durationS: number): number => mean(vehicle.next(durationS * rateHz).currentA);
    vehicle.next(1300 * rateHz);
    vehicle.setSwitch('forward');
    expect(meanOf(5)).toBeCloseTo(1.5302, 2);
    vehicle.setSwitch('off');
    expect(meanOf(24)).toBeCloseTo(1.5302, 2);
    vehicle.next(2 * rateHz);
    expect(meanOf(1170)).toBeCloseTo(0.1302, 3);
    vehicle.next(10 * rateHz);
    expect(meanOf(60)).toBeCloseTo(0.0109, 3);
  });

  test('telematics at 25 mA with 135 mA more for 45 s each ten minutes have a mean of 35.1 mA and a median of 25 mA', () => {
    // arithmetic on the Oldsmobile Aurora 2001 service information; ten whole periods, the sensor's own 0.4 mA of zero error taken off
    const { trace, truth } = simulated('van-telematics');
    const tenPeriods = values(trace, truth.wakeUps[0].startS, truth.wakeUps[10].startS);
    expect(mean(tenPeriods) - 0.0004).toBeCloseTo(0.0351, 3);
    expect(median(tenPeriods) - 0.0004).toBeCloseTo(0.025, 3);
    expect(truth.wakeUps).toHaveLength(11);
    for (const [index, { startS, endS }] of truth.wakeUps.entries()) {
      expect(Math.abs(endS - startS - 45)).toBeLessThan(0.3);
      if (index > 0) expect(Math.abs(startS - truth.wakeUps[index - 1].startS - 600)).toBeLessThan(4);
    }
  });

  test('a phone charger adds 300 to 400 mA while charging and under 10 mA after', () => {
    // common practice, no published source
    const { trace, truth } = simulated('minibus-phone-charger');
    const addedA = mean(values(trace, 1300, 1490)) - mean(values(trace, 1600, 2300));
    expect(addedA).toBeGreaterThan(0.3);
    expect(addedA).toBeLessThan(0.4);
    expect(truth.fuseCurrentsA.F5).toBeLessThan(0.01);
    expect(truth.wakeUps).toHaveLength(1);
    expect(Math.abs(truth.wakeUps[0].startS - 2400)).toBeLessThan(0.2);
  });
});

describe('each drain scenario', () => {
  test.each(SCENARIOS.filter((scenario) => scenario.test === 'drain').map((scenario) => [scenario.name, scenario] as const))(
    '%s settles where its truth says',
    (name, scenario) => {
      const { trace, truth } = simulateTrace(scenario, 2);
      if (truth.asleepAtS === null || truth.asleepLevelA === null) {
        expect(truth.finding).toBe('awake');
        expect(Math.min(...trace.currentA)).toBeGreaterThan(0.5);
        return;
      }
      // a clamp's zero may be off and drift; a shunt is good to a milliamp
      const toleranceA = name === 'minibus-clamp' ? 0.05 : 0.001;
      expect(Math.abs(median(values(trace, truth.asleepAtS + 1, scenario.durationS)) - truth.asleepLevelA)).toBeLessThan(toleranceA);
      expect(mean(values(trace, truth.asleepAtS - 5, truth.asleepAtS - 0.5)) - truth.asleepLevelA).toBeGreaterThan(0.05);
      // 50 mA is the usual limit: common practice
      expect(truth.finding).toBe(truth.asleepLevelA > 0.05 ? 'drain' : 'asleep');
      const sum = Object.values(truth.fuseCurrentsA).reduce((total, value) => total + value, 0);
      expect(sum).toBeCloseTo(truth.asleepLevelA, 9);
      expect(scenario.fuses.every((fuse) => fuse in truth.fuseCurrentsA)).toBe(true);
    },
  );

  test('one falls asleep within three minutes, for a demonstration', () => {
    expect(simulated('van-quick-drain').truth.asleepAtS).toBeLessThan(180);
  });

  test('the battery rests: its voltage falls slowly and stays between 12 and 13 V', () => {
    const { trace } = simulated('minibus-sleeps');
    if (trace.voltageV === null) throw new Error('no voltage');
    const [early, late] = [mean(trace.voltageV.subarray(1000, 2000)), mean(trace.voltageV.subarray(-1000))];
    expect(early).toBeGreaterThan(late + 0.05);
    expect(late).toBeGreaterThan(12);
    expect(early).toBeLessThan(13);
  });

  test('a clamp left on drifts by tens of milliamps an hour, as Hall sensors do', () => {
    // ACS712 data sheet: -0.34 mV/C of the 20 A type over 100 mV/A is 3.4 mA a degree; ten degrees of a cooling bay in an hour are 34 mA
    const { trace } = simulated('minibus-clamp');
    const driftA = mean(values(trace, 2700, 3000)) - mean(values(trace, 700, 1000));
    expect(driftA / (2000 / 3600)).toBeGreaterThan(0.02);
    expect(driftA / (2000 / 3600)).toBeLessThan(0.04);
  });
});

describe('fuses', () => {
  test('pulling the carrying fuse takes its current away, refitting brings it back, marks are a second or so off', () => {
    const { trace, truth, marks } = simulated('flatbed-fuse-pulls');
    expect(marks.map((mark) => mark.kind).filter((kind) => kind === 'pull')).toHaveLength(6);
    for (const mark of marks.filter((each) => each.kind === 'pull')) {
      const beforeA = median(values(trace, mark.timeS - 8, mark.timeS - 3));
      const outA = median(values(trace, mark.timeS + 4, mark.timeS + 24));
      expect(beforeA - outA).toBeCloseTo(truth.fuseCurrentsA[mark.label], 2.5);
    }
    expect(truth.fuseCurrentsA.F7).toBe(0.285);
    expect(mean(values(trace, 1400, 1500))).toBeCloseTo(0.31, 2);
    const offsets = marks.map((mark, index) => Math.abs(mark.timeS - (700 + Math.floor(index / 2) * 100 + (index % 2) * 30)));
    expect(Math.max(...offsets)).toBeLessThanOrEqual(1.6);
    expect(Math.max(...offsets)).toBeGreaterThan(0.3);
  });

  test('refitting a module that starts up is a wake-up in the truth', () => {
    const { truth } = simulated('flatbed-fuse-pulls');
    const wake = truth.wakeUps.find(({ startS }) => startS > 729 && startS < 732);
    if (wake === undefined) throw new Error('no wake-up after the refit of F2');
    expect(wake.endS - wake.startS).toBeGreaterThan(55);
  });

  test('a hand may pull and refit live, and takes over from the script', () => {
    const scenario = scenarioNamed('van-quick-drain');
    const vehicle = scenario.start(1);
    vehicle.next(1800);
    const withA = mean(vehicle.next(100).currentA);
    expect(vehicle.setFuse('F5', false)).toBe(true);
    expect(vehicle.setFuse('F99', false)).toBe(false);
    vehicle.next(10);
    const withoutA = mean(vehicle.next(80).currentA);
    expect(withA - withoutA).toBeCloseTo(0.18, 2);
    expect(vehicle.setFuse('F5', true)).toBe(true);
    // the script would pull F2 at 290 s; after a hand it does not
    vehicle.next(3000);
    const later = vehicle.next(600).currentA;
    expect(median(later)).toBeCloseTo(withA, 2);
  });

  test('a door opened by hand wakes the vehicle, and it sleeps again', () => {
    const vehicle = scenarioNamed('van-quick-drain').start(1);
    vehicle.next(1700);
    vehicle.setSwitch('forward');
    expect(mean(vehicle.next(50).currentA)).toBeGreaterThan(1.5);
    vehicle.setSwitch('off');
    vehicle.next(120);
    expect(median(vehicle.next(60).currentA)).toBeCloseTo(0.203, 2);
  });

  test('the hand on the fuse leaves scratches in the current', () => {
    const { trace } = simulated('flatbed-fuse-pulls');
    // while F7 with its relay is worked, single samples leave the two levels
    const around = values(trace, 1128, 1132);
    expect(Math.max(...around)).toBeGreaterThan(0.5);
  });
});
