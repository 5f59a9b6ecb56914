import { describe, expect, it, onTestFinished } from 'vitest';
import type { ToPage } from '../../../src/core/wire/messages.ts';
import type { LiveAnalysisRunner } from '../../../src/daemon/live/analysis.ts';
import { Hub } from '../../../src/daemon/live/hub.ts';
import type { Recorder } from '../../../src/daemon/recording/recorder.ts';
import type { RecordingFacts } from '../../../src/daemon/recording/types.ts';
import type { LoggerInfo } from '../../../src/daemon/sources/source.ts';
import { blockAt, HandSource, LOGGER } from '../stand.ts';

const STARTED = Date.parse('2026-03-02T08:00:00Z');

/** A hub with a recorder and an analysis that only listen, and a clock in the hand of the test. */
async function bench({ logger = LOGGER as LoggerInfo } = {}) {
  const clock = { ms: 0 };
  const sources: HandSource[] = [];
  const sent: ToPage[] = [];
  const droppable: boolean[] = [];
  const heard: unknown[][] = [];
  const note = (who: string) => (...given: unknown[]): void => void heard.push([who, ...given]);
  let facts: () => RecordingFacts = () => { throw new Error('not attached'); };
  const recorder = {
    startS: null as number | null, busy: false, view: null, isArmed: false,
    attach: (given: typeof facts) => (facts = given), message: () => ({ type: 'recording' }),
    samples: note('recorded'), gap: note('recorded gap'), mark: note('recorded mark'), range: note('recorded range'), stop: async (...given: unknown[]) => note('stop')(...given),
  };
  const analysis = { latest: null as ToPage | null, samples: note('analysed'), gap: note('analysed gap'), mark: note('analysed mark'), range: note('analysed range'), restart: note('restart'), look: note('look'), close: async () => undefined };
  const hub = new Hub({
    openSource: (spec) => (sources.push(new HandSource(spec)), sources.at(-1)!),
    recorder: recorder as unknown as Recorder, analysis: analysis as unknown as LiveAnalysisRunner,
    clock: { nowMs: () => clock.ms, date: () => new Date(STARTED + clock.ms) },
    hello: { version: 'x' } as never, send: (message, mayDrop = false) => (sent.push(message), droppable.push(mayDrop)), sendFrame: () => undefined,
    recordedWindow: async () => null, recordedCharge: () => Promise.reject(new Error('nothing is recorded')),
  });
  const seconds: (() => void)[] = [];
  const kept = globalThis.setInterval;
  Object.assign(globalThis, { setInterval: (ring: () => void, ms?: number) => (ms === 1000 ? (seconds.push(ring), { unref: (): void => undefined }) : kept(ring, ms)) });
  await hub.start('hand:1').finally(() => Object.assign(globalThis, { setInterval: kept }));
  if (logger !== LOGGER) sources[0]!.sink!.logger(logger);
  onTestFinished(() => hub.stop());
  const of = (who: string): unknown[][] => heard.filter(([one]) => one === who).map(([, ...given]) => given);
  return { hub, clock, sources, source: sources[0]!, sent, droppable, second: () => { for (const ring of seconds) ring(); }, heard, of, recorder, analysis, facts: () => facts() };
}

const noisy = (offsetA: number) => (timeS: number): number => offsetA + (Math.round(timeS * 1000) % 2 === 0 ? 0.01 : -0.01);
/** what the analysis was begun anew with last */
const restarted = (of: (who: string) => unknown[][]) => of('restart').at(-1) as [unknown, { startedAtMs: number | null; calibration: { zero_a: number | null } }, number, { blocks: { timeS: Float64Array }[]; gaps: unknown[]; marks: unknown[]; ranges: unknown[] }];

describe('live time', () => {
  it('goes on with the clock for two seconds after the newest reading', async () => {
    const { hub, clock, source } = await bench();
    clock.ms = 500;
    source.send(blockAt(0, 1001));
    expect(hub.nowS).toBe(1);
    clock.ms = 1250;
    expect(hub.nowS).toBe(1.75);
    clock.ms = 2500;
    expect(hub.nowS).toBe(3);
    clock.ms = 60_000;
    expect(hub.nowS).toBe(3);
    clock.ms = 0;
    expect(hub.nowS).toBe(1);
  });

  it('has an age of the newest reading once there is one', async () => {
    const { hub, clock, source } = await bench();
    expect(hub.status().readingAgeS).toBeNull();
    source.send(blockAt(0, 10));
    clock.ms = 1500;
    expect(hub.status().readingAgeS).toBe(1.5);
  });
});

