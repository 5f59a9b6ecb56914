import { expect, test } from 'vitest';
import { Random } from '../../src/simulate/random.ts';
import { Sensor, type SensorParameters } from '../../src/simulate/sensor.ts';

const IDEAL: SensorParameters = { range: 1, bits: 12, noise: 0, offset: 0, driftPerHour: 0, hum: 0, bandwidthHz: null };
const sensor = (change: Partial<SensorParameters>, rateHz = 1000): Sensor => new Sensor('current', { ...IDEAL, ...change }, rateHz, new Random(1));

test.each([
  // Analog Devices MT-229 / MT-001: 6.02 N + 1.76 dB for a full-scale sine
  [10, 61.96],
  [12, 74.0],
  [16, 98.08],
])('a %i-bit converter keeps a full-scale sine %f dB above its rounding', (bits, wantedDb) => {
  const measured = sensor({ bits });
  let signal = 0;
  let error = 0;
  for (let i = 0; i < 40_000; i++) {
    const value = (1 - measured.channel.scale) * Math.sin(i * 1.2345);
    const got = measured.measure(value, i / 1000);
    signal += value * value;
    error += (got - value) ** 2;
  }
  expect(Math.abs(10 * Math.log10(signal / error) - wantedDb)).toBeLessThan(0.15);
});

test('a shunt of 100 A at 75 mV with 2.5 uV steps reads 3.33 mA a step, so that 50 mA are 15 steps', () => {
  // arithmetic on the INA226 data sheet: 2.5 uV over 0.75 mohm, sixteen bits
  const measured = sensor({ range: (0.0025e-3 / 0.75e-3) * 32_768, bits: 16 });
  expect(measured.channel.scale * 1e3).toBeCloseTo(3.33, 2);
  expect(Math.round(measured.measure(0.05, 0) / measured.channel.scale)).toBe(15);
});

test('readings beyond the range stay at its end', () => {
  const measured = sensor({});
  expect(measured.measure(5, 0)).toBeCloseTo(1, 3);
  expect(measured.measure(-5, 0)).toBe(-1);
});

test('zero error, drift and mains pick-up are added as stated', () => {
  const measured = sensor({ range: 30, bits: 24, offset: 0.1, driftPerHour: 0.36, hum: 0.05 });
  let sum = 0;
  let most = -Infinity;
  for (let i = 0; i < 1000; i++) {
    const value = measured.measure(0, 1000 + i / 1000);
    sum += value;
    most = Math.max(most, value);
  }
  expect(sum / 1000).toBeCloseTo(0.2, 3);
  expect(most).toBeCloseTo(0.25, 2);
});

test('a slow clamp follows a step with its own time constant', () => {
  // first-order low pass: 63.2 % after 1 / (2 pi f)
  const measured = sensor({ bits: 24, bandwidthHz: 10 }, 10_000);
  measured.measure(0, 0);
  let value = 0;
  for (let i = 1; i <= 159; i++) value = measured.measure(1, i / 10_000);
  expect(value).toBeCloseTo(1 - Math.exp(-1), 2);
});
