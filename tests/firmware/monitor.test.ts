import { describe, expect, test } from 'vitest';
import { monitorBus, MonitorModel } from './support/monitor-model.ts';
import { expectUnbroken, samplesOf, startLogger } from './support/logger.ts';

const COARSE_OHM = 0.002;
const FINE_OHM = 0.1;

describe('the monitor logger', () => {
  test("agrees with the monitor's data sheet example: calibration 2560, 20 mV, 11.98 V, 10.000 A, 119.80 W", () => {
    // TI SBOS547 p. 15-16: R 2 milliohm, current step 1 mA. The sheet prints 119.82 W; 4792 x 25 mW is 119.80 W.
    const monitor = new MonitorModel(() => 0.02, () => 11.98);
    const { chip, log } = startLogger({ image: 'monitor', bus: monitorBus({ 0x40: monitor }) });
    chip.run(0.2);
    expect(monitor.read(5)).toBe(2560); // written by the logger
    expect([1, 2, 3, 4].map((register) => monitor.read(register))).toEqual([8000, 9584, 4792, 10_000]);
    const [current, voltage] = log.of('hello')[0]!.hello.channels;
    const samples = samplesOf(log, 1000);
    expect(new Set(samples.current)).toEqual(new Set([8000]));
    expect(new Set(samples.voltage)).toEqual(new Set([9584]));
    const amperes = (8000 - current!.zero) * current!.scale;
    const volts = (9584 - voltage!.zero) * voltage!.scale;
    expect(amperes).toBeCloseTo(10, 9);
    expect(volts).toBeCloseTo(11.98, 9);
    expect(amperes * volts).toBeCloseTo(4792 * 0.025, 6);
  });

  test.each([
    { jumper: undefined, rateHz: 1000, conversionS: 204e-6 },
    { jumper: '500k' as const, rateHz: 1000, conversionS: 204e-6 },
    { jumper: '115k2' as const, rateHz: 500, conversionS: 588e-6 },
  ])('reads every conversion once at $rateHz Hz (jumper: $jumper) and dates it within 3 us', ({ jumper, rateHz, conversionS }) => {
    const rampVPerS = 0.05; // 20 counts a millisecond
    const monitor = new MonitorModel((t) => rampVPerS * (t - 0.5), (t) => 10 + t);
    const { chip, log } = startLogger({ image: 'monitor', jumper, bus: monitorBus({ 0x40: monitor }) });
    chip.run(1);
    expect(log.of('hello')[0]!.hello.rate_hz).toBe(rateHz);
    expectUnbroken(log, rateHz);
    const samples = samplesOf(log, rateHz);
    expect(samples.current.length).toBeGreaterThan(0.88 * rateHz);
    for (const [i, timeS] of samples.timeS.entries()) {
      const middleS = monitor.conversionsS[i]! + conversionS / 2 - chip.clockStartS;
      expect(Math.abs(timeS - middleS)).toBeLessThan(3e-6);
      expect(Math.abs(samples.current[i]! - (rampVPerS * (chip.clockStartS + timeS - 0.5)) / 2.5e-6)).toBeLessThan(1);
    }
  });

  test('carries negative currents and the ends of the scale unchanged', () => {
    const steps = [-0.08192, -0.02, -2.5e-6, 0, 2.5e-6, 0.0819175];
    const monitor = new MonitorModel((t) => steps[Math.min(steps.length - 1, Math.floor(t / 0.05))]!, () => 12);
    const { chip, log } = startLogger({ image: 'monitor', bus: monitorBus({ 0x40: monitor }) });
    chip.run(0.35);
    for (const count of [-32768, -8000, -1, 0, 1, 32767]) expect(samplesOf(log, 1000).current).toContain(count);
    expect(log.codes()).toEqual(['start', 'range']); // the full-scale readings at the start, told once
  });
});

