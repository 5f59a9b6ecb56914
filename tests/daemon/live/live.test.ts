import { connect } from 'node:net';
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../analyse.ts';
import type { SampleBlock } from '../../../src/core/trace.ts';
import type { ArmSettings } from '../../../src/core/wire/messages.ts';
import { decodeSampleFrame } from '../../../src/core/wire/sample-frame.ts';
import { openTrace } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { findScenario } from '../../../src/simulate/scenarios.ts';
import { blockAt, openSocket, startStand, type Stand, type TestPage } from '../stand.ts';

function seen(page: TestPage): number {
  return page.frames.reduce((sum, frame) => sum + frame.timeS.length, 0);
}

/** Sends blocks one after the other, each once the page has the one before, so that none is reduced. */
async function feed(stand: Stand, page: TestPage, blocks: readonly SampleBlock[]): Promise<void> {
  let expected = seen(page);
  for (const block of blocks) {
    stand.source.send(block);
    expected += block.timeS.length;
    const wanted = expected;
    await page.until(() => seen(page) >= wanted);
  }
}

async function liveWindow(stand: Stand, fromS: number, toS: number, columns: number): Promise<Exclude<ReturnType<typeof decodeSampleFrame>, string>> {
  const answer = await stand.api(`/api/live/window?from=${fromS}&to=${toS}&columns=${columns}`);
  expect(answer.status).toBe(200);
  const frame = decodeSampleFrame(await answer.arrayBuffer());
  if (typeof frame === 'string') throw new Error(frame);
  return frame;
}

describe('live samples', () => {
  it('reach several pages as the same bytes, without loss and in order', async () => {
    const stand = await startStand();
    const pages = await Promise.all([stand.page(), stand.page(), stand.page()]);
    const blocks = Array.from({ length: 20 }, (_, i) => blockAt(i * 0.05, 50));
    await feed(stand, pages[0]!, blocks);
    await Promise.all(pages.map((page) => page.until(() => seen(page) === 1000)));
    for (const page of pages) {
      expect(page.rawFrames).toEqual(pages[0]!.rawFrames);
      expect(page.frames.map(({ sequence }) => sequence)).toEqual(page.frames.map((_, i) => i));
      expect(page.frames.every(({ reduced }) => !reduced)).toBe(true);
    }
    expect(pages[0]!.frames.flatMap((frame) => Array.from(frame.timeS))).toEqual(blocks.flatMap((block) => Array.from(block.timeS)));
  });

  it('come as few frames that keep every peak when the rate is high', async () => {
    const stand = await startStand();
    const page = await stand.page();
    stand.source.send(blockAt(0, 1, 1000));
    // one second at 50 kHz at once, one sample of which stands out
    const block = blockAt(1, 50_000, 50_000, (timeS) => (Math.abs(timeS - 1.5) < 1e-6 ? 25 : 1));
    stand.source.send(block);
    await page.until(() => seen(page) > 1);
    const frame = page.frames.at(-1)!;
    expect(frame.reduced).toBe(true);
    expect(frame.timeS.length).toBeLessThanOrEqual(64 * 6);
    expect(Math.max(...frame.currentA)).toBe(25);
    expect([frame.timeS[0], frame.timeS.at(-1)]).toEqual([1, block.timeS.at(-1)]);
  });

  it('carry a reading with mean, peak and whether the sensor was at its end', async () => {
    const stand = await startStand();
    const page = await stand.page();
    stand.source.send(blockAt(0, 100, 1000, (timeS) => (timeS < 0.05 ? 1 : 3)));
    const first = await page.until(() => page.last('reading'));
    expect(first).toMatchObject({ voltageV: 12.5, peakA: 3, overRange: false });
    expect(first.currentA).toBeCloseTo(2, 6);
    expect(first.atS).toBeCloseTo(0.099, 6);
    // 30 A is the end of this logger's range
    for (let at = 1; page.last('reading')!.overRange === false; at++) {
      const frames = page.frames.length;
      stand.source.send(blockAt(at, 100, 1000, () => 30));
      await page.until(() => page.frames.length > frames);
    }
    expect(page.last('reading')).toMatchObject({ overRange: true, peakA: 30 });
  });

  it('can be asked for again as a window, reduced to what the columns need', async () => {
    const stand = await startStand();
    const blocks = Array.from({ length: 20 }, (_, i) => blockAt(i * 0.5, 500));
    for (const block of blocks) stand.source.send(block);
    const few = await liveWindow(stand, 2, 2.1, 100);
    expect(Array.from(few.timeS)).toEqual(Array.from(blockAt(2, 500).timeS).slice(0, 100));
    const all = await liveWindow(stand, 0, 10, 100);
    expect(all.reduced).toBe(true);
    expect(all.timeS.length).toBeLessThanOrEqual(400);
    expect(Math.max(...all.currentA)).toBe(Math.max(...blocks.flatMap((block) => Array.from(block.currentA))));
    expect((await stand.api('/api/live/window?from=0&to=0&columns=9')).status).toBe(400);
  });
});

