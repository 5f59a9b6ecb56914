import { describe, expect, it } from 'vitest';
import { language } from '../../../src/core/present/language.ts';
import type { FromPage, TestSettings, ToPage } from '../../../src/core/wire/messages.ts';
import { ChosenTest } from '../../../src/daemon/live/chosen-test.ts';
import { Commands } from '../../../src/daemon/live/commands.ts';
import type { Hub } from '../../../src/daemon/live/hub.ts';
import { Recent } from '../../../src/daemon/live/recent.ts';
import { statusOf } from '../../../src/daemon/live/status.ts';
import type { Feed } from '../../../src/daemon/live/feed.ts';
import type { Recorder } from '../../../src/daemon/recording/recorder.ts';
import { LOGGER } from '../stand.ts';

function chosen(jobId: string | null = null): { test: ChosenTest; sent: ToPage[]; jobs: (string | null)[]; others: { count: number } } {
  const sent: ToPage[] = [];
  const jobs: (string | null)[] = [];
  const others = { count: 0 };
  return { test: new ChosenTest({ jobId, onJob: (job) => jobs.push(job), onOther: () => void others.count++, send: (message) => sent.push(message) }), sent, jobs, others };
}

describe('the chosen test', () => {
  it('is sent whenever it changes; only another test or other options make other readings of it', () => {
    const { test, sent, jobs, others } = chosen();
    const first = test.settings;
    expect(first).toEqual({ test: 'actuation', actuation: {}, drain: {}, jobId: null, title: '' });
    test.choose({ ...first, title: 'left' });
    expect([others.count, jobs, sent.at(-1)]).toEqual([0, [], { type: 'test', settings: { ...first, title: 'left' }, askJob: false }]);
    test.choose({ ...first, actuation: { runLimitsA: [3, 5] } });
    test.choose({ ...first, actuation: { runLimitsA: [3, 5] }, drain: { limitA: 0.02 } });
    test.choose({ ...test.settings, test: 'drain' });
    expect(others.count).toBe(3);
    test.choose({ ...test.settings, jobId: 'j1' });
    expect([others.count, jobs, sent.length]).toEqual([3, ['j1'], 5]);
  });

  it('asks after a restart whether its job still is the one, until somebody says so or chooses another', () => {
    expect(chosen().test.asksForJob).toBe(false);
    const same = chosen('j1');
    expect(same.test.message()).toMatchObject({ askJob: true, settings: { jobId: 'j1' } });
    same.test.choose({ ...same.test.settings, title: 'x' });
    expect(same.test.asksForJob).toBe(true);
    same.test.chooseJob('j1');
    expect([same.test.asksForJob, same.jobs]).toEqual([false, []]);
    const other = chosen('j1');
    other.test.choose({ ...other.test.settings, jobId: 'j2' });
    expect([other.test.asksForJob, other.jobs]).toEqual([false, ['j2']]);
  });

  it('lets a job go that is gone, and no other, and uses a name once', () => {
    const { test, sent, jobs } = chosen('j1');
    test.forgetJob('j2');
    expect(sent).toEqual([]);
    test.forgetJob('j1');
    expect([test.settings.jobId, jobs]).toEqual([null, [null]]);
    test.useUpTitle();
    expect(sent).toHaveLength(1);
    test.choose({ ...test.settings, title: 'left' });
    test.useUpTitle();
    expect([test.settings.title, sent.length]).toEqual(['', 3]);
  });
});

/** Commands with a live time of 100 s, and what they come to. */
function desk({ busy = false, recordedFromS = null as number | null, jobId = null as string | null } = {}): { commands: Commands; done: unknown[][]; opening: { let: () => void } } {
  const done: unknown[][] = [];
  const opening = { let: (): void => undefined };
  const { test } = chosen(jobId);
  const hub = {
    test, nowS: 100,
    mark: (...given: unknown[]) => done.push(['mark', ...given]),
    setZero: (what: string) => (done.push(['zero', what]), null),
    feed: {
      control: (command: { do: string }) => (command.do === 'fuse' ? { ok: false, text: 'No such fuse.' } : { ok: true }),
      use: (spec: string) => (done.push(['use', spec]), spec === 'none' ? Promise.reject(new Error('No such source.')) : new Promise<void>((resolve) => (opening.let = resolve))),
    },
  };
  const recorder = { busy, startS: recordedFromS, start: () => (done.push(['start']), null), stop: (cause: string) => (done.push(['stop', cause]), null), arm: (arm: unknown) => (done.push(['arm', arm]), null) };
  return { commands: new Commands(hub as unknown as Hub, recorder as unknown as Recorder), done, opening };
}

