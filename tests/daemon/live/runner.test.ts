import { EventEmitter } from 'node:events';
import type { Worker } from 'node:worker_threads';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { TestSettings } from '../../../src/core/wire/messages.ts';
import type { SampleBlock } from '../../../src/core/trace.ts';
import { LiveAnalysisRunner } from '../../../src/daemon/live/analysis.ts';
import { correctBy } from '../../../src/daemon/live/correct.ts';
import { zeroStepOf } from '../../../src/daemon/recording/capture-record.ts';
import type { LiveOrder } from '../../../src/daemon/threads/live-worker.ts';
import { blockAt } from '../stand.ts';

const SETTINGS: TestSettings = { test: 'drain', actuation: { runLimitsA: [3, 5] }, drain: { limitA: 0.03 }, jobId: null, title: '' };
const KNOWN = { calibration: zeroStepOf(null), calibrations: [], startedAtMs: null };
const NOTHING = { blocks: [], gaps: [], marks: [], ranges: [] };

/** A runner whose thread is in the hand of the test: what it was told, and an answer to each question. */
function bench({ answers = true } = {}) {
  const told: LiveOrder[] = [];
  const asked: number[] = [];
  const threads: EventEmitter[] = [];
  const results: number[] = [];
  const faults: string[] = [];
  const startWorker = (): Worker => {
    const thread = Object.assign(new EventEmitter(), {
      unref: () => undefined,
      terminate: async () => 0,
      postMessage({ id, work }: { id: number; work: LiveOrder }) {
        if (id === 0) return void told.push(work);
        asked.push(id);
        if (answers) setImmediate(() => thread.emit('message', { id, value: { result: { n: told.length }, costMs: 0 } }));
      },
    });
    threads.push(thread);
    return thread as unknown as Worker;
  };
  const runner = new LiveAnalysisRunner({ clock: { nowMs: () => 0, date: () => new Date(0) }, onResult: ({ offsetS }) => results.push(offsetS), onFault: (text) => faults.push(text), startWorker, isWatched: () => false });
  onTestFinished(() => runner.close());
  const blocks = (): SampleBlock[] => told.flatMap((order) => (order.do === 'samples' ? [order.block] : []));
  return { runner, told, asked, threads, results, faults, blocks };
}

const rows = (count: number, startS = 0): SampleBlock => ({ timeS: Float64Array.from({ length: count }, (_, i) => startS + i / 1000), currentA: new Float32Array(count), voltageV: null });

describe('the live analysis is told', () => {
  it('the test with what is known of the sensor and of the clock, what a person typed in first', async () => {
    const { runner, told } = bench();
    runner.restart(SETTINGS, { ...KNOWN, startedAtMs: 5000, calibration: { ...zeroStepOf(null), offset_doubt_a: 1.959964, gain_doubt_percent: 1.959964 } }, 0, NOTHING);
    await runner.resultNow();
    expect(told[0]).toMatchObject({ do: 'restart', test: 'drain', actuation: { runLimitsA: [3, 5], zeroUncertaintyA: expect.closeTo(1, 5) }, drain: { limitA: 0.03, startedAtMs: 5000, zeroUncertaintyA: expect.closeTo(1, 5) } });
    runner.restart({ ...SETTINGS, drain: { zeroUncertaintyA: 0.5 } }, { ...KNOWN, calibration: { ...zeroStepOf(null), offset_doubt_a: 1.959964 } }, 0, NOTHING);
    await runner.resultNow();
    expect(told.at(-1)).toMatchObject({ drain: { zeroUncertaintyA: 0.5 } });
    expect((told.at(-1) as { drain: object }).drain).not.toHaveProperty('startedAtMs');
  });

  it('what is here already in the order it came, in the time of the recording', async () => {
    const { runner, told } = bench();
    runner.restart(SETTINGS, KNOWN, 10, { blocks: [rows(1000, 10), rows(1000, 13)], gaps: [{ startS: 10.999, endS: 13 }], marks: [{ timeS: 12, kind: 'pull', label: 'F1' }], ranges: [{ atS: 13.5, fromA: 1, toA: 2 }, { atS: 9, fromA: 2, toA: 1 }] });
    await runner.resultNow();
    expect(told.map((order) => (order.do === 'samples' ? [order.block.timeS[0], order.block.timeS.length] : order.do === 'restart' ? 'restart' : order))).toEqual([
      'restart', [0, 1000], { do: 'gap', gap: { startS: 0.999, endS: 3 } }, [3, 1000],
      { do: 'mark', mark: { timeS: 2, kind: 'pull', label: 'F1' } }, { do: 'range', change: { atS: 3.5, fromA: 1, toA: 2 } }, { do: 'range', change: { atS: 0, fromA: 2, toA: 1 } },
    ]);
  });

  it('samples in one piece, from 16,384 on at once, in memory of their own', async () => {
    const { runner, told, blocks } = bench();
    runner.restart(SETTINGS, KNOWN, 0, NOTHING);
    const block = { ...blockAt(0, 100), currentA: new Float32Array(100).fill(2) };
    runner.samples(block);
    runner.samples(rows(16_283, 1));
    expect(blocks()).toEqual([]);
    runner.samples(rows(1, 30));
    expect(blocks().map(({ timeS }) => timeS.length)).toEqual([100, 16_284]);
    expect(blocks()[0]!.currentA).toEqual(block.currentA);
    expect(blocks()[0]!.currentA.buffer).not.toBe(block.currentA.buffer);
    runner.samples(rows(5, 40));
    runner.gap({ startS: 40.004, endS: 41 });
    expect(told.slice(-2).map((order) => order.do)).toEqual(['samples', 'gap']);
  });

  it('no more than 131,072 samples in one turn, and all of them before the next question is answered', async () => {
    const { runner, blocks } = bench();
    runner.restart(SETTINGS, KNOWN, 0, NOTHING);
    for (let i = 0; i < 20; i++) runner.samples(rows(16_384, 20 * i));
    expect(blocks()).toHaveLength(8);
    const result = await runner.resultNow();
    expect(blocks()).toHaveLength(20);
    expect(result).toEqual({ n: 21 });
  });

  it('nothing of a test that was ended meanwhile: its answer is of nobody', async () => {
    const { runner, results } = bench();
    runner.restart(SETTINGS, KNOWN, 3, NOTHING);
    const old = runner.resultNow();
    runner.restart(SETTINGS, KNOWN, 7, NOTHING);
    expect(runner.latest).toBeNull();
    await old;
    expect([results, runner.latest]).toEqual([[], null]);
    await runner.resultNow();
    expect([results, runner.latest]).toEqual([[7], expect.objectContaining({ offsetS: 7 })]);
  });
});

