import { describe, expect, it } from 'vitest';
import { readStory, isPhotoName, MAX_CAPTION, MAX_NOTE_TEXT, MOST_NOTES, MOST_PHOTOS } from '../../../src/core/tracefile/job-story.ts';
import { areCalibrations, readRecord, type RecordRead } from '../../../src/core/tracefile/record-check.ts';
import { emptyTraceRecord } from '../../../src/core/tracefile/trace-json.ts';

/** A trace.json that says something in every field. */
const calibration = {
  channel: 'current', at: '2026-11-25T08:00:00Z', by: 'Ada', temperature_c: 21, due: null, zero_before: 0.01, zero_after: null, zero_scatter: 0.002, zero_hours: 1,
  points: [{ applied: 5, read: 5.02, tolerance_percent: 0.5 }], shunt: { reckoned_ohm: 0.00075, ohm: 0.000752, class_percent: 0.5 }, part: null, taken_back: null,
};
const full = {
  ...emptyTraceRecord('t1', '2026-11-25T08:00:00Z', 'amptrail 0.1.0'),
  title: 'left', simulated: true, logger: { name: 'bench', serial: 'B7', firmware: null, source: 'serial:/dev/ttyACM0' },
  channels: [{ name: 'current', unit: 'A', range: [-30, 30], resolution: 0.001 }, { name: 'voltage', unit: 'V', range: null, resolution: null }],
  calibrations: [calibration], test: 'drain', actuation_options: { runLimitsA: [3, 5], runLimitsFrom: 'limits', fuseRatingA: 20, wire: { areaMm2: 1.5, lengthM: 6, temperatureC: -10 } },
  drain_options: { limitA: 0.05, batteryAh: 60, ranges: [{ atS: 0, resolutionA: null }] }, rate_hz: 1000, samples: 5000, duration_s: 6, gaps: [{ start_s: 1, end_s: 2 }, { start_s: 2, end_s: 3 }], gap_count: 2, gap_s: 2,
  ranges: [{ at_s: 0, range: [-30, 30], resolution: null }], thinning: { policy: 'p', kept_full_rate: [{ start_s: 0, end_s: 1 }] }, clock: { drift_ppm: -20, jitter_s: 0.004 },
  end: 'ended', end_cause: 'stopped', sha256: 'ab', trace_uid: '0123456789abcdef'.repeat(4), import_problems: [{ code: 'skipped-rows', text: '1 bad row was left out.' }],
};

function read(changes: Record<string, unknown> = {}): RecordRead {
  const answer = readRecord({ ...full, ...changes }, 't1');
  if (typeof answer === 'string') throw new Error(answer);
  return answer;
}