describe('what a page asks for', () => {
  const mark = (more: object): FromPage & { type: 'mark' } => ({ type: 'mark', kind: 'note', label: 'x', ...more });

  it('marks moments and stretches of the past, and nothing that has no end or has not been yet', () => {
    const { commands, done } = desk();
    expect([commands.do(mark({})), commands.do(mark({ atS: 100 })), commands.do(mark({ kind: 'stretch', atS: 98, endS: 100 }))]).toEqual([null, null, null]);
    expect(done).toEqual([['mark', 'note', 'x', undefined, undefined], ['mark', 'note', 'x', 100, undefined], ['mark', 'stretch', 'x', 98, 100]]);
    done.length = 0;
    for (const wrong of [{ kind: 'stretch', atS: 98 }, { atS: 98, endS: 99 }, { kind: 'stretch', endS: 99 }, { kind: 'stretch', atS: 98, endS: 98 }, { atS: 100.1 }, { kind: 'stretch', atS: 98, endS: 100.1 }]) expect(commands.do(mark(wrong)), JSON.stringify(wrong)).toBeTypeOf('string');
    expect(done).toEqual([]);
  });

  it('marks no moment before what is recorded', () => {
    const { commands } = desk({ recordedFromS: 50 });
    expect(commands.do(mark({ atS: 50 }))).toBeNull();
    expect(commands.do(mark({ atS: 49.9 }))).toBeTypeOf('string');
    expect(commands.do(mark({}))).toBeNull();
  });

  it('records and arms only for a job that somebody has chosen since the start, but stops and disarms', async () => {
    const arm = { startOn: { kind: 'now' }, beforeS: 0, stopAfterS: null, stopAfterBytes: null, stopWhenAsleep: false } as const;
    const { commands, done } = desk({ jobId: 'j1' });
    expect(commands.do({ type: 'record', do: 'start' })).toBeTypeOf('string');
    expect(commands.do({ type: 'arm', arm })).toBeTypeOf('string');
    await commands.do({ type: 'record', do: 'stop' });
    commands.do({ type: 'arm', arm: null });
    expect(done).toEqual([['stop', 'stopped'], ['arm', null]]);
    commands.do({ type: 'job', jobId: 'j1' });
    commands.do({ type: 'record', do: 'start' });
    commands.do({ type: 'arm', arm });
    expect(done.slice(2)).toEqual([['start'], ['arm', arm]]);
    const settings: TestSettings = { test: 'drain', actuation: {}, drain: {}, jobId: null, title: '' };
    expect(commands.do({ type: 'test', settings })).toBeNull();
  });

  it('sets no zero and chooses no source while a recording runs', async () => {
    const { commands, done } = desk({ busy: true });
    expect(commands.do({ type: 'zero', do: 'take' })).toBeTypeOf('string');
    expect(await commands.do({ type: 'source', do: 'choose', spec: 'hand:2' })).toBe(language.daemon.running.commands.aRecordingIsRunning);
    expect(done).toEqual([]);
  });

  it('chooses one source at a time, and another after that', async () => {
    const { commands, done, opening } = desk();
    expect(commands.do({ type: 'zero', do: 'clear' })).toBeNull();
    const first = commands.do({ type: 'source', do: 'choose', spec: 'hand:2' });
    expect(await commands.do({ type: 'source', do: 'choose', spec: 'hand:3' })).toBe(language.daemon.running.commands.anotherSourceIsBeing);
    opening.let();
    expect(await first).toBeNull();
    expect(await commands.do({ type: 'source', do: 'choose', spec: 'none' })).toBe('No such source.');
    expect(await commands.do({ type: 'source', do: 'choose', spec: 'none' })).toBe('No such source.');
    expect(done).toEqual([['zero', 'clear'], ['use', 'hand:2'], ['use', 'none'], ['use', 'none']]);
    expect(commands.do({ type: 'source', do: 'switch', position: 'off' })).toBeNull();
    expect(commands.do({ type: 'source', do: 'fuse', label: 'F1', fitted: false })).toBe('No such fuse.');
  });
});