describe('the thread of the live analysis that dies', () => {
  it('is said once, answers nobody any more, and is started anew with the next test', async () => {
    const { runner, threads, faults, told } = bench({ answers: false });
    runner.restart(SETTINGS, KNOWN, 0, NOTHING);
    const waits = runner.resultNow();
    await new Promise((resolve) => setImmediate(resolve));
    threads[0]!.emit('error', new Error('out of memory'));
    threads[0]!.emit('exit');
    expect(await waits).toBeNull();
    expect(faults).toHaveLength(1);
    expect(faults[0]).toContain('out of memory');
    const before = told.length;
    runner.samples(rows(20_000));
    runner.mark({ timeS: 1, kind: 'note', label: '' });
    expect([await runner.resultNow(), told.length, threads.length]).toEqual([null, before, 1]);
    runner.restart(SETTINGS, KNOWN, 0, NOTHING);
    // a thread has its cost: there is one once there is something to analyse
    expect([threads.length, told.length]).toEqual([1, before]);
    runner.samples(rows(20_000));
    expect([threads.length, told.slice(before).map((order) => order.do)]).toEqual([2, ['restart', 'samples']]);
  });

  it('or that says what went wrong, is believed; a closed runner asks nothing more', async () => {
    const { runner, threads, faults, told, asked } = bench({ answers: false });
    runner.restart(SETTINGS, KNOWN, 0, NOTHING);
    const waits = runner.resultNow();
    threads[0]!.emit('message', { id: asked[0], fault: { code: 'internal', text: 'a fault of its own' } });
    expect(await waits).toBeNull();
    await new Promise((resolve) => setImmediate(resolve));
    expect(faults.map((text) => text.includes('a fault of its own'))).toEqual([true]);
    runner.restart(SETTINGS, KNOWN, 0, NOTHING);
    const before = told.length;
    await runner.close();
    runner.samples(rows(20_000));
    runner.restart(SETTINGS, KNOWN, 0, NOTHING);
    expect([await runner.resultNow(), told.length]).toEqual([null, before]);
  });
});

describe('live values', () => {
  const block = { timeS: new Float64Array(2), currentA: Float32Array.of(1, 2), voltageV: Float32Array.of(12, 13) };
  const point = { channel: 'current' as const, at: '2026-03-01T08:00:00.000Z', by: 'R.', temperature_c: null, due: null, zero_before: 0.5, zero_after: null, zero_scatter: null, zero_hours: null, points: [{ applied: 10, read: 5.5, tolerance_percent: 1 }], shunt: null, part: null, taken_back: null };

  it('are corrected as those of a stored trace: 10 A for 5.5 A read with a zero of 0.5 A is twice what is above the zero', () => {
    const correct = correctBy({ calibration: zeroStepOf(null), calibrations: [point] });
    expect(Array.from(correct(block).currentA)).toEqual([1, 3].map((value) => expect.closeTo(value, 5) as number));
    expect(Array.from(correct(block).voltageV!)).toEqual([12, 13]);
    expect(correct({ ...block, voltageV: null }).voltageV).toBeNull();
  });

  it('are as they came where nothing holds, in memory of their own', () => {
    for (const known of [null, { calibration: zeroStepOf(null), calibrations: [{ ...point, taken_back: '2026-03-02T08:00:00.000Z' }] }]) {
      const { currentA } = correctBy(known)(block);
      expect(Array.from(currentA)).toEqual([1, 2]);
      expect(currentA.buffer).not.toBe(block.currentA.buffer);
    }
  });
});
