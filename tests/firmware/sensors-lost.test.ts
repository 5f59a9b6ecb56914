import { describe, expect, test } from 'vitest';
import { monitorBus, MonitorModel } from './support/monitor-model.ts';
import { ADC_START, samplesOf, startLogger } from './support/logger.ts';

describe('a Hall sensor that is not there', () => {
  test('missing at start: one notice, no samples; plugged in later: a notice, and samples from then on', () => {
    let plugged = false;
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: () => (plugged ? 2.5 : 0) } });
    chip.run(0.3);
    expect(log.codes()).toEqual([...ADC_START, 'sensor-lost']);
    expect(log.of('notice')[2]!.tUs).toBeLessThan(12_000);
    expect(log.of('hello').length).toBe(1);
    expect(log.of('block')).toEqual([]);
    expect(chip.lampOn).toBe(false);
    plugged = true;
    chip.run(0.3);
    expect(log.codes()).toEqual([...ADC_START, 'sensor-lost', 'sensor-back']);
    expect(new Set(samplesOf(log, 4000).current)).toEqual(new Set([512]));
    expect(chip.lampOn).toBe(true);
  });

  test('lost on the way: a notice within 11 ms and a hole in time, never a zero', () => {
    const out = [0.203, 0.353];
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: (t) => (t > out[0]! && t < out[1]! ? 0 : 2.6) } });
    chip.run(0.5);
    expect(log.codes()).toEqual([...ADC_START, 'sensor-lost', 'sensor-back']);
    const lostS = log.of('notice')[2]!.tUs / 1e6 + chip.clockStartS;
    expect(lostS - out[0]!).toBeGreaterThan(0);
    expect(lostS - out[0]!).toBeLessThan(0.011);
    const samples = samplesOf(log, 4000);
    for (const count of samples.current) expect(count).toBe(532);
    const gaps = samples.timeS.slice(1).map((t, i) => t - samples.timeS[i]!).filter((step) => step > 0.0003);
    expect(gaps.length).toBe(1);
    expect(gaps[0]).toBeCloseTo(0.15, 3);
    // The part of a block before the hole was sent, not thrown away.
    expect(log.of('block').some((block) => block.current.length < 30)).toBe(true);
  });

  test('a spike to ground for 2 ms is a hole, not a lost sensor', () => {
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: (t) => (t > 0.2 && t < 0.202 ? 0 : 2.5) } });
    chip.run(0.4);
    expect(log.codes()).toEqual(ADC_START);
    expect(new Set(samplesOf(log, 4000).current)).toEqual(new Set([512]));
  });

  test('an overload is reported once and its clipped samples are still sent', () => {
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: (t) => (t > 0.2 && t < 0.3 ? 4.85 : 2.5) } });
    chip.run(0.5);
    expect(log.codes()).toEqual([...ADC_START, 'range']);
    expect(log.of('notice')[2]!.tUs / 1e6 + chip.clockStartS).toBeCloseTo(0.2, 3);
    expect(Math.max(...samplesOf(log, 4000).current)).toBe(993);
  });
});

describe('a monitor that is not there', () => {
  test('missing at start: one notice, no samples; connected later: a notice, and samples within 0.2 s', () => {
    const monitor = new MonitorModel(() => 0.02, () => 12);
    monitor.present = false;
    const { chip, log } = startLogger({ image: 'monitor', bus: monitorBus({ 0x40: monitor }) });
    chip.run(0.5);
    expect(log.codes()).toEqual(['start', 'sensor-lost']);
    expect(log.of('notice')[1]!.text).toContain('64');
    expect(log.of('block')).toEqual([]);
    monitor.present = true;
    chip.run(0.3);
    expect(log.codes()).toEqual(['start', 'sensor-lost', 'sensor-back']);
    expect(new Set(samplesOf(log, 1000).current)).toEqual(new Set([8000]));
    expect(samplesOf(log, 1000).current.length).toBeGreaterThan(100);
  });

  test('lost on the way and back with its power-on settings: configured anew, and no zero in between', () => {
    const monitor = new MonitorModel(() => 0.02, () => 12);
    const { chip, log } = startLogger({ image: 'monitor', bus: monitorBus({ 0x40: monitor }) });
    chip.run(0.3);
    monitor.present = false;
    monitor.powerUp();
    chip.run(0.3);
    monitor.present = true;
    chip.run(0.3);
    expect(log.codes()).toEqual(['start', 'sensor-lost', 'sensor-back']);
    const lostS = log.of('notice')[1]!.tUs / 1e6 + chip.clockStartS;
    expect(lostS).toBeGreaterThan(0.3);
    expect(lostS).toBeLessThan(0.302);
    const samples = samplesOf(log, 1000);
    expect(new Set(samples.current)).toEqual(new Set([8000]));
    expect(samples.timeS.slice(1).filter((t, i) => t - samples.timeS[i]! > 0.0015).length).toBe(1);
    expect(monitor.read(5)).toBe(2560);
  });

  test('another chip at its address is not taken for it', () => {
    const stranger = new MonitorModel(() => 0.02, () => 12);
    stranger.makerId = 0x1234;
    const { chip, log } = startLogger({ image: 'monitor', bus: monitorBus({ 0x40: stranger }) });
    chip.run(0.5);
    expect(log.codes()).toEqual(['start', 'sensor-lost']);
    expect(log.of('block')).toEqual([]);
  });

  test('a clock line that is held down stops the samples and nothing else; released, they go on', () => {
    const faults = { clockHeld: false };
    const { chip, log } = startLogger({ image: 'monitor', bus: monitorBus({ 0x40: new MonitorModel(() => 0.02, () => 12) }, faults) });
    chip.run(0.3);
    faults.clockHeld = true;
    chip.run(0.3);
    chip.send('?');
    chip.run(0.1);
    expect(log.codes()).toEqual(['start', 'sensor-lost']);
    expect(log.of('hello').length).toBe(2);
    faults.clockHeld = false;
    chip.run(0.3);
    expect(log.codes()).toEqual(['start', 'sensor-lost', 'sensor-back']);
    expect(new Set(samplesOf(log, 1000).current)).toEqual(new Set([8000]));
  });

  test('the fine monitor lost while it is in use: back to the coarse one, with the bypass closed', () => {
    const coarse = new MonitorModel(() => 0.03 * 0.002, () => 12.6);
    const fine = new MonitorModel(() => 0.03 * 0.1, () => 12.6);
    const { chip, log } = startLogger({ image: 'monitor', bus: monitorBus({ 0x40: coarse, 0x41: fine }) });
    chip.run(2.3);
    expect(chip.bypassClosed).toBe(false);
    fine.present = false;
    chip.run(0.4);
    expect(chip.bypassClosed).toBe(true);
    expect(log.codes()).toEqual(['start', 'sensor-lost', 'sensor-back']);
    expect(log.of('hello').map((line) => line.hello.channels[0]!.scale)).toEqual([0.00125, 0.000025, 0.00125]);
    expect(log.lines.at(-1)!.kind).toBe('block');
  });
});
