import { describe, expect, test } from 'vitest';
import { expectUnbroken, samplesOf, startLogger } from './support/logger.ts';

/** ACS712 data sheet, p. 5: typical sensitivity of the 5, 20 and 30 A parts at 5 V, output half the supply at 0 A. */
const HALL = [
  { part: '5 A', mvPerA: 185 },
  { part: '20 A', mvPerA: 100 },
  { part: '30 A', mvPerA: 66 },
];

/** Voltages are sent in sixteenths of a count. */
const STEPS = 16;

describe('the ADC logger', () => {
  test.each([
    { jumper: undefined, baud: 1_000_000, rateHz: 4000 },
    { jumper: '500k' as const, baud: 500_000, rateHz: 2000 },
    { jumper: '115k2' as const, baud: 117_647, rateHz: 1000 },
  ])('samples at $rateHz Hz on a $baud baud line and loses nothing', ({ jumper, baud, rateHz }) => {
    let bytes = 0;
    const slopeVPerS = 2; // a ramp: every sample tells its own time
    const { chip, log } = startLogger({ image: 'adc', jumper, inputs: { currentV: (t) => 1 + slopeVPerS * t, voltageV: (t) => 3 - t } });
    const take = chip.onByte;
    chip.onByte = (byte) => {
      bytes++;
      take(byte);
    };
    chip.run(1);
    expect(chip.usart.baudRate).toBe(baud);
    expect(log.of('hello')[0]!.hello.rate_hz).toBe(rateHz);
    expectUnbroken(log, rateHz);
    const samples = samplesOf(log, rateHz);
    // one second, less the start-up and the block being filled
    expect(samples.current.length).toBeGreaterThan(0.92 * rateHz);
    // More than half of the line stays free for hello lines and notices.
    expect(bytes * 10).toBeLessThan(0.56 * baud);
    for (const [i, timeS] of samples.timeS.entries()) {
      const volts = 1 + slopeVPerS * (chip.clockStartS + timeS);
      // one count of quantisation, and 20 us from the tick to the sample-and-hold
      expect(Math.abs(samples.current[i]! - (volts / 5) * 1024)).toBeLessThan(1.02);
      // The voltage is read a conversion later and reckoned back: on a ramp of 1 V/s that is right within a count and 10 us.
      expect(Math.abs(samples.voltage[i]! / STEPS - ((3 - chip.clockStartS - timeS) / 5) * 1024)).toBeLessThan(1.02);
    }
  });

  test('keeps the quantisation noise of an ideal 10-bit converter: 6.02 N + 1.76 dB on a full-scale sine', () => {
    // Analog Devices MT-001: SNR = 6.02 N + 1.76 dB, 61.96 dB for N = 10. Fit: three-parameter sine of known frequency (IEEE Std 1057).
    const frequencyHz = 16.6;
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: (t) => 2.5 + 2.45 * Math.sin(2 * Math.PI * frequencyHz * t) } });
    chip.run(1.1);
    const { timeS, current } = samplesOf(log, 4000);
    const { amplitude, residualRms } = fitSine(timeS, current, frequencyHz);
    const snrDb = 20 * Math.log10(amplitude / Math.SQRT2 / residualRms);
    // The sine fills 2.45 of 2.5 V, which costs 0.18 dB.
    expect(snrDb).toBeGreaterThan(61.96 - 0.18 - 0.3);
    expect(snrDb).toBeLessThan(61.96 - 0.18 + 0.3);
  });

  test.each([undefined, '500k', '115k2'] as const)('converts both pins within the 50 to 200 kHz of full resolution, and the reference at one clock for calibration and use (jumper: %s)', (jumper) => {
    // ATmega328P data sheet, ADC: prescaling and conversion timing
    const { chip } = startLogger({ image: 'adc', jumper });
    chip.run(0.3);
    for (const pin of [0, 1]) {
      const clocks = [...chip.converterHz.get(pin)!];
      expect(Math.min(...clocks)).toBeGreaterThanOrEqual(50e3);
      expect(Math.max(...clocks)).toBeLessThanOrEqual(200e3);
    }
    expect([...chip.converterHz.get(-1)!]).toEqual([250e3]);
  });

  test('starts its conversions within 3 us of the beat', () => {
    const startsS: number[] = [];
    const { chip } = startLogger({
      image: 'adc',
      inputs: {
        currentV: (t) => {
          startsS.push(t);
          return 2.5;
        },
      },
    });
    chip.run(0.5);
    startsS.shift(); // the one made before the clock starts: the very first conversion of an ADC takes 25 clocks, not 13 (data sheet)
    const offsetsUs = startsS.map((t, i) => (t - startsS[0]!) * 1e6 - i * 250);
    expect(startsS.length).toBeGreaterThan(1900);
    expect(Math.max(...offsetsUs) - Math.min(...offsetsUs)).toBeLessThan(3);
  });

  test.each(HALL)('reads a $part Hall sensor of $mvPerA mV/A in amperes', ({ mvPerA }) => {
    let currentA = 2;
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: () => 2.5 + (currentA * mvPerA) / 1000 } });
    chip.run(0.05);
    chip.send(`sensor ${mvPerA}\n`);
    chip.run(0.25);
    currentA = -3;
    chip.run(0.1);
    const channel = log.of('hello').at(-1)!.hello.channels[0]!;
    expect(channel.scale).toBeCloseTo(5 / 1024 / (mvPerA / 1000), 6);
    const amperes = samplesOf(log, 4000).current.map((count) => (count - channel.zero) * channel.scale);
    expect(Math.abs(amperes[400]! - 2)).toBeLessThan(channel.scale);
    expect(Math.abs(amperes.at(-1)! + 3)).toBeLessThan(channel.scale);
  });

  test('reads the published points of the 5 A part: 2.870 V is +2 A, 1.575 V is -5 A', () => {
    // ACS712 data sheet (ratiometric output at 5 V)
    let volts = 2.87;
    const { chip, log } = startLogger({ image: 'adc', inputs: { currentV: () => volts } });
    chip.run(0.05);
    chip.send('sensor 185\n');
    chip.run(0.25);
    const { scale, zero } = log.of('hello').at(-1)!.hello.channels[0]!;
    expect((samplesOf(log, 4000).current.at(-1)! - zero) * scale).toBeCloseTo(2, 1);
    volts = 1.575;
    chip.run(0.1);
    expect((samplesOf(log, 4000).current.at(-1)! - zero) * scale).toBeCloseTo(-5, 1);
  });

  test('stays right when the 5 V sags, because a Hall sensor sags with it', () => {
    let supplyV = 5;
    const { chip, log } = startLogger({ image: 'adc', inputs: { supplyV: () => supplyV, currentV: () => supplyV * (0.5 + (10 * 0.066) / 5) } });
    chip.run(0.3);
    supplyV = 4.7;
    chip.run(0.2);
    const { scale, zero } = log.of('hello')[0]!.hello.channels[0]!;
    for (const count of samplesOf(log, 4000).current) expect(Math.abs((count - zero) * scale - 10)).toBeLessThan(scale);
  });

  test('reads 14.4 V through its divider within two counts', () => {
    const { chip, log } = startLogger({ image: 'adc', inputs: { voltageV: () => (14.4 * 15) / 114.8 } });
    chip.run(0.1);
    const { scale, range } = log.of('hello')[0]!.hello.channels[1]!;
    expect(Math.abs(samplesOf(log, 4000).voltage.at(-1)! * scale - 14.4)).toBeLessThan(2 * STEPS * scale);
    expect(range[1]).toBeGreaterThan(36); // a 24 V system with its alternator at work, and room
  });
});