describe('every second', () => {
  it('pages hear how things are, in a message that the next one replaces', async () => {
    const { clock, source, sent, droppable, second } = await bench();
    source.send(blockAt(0, 10));
    for (const ms of [1000, 2000]) {
      sent.length = 0;
      droppable.length = 0;
      clock.ms = ms;
      second();
      expect([sent, droppable]).toEqual([[expect.objectContaining({ type: 'status', state: 'live', readingAgeS: ms / 1000, recording: false })], [true]]);
    }
  });
});

describe('what came before a recording', () => {
  it('is the seconds asked for, with their gaps and marks, in this set-up alone', async () => {
    const { hub, source, facts } = await bench();
    expect(facts().before(5)).toMatchObject({ blocks: [], gaps: [], marks: [] });
    for (let second = 0; second < 10; second++) source.send(blockAt(second, 1000));
    source.sink!.gap({ startS: 9.999, endS: 12 });
    source.send(blockAt(12, 1001));
    hub.mark('note', 'early', 2);
    hub.mark('note', 'late', 12.5);
    const { startS, blocks, gaps, marks } = facts().before(5);
    expect([startS, blocks.reduce((sum, { timeS }) => sum + timeS.length, 0)]).toEqual([8, 3001]);
    expect([gaps, marks]).toEqual([[{ startS: 9.999, endS: 12 }], [{ timeS: 12.5, kind: 'note', label: 'late' }]]);
    source.send(blockAt(14, 3000, 1000, noisy(0.1)));
    expect(hub.setZero('take')).toBeNull();
    expect(facts().before(5).blocks).toEqual([]);
    expect(facts()).toMatchObject({ spec: 'hand:1', state: 'live', zero: { zeroA: expect.closeTo(0.1, 4) }, settings: { test: 'actuation' } });
  });
});

describe('marks', () => {
  it('are kept, recorded, read and sent; a stretch is read by nobody', async () => {
    const { hub, of, sent, source } = await bench();
    source.send(blockAt(0, 2001));
    hub.mark('note', 'now');
    hub.mark('stretch', 'dip', 0.5, 1);
    const [note, stretch] = [{ timeS: 2, kind: 'note', label: 'now' }, { timeS: 0.5, endS: 1, kind: 'stretch', label: 'dip' }];
    expect([of('recorded mark'), of('analysed mark')]).toEqual([[[note], [stretch]], [[note]]]);
    expect(sent.filter(({ type }) => type === 'mark')).toEqual([{ type: 'mark', mark: note }, { type: 'mark', mark: stretch }]);
    expect(hub.snapshot()).toContainEqual({ type: 'marks', marks: [note, stretch] });
  });

  it('of the button on the logger are a pulled fuse where a drain is looked for; its other notices are none', async () => {
    const { hub, of, sent, source } = await bench();
    source.sink!.notice({ atS: 1, code: 'mark', text: 'button' });
    hub.test.choose({ ...hub.test.settings, test: 'drain' });
    source.sink!.notice({ atS: 2, code: 'mark', text: 'button' });
    source.sink!.notice({ atS: 3, code: 'overrun', text: '3 blocks' });
    expect(of('recorded mark')).toEqual([[{ timeS: 1, kind: 'note', label: 'button' }], [{ timeS: 2, kind: 'pull', label: 'button' }]]);
    expect(sent.filter(({ type }) => type === 'notice')).toHaveLength(3);
  });
});

