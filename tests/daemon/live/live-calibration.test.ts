import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { CalibrationRecord } from '../../../src/core/analysis/uncertainty/calibration.ts';
import type { DrainResult } from '../../../src/core/analysis/results.ts';
import type { TraceView } from '../../../src/core/wire/api.ts';
import type { TraceRecord } from '../../../src/core/tracefile/record.ts';
import { keepCalibration } from '../../../src/daemon/store/records/logger-calibrations.ts';
import { openTrace } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { analyseTrace } from '../../../src/daemon/threads/analyse-trace.ts';
import { seededRandom } from '../../../src/core/random.ts';
import { blockAt, LOGGER, startStand, temporaryFolder, type Stand, type TestPage } from '../stand.ts';

/** Reads 2 mA with nothing applied, 98 mA where a reference within 0.5 percent says 100 mA. */
const CALIBRATION: CalibrationRecord = {
  channel: 'current', at: '2026-11-01T08:00:00.000Z', by: 'R. Vane', temperature_c: null, due: null, zero_before: 0.002, zero_after: null, zero_scatter: 0.0004, zero_hours: null,
  points: [{ applied: 0.1, read: 0.098, tolerance_percent: 0.5 }], shunt: null, part: null, taken_back: null,
};
const GAIN = 0.1 / (0.098 - 0.002);
const TEN_MINUTES = 600;

/** A level with the scatter that every converter has: a column without any is read as a sensor that hangs. */
function around(levelA: number, scatterA: number): () => number {
  const random = seededRandom(7);
  return () => levelA + scatterA * (random() - 0.5);
}

/** The live result of the whole night that was sent. */
async function lastResult(page: TestPage): Promise<DrainResult> {
  let found: DrainResult | null = null;
  await page.until(() => {
    const newest = page.messages.findLast((message) => message.type === 'result');
    found = newest?.type === 'result' && newest.result.test === 'drain' && newest.result.trace.samples === TEN_MINUTES * 2 ? newest.result : null;
    return found !== null;
  });
  return found!;
}

/** A daemon with a page that has chosen the drain test. */
async function parkedStand(dataDir: string): Promise<{ stand: Stand; page: TestPage }> {
  const stand = await startStand({ dataDir });
  const page = await stand.page();
  page.send({ type: 'test', settings: { test: 'drain', actuation: {}, drain: {}, jobId: null, title: '' } });
  await page.until(() => page.messages.some((message) => message.type === 'test' && message.settings.test === 'drain'));
  return { stand, page };
}

async function startRecording(page: TestPage): Promise<void> {
  page.send({ type: 'record', do: 'start' });
  await page.until(() => page.messages.some((message) => message.type === 'recording' && message.recording !== null));
}

/** Ends the recording, and reads what was kept. */
async function storedResult(stand: Stand, page: TestPage): Promise<{ record: TraceRecord; stored: DrainResult }> {
  page.send({ type: 'record', do: 'stop' });
  await page.next('recording', (message) => message.recording === null);
  const [view] = (await (await stand.api('/api/traces')).json()) as [TraceView];
  const reader = await openTrace(join(stand.dataDir, 'jobs', view.jobId, view.record.id));
  const stored = (await analyseTrace(reader, { test: 'drain' })) as DrainResult;
  await reader.close();
  return { record: reader.record, stored };
}

describe('a calibration kept with the logger', () => {
  it('holds for the night while it is recorded, as it does for the recording when it is read', async () => {
    const dataDir = temporaryFolder();
    await keepCalibration(dataDir, LOGGER.serial!, CALIBRATION);
    const { stand, page } = await parkedStand(dataDir);
    const readings = around(0.032, 0.0004);
    stand.source.send(blockAt(0, 2, 2, readings));
    await startRecording(page);
    stand.source.send(blockAt(1, TEN_MINUTES * 2 - 2, 2, readings));
    const live = await lastResult(page);
    // 0.12 mA of scatter over 1200 readings: 3 uA, ten times that allowed
    expect(Math.abs(live.asleep!.level_a - GAIN * 0.03)).toBeLessThan(30e-6);
    // the zero step alone, k = 1, times the 95 % factor: 0.8 mA either side at least
    expect((live.asleep!.high_a - live.asleep!.low_a) / 2).toBeGreaterThan(1.96 * GAIN * 0.0004);
    const { record, stored } = await storedResult(stand, page);
    expect(stored.asleep).toEqual(live.asleep);
    expect(record.calibrations).toEqual([CALIBRATION]);
  });

  it('is read as the recording will be when the logger switches its range', async () => {
    const dataDir = temporaryFolder();
    const { stand, page } = await parkedStand(dataDir);
    const coarse = { ...LOGGER, channels: LOGGER.channels.map((channel) => ({ ...channel, scale: channel.scale * 20 })) };
    stand.source.sink!.logger(coarse);
    stand.source.send(blockAt(0, 2, 2, () => 0.9));
    await startRecording(page);
    // steps of 20 mA while modules are awake, of 1 mA after them
    const half = TEN_MINUTES;
    stand.source.send(blockAt(1, half, 2, (i) => (i % 7 === 0 ? 0.92 : 0.9)));
    stand.source.sink!.logger(LOGGER);
    stand.source.send(blockAt(1 + half / 2, half - 2, 2, around(0.032, 0.0004)));
    const live = await lastResult(page);
    expect(live.problems.map(({ code }) => code)).toContain('range-switched');
    const { record, stored } = await storedResult(stand, page);
    expect(record.ranges.length).toBeGreaterThan(1);
    expect(stored.problems).toEqual(live.problems);
    expect(stored.levels).toEqual(live.levels);
  });

  it('gives a real logger the clock time to wait for', async () => {
    const stand = await startStand();
    const page = await stand.page();
    page.send({ type: 'test', settings: { test: 'drain', actuation: {}, drain: {}, jobId: null, title: '' } });
    stand.source.send(blockAt(0, TEN_MINUTES * 2, 2, around(0.3, 0.004)));
    const live = await lastResult(page);
    expect(live.verdict.finding).toBe('too-short');
    const untilMs = Date.parse(live.wait_until!);
    // 75 minutes after the first reading (Ford 2023 Edge), ten of which are over
    expect(Math.abs(untilMs - Date.now() - 65 * 60_000)).toBeLessThan(60_000);
    expect(live.verdict.next[0]).toMatch(/until \d\d:\d\d: by then a module with the longest published time-out/);
  });
});
