import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { emptyTraceRecord } from '../../../src/core/tracefile/trace-json.ts';
import type { TraceRecord } from '../../../src/core/tracefile/record.ts';
import type { DrainResult } from '../../../src/core/analysis/results.ts';
import type { Gap, SampleBlock } from '../../../src/core/trace.ts';
import { openTrace } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { TraceWriter } from '../../../src/daemon/store/samples/writing/trace-writer.ts';
import { TAKEN_IN } from '../../../src/daemon/store/samples/types.ts';
import { analyseTrace } from '../../../src/daemon/threads/analyse-trace.ts';
import { recording, scratch, slice } from '../store/kit.ts';

describe('the analysis of a stored trace', () => {
  const folder = scratch();
  let made = 0;

  async function analysed<Result>(pieces: readonly (SampleBlock | Gap)[], about: Partial<TraceRecord>, request: Parameters<typeof analyseTrace>[1]): Promise<Result> {
    const path = join(folder, `t${made++}`);
    const writer = await TraceWriter.create(path, { ...emptyTraceRecord('t', '2026-03-02T08:00:00Z', 'test'), ...about }, { durable: false });
    for (const piece of pieces) {
      if ('endS' in piece) writer.gap(piece);
      else writer.append(piece);
    }
    await writer.finish('stopped');
    const reader = await openTrace(path);
    try {
      return (await analyseTrace(reader, request)) as Result;
    } finally {
      await reader.close();
    }
  }

  const all = recording(4000, 100, 4);
  const GAPS = [{ startS: all.timeS[999]!, endS: all.timeS[1100]! }, { startS: all.timeS[1999]!, endS: all.timeS[2200]! }] as const;
  const pieces = [slice(all, 0, 1000), GAPS[0], slice(all, 1100, 2000), GAPS[1], slice(all, 2200, 4000)] as const;

  it('hears of each gap inside the stretch that is looked at, and of no other', async () => {
    const gapsOf = async (fromS?: number, toS?: number): Promise<number[]> => (await analysed<DrainResult>(pieces, {}, { test: 'drain', ...(fromS === undefined ? {} : { fromS }), ...(toS === undefined ? {} : { toS }) })).trace.gaps.map(({ end_s: endS }) => endS);
    expect(await gapsOf()).toEqual([11, 22]);
    expect(await gapsOf(12)).toEqual([22]);
    expect(await gapsOf(0, 15)).toEqual([11]);
    expect(await gapsOf(23)).toEqual([]);
  });

  it('says how far it is and can be cancelled, with each quarter of a million samples and at the end', async () => {
    const long = recording(270_000, 1000, 4);
    const heard: number[] = [];
    await analysed([long], {}, { test: 'drain', progress: (fraction) => heard.push(fraction) });
    expect(heard.at(-1)).toBe(1);
    expect(heard).toHaveLength(2);
    expect(heard[0]).toBeGreaterThanOrEqual(262_144 / 270_000);
    expect(heard[0]).toBeLessThan(1);
    await expect(analysed([slice(long, 0, 1000)], {}, { test: 'drain', signal: AbortSignal.abort() })).rejects.toMatchObject({ code: 'cancelled' });
  });

  it('says when to come back by the clock of the recording, but not of a virtual vehicle or of a file that began before it came here', async () => {
    // five minutes at 0.3 A: above the limit, and too short to say that it stays so
    const awake: SampleBlock = { timeS: Float64Array.from({ length: 3000 }, (_, i) => i / 10), currentA: Float32Array.from({ length: 3000 }, (_, i) => 0.3 + 0.002 * (i % 2)), voltageV: null };
    const until = async (about: Partial<TraceRecord>): Promise<string | null> => (await analysed<DrainResult & { wait_until: string | null }>([awake], about, { test: 'drain' })).wait_until;
    expect(await until({})).toMatch(/^2026-03-02T/);
    expect(await until({ simulated: true })).toBeNull();
    expect(await until({ logger: { name: TAKEN_IN, serial: null, firmware: null, source: '' } })).toBeNull();
  });

  it('knows where the sensor clips from the record, as its values are read', async () => {
    // presses with an inrush that is cut flat at 20 A
    const pressed: SampleBlock = { timeS: Float64Array.from({ length: 4000 }, (_, i) => i / 1000), currentA: Float32Array.from({ length: 4000 }, (_, i) => (i % 2000 < 500 ? 0.002 * (i % 2) : i % 2000 < 560 ? 20 : 5 + 0.05 * (i % 2))), voltageV: null };
    const current = (lowA: number, highA: number): Partial<TraceRecord> => ({ channels: [{ name: 'current', unit: 'A', range: [lowA, highA], resolution: 0.001 }] });
    const isClipped = async (about: Partial<TraceRecord>): Promise<boolean> => (await analysed<DrainResult>([pressed], about, { test: 'actuation' })).problems.some(({ code }) => code === 'clipped');
    expect(await isClipped(current(-20, 20))).toBe(true);
    expect(await isClipped(current(-60, 60))).toBe(false);
    // the end that lies further out holds
    expect(await isClipped(current(-60, 20))).toBe(false);
    expect(await isClipped(current(-20, 5))).toBe(true);
    // corrected by half, the end of the sensor at 20 A is one at 10 A
    const half = { channel: 'current' as const, at: '2026-03-01T08:00:00.000Z', by: '', temperature_c: null, due: null, zero_before: 0, zero_after: null, zero_scatter: null, zero_hours: null, points: [{ applied: 10, read: 20, tolerance_percent: 1 }], shunt: null, part: null, taken_back: null };
    expect(await isClipped({ ...current(-20, 20), calibrations: [half] })).toBe(true);
  });

  it('takes marks, options and limits of the request before those of the record', async () => {
    const drain = async (request: object): Promise<DrainResult> => analysed<DrainResult>([all], { drain_options: { limitA: 0.02 } }, { test: 'drain', ...request });
    expect((await drain({})).limit_a).toBe(0.02);
    expect((await drain({ drain: { limitA: 0.4 } })).limit_a).toBe(0.4);
  });
});
