import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { thinningFor, thinningText } from '../../../src/core/tracefile/thinning.ts';
import type { ArmSettings } from '../../../src/core/wire/messages.ts';
import { findScenario } from '../../../src/simulate/scenarios.ts';
import { openTrace } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { blockAt, startStand, type Stand } from '../stand.ts';

const STOPS = { stopAfterS: null, stopAfterBytes: null, stopWhenAsleep: false };

async function stored(stand: Stand, { jobId, traceId }: { jobId: string; traceId: string }): Promise<{ record: Awaited<ReturnType<typeof openTrace>>['record']; samples: number; firstA: number; lastS: number }> {
  const reader = await openTrace(join(stand.dataDir, 'jobs', jobId, traceId));
  const { record, samples, lastS } = reader;
  const firstA = (await reader.load(0, 0.01)).currentA[0]!;
  await reader.close();
  return { record, samples, firstA, lastS };
}

describe('an armed recording', () => {
  it('stops at its size, with the seconds before its start in it', async () => {
    const stand = await startStand();
    const page = await stand.page();
    const arm: ArmSettings = { ...STOPS, startOn: { kind: 'level', levelA: 5 }, beforeS: 3, stopAfterBytes: 200_000 };
    // the current is past the level when armed: nothing starts, and the page is told why
    stand.source.send(blockAt(0, 1000, 1000, () => 6));
    page.send({ type: 'arm', arm });
    await page.next('recording', ({ armed }) => armed !== null, 0);
    stand.source.send(blockAt(1, 1000, 1000, () => 6));
    expect((await page.next('recording', ({ text }) => text.includes('must fall below first'), 0)).recording).toBeNull();
    for (let second = 2; second < 10; second++) stand.source.send(blockAt(second, 1000, 1000, () => 0.5));
    expect((await page.next('recording', ({ text }) => text.includes('when the current passes 5.00 A'), page.messages.length - 1)).recording).toBeNull();
    stand.source.send(blockAt(10, 1000, 1000, () => 7));
    const { recording } = await page.next('recording', (message) => message.recording !== null, 0);
    expect(recording!.startS).toBeCloseTo(7, 6);
    for (let second = 11; page.last('recording')!.recording !== null; second++) {
      const frames = page.frames.length;
      stand.source.send(blockAt(second, 1000, 1000, () => 7));
      await page.until(() => page.frames.length > frames || page.last('recording')!.recording === null);
    }
    expect(page.last('recording')!.text).toMatch(/size/);
    const trace = await stored(stand, recording!);
    expect(trace.record).toMatchObject({ end: 'ended', end_cause: 'size' });
    expect(trace.firstA).toBeCloseTo(0.5, 5);
    expect(trace.samples * 16).toBeGreaterThan(199_000);
    expect(trace.samples * 16).toBeLessThan(600_000);
  });

  it('stops once the vehicle sleeps, as the analysis of what was recorded says', async () => {
    const stand = await startStand();
    const page = await stand.page();
    page.send({ type: 'test', settings: { test: 'drain', actuation: {}, drain: {}, jobId: null, title: 'night' } });
    await page.next('test', ({ settings }) => settings.test === 'drain', 0);
    const vehicle = findScenario('minibus-sleeps')!.start(5);
    const first = vehicle.next(1000);
    stand.source.send(first);
    page.send({ type: 'arm', arm: { ...STOPS, startOn: { kind: 'now' }, beforeS: 0, stopWhenAsleep: true } });
    await page.next('recording', ({ armed }) => armed !== null, 0);
    let begun: { jobId: string; traceId: string } | null = null;
    for (let sent = 0; begun === null || page.last('recording')!.recording !== null; ) {
      const block = vehicle.next(1000);
      sent = block.timeS[block.timeS.length - 1]!;
      stand.source.send(block);
      // the vehicle is faster than the analysis, which speaks twice a second
      await page.until(() => (page.last('result')?.result.trace.duration_s ?? 0) > sent - 700 || (begun !== null && page.last('recording')!.recording === null));
      begun ??= page.last('recording')!.recording;
      expect(sent, 'still awake after an hour').toBeLessThan(3600);
    }
    expect(page.last('recording')!.text).toBe('Stopped by itself: the vehicle sleeps.');
    const trace = await stored(stand, begun!);
    expect(trace.record).toMatchObject({ end_cause: 'asleep', test: 'drain', title: 'night' });
    // the scenario's own truth: one controller stays up for 20 minutes
    expect(trace.lastS).toBeGreaterThan(1190);
  });
});

describe('a recording that keeps the full rate only around changes', () => {
  it('says so in trace.json, keeps the change whole and a few samples a second of the rest', async () => {
    const stand = await startStand();
    const page = await stand.page();
    page.send({ type: 'test', settings: { test: 'drain', actuation: {}, drain: {}, jobId: null, title: 'long', thinA: 0.2 } });
    await page.next('test', ({ settings }) => settings.thinA === 0.2, 0);
    stand.source.send(blockAt(0, 1000, 1000, () => 0.03));
    page.send({ type: 'record', do: 'start' });
    const { recording } = await page.next('recording', (message) => message.recording !== null, 0);
    for (let second = 1; second < 120; second++) stand.source.send(blockAt(second, 1000, 1000, (timeS) => (timeS >= 60 && timeS < 60.2 ? 4 : 0.03)));
    page.send({ type: 'record', do: 'stop' });
    await page.next('recording', (message) => message.recording === null);
    const trace = await stored(stand, recording!);
    expect(trace.record.thinning!.policy).toBe(thinningText(thinningFor(0.2)));
    // full rate: 11 s at the beginning, 10 s before and after the change; three samples of each other second
    expect(trace.record.thinning!.kept_full_rate.map(({ start_s: startS, end_s: endS }) => [Math.round(startS), Math.round(endS)])).toEqual([[0, 11], [50, 71]].map((span) => span.map((at) => expect.closeTo(at, -0.7) as number)));
    expect(trace.samples).toBeGreaterThan(30_000);
    expect(trace.samples).toBeLessThan(36_000);
    expect(trace.lastS).toBeGreaterThan(118);
  });
});