describe('trace.json', () => {
  it('is taken whole, field by field', () => {
    expect(read()).toEqual({ record: full, wrong: [] });
  });

  it('is none without its schema, and keeps the id of its folder', () => {
    for (const value of [null, [], 'x', 7, undefined]) expect(readRecord(value, 't1')).toBe('it is not an object');
    expect(readRecord({ ...full, schema: 'amptrail-trace/2' }, 't1')).toContain('its schema is "amptrail-trace/2"');
    expect(readRecord({}, 't1')).toContain('its schema is undefined');
    expect((readRecord({ ...full, id: 'other' }, 'folder') as RecordRead).record.id).toBe('folder');
  });

  it('with nothing but its schema is a record of which nothing is known', () => {
    const answer = readRecord({ schema: full.schema }, 't1') as RecordRead;
    expect(answer).toEqual({ record: emptyTraceRecord('t1', '', ''), wrong: [] });
  });

  it('takes as many spans as a month of pauses makes, a million, and no more', () => {
    const gaps = Array.from({ length: 1_000_000 }, (_, i) => ({ start_s: i, end_s: i + 1 }));
    expect(read({ gaps, gap_count: gaps.length }).wrong).toEqual([]);
    expect(read({ gaps: [...gaps, { start_s: 1e6, end_s: 1e6 + 1 }] }).wrong).toEqual(['gaps']);
  });

  it.each([
    ['title', 7], ['start', null], ['software', {}], ['simulated', 'yes'], ['simulated', 1],
    ['logger', null], ['logger', { name: 'x', serial: null, firmware: null }], ['logger', { ...full.logger, serial: 5 }], ['logger', []],
    ['channels', {}], ['channels', Array.from({ length: 17 }, () => full.channels[0])], ['channels', [{ ...full.channels[0], unit: 'mA' }]], ['channels', [{ ...full.channels[0], range: [1] }]], ['channels', [{ ...full.channels[0], range: [1, 'x'] }]], ['channels', [{ ...full.channels[0], range: [1, 2, 3] }]],
    ['calibration', { ...full.calibration, gain: null }], ['calibration', { ...full.calibration, zero_a: NaN }],
    ['calibrations', [{ ...calibration, channel: 'power' }]], ['calibrations', [{ ...calibration, points: [calibration.points[0], calibration.points[0], calibration.points[0]] }]], ['calibrations', [{ ...calibration, shunt: { ...calibration.shunt, ohm: 0 } }]],
    ['calibrations', [{ ...calibration, zero_hours: 0 }]], ['calibrations', Array.from({ length: 1001 }, () => calibration)],
    ['test', 'motor'], ['actuation_options', { runLimitsA: [3] }], ['actuation_options', { runLimitsFrom: 'guess' }], ['actuation_options', { wire: { areaMm2: 0, lengthM: 6, temperatureC: 20 } }], ['actuation_options', { wire: { areaMm2: 1, lengthM: 6 } }], ['actuation_options', 'x'],
    ['drain_options', { batteryAh: 0 }], ['drain_options', { settlingS: -1 }], ['drain_options', { ranges: [{ atS: 0 }] }], ['drain_options', { restedV: '12' }],
    ['rate_hz', 0], ['rate_hz', -1], ['rate_hz', Infinity], ['samples', -1], ['samples', 1.5], ['samples', 2 ** 53], ['duration_s', '6'],
    ['gaps', [{ start_s: 2, end_s: 2 }]], ['gaps', [{ start_s: 2, end_s: 3 }, { start_s: 1, end_s: 2 }]], ['gaps', [{ start_s: 2, end_s: 3 }, { start_s: 2.5, end_s: 4 }]], ['gaps', [{ start_s: 0, end_s: Infinity }]], ['gaps', [{ start_s: '0', end_s: 1 }]], ['gaps', [{ start_s: 0, end_s: null }]], ['gaps', [null]], ['gaps', 'none'],
    ['ranges', [{ at_s: 0, range: null, resolution: null }]], ['thinning', { policy: 'p' }], ['damage', { bad_crc: 0 }], ['damage', { ...full.damage, restarts: 0.5 }], ['clock', { drift_ppm: 1 }],
    ['end', 'paused'], ['end_cause', 5], ['sha256', 5], ['trace_uid', '0123456789ABCDEF'.repeat(4)], ['trace_uid', '0123456789abcdef'.repeat(4) + '0'],
    ['import_problems', [{ code: 'Not a code', text: '' }]], ['import_problems', [{ code: 'x'.repeat(41), text: '' }]], ['import_problems', Array.from({ length: 101 }, () => full.import_problems[0])],
  ])('whose %s is %j has that field unknown, named, and the rest taken', (name, value) => {
    const { record, wrong } = read({ [name]: value });
    expect(wrong).toEqual([name]);
    const unknown = emptyTraceRecord('t1', '', '') as unknown as Record<string, unknown>;
    const taken = record as unknown as Record<string, unknown>;
    if (name !== 'gaps') expect(taken[name]).toEqual(unknown[name]);
    const other = name === 'title' ? 'software' : 'title';
    expect(taken[other]).toEqual((full as Record<string, unknown>)[other]);
  });

  it.each([
    ['calibrations', Array.from({ length: 1000 }, () => calibration)], ['channels', Array.from({ length: 16 }, () => full.channels[0])], ['import_problems', Array.from({ length: 100 }, () => full.import_problems[0])],
    ['import_problems', [{ code: 'x'.repeat(40), text: '' }]], ['samples', 0], ['samples', 2 ** 53 - 1], ['test', null], ['actuation_options', {}], ['drain_options', {}], ['rate_hz', null], ['thinning', null], ['clock', null],
    ['calibrations', [{ ...calibration, points: [calibration.points[0], calibration.points[0]] }]], ['calibrations', [{ ...calibration, shunt: null, zero_hours: null }]],
  ])('may have %s up to its bound', (name, value) => {
    expect(read({ [name]: value }).wrong).toEqual([]);
  });

  it('from before gaps were counted has them counted from its list', () => {
    const { gap_count: _count, gap_s: _length, ...older } = full;
    expect((readRecord(older, 't1') as RecordRead).record).toMatchObject({ gap_count: 2, gap_s: 2 });
    expect(read({ gap_count: 1, gap_s: 9 }).record).toMatchObject({ gap_count: 2, gap_s: 2 });
    // more than are listed: the count is still given
    expect(read({ gap_count: 3000, gap_s: 900 }).record).toMatchObject({ gap_count: 3000, gap_s: 900 });
    expect(read({ gap_count: 2, gap_s: 5 }).record.gap_s).toBe(5);
  });

  it('has a current in any case', () => {
    expect(read({ channels: [full.channels[1]] }).record.channels.map(({ name }) => name)).toEqual(['current', 'voltage']);
    expect(read({ channels: [] }).record.channels).toEqual([{ name: 'current', unit: 'A', range: null, resolution: null }]);
  });

  it('takes no field from what every object has', () => {
    const inherited = Object.assign(Object.create({ title: 'inherited' }) as Record<string, unknown>, { schema: full.schema });
    expect((readRecord(inherited, 't1') as RecordRead).record.title).toBe('');
    expect(areCalibrations([Object.create(calibration)])).toBe(false);
  });
});

