import { describe, expect, test } from 'vitest';
import type { Trace } from '../../src/core/trace.ts';
import { lowerBound } from '../../src/core/trace.ts';
import { simulateTrace } from './simulate-trace.ts';
import type { SimulatedTrace } from '../../src/simulate/scenario.ts';
import { findScenario, SCENARIOS } from '../../src/simulate/scenarios.ts';

const SEED = 4;

const traces = new Map<string, SimulatedTrace>();

/** each trace is simulated once; nobody writes to it */
function simulated(name: string): SimulatedTrace {
  const scenario = findScenario(name);
  if (scenario === undefined) throw new Error(`no scenario ${name}`);
  const trace = traces.get(name) ?? simulateTrace(scenario, SEED);
  traces.set(name, trace);
  return trace;
}

/** sizes of the current in `[fromS, toS)` */
function sizes(trace: Trace, fromS: number, toS: number): number[] {
  return Array.from(trace.currentA.subarray(lowerBound(trace.timeS, fromS), lowerBound(trace.timeS, toS)), Math.abs);
}

function median(values: number[]): number {
  return values.toSorted((a, b) => a - b)[values.length >> 1];
}

/** the level a person would read off: the middle of the actuation's second half */
function runLevel(run: SimulatedTrace, index: number): number {
  const { startS, endS } = run.truth.actuations[index];
  return median(sizes(run.trace, startS + 0.4 * (endS - startS), endS - 0.05));
}

describe('each motor scenario', () => {
  test.each(SCENARIOS.filter((scenario) => scenario.test === 'actuation').map((scenario) => [scenario.name, scenario] as const))(
    '%s shows what its truth says, and nothing while the switch is off',
    (_name, scenario) => {
      const { trace, truth } = simulated(scenario.name);
      const quietLimitA = 0.02 * scenario.channels[0].range[1];
      expect(trace.timeS.length).toBe(scenario.durationS * scenario.rateHz);
      if (truth.finding === 'dead' || truth.finding === 'unpowered') {
        expect(truth.actuations).toEqual([]);
        expect(Math.max(...sizes(trace, 0, scenario.durationS))).toBeLessThan(quietLimitA);
        return;
      }
      expect(truth.actuations.length).toBeGreaterThanOrEqual(3);
      expect(truth.actuations[0].startS).toBeLessThan(3);
      expect(Math.max(...sizes(trace, 0, truth.actuations[0].startS - 0.001))).toBeLessThan(quietLimitA);
      for (const { startS, endS, direction } of truth.actuations) {
        const during = trace.currentA.subarray(lowerBound(trace.timeS, startS + 0.02), lowerBound(trace.timeS, startS + 0.3));
        expect(Math.sign(during.reduce((sum, value) => sum + value, 0))).toBe(direction === 'forward' ? 1 : -1);
        // half a second after the end even the braking current has gone
        expect(Math.max(...sizes(trace, endS + 0.5, endS + 0.6))).toBeLessThan(quietLimitA);
      }
      if (scenario.runLimitsA !== null && ['normal', 'heavy', 'light'].includes(truth.finding)) {
        const levelA = runLevel({ trace, truth, marks: [] }, 0);
        const [lowA, highA] = scenario.runLimitsA;
        const reported = levelA > highA ? 'heavy' : levelA < lowA ? 'light' : 'normal';
        expect(reported).toBe(truth.finding);
      }
      expect(truth.actuations.some((actuation) => actuation.finding === truth.finding) || truth.finding === 'starved').toBe(true);
    },
  );
});

