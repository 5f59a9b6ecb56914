import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { joinBlocks, type SampleBlock } from '../../src/core/trace.ts';
import { Mechanism } from '../../src/simulate/mechanism.ts';
import { CLAMP_30A, outAndBack, SIDE_STEP, SIDE_STEP_FEED, SIDE_STEP_MOTOR, VOLTS_12 } from '../../src/simulate/motor-parts.ts';
import { MotorVehicle } from '../../src/simulate/motor-vehicle.ts';
import { Random } from '../../src/simulate/random.ts';
import { findScenario, SCENARIOS } from '../../src/simulate/scenarios.ts';
import type { Scenario } from '../../src/simulate/scenario.ts';

function scenarioNamed(name: string): Scenario {
  const scenario = findScenario(name);
  if (scenario === undefined) throw new Error(`no scenario ${name}`);
  return scenario;
}

const EVERY = SCENARIOS.map((scenario) => [scenario.name, scenario] as const);

describe('the list of scenarios', () => {
  test('names are lower-case words with dashes and occur once, titles are one plain line', () => {
    for (const { name, title } of SCENARIOS) {
      expect(name).toMatch(/^[a-z]+(-[a-z]+)+$/);
      expect(title).toMatch(/^[^\n]{20,100}$/);
      expect(title.endsWith('.')).toBe(false);
    }
    expect(new Set(SCENARIOS.map((scenario) => scenario.name)).size).toBe(SCENARIOS.length);
    expect(findScenario('no-such-thing')).toBeUndefined();
  });

  test('every finding of an actuation test and the main ones of a drain test can be shown', () => {
    const findings = new Set(SCENARIOS.map((scenario) => scenario.start(1)).map((vehicle) => ('truth' in vehicle ? (vehicle as unknown as { truth(): { finding: string } }).truth().finding : '')));
    for (const finding of ['normal', 'stalled', 'locked', 'heavy', 'light', 'intermittent', 'dead', 'starved', 'unpowered', 'asleep', 'drain', 'awake']) {
      expect(findings).toContain(finding);
    }
  });
});

describe('samples', () => {
  test.each(EVERY)('%s gives the same samples however they are asked for', (_name, scenario) => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1e6 }), fc.array(fc.integer({ min: 1, max: 700 }), { minLength: 1, maxLength: 8 }), (seed, counts) => {
        const total = counts.reduce((sum, count) => sum + count, 0);
        const whole = scenario.start(seed).next(total);
        const vehicle = scenario.start(seed);
        const parts = joinBlocks(counts.map((count) => vehicle.next(count)), []);
        expect(Buffer.from(parts.timeS.buffer).equals(Buffer.from(whole.timeS.buffer))).toBe(true);
        expect(Buffer.from(parts.currentA.buffer).equals(Buffer.from(whole.currentA.buffer))).toBe(true);
        expect(parts.voltageV).toEqual(whole.voltageV);
      }),
      { numRuns: 8 },
    );
  });

  test.each(EVERY)('%s lies on the steps of its converter and inside its range', (_name, scenario) => {
    const block = scenario.start(3).next(4000);
    for (const channel of scenario.channels) {
      const values = channel.name === 'current' ? block.currentA : block.voltageV;
      if (values === null) throw new Error(`no ${channel.name}`);
      const [lowest, highest] = channel.range;
      const strays = values.filter((value) => value !== Math.fround(Math.round(value / channel.scale) * channel.scale) || value < lowest || value > highest);
      expect(strays).toHaveLength(0);
    }
    expect(block.voltageV === null).toBe(!scenario.channels.some((channel) => channel.name === 'voltage'));
  });

  test('another seed gives another trace of the same fault', () => {
    const scenario = scenarioNamed('side-step-healthy');
    expect(scenario.start(1).next(2000).currentA).not.toEqual(scenario.start(2).next(2000).currentA);
  });

  test('time is the count of samples over the rate, without drift', () => {
    const vehicle = scenarioNamed('side-step-healthy').start(1);
    for (let i = 0; i < 10; i++) vehicle.next(999);
    expect(vehicle.next(1).timeS[0]).toBe(9.99);
  });
});