describe('a page that does not read', () => {
  it('is skipped and hears of it, keeps memory flat, and never holds up the others', async () => {
    const stand = await startStand();
    const quick = await stand.page();
    const slow = await stand.page();
    slow.socket.pause();
    // messages of 250 points and 16 bytes: more than socket buffers and the bound can take
    const blocks = 4000;
    let most = 0;
    for (let i = 0; i < blocks && (i < 200 || most < 1024 * 1024); i++) {
      const frames = quick.frames.length;
      for (let part = 0; part < 8; part++) stand.source.sink!.notice({ atS: i, code: 'note', text: 'x'.repeat(8000) });
      stand.source.send(blockAt(i, 250));
      await quick.until(() => quick.frames.length > frames);
      most = Math.max(most, stand.daemon.connections().waitingBytes);
    }
    expect(most).toBeGreaterThan(1024 * 1024);
    for (let i = 0; i < 10; i++) {
      const frames = quick.frames.length;
      stand.source.sink!.notice({ atS: i, code: 'note', text: 'x'.repeat(8000) });
      stand.source.send(blockAt(10_000 + i, 250));
      await quick.until(() => quick.frames.length > frames);
      most = Math.max(most, stand.daemon.connections().waitingBytes);
    }
    // one message above the bound at most
    expect(most).toBeLessThan(1024 * 1024 + 16 * 1024);
    slow.socket.resume();
    // frames go on coming, and with the first that fits the page learns what it missed and what holds now
    let at = 20_000;
    while (slow.last('skipped') === undefined) {
      const frames = quick.frames.length;
      stand.source.send(blockAt(at++, 50));
      await quick.until(() => quick.frames.length > frames);
    }
    expect(slow.last('skipped')!.frames).toBeGreaterThanOrEqual(10);
    const index = slow.messages.findIndex(({ type }) => type === 'skipped');
    await slow.until(() => slow.messages.slice(index).some(({ type }) => type === 'marks'));
    expect(slow.messages.slice(index).map(({ type }) => type)).toEqual(expect.arrayContaining(['hello', 'source', 'test', 'recording', 'marks']));
  });

  it('or only opens a connection, is let go when the daemon closes', async () => {
    const stand = await startStand();
    const idle = openSocket(stand.daemon);
    await new Promise((resolve) => idle.socket.once('open', resolve));
    const half = connect(stand.daemon.port, '127.0.0.1');
    await new Promise<void>((resolve) => half.once('connect', () => resolve()));
    half.write('GET / HTTP/1.1\r\nHost: ');
    const halfClosed = new Promise((resolve) => half.once('close', resolve));
    half.on('error', () => {});
    await stand.daemon.close();
    await halfClosed;
    expect((await idle.whenClosed()).code).toBe(1001);
  });
});

describe('the zero step', () => {
  it('takes the mean of the last two seconds off everything that follows, and says how it moved', async () => {
    const stand = await startStand();
    const page = await stand.page();
    expect(page.last('zero')).toMatchObject({ zeroA: null });
    page.send({ type: 'zero', do: 'take' });
    expect((await page.next('refused', () => true, 0)).text).toContain('only 0 readings');
    const noisy = (offsetA: number) => (timeS: number) => offsetA + (Math.round(timeS * 1000) % 2 === 0 ? 0.01 : -0.01);
    stand.source.send(blockAt(0, 4000, 1000, noisy(0.25)));
    page.send({ type: 'zero', do: 'take' });
    const zero = await page.next('zero', ({ zeroA }) => zeroA !== null, 0);
    expect(zero.zeroA).toBeCloseTo(0.25, 3);
    expect(zero.noiseA).toBeCloseTo(0.01, 3);
    stand.source.send(blockAt(4, 50, 1000, () => 1.25));
    await page.until(() => page.frames.some((frame) => frame.timeS.includes(4)));
    expect(page.frames.at(-1)!.currentA.at(-1)!).toBeCloseTo(1, 3);
    // the clamp drifts by 30 mA: taken again, the step is reported
    stand.source.send(blockAt(5, 3000, 1000, noisy(0.28)));
    page.send({ type: 'zero', do: 'take' });
    const again = await page.next('zero', ({ zeroA }) => zeroA !== null && zeroA > 0.26, 0);
    expect(again.text).toMatch(/moved by 30\.0 mA since \d\d:\d\d UTC/);
    page.send({ type: 'zero', do: 'clear' });
    await page.next('zero', ({ zeroA }) => zeroA === null);
  });

  it('refuses a current that flows, and a change in the middle of a recording', async () => {
    const stand = await startStand();
    const page = await stand.page();
    stand.source.send(blockAt(0, 3000, 1000, () => 8));
    page.send({ type: 'zero', do: 'take' });
    expect((await page.next('refused')).text).toContain('Zero not set: the reading is 8.00 A');
    page.send({ type: 'record', do: 'start' });
    await page.next('recording', ({ recording }) => recording !== null);
    page.send({ type: 'zero', do: 'clear' });
    expect((await page.next('refused')).text).toContain('A recording is running');
  });
});

