import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { openTrace } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { blockAt, startStand } from '../stand.ts';
import { desk } from './desk.ts';

async function samplesOf(path: string): Promise<{ samples: number; end: string; cause: string | null }> {
  const reader = await openTrace(path);
  await reader.close();
  return { samples: reader.samples, end: reader.record.end, cause: reader.record.end_cause };
}

describe('the recorder', () => {
  it('does not lose a stop that comes while the recording starts: the trace is closed with what came up to it', async () => {
    const { recorder, feed, letGo, traces } = desk();
    feed(blockAt(0, 100));
    const started = recorder.start();
    feed(blockAt(0.1, 100));
    const stopped = recorder.stop('stopped');
    feed(blockAt(0.2, 100));
    await new Promise((resolve) => setImmediate(resolve));
    letGo();
    expect(await stopped).toBeNull();
    expect(await started).toBeNull();
    expect(recorder.busy).toBe(false);
    expect(recorder.view).toBeNull();
    expect(await samplesOf(traces[0]!)).toEqual({ samples: 200, end: 'ended', cause: 'stopped' });
  });

  it('in the daemon: start and stop in one breath leave a closed trace and no recording', async () => {
    const stand = await startStand();
    const page = await stand.page();
    stand.source.send(blockAt(0, 1000));
    page.send({ type: 'record', do: 'start' });
    page.send({ type: 'record', do: 'stop' });
    await page.next('recording', ({ recording, text }) => recording === null && text.startsWith('Stopped.'), 0);
    stand.source.send(blockAt(1, 1000));
    const [trace] = (await (await stand.api('/api/traces')).json()) as { record: { end: string; samples: number } }[];
    expect(trace!.record).toMatchObject({ end: 'ended', samples: 1000 });
    expect(page.last('recording')!.recording).toBeNull();
  });

  it.each(['lost', 'failed', 'ended'] as const)('starts nothing from a source that is %s', async (state) => {
    const { recorder, feed, facts, traces } = desk();
    feed(blockAt(0, 100));
    facts.state = state;
    expect(await recorder.start()).toMatch(/not sending|sends nothing more/);
    expect(recorder.busy).toBe(false);
    expect(traces).toEqual([]);
  });

  it('comes to rest whatever order starts, stops, readings and the disk take, and every trace holds just what came between its start and its stop', async () => {
    const step = fc.constantFrom('start' as const, 'stop' as const, 'feed' as const, 'disk' as const);
    await fc.assert(
      fc.asyncProperty(fc.array(step, { maxLength: 14 }), async (steps) => {
        const { recorder, feed, letGo, traces } = desk();
        const open: Promise<unknown>[] = [];
        const wanted: number[] = [];
        let next = 0;
        let counting = false;
        const feedOne = (): void => {
          feed(blockAt(next++ * 0.1, 10, 100));
          if (counting) wanted[wanted.length - 1]! += 10;
        };
        feedOne();
        for (const what of steps) {
          if (what === 'feed') feedOne();
          else if (what === 'disk') letGo();
          else if (what === 'stop') {
            open.push(recorder.stop('stopped'));
            counting = false;
          } else if (!recorder.busy) {
            open.push(recorder.start());
            counting = true;
            // the block before is in it
            wanted.push(10);
          }
          await new Promise((resolve) => setImmediate(resolve));
        }
        open.push(recorder.stop('stopped'));
        const all = Promise.all(open);
        let done = false;
        void all.then(() => (done = true));
        while (!done) {
          letGo();
          await new Promise((resolve) => setTimeout(resolve, 1));
        }
        await recorder.stop('shutdown');
        expect(recorder.busy).toBe(false);
        const held = await Promise.all(traces.map(samplesOf));
        expect(held).toEqual(wanted.map((samples) => ({ samples, end: 'ended', cause: 'stopped' })));
      }),
      { numRuns: 25 },
    );
  });
});

describe('what a page is sent once a second', () => {
  it('is the age of the newest reading and of the newest line, and whether anything is recorded; it comes also when nothing else does', async () => {
    let nowMs = 1000;
    const stand = await startStand({ clock: { nowMs: () => nowMs, date: () => new Date('2026-03-02T08:00:00Z') } });
    const page = await stand.page();
    expect(await page.next('status', () => true, 0)).toMatchObject({ state: 'live', readingAgeS: null, lineAgeS: null, recording: false });
    stand.source.send(blockAt(0, 100));
    page.send({ type: 'record', do: 'start' });
    await page.next('recording', ({ recording }) => recording !== null, 0);
    nowMs += 7500;
    expect(await page.next('status', ({ readingAgeS }) => readingAgeS === 7.5)).toMatchObject({ recording: true, simulated: false });
  });

  it('says how much of the readings a line loses and which rate would hold, while it is so', async () => {
    const stand = await startStand({});
    const page = await stand.page();
    expect(await page.next('status', () => true, 0)).not.toHaveProperty('overload');
    stand.source.losing = { lost: 0.2, rateHz: 50_000, arrivedHz: 40_000, heldRateHz: 20_000, damaged: false };
    expect((await page.next('status', ({ overload }) => overload !== undefined)).overload).toEqual({ lost: 0.2, rateHz: 50_000, arrivedHz: 40_000, heldRateHz: 20_000, damaged: false });
    stand.source.losing = null;
    await page.next('status', ({ overload }) => overload === undefined);
  });
});