describe('what is kept of the newest', () => {
  it('is 500 gaps, 1000 marks and 1000 changes of range, from a moment on', () => {
    const recent = new Recent();
    for (let i = 0; i <= 1000; i++) {
      recent.addGap({ startS: i, endS: i + 0.5 });
      recent.addMark({ timeS: i, kind: 'note', label: '' });
      recent.addRange({ atS: i, fromA: null, toA: null });
    }
    expect([recent.gaps.length, recent.gaps[0]!.startS, recent.marks.length, recent.marks[0]!.timeS]).toEqual([500, 501, 1000, 1]);
    expect(recent.rangesFrom(0).map(({ atS }) => atS).slice(0, 2)).toEqual([1, 2]);
    expect([recent.gapsFrom(999).length, recent.marksFrom(999).length, recent.rangesFrom(999).length]).toEqual([2, 2, 2]);
    recent.clearMarks();
    expect(recent.marks).toEqual([]);
  });
});

describe('the status', () => {
  const heard = Array.from({ length: 8 }, (_, i) => ({ text: `line ${i}`, damaged: false }));
  const feedOf = (more: object): Feed => ({ state: { state: 'live', text: '' }, logger: LOGGER, clock: null, line: () => null, ...more }) as unknown as Feed;
  const idle = { view: null, isArmed: false } as Recorder;
  const line = (ageS: number | null) => () => ({ ageS, overload: null, share: null, heard });

  it('shows the newest five lines where lines come and none has been a reading for 3 s', () => {
    const linesOf = (lineAgeS: number | null, readingAgeS: number | null): unknown => statusOf(feedOf({ line: line(lineAgeS) }), idle, readingAgeS).lines;
    const newest = ['line 3', 'line 4', 'line 5', 'line 6', 'line 7'];
    expect(linesOf(0.1, null)).toEqual(newest);
    expect(linesOf(2.9, 3.1)).toEqual(newest);
    expect([linesOf(0.1, 3), linesOf(3, 5), linesOf(null, null), linesOf(0.1, 0.2)]).toEqual([undefined, undefined, undefined, undefined]);
  });

  it('holds what is known, and no more', () => {
    expect(statusOf(feedOf({}), idle, 1.5)).toEqual({ type: 'status', state: 'live', readingAgeS: 1.5, lineAgeS: null, recording: false, armed: false, simulated: false });
    const full = statusOf(feedOf({ clock: { driftPpm: 1 }, line: () => ({ ageS: 0.5, overload: { lost: 0.1 }, share: { lines: 9 }, heard }) }), { view: {}, isArmed: true } as unknown as Recorder, 0.5);
    expect(full).toEqual({ type: 'status', state: 'live', readingAgeS: 0.5, lineAgeS: 0.5, recording: true, armed: true, simulated: false, heard, overload: { lost: 0.1 }, share: { lines: 9 }, clock: { driftPpm: 1 } });
    expect(statusOf(feedOf({ line: line(null) }), idle, null)).not.toHaveProperty('heard');
    const simulatedBy = (logger: object | null): unknown => statusOf(feedOf({ logger }), idle, null).simulated;
    expect([simulatedBy(null), simulatedBy({ ...LOGGER, kind: 'virtual' }), simulatedBy({ ...LOGGER, kind: 'replay', simulated: true }), simulatedBy({ ...LOGGER, kind: 'replay' })]).toEqual([null, true, true, false]);
  });
});
