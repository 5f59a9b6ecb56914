import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { ActuationResult } from '../../../src/core/analysis/results.ts';
import type { ManyResult } from '../../../src/core/analysis/compare/many/result.ts';
import type { Analysed } from '../../../src/daemon/prove/gather.ts';
import { testOf } from '../../../src/daemon/prove/gather.ts';
import { linesOf, nightsOf, overlaysOf } from '../../../src/daemon/prove/overlays.ts';
import { gatherReport } from '../../../src/daemon/prove/report.ts';
import { openTrace, type TraceReader } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { analyseTrace } from '../../../src/daemon/threads/analyse-trace.ts';
import { drainResult } from '../../core/report/examples.ts';
import { JOB, writeJob, writeTrace } from '../prove-stand.ts';

const dataDir = mkdtempSync(join(tmpdir(), 'amptrail-gathered-'));
let step: Analysed & { readonly result: ActuationResult };
let night: Analysed;
const readers: TraceReader[] = [];

beforeAll(async () => {
  await writeJob(dataDir);
  await writeTrace(dataDir, 'step', 'side-step-healthy', { title: 'Step' });
  const reader = await openTrace(join(dataDir, 'jobs', JOB, 'step'));
  readers.push(reader);
  step = { reader, result: (await analyseTrace(reader, { test: 'actuation' })) as ActuationResult };
  // the same samples serve as a night: only what is made of them is looked at
  night = { reader, result: { ...drainResult(), limit_a: 0.05 } };
});
afterAll(async () => {
  for (const reader of readers.splice(0)) await reader.close();
  rmSync(dataDir, { recursive: true, force: true });
});

it('presses are laid on each other by direction and number, currents without their sign, from 0.3 s before to 0.5 s after', async () => {
  const overlays = await overlaysOf(step, step);
  for (const direction of ['forward', 'reverse'] as const) {
    const presses = step.result.actuations.filter((one) => one.direction === direction);
    const own = overlays.filter((one) => one.direction === direction);
    expect(own.map(({ number }) => number)).toEqual(presses.map((_, i) => i + 1));
    for (const [i, { before, after }] of own.entries()) {
      expect(before.timeS[0]).toBeGreaterThanOrEqual(-0.3 - 1e-9);
      expect(before.timeS[0]).toBeLessThan(-0.25);
      const lastS = before.timeS[before.timeS.length - 1]!;
      expect(lastS).toBeLessThan(presses[i]!.end_s - presses[i]!.start_s + 0.5);
      expect(lastS).toBeGreaterThan(presses[i]!.end_s - presses[i]!.start_s + 0.4);
      expect(Math.max(...Array.from(before.currentA))).toBeGreaterThan(5 * Math.abs(Math.min(...Array.from(before.currentA))));
      // on itself there is no shift: a hundredth of a sample
      expect(Math.abs(after.timeS[0]! - before.timeS[0]!)).toBeLessThan(1e-5);
      expect(before.timeS.length).toBeLessThanOrEqual(4 * (i === 0 ? 1440 : 480));
    }
    expect(own[0]!.before.timeS.length).toBeGreaterThan(own[1]!.before.timeS.length);
  }
  expect([await overlaysOf(step, night), await overlaysOf(night, step)]).toEqual([[], []]);
});

it('nights are drawn from their own start, with the limit of the later one', async () => {
  const nights = (await nightsOf(night, { ...night, result: { ...drainResult(), limit_a: 0.03 } }))!;
  expect(nights.limitA).toBe(0.03);
  expect(nights.before).toEqual(nights.after);
  expect(nights.before.timeS[0]).toBeCloseTo(0, 3);
  expect(nights.before.timeS.at(-1)).toBeCloseTo(step.reader.lastS - step.reader.firstS, 1);
  expect(nights.before.timeS.every((atS) => Math.abs(atS * 1e3 - Math.round(atS * 1e3)) < 1e-6)).toBe(true);
  expect([await nightsOf(night, step), await nightsOf(step, night)]).toEqual([null, null]);
});

it('small multiples begin at their press, as many as fit a page', async () => {
  const [press] = step.result.actuations;
  const one = { trace: 0, direction: press!.direction, number: 1, start_s: press!.start_s, end_s: press!.end_s };
  const lines = await linesOf({ actuations: Array.from({ length: 65 }, () => one) } as unknown as ManyResult, [step]);
  expect(lines).toHaveLength(64);
  expect(lines[0]).toMatchObject({ trace: 0, direction: press!.direction, number: 1 });
  expect(lines[0]!.timeS[0]).toBeGreaterThanOrEqual(-0.3 - 1e-9);
  expect(lines[0]!.timeS.length).toBeLessThanOrEqual(4 * 160);
});

it('a report compares two of one test, sets three side by side, and knows its job', async () => {
  const [alone, pair, mixed, three, mixedThree] = [await gatherReport([step], 'customer', 'now'), await gatherReport([step, step], 'file', 'now'), await gatherReport([step, night], 'file', 'now'), await gatherReport([step, step, step], 'file', 'now'), await gatherReport([step, step, night], 'file', 'now')];
  expect(alone).toMatchObject({ audience: 'customer', madeAt: 'now', comparison: null, overlays: [], many: null, job: { vehicle: 'Minibus 4' } });
  expect(pair.comparison).not.toBeNull();
  expect(pair.overlays.length).toBeGreaterThan(1);
  expect(pair.many).toBeNull();
  expect([mixed.comparison, mixed.many, mixedThree.many, three.comparison]).toEqual([null, null, null, null]);
  expect(three.many!.result.traces).toHaveLength(3);
  expect(three.many!.lines.length).toBe(three.many!.result.actuations.length);
  expect(await gatherReport([], 'file', 'now')).toMatchObject({ job: null, workshop: null, traces: [], comparison: null });
  expect(alone.traces[0]!.samples.timeS.length).toBeLessThanOrEqual(4 * 1440);
  // a repair that was not recorded has nothing to prove
  expect(alone.proof).toBeNull();
});

it('a trace is of the test that is asked for, else of the one it was recorded for', () => {
  expect([testOf(step.reader, 'drain'), testOf(step.reader, undefined)]).toEqual(['drain', 'actuation']);
});