describe('a set-up', () => {
  it('has its zero taken off, said and read anew from then on', async () => {
    const { hub, of, sent, source } = await bench();
    expect(hub.setZero('take')).toBeTypeOf('string');
    source.send(blockAt(0, 2000, 1000, noisy(0.25)));
    const before = of('restart').length;
    expect(hub.setZero('take')).toBeNull();
    expect(of('restart')).toHaveLength(before + 1);
    const [, known, offsetS, { blocks }] = restarted(of);
    expect([known.calibration.zero_a, offsetS, blocks]).toEqual([expect.closeTo(0.25, 4), 1.999, []]);
    expect(sent.findLast(({ type }) => type === 'zero')).toMatchObject({ zeroA: expect.closeTo(0.25, 4) });
    source.send(blockAt(2, 100, 1000, () => 1.25));
    expect((of('recorded').at(-1)![0] as { currentA: Float32Array }).currentA[0]).toBeCloseTo(1, 4);
    expect(hub.steady()).toMatchObject({ readings: 100, current: { mean: expect.closeTo(1.25, 4) } });
    expect(hub.setZero('clear')).toBeNull();
    expect(restarted(of)[1].calibration.zero_a).toBeNull();
    source.sink!.state({ state: 'lost', text: 'Gone.' });
    expect(hub.setZero('take')).toBeTypeOf('string');
  });

  it('ends with its source: readings, marks and zero of before are not put together with what comes', async () => {
    const { hub, of, sent, source, sources } = await bench();
    source.send(blockAt(0, 2001, 1000, noisy(0)));
    hub.mark('note', 'old', 1);
    hub.setZero('take');
    sent.length = 0;
    await hub.feed.use('hand:2');
    expect(sent).toContainEqual({ type: 'marks', marks: [] });
    expect(sent).toContainEqual(expect.objectContaining({ type: 'zero', zeroA: null }));
    expect([hub.status().readingAgeS, restarted(of)[1].calibration.zero_a, restarted(of)[3]]).toEqual([null, null, { blocks: [], gaps: [], marks: [], ranges: [] }]);
    sources[1]!.send(blockAt(0, 100));
    expect((await hub.window(0, 10, 100)).timeS[0]).toBe(3);
    expect(hub.snapshot().filter(({ type }) => type === 'gap')).toEqual([{ type: 'gap', startS: 2, endS: 3 }]);
  });

  it('notes each change of range after its first reading', async () => {
    const { hub, of, source } = await bench();
    const fine = { ...LOGGER, channels: [{ ...LOGGER.channels[0]!, scale: 0.00001 }] };
    source.sink!.logger(fine);
    source.send(blockAt(0, 1001));
    source.sink!.logger(LOGGER);
    expect(of('analysed range')).toHaveLength(2);
    expect(of('recorded range').map(([change]) => (change as { atS: number }).atS)).toEqual([0, 1]);
    hub.recordingStarted();
    expect(restarted(of)[3].ranges).toEqual([{ atS: 1, fromA: 0.00001, toA: 0.001 }]);
  });
});

describe('the analysis', () => {
  it('looks at a running recording alone, and uses its name once', async () => {
    const { hub, of, recorder, source } = await bench();
    for (let second = 0; second < 4; second++) source.send(blockAt(second, 1000));
    hub.test.choose({ ...hub.test.settings, title: 'left' });
    recorder.startS = 2;
    hub.recordingStarted();
    expect(hub.test.settings.title).toBe('');
    const [, , offsetS, { blocks }] = restarted(of);
    expect([offsetS, blocks.reduce((sum, { timeS }) => sum + timeS.length, 0), blocks[0]!.timeS[0]]).toEqual([2, 2000, 2]);
  });

  it.each([
    ['a logger', LOGGER, true], ['lines of numbers', { ...LOGGER, kind: 'numbers' }, true], ['the virtual vehicle', { ...LOGGER, kind: 'virtual' }, false], ['a replay', { ...LOGGER, kind: 'replay' }, false], ['a logger of a bench that plays', { ...LOGGER, simulated: true }, false],
  ] as const)('knows the clock at its time 0 from %s: %s', async (_name, logger, knows) => {
    const { hub, clock, of, source } = await bench({ logger: logger as LoggerInfo });
    clock.ms = 10_000;
    source.send(blockAt(0, 4001));
    clock.ms = 11_000;
    hub.recordingStarted();
    // now is 4 s and 1 s of live time, 5 s after its first sample
    expect(restarted(of)[1].startedAtMs).toBe(knows ? STARTED + 11_000 - 5000 : null);
  });
});

describe('a source that sends nothing more', () => {
  it('ends the recording that runs, as what it was', async () => {
    const { of, recorder, source } = await bench();
    source.sink!.state({ state: 'ended', text: 'Played.' });
    expect(of('stop')).toEqual([]);
    recorder.busy = true;
    source.sink!.state({ state: 'lost', text: 'Gone.' });
    expect(of('stop')).toEqual([]);
    source.sink!.state({ state: 'ended', text: 'Played.' });
    source.sink!.state({ state: 'failed', text: 'Broken.' });
    expect(of('stop')).toEqual([['source-ended', 'Played.'], ['source-failed', 'Broken.']]);
  });
});
