import { afterEach, expect, test } from 'vitest';
import { analyseActuation } from '../analyse.ts';
import { simulateTrace } from '../simulate/simulate-trace.ts';
import { findScenario } from '../../src/simulate/scenarios.ts';
import { RESET } from './support/chip.ts';
import { ADC_START, samplesOf } from './support/logger.ts';
import { LoggerOnPty } from './support/logger-on-pty.ts';

const BAUD = 115_200;
const RATE_HZ = 1000;
const HALL_V_PER_A = 0.066;
const DIVIDER = 114.8 / 15;

let logger: LoggerOnPty | null = null;
afterEach(async () => {
  await logger?.close();
  logger = null;
});

test('a side step that jams: motor, sensor, converter, chip, serial line, samples, and the finding "stalled" at the far end', async () => {
  const scenario = findScenario('side-step-jam')!;
  const durationS = 6;
  const { trace: vehicle, truth } = simulateTrace(scenario, 1, durationS + 1);
  const at = (values: Float32Array, timeS: number): number => values[Math.min(values.length - 1, Math.floor(timeS * RATE_HZ))]!;
  logger = await LoggerOnPty.connect(
    {
      image: 'adc',
      jumper: '115k2',
      inputs: { currentV: (t) => 2.5 + at(vehicle.currentA, t) * HALL_V_PER_A, voltageV: (t) => Math.max(0, at(vehicle.voltageV!, t)) / DIVIDER },
    },
    BAUD,
  );
  await logger.run(2.5);
  logger.chip.button(true);
  await logger.run(0.1);
  logger.chip.button(false);
  await logger.run(durationS - 2.6);

  const { chip, log, seen, trace } = logger;
  // Nothing lost, nothing damaged, one logger at its declared rate.
  expect(log.of('damaged')).toEqual([]);
  expect(seen.counts).toEqual({ badCrc: 0, malformed: 0, tooLong: 0, lostBlocks: 0, restarts: 0 });
  expect(seen.gaps).toEqual([]);
  expect(seen.loggers.at(-1)).toMatchObject({ kind: 'logger', name: 'reference logger, ADC', rateHz: RATE_HZ });
  // Every count that left the chip is a value here, and every value is the vehicle's within a count of the converter.
  const sent = samplesOf(log, RATE_HZ);
  const { scale, zero } = log.of('hello')[0]!.hello.channels[0]!;
  expect(trace.timeS.length).toBe(sent.current.length);
  expect(trace.timeS.length).toBeGreaterThan((durationS - 0.2) * RATE_HZ);
  for (let i = 0; i < sent.current.length; i++) {
    expect(trace.currentA[i]).toBe(Math.fround((sent.current[i]! - zero) * scale));
    expect(Math.abs(trace.currentA[i]! - at(vehicle.currentA, chip.clockStartS + sent.timeS[i]! + 25e-6))).toBeLessThan(1.02 * scale);
  }
  // Bytes arrive in pieces of 50 ms, so six seconds tell the two clocks apart to a quarter of a percent at best.
  const rateHz = (trace.timeS.length - 1) / (trace.timeS.at(-1)! - trace.timeS[0]!);
  expect(Math.abs(rateHz / RATE_HZ - 1)).toBeLessThan(0.0025);
  // The button, dated at its first contact.
  const mark = seen.notices.find((notice) => notice.code === 'mark')!;
  expect(Math.abs(mark.atS - 2.5)).toBeLessThan(0.05);
  // And what it all was for.
  expect(truth.finding).toBe('stalled');
  expect(analyseActuation(trace, { runLimitsA: scenario.runLimitsA! }).verdict.finding).toBe('stalled');
});

test('a brown-out at the far end: the trace goes on after a gap, and nothing is made up in between', async () => {
  logger = await LoggerOnPty.connect({ image: 'adc', jumper: '115k2', inputs: { currentV: () => 2.5 + 3 * HALL_V_PER_A } }, BAUD);
  await logger.run(0.5);
  logger.chip.run(0.0123); // into the middle of a block line
  logger.chip.reset(RESET.brownOut);
  await logger.run(0.4, () => true);
  await logger.seen.until((all) => all.notices.some((notice) => notice.code === 'brownout') && all.gaps.length > 0, 'the restart shows');
  await logger.settle();
  const { seen } = logger;
  expect(seen.notices.map((notice) => notice.code)).toEqual([...ADC_START, 'brownout', 'supply-unset']);
  expect(seen.counts).toMatchObject({ restarts: 1, lostBlocks: 0 });
  expect(seen.gaps.length).toBe(1);
  for (const current of seen.currentA) expect(Math.abs(current - 3)).toBeLessThan(0.08);
});

test('pulled out in the middle of a line: reported as lost, and the half line gives no sample', async () => {
  logger = await LoggerOnPty.connect({ image: 'adc', jumper: '115k2' }, BAUD);
  await logger.run(0.3);
  const before = logger.seen.timeS.length;
  expect(before).toBeGreaterThan(200);
  await logger.pullOut();
  expect(logger.seen.states.at(-1)!.text).toMatch(/Plug it in again/);
  expect(logger.seen.timeS.length).toBe(before);
});