function fitSine(timeS: number[], values: number[], frequencyHz: number): { amplitude: number; residualRms: number } {
  // Normal equations for a sin + b cos + c.
  const sums = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  const right = [0, 0, 0];
  const rows = timeS.map((t) => [Math.sin(2 * Math.PI * frequencyHz * t), Math.cos(2 * Math.PI * frequencyHz * t), 1]);
  for (const [i, row] of rows.entries()) {
    for (let r = 0; r < 3; r++) {
      right[r]! += row[r]! * values[i]!;
      for (let c = 0; c < 3; c++) sums[3 * r + c]! += row[r]! * row[c]!;
    }
  }
  const determinant = (m: number[]): number =>
    m[0]! * (m[4]! * m[8]! - m[5]! * m[7]!) - m[1]! * (m[3]! * m[8]! - m[5]! * m[6]!) + m[2]! * (m[3]! * m[7]! - m[4]! * m[6]!);
  const solution = [0, 1, 2].map((column) => {
    const replaced = sums.slice();
    for (let r = 0; r < 3; r++) replaced[3 * r + column] = right[r]!;
    return determinant(replaced) / determinant(sums);
  });
  let squares = 0;
  for (const [i, row] of rows.entries()) squares += (values[i]! - row[0]! * solution[0]! - row[1]! * solution[1]! - solution[2]!) ** 2;
  return { amplitude: Math.hypot(solution[0]!, solution[1]!), residualRms: Math.sqrt(squares / values.length) };
}
