import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { chargeBetween } from '../../../src/core/analysis/charge.ts';
import { joinBlocks, type Trace } from '../../../src/core/trace.ts';
import { traceWindow } from '../../core/trace-window.ts';
import type { ChargeView, TraceDetail } from '../../../src/core/wire/api.ts';
import { liveCharge, type LiveCharge } from '../../../src/daemon/live/charge.ts';
import { chargeStored } from '../../../src/daemon/store/samples/reading/charge.ts';
import { openTrace } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { blockAt, startStand } from '../stand.ts';
import { capture, recording, scratch, slice } from '../store/kit.ts';

describe('charge of a stretch of live time', () => {
  const folder = scratch();
  // recorded from live second 100 on; a gap at 130 s; memory holds the last 40 s, the disk all but the last 3
  const gap = { startS: 129.999, endS: 133 };
  const parts = [recording(30_000, 1000, 1, 100), recording(70_000, 1000, 2, 133)] as const;
  const all: Trace = joinBlocks(parts, [gap]);
  const lastS = all.timeS[all.timeS.length - 1]!;
  const ring = {
    lastS,
    rawFromS: lastS - 40,
    rawBlocks: (fromS: number, toS: number) => {
      const { timeS, currentA, voltageV } = traceWindow(all, Math.max(fromS, lastS - 40), toS);
      // in pieces, as memory gives them
      return [{ timeS: timeS.subarray(0, 7000), currentA: currentA.subarray(0, 7000), voltageV }, { timeS: timeS.subarray(7000), currentA: currentA.subarray(7000), voltageV }].filter((block) => block.timeS.length > 0);
    },
  };
  const stored = async (fromS: number, toS: number): Promise<ChargeView> => {
    const reader = await openTrace(join(folder, 'recorded'));
    try {
      return await chargeStored(reader, fromS, toS);
    } finally {
      await reader.close();
    }
  };
  const whole: LiveCharge = { ring, gaps: [gap], recordedFromS: 100, recordedCharge: stored };

  it('is that of all samples, wherever they are: on the disk, in memory, over a gap', async () => {
    const onDisk = (block: (typeof parts)[number]): typeof block => ({ ...slice(block, 0, block.timeS.length), timeS: block.timeS.map((timeS) => timeS - 100) });
    await capture(join(folder, 'recorded'), { pieces: [onDisk(parts[0]), { startS: 29.999, endS: 33 }, onDisk(slice(parts[1], 0, 67_000))] });
    for (const [fromS, toS] of [[101, 129], [105.5, 202.9], [129.5, 150], [150, 202], [170, 180], [195, 202.99], [201, 202], [100, 900]] as const) {
      const counted = await liveCharge(whole, fromS, toS);
      const wanted = chargeBetween(all, fromS, Math.min(toS, lastS));
      expect(counted.charge_c, `${fromS} to ${toS}`).toBeCloseTo(wanted.chargeC, 2);
      expect(counted.duration_s - counted.gap_s).toBeCloseTo(wanted.measuredS, 2);
      expect(counted.mean_a).toBeCloseTo(wanted.meanA, 2);
    }
  });

  it('without a recording reaches back as far as memory does, and says so beyond', async () => {
    const live: LiveCharge = { ...whole, recordedFromS: null };
    expect((await liveCharge(live, lastS - 39, lastS - 1)).charge_c).toBeCloseTo(chargeBetween(all, lastS - 39, lastS - 1).chargeC, 3);
    await expect(liveCharge(live, 110, 202)).rejects.toThrow(/before the samples that are still kept\. Record, and measure it in the recording/);
    await expect(liveCharge({ ...whole, recordedFromS: 150 }, 110, 202)).rejects.toThrow(/before the samples/);
    await expect(liveCharge(live, 500, 600)).rejects.toThrow(/holds no samples/);
  });

  it('is what the daemon answers a page, recording or not', async () => {
    const stand = await startStand();
    const page = await stand.page();
    stand.source.send(blockAt(0, 5000, 1000, () => 2));
    const charge = async (): Promise<ChargeView> => (await (await stand.api('/api/live/charge?from=1&to=4')).json()) as ChargeView;
    expect(await charge()).toMatchObject({ charge_c: expect.closeTo(6, 4), gap_s: expect.closeTo(0, 6) });
    page.send({ type: 'record', do: 'start' });
    await page.next('recording', ({ recording: running }) => running !== null, 0);
    stand.source.send(blockAt(5, 30_000, 1000, () => 2));
    await page.until(() => (page.frames.at(-1)?.endS ?? 0) > 34);
    expect((await charge()).charge_c).toBeCloseTo(6, 4);
    expect((await stand.api('/api/live/charge?from=4&to=1')).status).toBe(400);
  });

  it('is kept as a stretch of the running recording, in the time of the file, and refused before it or ahead of now', async () => {
    const stand = await startStand();
    const page = await stand.page();
    stand.source.send(blockAt(50, 5000, 1000));
    page.send({ type: 'record', do: 'start' });
    const started = (await page.next('recording', ({ recording: running }) => running !== null, 0)).recording!;
    stand.source.send(blockAt(55, 5000, 1000));
    page.send({ type: 'mark', kind: 'stretch', label: 'dip', atS: 56, endS: 57.5 });
    const { mark } = await page.next('mark', () => true, 0);
    expect(mark).toEqual({ timeS: 56, endS: 57.5, kind: 'stretch', label: 'dip' });
    for (const wrong of [{ atS: 10, endS: 12 }, { atS: 58, endS: 9000 }, { atS: 58, endS: 57 }, { atS: 58 }, { endS: 58 }]) {
      page.send({ type: 'mark', kind: 'stretch', label: '', ...wrong });
      expect((await page.next('refused', () => true)).what, JSON.stringify(wrong)).toBe('mark');
    }
    page.send({ type: 'record', do: 'stop' });
    await page.next('recording', ({ recording: running }) => running === null);
    const detail = (await (await stand.api(`/api/traces/${started.jobId}/${started.traceId}`)).json()) as TraceDetail;
    expect(detail.marks).toEqual([{ timeS: 56 - started.startS, endS: 57.5 - started.startS, kind: 'stretch', label: 'dip' }]);
    expect(detail.record.gap_count).toBe(0);
  });
});