describe('levels a technician knows', () => {
  test('the side step draws 3 to 5 A moving and 12 to 15 A jammed, and jams only on the way out', () => {
    // common practice, no published source
    const run = simulated('side-step-jam');
    for (const stall of run.truth.stalls) {
      const levelA = median(sizes(run.trace, stall.startS + 0.1, stall.endS - 0.01));
      expect(levelA).toBeGreaterThan(12);
      expect(levelA).toBeLessThan(15);
      expect(Math.abs(levelA / stall.levelA - 1)).toBeLessThan(0.02);
    }
    const back = run.truth.actuations.findIndex((actuation) => actuation.direction === 'reverse');
    expect(run.truth.actuations[back].finding).toBe('normal');
    expect(runLevel(run, back)).toBeGreaterThan(3);
    expect(runLevel(run, back)).toBeLessThan(5);
    const out = run.truth.actuations.filter((actuation) => actuation.direction === 'forward');
    expect(out.map((actuation) => actuation.finding)).toEqual(out.map(() => 'stalled'));
    expect(run.truth.stalls).toHaveLength(out.length);
  });

  test('the stall level is the battery voltage over all resistance in the loop', () => {
    // Ohm's law: 12.6 V over 0.8 ohm of motor, 0.08 of wiring, 0.02 of battery
    for (const stall of simulated('side-step-end-stop').truth.stalls) expect(stall.levelA).toBeCloseTo(12.6 / 0.9, 1);
  });

  test('inrush is 3 to 7 times the running current and is over within a second', () => {
    // trade figure, from memory
    for (const name of ['side-step-healthy', 'sliding-door-healthy', 'winch-healthy']) {
      const run = simulated(name);
      const { startS } = run.truth.actuations[0];
      const levelA = runLevel(run, 0);
      const ratio = Math.max(...sizes(run.trace, startS, startS + 0.1)) / levelA;
      expect(ratio).toBeGreaterThan(3);
      expect(ratio).toBeLessThan(7);
      expect(median(sizes(run.trace, startS + 0.9, startS + 1))).toBeLessThan(1.25 * levelA);
    }
  });

  test('the door motor reads like published window motors: at least 5 A in the first 22 ms, running near 5 A, stalling between 15 and 20 A', () => {
    // Land Rover 2003 (5 A minimum in 22 ms), Mitsubishi Lancer 2002 (5 +- 1 A), owners' wiki of a small sports car (15 A at 12 V, 20 A at 14 V)
    const run = simulated('sliding-door-cut-out');
    const { startS } = run.truth.actuations[0];
    expect(Math.max(...sizes(run.trace, startS, startS + 0.022))).toBeGreaterThan(5);
    expect(runLevel(simulated('sliding-door-healthy'), 0)).toBeGreaterThan(4);
    expect(runLevel(simulated('sliding-door-healthy'), 0)).toBeLessThan(6.5);
    for (const stall of run.truth.stalls) {
      expect(stall.levelA).toBeGreaterThan(15);
      expect(stall.levelA).toBeLessThan(20);
    }
  });

  test('volts present at the motor and no current is dead; neither is unpowered; reversing the switch reverses the volts', () => {
    // common practice, no published source
    const dead = simulated('side-step-dead').trace.voltageV;
    const unpowered = simulated('side-step-unpowered').trace.voltageV;
    if (dead === null || unpowered === null) throw new Error('no voltage');
    expect(Math.max(...dead)).toBeGreaterThan(12);
    expect(Math.min(...dead)).toBeLessThan(-12);
    expect(Math.max(...unpowered.map(Math.abs))).toBeLessThan(0.2);
  });

  test('a weak feed sags to where the door crawls, and amps and volts give back its resistance', () => {
    const { trace, truth } = simulated('sliding-door-weak-feed');
    if (trace.voltageV === null) throw new Error('no voltage');
    const { startS, endS } = truth.actuations[0];
    const atIndex = lowerBound(trace.timeS, (startS + endS) / 2);
    const meanOf = (values: Float32Array): number => values.reduce((sum, value) => sum + value, 0) / values.length;
    const volts = meanOf(trace.voltageV.subarray(atIndex, atIndex + 400));
    const amps = meanOf(trace.currentA.subarray(atIndex, atIndex + 400));
    expect(volts).toBeLessThan(9);
    expect((12.5 - volts) / amps).toBeCloseTo(0.918, 1);
  });

  test('a lead at the battery never falls to zero between actuations, one at the motor does', () => {
    const quiet = (name: string): number => {
      const { trace, truth } = simulated(name);
      if (trace.voltageV === null) throw new Error('no voltage');
      return trace.voltageV[lowerBound(trace.timeS, truth.actuations[0].endS + 0.6)];
    };
    expect(quiet('sliding-door-healthy')).toBeGreaterThan(12);
    expect(Math.abs(quiet('side-step-healthy'))).toBeLessThan(0.1);
  });

  test('the bimetal of a held motor opens under power and closes again before the next press', () => {
    const { trace, truth } = simulated('sliding-door-cut-out');
    for (const [index, actuation] of truth.actuations.entries()) {
      const stall = truth.stalls[index];
      expect(actuation.endS).toBeCloseTo(stall.endS, 2);
      expect(Math.max(...sizes(trace, stall.endS + 0.05, stall.endS + 0.5))).toBeLessThan(0.3);
    }
    expect(truth.actuations.map((actuation) => actuation.finding)).toEqual(truth.actuations.map(() => 'stalled'));
  });

  test('a worn contact breaks and makes again in every actuation', () => {
    const { trace, truth } = simulated('winch-worn-contact');
    for (const { startS, endS, finding } of truth.actuations) {
      expect(finding).toBe('intermittent');
      const dropouts = truth.dropouts.filter((dropout) => dropout.startS > startS && dropout.endS < endS);
      expect(dropouts.length).toBeGreaterThan(0);
      for (const dropout of dropouts) {
        expect(Math.max(...sizes(trace, dropout.startS + 0.003, dropout.endS))).toBeLessThan(3);
        expect(Math.max(...sizes(trace, dropout.endS + 0.003, dropout.endS + 0.01))).toBeGreaterThan(20);
      }
    }
  });

  test('a motor braked through its switch drives current backwards after the switch opens', () => {
    const { trace, truth } = simulated('side-step-broken-gear');
    const forward = truth.actuations.filter((actuation) => actuation.direction === 'forward');
    expect(forward.length).toBeGreaterThan(1);
    for (const { endS } of forward) {
      const after = trace.currentA.subarray(lowerBound(trace.timeS, endS), lowerBound(trace.timeS, endS + 0.1));
      expect(Math.min(...after)).toBeLessThan(-5);
    }
  });
});