describe('a hand on the virtual switch', () => {
  const withoutHand = (name: string, seconds: number): SampleBlock => {
    const scenario = scenarioNamed(name);
    return scenario.start(5).next(seconds * scenario.rateHz);
  };
  const largest = (values: Float32Array): number => values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);

  test('the script goes on for ever while no hand takes over', () => {
    const scenario = scenarioNamed('side-step-healthy');
    const vehicle = scenario.start(5);
    for (let turn = 0; turn < 5; turn++) expect(largest(vehicle.next(scenario.durationS * scenario.rateHz).currentA)).toBeGreaterThan(10);
  });

  test('takes over from the script for good', () => {
    const vehicle = scenarioNamed('side-step-healthy').start(5);
    vehicle.setSwitch('off');
    expect(largest(vehicle.next(30_000).currentA)).toBeLessThan(1);
    vehicle.setSwitch('forward');
    const out = vehicle.next(1000);
    expect(Math.max(...out.currentA)).toBeGreaterThan(10);
    vehicle.setSwitch('reverse');
    const back = vehicle.next(1000);
    // plugging: the running motor's back-EMF adds to the battery, so the peak is above the stall current of 14 A
    expect(Math.min(...back.currentA)).toBeLessThan(-16);
    vehicle.setSwitch('off');
    vehicle.next(500);
    expect(largest(vehicle.next(20_000).currentA)).toBeLessThan(1);
  });

  test('has no fuse to pull in a motor circuit', () => {
    const vehicle = scenarioNamed('side-step-healthy').start(5);
    expect(vehicle.setFuse('F1', false)).toBe(false);
    expect(vehicle.next(2000).currentA).toEqual(withoutHand('side-step-healthy', 2).currentA);
  });
});

describe('the physics in its place', () => {
  const circuit = {
    motor: SIDE_STEP_MOTOR,
    mechanism: SIDE_STEP,
    feed: SIDE_STEP_FEED,
    script: outAndBack(3.2),
    current: { ...CLAMP_30A, noise: 0, offset: 0, bits: 16, driftPerHour: 0 },
    voltage: { ...VOLTS_12, noise: 0, bits: 16, at: 'motor' as const },
    finding: 'normal',
    runFinding: 'normal',
  };

  test.each([200, 1000, 2000, 10_000, 50_000])('is stable and tells the same running current at %i samples a second', (rateHz) => {
    const block = new MotorVehicle({ ...circuit, rateHz }, 2).next(Math.round(2.6 * rateHz));
    const run = block.currentA.subarray(Math.round(2 * rateHz));
    const mean = run.reduce((sum, value) => sum + value, 0) / run.length;
    expect(block.currentA.every(Number.isFinite)).toBe(true);
    expect(mean).toBeGreaterThan(3.75);
    expect(mean).toBeLessThan(3.95);
  });

  test('volts at the motor are the battery less the drop of the feed, at every moment of a run', () => {
    const rateHz = 5000;
    const block = new MotorVehicle({ ...circuit, rateHz }, 2).next(Math.round(2.6 * rateHz));
    if (block.voltageV === null) throw new Error('no voltage');
    let worstV = 0;
    for (let i = Math.round(1.4 * rateHz); i < block.currentA.length; i++) {
      worstV = Math.max(worstV, Math.abs(block.voltageV[i] - (12.6 - 0.1 * block.currentA[i])));
    }
    expect(worstV).toBeLessThan(0.002);
  });

  test('a closing contact bounces for less than a few milliseconds and then holds', () => {
    // common practice, no published source: bounce of small switches lasts 1 to 5 ms
    const rateHz = 50_000;
    let bounced = 0;
    for (let seed = 0; seed < 12; seed++) {
      const { currentA, timeS } = new MotorVehicle({ ...circuit, rateHz }, seed).next(Math.round(1.4 * rateHz));
      const first = currentA.findIndex((value) => value > 0.05);
      let lastZero = first;
      for (let i = first; i < currentA.length; i++) if (currentA[i] < 0.05) lastZero = i;
      if (lastZero > first) bounced += 1;
      expect(timeS[lastZero] - timeS[first]).toBeLessThan(0.006);
    }
    expect(bounced).toBeGreaterThan(2);
  });

  test('grit stops the way out and not the way back', () => {
    const gritty = new Mechanism({ ...SIDE_STEP, jamAtRevolutions: 60 }, new Random(1));
    gritty.moveBy(62);
    expect(gritty.frictionNm(1)).toBeGreaterThan(0.4);
    expect(gritty.frictionNm(-1)).toBeLessThan(0.15);
  });
});
