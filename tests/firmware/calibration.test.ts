import { describe, expect, test } from 'vitest';
import type { Chip } from './support/chip.ts';
import { ADC_START, samplesOf, startLogger } from './support/logger.ts';
import type { LineLog } from './support/read-lines.ts';

/** One count of the converter at the divider's top, V: 10 bit at 5 V. */
const VOLTAGE_COUNT_V = (5 / 1024) * (114.8 / 15);

/** Mean of the last 320 samples in the unit of the channel, by the hello line sent last: what a person reads off. */
function reading(chip: Chip, log: LineLog, channel: 0 | 1): number {
  chip.run(0.1);
  const samples = samplesOf(log, 4000);
  const tail = (channel === 0 ? samples.current : samples.voltage).slice(-320);
  const { scale, zero } = log.of('hello').at(-1)!.hello.channels[channel]!;
  return (tail.reduce((sum, count) => sum + count, 0) / tail.length - zero) * scale;
}

function command(chip: Chip, text: string): void {
  chip.send(`${text}\n`);
  chip.run(text.startsWith('zero') ? 1.05 : 0.22);
}

describe('calibration as its page describes it', () => {
  test('gain by two points: a Hall part of 69 mV/A taken for 66 reads 5 % too much, and right at other currents after it', () => {
    let currentA = 0;
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: () => 2.51 + currentA * 0.069 } });
    chip.run(0.02);
    command(chip, 'zero');
    const countA = log.of('hello').at(-1)!.hello.channels[0]!.scale;
    currentA = 10;
    const read = reading(chip, log, 0);
    expect(Math.abs(read - (10 * 69) / 66)).toBeLessThan(countA);
    command(chip, `sensor ${((66 * read) / currentA).toFixed(2)}`);
    for (currentA of [10, 20, -15]) expect(Math.abs(reading(chip, log, 0) - currentA)).toBeLessThan(countA);
  });

  test('a divider of 2 % parts is put right by one reading of a meter', () => {
    let volts = 14.4;
    const { chip, log } = startLogger({ image: 'adc', inputs: { voltageV: () => (volts * 14.7) / (100 + 14.7) } });
    chip.run(0.1);
    const read = reading(chip, log, 1);
    expect(read).toBeCloseTo(14.1, 0);
    expect(volts - read).toBeGreaterThan(0.2);
    command(chip, `divider ${(((114.8 / 15) * volts) / read).toFixed(3)}`);
    for (volts of [14.4, 9, 25]) expect(Math.abs(reading(chip, log, 1) - volts)).toBeLessThan(2 * VOLTAGE_COUNT_V);
  });

  test('a zero that wanders by 20 mV looks like 0.30 A; a second zero step tells the drift to a tenth of a count', () => {
    let offsetV = 0;
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: (t) => 2.5 + offsetV + 0.005 * Math.sin(2000 * t) } });
    chip.run(0.02);
    command(chip, 'zero');
    const before = log.of('hello').at(-1)!.hello.channels[0]!;
    expect(Math.abs(reading(chip, log, 0))).toBeLessThan(0.2 * before.scale);
    offsetV = 0.02;
    expect(Math.abs(reading(chip, log, 0) - 0.02 / 0.066)).toBeLessThan(0.2 * before.scale);
    expect(log.codes()).toEqual([...ADC_START, 'zero']); // nothing in the lines tells drift from a current
    command(chip, 'zero');
    const after = log.of('hello').at(-1)!.hello.channels[0]!;
    expect(Math.abs(after.zero - before.zero - (0.02 / 5) * 1024)).toBeLessThan(0.1);
    expect(Math.abs(reading(chip, log, 0))).toBeLessThan(0.2 * before.scale);
  });
});