describe('sources', () => {
  it('are chosen from a page, with live time going on and the gap reported; not while recording', async () => {
    const stand = await startStand();
    const page = await stand.page();
    await feed(stand, page, [blockAt(0, 100)]);
    page.send({ type: 'source', do: 'choose', spec: 'hand:2' });
    await page.next('source', ({ spec }) => spec === 'hand:2', 0);
    expect(stand.sources[0]!.stopped).toBe(true);
    await feed(stand, page, [blockAt(0, 100)]);
    const gap = await page.next('gap', () => true, 0);
    expect(gap.startS).toBeCloseTo(0.099, 6);
    expect(gap.endS).toBeGreaterThan(1);
    expect(page.frames.at(-1)!.timeS[0]!).toBe(gap.endS);
    // what still comes from the old one counts no more
    stand.sources[0]!.send(blockAt(50, 10));
    page.send({ type: 'source', do: 'choose', spec: 'tape:1' });
    expect((await page.next('refused')).text).toContain('tape:1');
    page.send({ type: 'record', do: 'start' });
    await page.next('recording', ({ recording }) => recording !== null);
    page.send({ type: 'source', do: 'choose', spec: 'hand:3' });
    expect((await page.next('refused')).text).toContain('stop it before');
    expect(page.frames.flatMap((frame) => Array.from(frame.timeS)).filter((timeS) => timeS >= 50)).toEqual([]);
  });

  it('take the commands of the virtual switch, and their refusal reaches the page that asked alone', async () => {
    const stand = await startStand();
    const [page, other] = [await stand.page(), await stand.page()];
    page.send({ type: 'source', do: 'switch', position: 'forward' });
    page.send({ type: 'source', do: 'fuse', label: 'F9', fitted: false });
    expect((await page.next('refused', () => true, 0)).text).toContain('no such fuse');
    expect(stand.source.commands).toHaveLength(2);
    expect(other.last('refused')).toBeUndefined();
  });
});

