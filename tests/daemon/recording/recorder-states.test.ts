import { describe, expect, it } from 'vitest';
import { language } from '../../../src/core/present/language.ts';
import type { ArmSettings } from '../../../src/core/wire/messages.ts';
import { StoreError } from '../../../src/daemon/store/files/store-error.ts';
import { openTrace } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { blockAt, LOGGER } from '../stand.ts';
import { desk, type Desk } from './desk.ts';

const words = language.daemon.running.recorder;

const AT_MARK: ArmSettings = { startOn: { kind: 'mark' }, beforeS: 2, stopAfterS: null, stopAfterBytes: null, stopWhenAsleep: false };
const MARK = { timeS: 0.05, kind: 'note', label: 'here' } as const;

/** A desk that is recording. */
async function recording(stopWhenAsleep = false): Promise<Desk> {
  const at = desk({ held: false });
  at.feed(blockAt(0, 100));
  expect(await at.recorder.start(5, { stopAfterS: null, stopAfterBytes: null, stopWhenAsleep })).toBeNull();
  return at;
}

/** Lets what was begun go on until it holds. */
async function until(holds: () => boolean): Promise<void> {
  while (!holds()) await new Promise((resolve) => setImmediate(resolve));
}

describe('a recorder that is armed', () => {
  it('says what it waits for, and no longer once it is let go', () => {
    const { recorder, said } = desk();
    expect(recorder.arm(AT_MARK)).toBeNull();
    expect(recorder.isArmed).toBe(true);
    expect(said.at(-1)).toEqual({ type: 'recording', recording: null, armed: AT_MARK, text: language.daemon.running.arming.armedStartsAtThe });
    expect(recorder.arm(null)).toBeNull();
    expect(recorder.isArmed).toBe(false);
    expect(said.at(-1)).toEqual({ type: 'recording', recording: null, armed: null, text: words.notRecording });
  });

  it('starts at the mark with the seconds before that were asked for', async () => {
    const at = desk({ held: false });
    at.recorder.arm(AT_MARK);
    at.feed(blockAt(0, 100));
    expect(at.recorder.busy).toBe(false);
    at.recorder.mark(MARK);
    await until(() => at.said.at(-1)!.recording !== null);
    expect(at.asked).toEqual([2]);
    expect(at.said.at(-1)).toMatchObject({ armed: null, text: words.recording });
    await at.recorder.stop('stopped');
  });

  it('counts the seconds before from the sample that started it, not from the end of its block', async () => {
    const at = desk({ held: false });
    at.recorder.arm({ ...AT_MARK, startOn: { kind: 'level', levelA: 5 } });
    // 1 s at rest, then from 1.25 s on past the level; the block ends at 1.999 s
    at.feed(blockAt(0, 1000, 1000, () => 0));
    at.feed(blockAt(1, 1000, 1000, (timeS) => (timeS < 1.25 ? 0 : 9)));
    await until(() => at.recorder.view !== null);
    expect(at.asked[0]).toBeCloseTo(2 + 0.749, 9);
    await at.recorder.stop('stopped');
  });

  it('says why it did not start', async () => {
    const at = desk({ held: false });
    at.recorder.arm(AT_MARK);
    at.facts.logger = null;
    at.recorder.mark(MARK);
    await until(() => at.refused.length > 0);
    expect(at.refused).toEqual([words.thereIsNoLogger]);
    expect(at.said.at(-1)!.text).toBe(at.refused[0]);
  });

  it('says again that the current must fall first only when that changes', () => {
    const at = desk();
    at.recorder.arm({ ...AT_MARK, startOn: { kind: 'level', levelA: 5 } });
    for (let second = 0; second < 3; second++) at.feed(blockAt(second, 1000, 1000, () => 7));
    for (let second = 3; second < 5; second++) at.feed(blockAt(second, 1000, 1000, () => 1));
    expect(at.said.map(({ text }) => text === language.daemon.running.arming.armedTheCurrentIs('5.00 A'))).toEqual([false, true, false]);
  });
});