const AT = '2026-11-25T08:00:00Z';
const photo = { id: 'photo-1.jpg', at: AT, caption: 'fuse box', width_px: 640, height_px: 480, removed: false };

describe('notes and photos of a job', () => {
  it('are read as they were written', () => {
    const story = { notes: [{ at: AT, text: 'dry', removed: true }], photos: [photo], closed: AT, archived: null };
    expect(readStory(story)).toEqual(story);
    expect(readStory({})).toEqual({ notes: [], photos: [], closed: null, archived: null });
    expect(readStory({ notes: 'x', photos: 5, closed: 7, archived: false })).toEqual({ notes: [], photos: [], closed: null, archived: null });
  });

  it('that cannot be used are left out one by one', () => {
    const notes = [{ at: AT, text: '' }, { at: 'yesterday', text: 'x' }, { at: AT, text: 5 }, null, 'x', { at: AT, text: 'kept', removed: 'yes' }];
    expect(readStory({ notes }).notes).toEqual([{ at: AT, text: 'kept', removed: false }]);
    const photos = [{ ...photo, id: '../x.jpg' }, { ...photo, id: 5 }, { ...photo, at: '' }, { ...photo, width_px: 0 }, { ...photo, height_px: 1.5 }, { ...photo, width_px: '640' }, { ...photo, caption: 5, width_px: 1, removed: 1 }];
    expect(readStory({ photos }).photos).toEqual([{ ...photo, caption: '', width_px: 1 }]);
  });

  it('are as long and as many as they may be, and not more', () => {
    const note = { at: AT, text: 'x'.repeat(MAX_NOTE_TEXT + 1), removed: false };
    const story = readStory({ notes: Array.from({ length: MOST_NOTES + 1 }, () => note), photos: Array.from({ length: MOST_PHOTOS + 1 }, () => ({ ...photo, caption: 'y'.repeat(MAX_CAPTION + 1) })) });
    expect([story.notes.length, story.notes[0]!.text.length]).toEqual([2000, 4000]);
    expect([story.photos.length, story.photos[0]!.caption.length]).toEqual([200, 200]);
  });

  it('have a time to the second or finer, in UTC', () => {
    for (const at of [AT, '2026-11-25T08:00:00.125Z']) expect(readStory({ closed: at }).closed).toBe(at);
    for (const at of ['2026-11-25', '2026-11-25T08:00:00', '2026-11-25T08:00:00+01:00', ` ${AT}`, `${AT}x`, '2026-11-25T08:00:00.Z']) expect(readStory({ closed: at }).closed).toBeNull();
  });

  it('have names that lead nowhere and run nothing', () => {
    for (const name of ['photo-1.jpg', 'photo-a_B-9.webp', `photo-${'x'.repeat(110)}.png`]) expect(isPhotoName(name), name).toBe(true);
    for (const name of ['photo-.jpg', 'photo-1.svg', 'photo-1.jpg.html', 'photo-../1.jpg', 'x-photo-1.jpg', 'photo-1.JPG', `photo-${'x'.repeat(111)}.png`, 'photo-1.jpg\n']) expect(isPhotoName(name), name).toBe(false);
  });
});