describe('a recording', () => {
  it('holds the seconds before, every sample, gap and mark, while pages come and go', async () => {
    const stand = await startStand();
    const page = await stand.page();
    const settings = { test: 'drain', actuation: {}, drain: { limitA: 0.03 }, jobId: null, title: 'Van, left door' } as const;
    page.send({ type: 'test', settings });
    await page.next('test', () => true, 0);
    for (let second = 0; second < 20; second++) stand.source.send(blockAt(second, 1000));
    page.send({ type: 'record', do: 'start' });
    const started = (await page.next('recording', ({ recording }) => recording !== null, 0)).recording!;
    expect(started.title).toBe('Van, left door');
    expect(started.startS).toBeCloseTo(20 - 0.001 - 5, 6);
    await page.close();
    stand.source.send(blockAt(20, 1000));
    stand.source.sink!.gap({ startS: 20.999, endS: 25 });
    stand.source.send(blockAt(25, 1000));
    const second = await stand.page();
    expect(second.last('recording')!.recording).toMatchObject({ traceId: started.traceId });
    second.send({ type: 'mark', kind: 'pull', label: 'F12' });
    await second.next('mark', ({ mark }) => mark.label === 'F12', 0);
    second.socket.terminate();
    const third = await stand.page();
    third.send({ type: 'record', do: 'start' });
    expect((await third.next('refused')).text).toContain('running already');
    third.send({ type: 'record', do: 'stop' });
    const ended = await third.next('recording', ({ recording }) => recording === null);
    expect(ended.text).toContain('Stopped');
    const reader = await openTrace(join(stand.dataDir, 'jobs', started.jobId, started.traceId));
    const trace = await reader.load();
    expect(trace.timeS).toHaveLength(7001);
    expect(trace.timeS[0]).toBe(0);
    expect(trace.gaps).toEqual([{ startS: expect.closeTo(20.999 - started.startS, 9), endS: expect.closeTo(25 - started.startS, 9) }]);
    expect(reader.marks).toEqual([{ kind: 'pull', label: 'F12', timeS: expect.any(Number) }]);
    expect(reader.record).toMatchObject({ title: 'Van, left door', test: 'drain', drain_options: { limitA: 0.03 }, end: 'ended', end_cause: 'stopped', logger: { name: 'hand', serial: 'H1', source: 'hand:1' } });
    expect(reader.record.channels[0]).toEqual({ name: 'current', unit: 'A', range: [-30, 30], resolution: 0.001 });
    await reader.close();
  });

  it('is closed cleanly when the daemon is closed, and when the source ends', async () => {
    const stand = await startStand();
    const page = await stand.page();
    stand.source.send(blockAt(0, 1000));
    page.send({ type: 'record', do: 'start' });
    const first = (await page.next('recording', ({ recording }) => recording !== null)).recording!;
    stand.source.sink!.state({ state: 'ended', text: 'The trace has been played to its end.' });
    expect((await page.next('recording', ({ recording }) => recording === null)).text).toContain('played to its end');
    // nothing is recorded from a source that sends nothing more
    page.send({ type: 'record', do: 'start' });
    expect((await page.next('refused')).text).toMatch(/has ended and sends nothing more/);
    stand.source.sink!.state({ state: 'live', text: 'Sending.' });
    stand.source.send(blockAt(1, 1000));
    page.send({ type: 'record', do: 'start' });
    const second = (await page.next('recording', ({ recording }) => recording !== null)).recording!;
    await stand.daemon.close();
    for (const [{ traceId }, cause] of [[first, 'source-ended'], [second, 'shutdown']] as const) {
      const reader = await openTrace(join(stand.dataDir, 'jobs/unfiled', traceId));
      expect(reader.record).toMatchObject({ end: 'ended', end_cause: cause });
      expect(reader.samples).toBeGreaterThan(0);
      await reader.close();
    }
  });

  it('marks what the button on the logger names', async () => {
    const stand = await startStand();
    const page = await stand.page();
    stand.source.send(blockAt(0, 1000));
    stand.source.sink!.notice({ atS: 0.5, code: 'mark', text: 'button' });
    expect((await page.next('mark', () => true, 0)).mark).toEqual({ timeS: 0.5, kind: 'note', label: 'button' });
  });
});

describe('the live analysis', () => {
  it('says of a recording exactly what the analysis of the stored trace says', async () => {
    const stand = await startStand();
    const page = await stand.page();
    const scenario = findScenario('side-step-jam')!;
    const vehicle = scenario.start(3);
    page.send({ type: 'test', settings: { test: 'actuation', actuation: { flagLimitA: 8 }, drain: {}, jobId: null, title: '' } });
    await page.next('test', () => true, 0);
    for (let i = 0; i < 40; i++) stand.source.send(vehicle.next(100));
    page.send({ type: 'record', do: 'start' });
    const { startS, jobId, traceId } = (await page.next('recording', ({ recording }) => recording !== null, 0)).recording!;
    for (let i = 0; i < 160; i++) stand.source.send(vehicle.next(100));
    page.send({ type: 'record', do: 'stop' });
    await page.next('recording', ({ recording }) => recording === null);
    const reader = await openTrace(join(stand.dataDir, 'jobs', jobId, traceId));
    const trace = await reader.load();
    await reader.close();
    const offline = JSON.parse(JSON.stringify(analyseActuation(trace, { flagLimitA: 8 }))) as { trace: { samples: number }; actuations: unknown[] };
    const live = await page.next('result', ({ result, offsetS }) => offsetS === startS && result.trace.samples === trace.timeS.length, 0);
    expect(live.result).toEqual(offline);
    expect(offline.actuations.length).toBeGreaterThan(0);
    const stored = await stand.api(`/api/traces/${jobId}/${traceId}/analysis?test=actuation`);
    expect(((await stored.json()) as { actuations: unknown[] }).actuations).toEqual(offline.actuations);
  });

  it('that fails is reported once, and samples go on being shown and recorded', async () => {
    let threads = 0;
    const stand = await startStand({
      startLiveWorker: () => {
        threads++;
        return new Worker('throw new Error("out of everything")', { eval: true });
      },
    });
    const page = await stand.page();
    stand.source.send(blockAt(0, 1000));
    await page.until(() => page.frames.length > 0);
    page.send({ type: 'record', do: 'start' });
    // a recording restarts the analysis, which fails once more
    const notice = await page.next('notice', () => true, 0);
    expect(notice).toMatchObject({ code: 'analysis', text: expect.stringContaining('out of everything') });
    await page.next('recording', ({ recording }) => recording !== null, 0);
    for (let i = 1; i <= 5; i++) {
      const frames = page.frames.length;
      stand.source.send(blockAt(i, 100));
      await page.until(() => page.frames.length > frames);
    }
    page.send({ type: 'record', do: 'stop' });
    await page.next('recording', ({ recording }) => recording === null);
    expect(page.messages.filter(({ type }) => type === 'notice').length).toBeLessThanOrEqual(threads);
    expect(threads).toBeLessThanOrEqual(2);
  });
});