describe('a recorder that is recording', () => {
  it('starts no other, is not armed, and stops once', async () => {
    const { recorder, said, ends } = await recording();
    expect(await recorder.start()).toBe(words.aRecordingIsRunningAlready);
    expect(recorder.arm(AT_MARK)).toBe(words.aRecordingIsRunning);
    expect(recorder.arm(null)).toBeNull();
    expect(recorder.view).toMatchObject({ jobId: 'unfiled', startS: 0, samples: 100, title: '' });
    expect(recorder.startS).toBe(0);
    expect(await recorder.stop('stopped')).toBeNull();
    expect(recorder.startS).toBeNull();
    expect(said.at(-1)).toMatchObject({ recording: null, text: words.stoppedTheTraceIs });
    expect(ends).toEqual([{ cause: 'stopped', text: words.stoppedTheTraceIs, samples: 100 }]);
    expect(await recorder.stop('stopped')).toBe(words.noRecordingIsRunning);
    expect(await recorder.stop('shutdown')).toBeNull();
  });

  it('sends its size once a second of readings, not with each block', async () => {
    const at = await recording();
    const before = at.said.length;
    for (let i = 1; i <= 25; i++) at.feed(blockAt(i / 10, 100));
    // blocks end at 0.199, 0.299 … 2.599 s: said at 1.099 and 2.099 s
    expect(at.said.slice(before).map(({ recording: view }) => view!.samples)).toEqual([1100, 2100]);
    await at.recorder.stop('stopped');
  });

  it('puts gaps, marks and changes of range into trace time', async () => {
    const at = desk({ held: false });
    at.feed(blockAt(10, 100));
    await at.recorder.start();
    at.recorder.mark({ timeS: 10.05, endS: 10.09, kind: 'stretch', label: 'sweep' });
    at.recorder.gap({ startS: 10.099, endS: 12 });
    at.recorder.range({ before: LOGGER, now: { ...LOGGER, channels: [{ ...LOGGER.channels[0]!, scale: 0.01 }] }, atS: 10.099 });
    at.feed(blockAt(12, 100));
    await at.recorder.stop('stopped');
    const reader = await openTrace(at.traces[0]!);
    expect(reader.marks).toEqual([{ timeS: 0.05, endS: 0.09, kind: 'stretch', label: 'sweep' }]);
    expect(reader.gaps).toEqual([{ startS: 0.099, endS: 2 }]);
    expect(reader.record.ranges.map(({ at_s: atS, resolution }) => [atS, resolution])).toEqual([[0, 0.001], [expect.closeTo(0.099, 9), 0.01]]);
    await reader.close();
  });

  it('ends with sleep only where that was asked for, and only by a drain test that saw it', async () => {
    const asleep = { test: 'drain', asleep: { at_s: 1, level_a: 0.02, low_a: 0.01, high_a: 0.03 } } as never;
    const awake = { test: 'drain', asleep: null } as never;
    const motor = { test: 'actuation' } as never;
    const untilStopped = await recording();
    untilStopped.recorder.result(asleep);
    expect(untilStopped.recorder.busy).toBe(true);
    await untilStopped.recorder.stop('stopped');
    const untilAsleep = await recording(true);
    untilAsleep.recorder.result(awake);
    untilAsleep.recorder.result(motor);
    expect(untilAsleep.recorder.busy).toBe(true);
    untilAsleep.recorder.result(asleep);
    await until(() => untilAsleep.ends.length > 0);
    expect(untilAsleep.ends[0]!.cause).toBe('asleep');
  });

  it('says that there are too many marks and goes on; a disk that takes no mark ends it', async () => {
    const at = await recording();
    const { writer } = at.captures[0]!;
    writer.mark = () => Promise.reject(new StoreError('too-large', 'Too many marks.'));
    at.recorder.mark(MARK);
    await until(() => at.notices.length > 0);
    expect(at.notices).toEqual([{ type: 'notice', atS: 0, code: 'mark', text: 'Too many marks.' }]);
    expect(at.recorder.busy).toBe(true);
    writer.mark = () => Promise.reject(new StoreError('disk-error', 'The disk has gone.'));
    at.recorder.mark(MARK);
    await until(() => at.ends.length > 0);
    // what was not on the disk yet is not tried again
    expect(at.ends).toEqual([{ cause: 'disk-error', text: 'The disk has gone.', samples: 0 }]);
    expect(at.notices).toHaveLength(1);
  });

  it('says so when its trace could not be closed', async () => {
    const at = await recording();
    const { writer } = at.captures[0]!;
    const close = writer.finish.bind(writer);
    writer.finish = async () => {
      await close();
      throw new Error('No room for its facts.');
    };
    await at.recorder.stop('stopped');
    expect(at.ends).toEqual([{ cause: 'stopped', text: words.theRecordingCouldNot('No room for its facts.'), samples: null }]);
    expect(at.recorder.message()).toMatchObject({ recording: null, text: at.ends[0]!.text });
  });
});

describe('a recording that is about to start', () => {
  it('takes the calibrations that are kept with the logger', async () => {
    const at = desk({ held: false });
    const kept = [{ channel: 'current' }] as never;
    at.facts.calibrations = () => Promise.resolve(kept);
    at.feed(blockAt(0, 100));
    await at.recorder.start();
    await at.recorder.stop('stopped');
    expect(at.made.map(({ calibrations }) => calibrations)).toEqual([kept]);
  });

  it('that cannot leaves the recorder free, and says why', async () => {
    const at = desk({ held: false });
    at.facts.calibrations = () => Promise.reject(new Error('The folder cannot be read.'));
    at.feed(blockAt(0, 100));
    expect(await at.recorder.start()).toBe(words.theRecordingCannotBeStarted('The folder cannot be read.'));
    expect(at.recorder.busy).toBe(false);
    delete at.facts.calibrations;
    expect(await at.recorder.start()).toBeNull();
    expect(at.made[0]!.calibrations).toEqual([]);
    await at.recorder.stop('stopped');
  });

  it('holds what comes while its folder is made, up to a stop', async () => {
    const at = desk();
    at.feed(blockAt(0, 100));
    const started = at.recorder.start();
    expect(at.recorder.busy).toBe(true);
    expect(at.recorder.message()).toMatchObject({ recording: null, armed: null });
    at.recorder.gap({ startS: 0.099, endS: 0.5 });
    at.feed(blockAt(0.5, 100));
    await until(() => (at.letGo(), at.traces.length > 0));
    await started;
    expect(at.recorder.view!.samples).toBe(200);
    await at.recorder.stop('stopped');
    const reader = await openTrace(at.traces[0]!);
    expect(reader.gaps).toEqual([{ startS: 0.099, endS: 0.5 }]);
    await reader.close();
  });
});