describe('two shunts and range switching', () => {
  /** Both shunts in the same circuit; the fine one carries the current only while its bypass is open. */
  function circuit(currentA: (timeS: number) => number) {
    const coarse = new MonitorModel((t) => currentA(t) * COARSE_OHM, () => 12.6);
    const fine = new MonitorModel(() => 0, () => 12.6);
    const logger = startLogger({ image: 'monitor', bus: monitorBus({ 0x40: coarse, 0x41: fine }) });
    fine.shuntV = (t) => (logger.chip.bypassOn ? 0 : Math.max(-0.8, Math.min(0.8, currentA(t) * FINE_OHM)));
    return logger;
  }

  /** Every sample in amperes by the hello line that stands before it. */
  function amperes(log: ReturnType<typeof circuit>['log']): { timeS: number; currentA: number; scale: number }[] {
    const samples = [];
    let channel;
    for (const line of log.lines) {
      if (line.kind === 'hello') channel = line.hello.channels[0]!;
      if (line.kind !== 'block') continue;
      for (const [i, count] of line.current.entries()) {
        samples.push({ timeS: line.tUs / 1e6 + i / 1000, currentA: (count - channel!.zero) * channel!.scale, scale: channel!.scale });
      }
    }
    return samples;
  }

  test('a drain of 30 mA is read in steps of 25 uA once the current has been small for 2 s', () => {
    const { chip, log } = circuit(() => 0.03);
    chip.run(2.5);
    const hellos = log.of('hello').map((line) => line.hello.channels[0]!.scale);
    expect(hellos).toEqual([0.00125, 0.000025]);
    const samples = amperes(log);
    const firstFine = samples.find((sample) => sample.scale === 0.000025)!;
    expect(firstFine.timeS).toBeGreaterThan(2);
    expect(firstFine.timeS).toBeLessThan(2.05);
    for (const sample of samples) expect(Math.abs(sample.currentA - 0.03)).toBeLessThan(sample.scale);
    expect(chip.bypassOn).toBe(false);
  });

  test('a wake-up to 5 A goes back to the coarse range within 3 ms, under a fresh hello line, with no wrong sample', () => {
    const wakesAtS = 2.3;
    const { chip, log } = circuit((t) => (t < wakesAtS ? 0.03 : 5));
    chip.run(2.6);
    expect(log.of('hello').map((line) => line.hello.channels[0]!.scale)).toEqual([0.00125, 0.000025, 0.00125]);
    expect(log.of('damaged')).toEqual([]);
    const samples = amperes(log);
    const first5A = samples.find((sample) => Math.abs(sample.currentA - 5) < 0.01)!;
    expect(first5A.timeS + chip.clockStartS - wakesAtS).toBeLessThan(0.003);
    // Only the conversion during which the current rose may lie between the two.
    expect(samples.filter((sample) => Math.abs(sample.currentA - 5) > 0.01 && Math.abs(sample.currentA - 0.03) > 0.002).length).toBeLessThanOrEqual(1);
    expect(chip.bypassOn).toBe(true);
  });

  test('the hole at a change of range is 3 ms at most and shows in the block times', () => {
    const { chip, log } = circuit(() => 0.03);
    chip.run(2.5);
    const blocks = log.of('block');
    expect(blocks.map((block) => block.seq)).toEqual(blocks.map((_, index) => index));
    const holes = blocks.slice(1).map((block, i) => block.tUs - blocks[i]!.tUs - blocks[i]!.current.length * 1000).filter((holeUs) => holeUs !== 0);
    expect(holes.length).toBe(1);
    expect(holes[0]).toBeLessThanOrEqual(3000);
  });

  test('a current just above the return limit stays on the coarse shunt', () => {
    const { chip, log } = circuit(() => 0.42);
    chip.run(2.5);
    expect(log.of('hello').length).toBe(1);
  });

  test('a current that pulses above the limit every second never reaches the fine range', () => {
    const { chip, log } = circuit((t) => (t % 1 < 0.01 ? 2 : 0.03));
    chip.run(3.5);
    expect(log.of('hello').length).toBe(1);
  });

  test('one monitor alone never changes its range', () => {
    const { chip, log } = startLogger({ image: 'monitor', bus: monitorBus({ 0x40: new MonitorModel(() => 30e-3 * COARSE_OHM, () => 12.6) }) });
    chip.run(2.5);
    expect(log.of('hello').length).toBe(1);
    expect(chip.bypassOn).toBe(true);
  });
});
