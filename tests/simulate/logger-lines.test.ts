import { expect, test } from 'vitest';
import { framed } from '../core/decode/kit.ts';
import { parseHello } from '../../src/core/decode/hello.ts';
import { LoggerLines } from './logger-lines.ts';
import { SCENARIOS } from '../../src/simulate/scenarios.ts';

test.each(SCENARIOS.map((scenario) => [scenario.name, scenario] as const))('%s sent as framed lines decodes to the very samples it gave', (_name, scenario) => {
  const lines = new LoggerLines(scenario);
  const hello = framed(strip(lines.hello()), null);
  if (hello.kind !== 'hello') throw new Error(`hello refused: ${JSON.stringify(hello)}`);
  const parsed = parseHello(hello.json);
  if (typeof parsed === 'string') throw new Error(parsed);
  expect(parsed.layout.rateHz).toBe(scenario.rateHz);
  expect(parsed.info.channels).toEqual(scenario.channels);
  const vehicle = scenario.start(6);
  for (let seq = 0; seq < 8; seq++) {
    const samples = vehicle.next(200);
    const block = framed(strip(lines.block(samples)), parsed.layout.width);
    if (block.kind !== 'block') throw new Error(`block refused: ${JSON.stringify(block)}`);
    expect(block.seq).toBe(seq);
    expect(block.count).toBe(200);
    expect(block.deviceUs).toBe(Math.round(samples.timeS[0] * 1e6));
    for (const channel of parsed.info.channels) {
      const at = channel.name === 'current' ? parsed.layout.currentAt : parsed.layout.voltageAt;
      const values = channel.name === 'current' ? samples.currentA : samples.voltageV;
      const decoded = Float32Array.from({ length: 200 }, (_, i) => (block.counts[i * parsed.layout.width + at] - channel.zero) * channel.scale);
      expect(decoded).toEqual(values);
    }
  }
});

test('the logger clock wraps at 2^32 microseconds and may run fast', () => {
  const scenario = SCENARIOS[0];
  const lines = new LoggerLines(scenario, { clockStartUs: 2 ** 32 - 500_000, clockPpm: 1000 });
  const vehicle = scenario.start(1);
  const times = Array.from({ length: 3 }, () => lines.block(vehicle.next(1000)).split(',')[1]).map(Number);
  expect(times).toEqual([2 ** 32 - 500_000, 501_000, 1_502_000]);
});

test('a notice carries the number of the next block, and a restart counts anew', () => {
  const scenario = SCENARIOS[0];
  const lines = new LoggerLines(scenario);
  const vehicle = scenario.start(1);
  lines.block(vehicle.next(10));
  const notice = framed(strip(lines.notice(0.01, 'mark', 'button 1')), 2);
  expect(notice).toEqual({ kind: 'notice', seq: 1, deviceUs: 10_000, code: 'mark', text: 'button 1' });
  lines.restart();
  expect(lines.block(vehicle.next(10)).startsWith('@0,')).toBe(true);
});

test('a block without a channel that the hello names is refused with a word', () => {
  const lines = new LoggerLines(SCENARIOS[0]);
  const samples = SCENARIOS[0].start(1).next(10);
  expect(() => lines.block({ ...samples, voltageV: null })).toThrow('voltage');
});

function strip(line: string): string {
  expect(line.endsWith('\n')).toBe(true);
  expect(line.indexOf('\n')).toBe(line.length - 1);
  return line.slice(0, -1);
}
