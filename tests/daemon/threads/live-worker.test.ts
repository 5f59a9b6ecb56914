import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { language } from '../../../src/core/present/language.ts';
import { createLiveActuation } from '../../../src/core/present/documents/document-motor.ts';
import { createLiveDrain } from '../../../src/core/present/documents/document-night.ts';
import type { LiveAnalysis } from '../../../src/core/analysis/live.ts';
import type { AnalysisResult, TestKind } from '../../../src/core/analysis/results.ts';
import type { SampleBlock } from '../../../src/core/trace.ts';
import { Channel } from '../../../src/daemon/threads/channel.ts';
import type { LiveAnswer, LiveOrder } from '../../../src/daemon/threads/live-worker.ts';
import { startWorker } from '../../../src/daemon/threads/start-worker.ts';
import { recording, slice } from '../store/kit.ts';

const channelTo = (): Channel<LiveOrder> => new Channel<LiveOrder>({ start: () => startWorker('live-worker'), what: 'The live analysis' });
let shared = channelTo();
beforeAll(() => void (shared = channelTo()));
afterAll(() => shared.close());

const restart = (test: TestKind): LiveOrder => ({ do: 'restart', test, actuation: { runLimitsA: [1, 2] }, drain: { limitA: 0.02, batteryAh: 60 } });
const resultOf = async (channel = shared): Promise<AnalysisResult> => ((await channel.ask({ do: 'result' })) as LiveAnswer).result;

/** What the same orders come to in this thread. */
function alike(analysis: LiveAnalysis<AnalysisResult>, orders: readonly LiveOrder[]): AnalysisResult {
  for (const order of orders) {
    if (order.do === 'samples') analysis.push(order.block);
    else if (order.do === 'gap') analysis.gap(order.gap);
    else if (order.do === 'mark') analysis.mark(order.mark);
    else if (order.do === 'range') analysis.range?.(order.change);
  }
  return analysis.result();
}

const all = recording(20_000, 1000, 8);
const ORDERS: readonly LiveOrder[] = [
  { do: 'samples', block: slice(all, 0, 9000) },
  { do: 'gap', gap: { startS: all.timeS[8999]!, endS: all.timeS[10_000]! } },
  { do: 'range', change: { atS: 10, fromA: 0.001, toA: 0.1 } },
  { do: 'samples', block: slice(all, 10_000, 20_000) },
  { do: 'mark', mark: { timeS: 12, kind: 'pull', label: 'F7' } },
];

describe('the thread of the live analysis', () => {
  it('does what the analysis of this thread does, for both tests, and says what that cost', async () => {
    for (const [test, analysis] of [['actuation', createLiveActuation({ runLimitsA: [1, 2] })], ['drain', createLiveDrain({ limitA: 0.02, batteryAh: 60 })]] as const) {
      shared.tell(restart(test));
      for (const order of ORDERS) shared.tell(order);
      const answer = (await shared.ask({ do: 'result' })) as LiveAnswer;
      expect(answer.result).toEqual(alike(analysis as LiveAnalysis<AnalysisResult>, ORDERS));
      expect(answer.result.trace.samples).toBe(19_000);
      expect(answer.result.trace.gaps).toHaveLength(1);
      // nothing is free, and nothing here takes ten seconds
      expect(answer.costMs).toBeGreaterThan(0);
      expect(answer.costMs).toBeLessThan(10_000);
    }
  });

  it('begins anew with each test', async () => {
    shared.tell(restart('drain'));
    shared.tell({ do: 'samples', block: slice(all, 0, 500) });
    shared.tell(restart('drain'));
    shared.tell({ do: 'samples', block: slice(all, 0, 100) });
    expect((await resultOf()).trace.samples).toBe(100);
  });

  it('answers with the newest five hundred gaps', async () => {
    shared.tell(restart('drain'));
    const block = (atS: number): SampleBlock => ({ timeS: Float64Array.from([atS, atS + 0.1]), currentA: Float32Array.from([0.03, 0.03]), voltageV: null });
    for (let i = 0; i <= 501; i++) {
      if (i > 0) shared.tell({ do: 'gap', gap: { startS: 5 * (i - 1) + 0.1, endS: 5 * i } });
      shared.tell({ do: 'samples', block: block(5 * i) });
    }
    const { gaps } = (await resultOf()).trace;
    expect([gaps.length, gaps[0]!.end_s, gaps[499]!.end_s]).toEqual([500, 10, 2505]);
  });

  it('that went wrong answers every question by that, until the next test; before the first it knows of none', async () => {
    const channel = channelTo();
    onTestFinished(() => channel.close());
    for (const order of ORDERS) channel.tell(order);
    await expect(channel.ask({ do: 'result' })).rejects.toMatchObject({ code: 'internal', message: language.daemon.running.liveWorker.noAnalysisWasStarted });
    channel.tell(restart('drain'));
    channel.tell({ do: 'samples', block: null as never });
    channel.tell({ do: 'samples', block: slice(all, 0, 100) });
    const fault = await channel.ask({ do: 'result' }).then(() => 'none', (error: Error) => error.message);
    expect(fault).toMatch(/null/);
    await expect(channel.ask({ do: 'result' })).rejects.toThrow(fault);
    channel.tell(restart('drain'));
    channel.tell({ do: 'samples', block: slice(all, 0, 100) });
    expect((await resultOf(channel)).trace.samples).toBe(100);
  });
});
