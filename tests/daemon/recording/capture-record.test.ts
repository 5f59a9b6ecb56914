import { describe, expect, it } from 'vitest';
import type { TestSettings } from '../../../src/core/wire/messages.ts';
import { captureRecord, clockFacts, damageSince, noteRange, stepChange, zeroStepOf } from '../../../src/daemon/recording/capture-record.ts';
import type { LoggerInfo } from '../../../src/daemon/sources/source.ts';
import { LOGGER } from '../stand.ts';

const NO_DAMAGE = { badCrc: 0, malformed: 0, tooLong: 0, lostBlocks: 0, restarts: 0 };
const START = new Date('2026-03-02T08:00:00Z');
const FACTS = { start: START, spec: 'hand:1', logger: LOGGER, settings: null, zero: null, damage: NO_DAMAGE };
const DRAIN: TestSettings = { test: 'drain', actuation: { runLimitsA: [3, 5] }, drain: { limitA: 0.03 }, jobId: null, title: 'night' };
const channels = (...given: readonly Partial<LoggerInfo['channels'][number]>[]): LoggerInfo => ({ ...LOGGER, channels: given.map((channel) => ({ ...LOGGER.channels[0]!, ...channel })) });

describe('the record of a capture before its first sample', () => {
  it('says who measured, with what, and from when', () => {
    expect(captureRecord('step', FACTS)).toMatchObject({
      id: 'step', title: '', start: '2026-03-02T08:00:00.000Z', simulated: false, test: null, actuation_options: null, drain_options: null, calibrations: [],
      logger: { name: 'hand', serial: 'H1', firmware: '1', source: 'hand:1' },
      channels: [{ name: 'current', unit: 'A', range: [-30, 30], resolution: 0.001 }, { name: 'voltage', unit: 'V', range: [0, 32], resolution: 0.001 }],
    });
  });

  it('gives no range that is not known at both ends, no resolution of nothing, and a logger that names no channel the current', () => {
    const rangesOf = (logger: LoggerInfo): unknown => captureRecord('x', { ...FACTS, logger }).channels.map(({ range }) => range);
    expect(rangesOf(channels({ range: [-30, Infinity] }, { range: [-Infinity, 30] }))).toEqual([null, null]);
    expect(captureRecord('x', { ...FACTS, logger: channels({ scale: 0 }) }).channels[0]!.resolution).toBeNull();
    expect(captureRecord('x', { ...FACTS, logger: channels() }).channels).toEqual([{ name: 'current', unit: 'A', range: null, resolution: null }]);
  });

  it('is of the chosen test with the options of that test alone; a virtual vehicle knows its own', () => {
    expect(captureRecord('x', { ...FACTS, settings: DRAIN })).toMatchObject({ title: 'night', test: 'drain', drain_options: { limitA: 0.03 }, actuation_options: null });
    expect(captureRecord('x', { ...FACTS, settings: { ...DRAIN, test: 'actuation' } })).toMatchObject({ test: 'actuation', drain_options: null, actuation_options: { runLimitsA: [3, 5] } });
    const vehicle: LoggerInfo = { ...LOGGER, kind: 'virtual', controls: { scenario: 'minibus-sleeps', fuses: [], switches: [] } as never };
    expect(captureRecord('x', { ...FACTS, logger: vehicle })).toMatchObject({ simulated: true, test: 'drain' });
    expect(captureRecord('x', { ...FACTS, logger: { ...LOGGER, simulated: true } }).simulated).toBe(true);
  });

  it('holds the zero step with its doubt: 1.96 times the noise over the root of the readings', () => {
    const zero = { zeroA: 0.02, noiseA: 0.1, readings: 400, takenAt: '2026-03-02T07:59:00Z', text: '' };
    // 1.959964 x 0.1 / 20
    const step = captureRecord('x', { ...FACTS, zero }).calibration;
    expect(step).toMatchObject({ zero_a: 0.02, zeroed_at: '2026-03-02T07:59:00Z', gain: 1 });
    expect(step.offset_doubt_a).toBeCloseTo(0.009_799_82, 8);
    expect(zeroStepOf(null)).toEqual({ zero_a: null, zeroed_at: null, gain: 1, offset_doubt_a: null, gain_doubt_percent: null });
  });
});

describe('what is noted in the course of a capture', () => {
  it('is the damage since its start; counts that fell are none', () => {
    const before = { badCrc: 5, malformed: 4, tooLong: 3, lostBlocks: 2, restarts: 1 };
    expect(damageSince(before, { badCrc: 15, malformed: 24, tooLong: 33, lostBlocks: 42, restarts: 51 })).toEqual({ bad_crc: 10, malformed: 20, too_long: 30, lost_blocks: 40, restarts: 50 });
    expect(damageSince(before, NO_DAMAGE)).toEqual({ bad_crc: 0, malformed: 0, too_long: 0, lost_blocks: 0, restarts: 0 });
  });

  it('is each range with the moment it began, the first from 0', () => {
    const record = captureRecord('x', FACTS);
    const fine = channels({ range: [-0.3, 0.3], scale: 0.00001 });
    const coarse = channels({ range: [-300, 300], scale: 0 });
    noteRange(record, LOGGER, fine, 12.5);
    noteRange(record, fine, coarse, 20);
    expect(record.ranges).toEqual([
      { at_s: 0, range: [-30, 30], resolution: 0.001 },
      { at_s: 12.5, range: [-0.3, 0.3], resolution: 0.00001 },
      { at_s: 20, range: [-300, 300], resolution: null },
    ]);
    expect(stepChange({ before: LOGGER, now: coarse, atS: 20 })).toEqual({ atS: 20, fromA: 0.001, toA: null });
    const unknown = captureRecord('x', FACTS);
    noteRange(unknown, channels(), fine, 1);
    expect(unknown.ranges[0]).toEqual({ at_s: 0, range: [0, 0], resolution: null });
  });

  it('is how the clock of the logger runs, where it has one', () => {
    expect(clockFacts({ driftPpm: 120, driftUncertaintyPpm: 5, jitterS: 0.002, rateHz: 1000 })).toEqual({ drift_ppm: 120, jitter_s: 0.002 });
    expect(clockFacts(null)).toBeNull();
  });
});