describe('an armed recording', () => {
  const stops = { stopAfterS: null, stopAfterBytes: null, stopWhenAsleep: false };

  it('starts on the level, with the seconds before it, and stops after its time', async () => {
    const stand = await startStand();
    const page = await stand.page();
    const arm = { startOn: { kind: 'level', levelA: 5 }, beforeS: 2, ...stops, stopAfterS: 4 } as const;
    page.send({ type: 'arm', arm });
    await page.next('recording', ({ armed }) => armed !== null, 0);
    for (let second = 0; second < 10; second++) stand.source.send(blockAt(second, 1000, 1000, () => 4.9));
    expect(page.last('recording')).toMatchObject({ recording: null, armed: arm });
    // the press comes in the middle of a block, in reverse
    stand.source.send(blockAt(10, 1000, 1000, (timeS) => (timeS < 10.5 ? 0 : -6)));
    const { startS, jobId, traceId } = (await page.next('recording', ({ recording }) => recording !== null, 0)).recording!;
    expect(startS).toBeCloseTo(8.5, 6);
    expect(page.last('recording')!.armed).toBeNull();
    for (let second = 11; second < 20; second++) stand.source.send(blockAt(second, 1000));
    expect((await page.next('recording', ({ recording }) => recording === null)).text).toContain('4 s');
    const reader = await openTrace(join(stand.dataDir, 'jobs', jobId, traceId));
    expect(reader.record.end_cause).toBe('duration');
    expect(reader.lastS).toBeGreaterThanOrEqual(4);
    await reader.close();
  });

  it('starts on a slope, on a mark, at a time or at once; and can be disarmed', async () => {
    let nowMs = Date.parse('2026-11-25T21:59:00Z');
    const stand = await startStand({ clock: { nowMs: () => performance.now(), date: () => new Date(nowMs) } });
    const page = await stand.page();
    let at = 0;
    const flat = (): void => stand.source.send(blockAt(at++, 1000, 1000, () => 1));
    flat();
    const cases: [startOn: ArmSettings['startOn'], cause: () => void][] = [
      [{ kind: 'slope', slopeAPerS: 900 }, () => stand.source.send(blockAt(at++, 1000, 1000, (timeS) => (timeS % 1 < 0.5 ? 1 : 2)))],
      [{ kind: 'mark' }, () => page.send({ type: 'mark', kind: 'note', label: 'go' })],
      [{ kind: 'time', at: '2026-11-25T22:00:00Z' }, () => ((nowMs += 60_000), flat())],
      [{ kind: 'now' }, flat],
    ];
    for (const [startOn, cause] of cases) {
      page.send({ type: 'arm', arm: { startOn, beforeS: 0.1, ...stops } });
      await page.next('recording', ({ armed }) => armed?.startOn.kind === startOn.kind, 0);
      if (startOn.kind !== 'now') flat();
      expect(page.last('recording')!.recording, startOn.kind).toBeNull();
      const after = page.messages.length;
      cause();
      await page.next('recording', ({ recording }) => recording !== null, after);
      page.send({ type: 'arm', arm: { startOn: { kind: 'now' }, beforeS: 0, ...stops } });
      expect((await page.next('refused')).text).toContain('stop it before');
      page.send({ type: 'record', do: 'stop' });
      await page.next('recording', ({ recording }) => recording === null);
    }
    page.send({ type: 'arm', arm: { startOn: { kind: 'now' }, beforeS: 0, ...stops } });
    await page.next('recording', ({ armed }) => armed !== null);
    page.send({ type: 'arm', arm: null });
    await page.next('recording', ({ armed }) => armed === null);
    flat();
    flat();
    await page.until(() => page.frames.some((frame) => frame.endS > at - 0.1));
    expect(page.last('recording')!.recording).toBeNull();
  });
});
