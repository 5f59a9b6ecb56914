import { describe, expect, it } from 'vitest';
import type { LoggerCalibrations, NewCalibration, SteadyView } from '../../../src/core/wire/calibration.ts';
import type { TraceRecord } from '../../../src/core/tracefile/record.ts';
import type { TraceView } from '../../../src/core/wire/api.ts';
import { SYSTEM_CLOCK } from '../../../src/daemon/clock.ts';
import { findCalibrations, keepCalibration, takeBackKept } from '../../../src/daemon/store/records/logger-calibrations.ts';
import { blockAt, LOGGER, startStand, temporaryFolder, type Stand } from '../stand.ts';

const MADE: NewCalibration = {
  channel: 'current', by: 'R. Vane', temperature_c: 21, due_days: 365, zero_before: 0.03, zero_after: null, zero_scatter: 0.0005, zero_hours: null,
  points: [{ applied: 5, read: 4.88, tolerance_percent: 0.8 }], shunt: null, part: null,
};

const { due_days: _days, ...KNOWN } = MADE;
const KEPT = { ...KNOWN, at: '2026-11-01T08:00:00.000Z', due: null, taken_back: null };

async function answer<Answer>(stand: Stand, path: string, body?: unknown): Promise<Answer> {
  const response = await stand.api(path, body === undefined ? {} : { method: 'POST', body });
  expect(response.status, await response.clone().text()).toBe(200);
  return (await response.json()) as Answer;
}

async function recorded(stand: Stand): Promise<string> {
  const page = await stand.page();
  stand.source.send(blockAt(0, 1000, 1000, () => 0.03));
  page.send({ type: 'record', do: 'start' });
  await page.next('recording', (message) => message.recording !== null);
  stand.source.send(blockAt(1, 1000, 1000, () => 0.03));
  page.send({ type: 'record', do: 'stop' });
  await page.next('recording', (message) => message.recording === null);
  const [view] = await answer<[TraceView]>(stand, '/api/traces');
  return `/api/traces/${view.jobId}/${view.record.id}/calibration`;
}

describe('calibrations over HTTP', () => {
  it('tell the steady reading of the logger in use, and that a moving one moves', async () => {
    // a clock that stands still: readings stay those of now on the slowest machine
    const stand = await startStand({ clock: { ...SYSTEM_CLOCK, nowMs: () => 1000 } });
    expect(await answer<SteadyView>(stand, '/api/live/steady')).toMatchObject({ logger: LOGGER.serial, current: null, readings: 0 });
    let turn = 0;
    stand.source.send(blockAt(0, 2000, 1000, () => 4.88 + 0.01 * Math.sin(2.4 * turn++)));
    const steady = await answer<SteadyView>(stand, '/api/live/steady');
    expect(steady.current).toMatchObject({ moving: false });
    expect(steady.current!.mean).toBeCloseTo(4.88, 3);
    expect(steady.voltage!.mean).toBeCloseTo(12.5, 6);
    stand.source.send(blockAt(2, 2000, 1000, (atS) => 4.88 + atS));
    expect((await answer<SteadyView>(stand, '/api/live/steady')).current).toMatchObject({ moving: true });
    // on and off and on again: both halves have the same mean, and nothing is steady
    stand.source.send(blockAt(4, 2000, 1000, (atS) => (Math.floor(4 * atS) % 2 === 0 ? 5 : 0) + 0.01 * Math.sin(2.4 * turn++)));
    expect((await answer<SteadyView>(stand, '/api/live/steady')).current).toMatchObject({ moving: true });
    // a converter that hops between two steps now and then stands still
    stand.source.send(blockAt(6, 2000, 1000, (atS) => (Math.round(atS * 1000) % 700 === 0 ? 0.04 : 0.03)));
    expect((await answer<SteadyView>(stand, '/api/live/steady')).current).toMatchObject({ moving: false });
  });

  it('tell no reading of a logger that has fallen silent, though its port is still open', async () => {
    let nowMs = 1000;
    const stand = await startStand({ clock: { ...SYSTEM_CLOCK, nowMs: () => nowMs } });
    stand.source.send(blockAt(0, 2000, 1000, () => 4.88));
    expect((await answer<SteadyView>(stand, '/api/live/steady')).current!.mean).toBeCloseTo(4.88, 3);
    nowMs += 60_000;
    expect(await answer<SteadyView>(stand, '/api/live/steady')).toMatchObject({ current: null, voltage: null, readings: 0 });
  });

  it('are looked for under every name of a logger: one taken back under its serial number hides none kept for its port', async () => {
    const data = temporaryFolder();
    const { calibrations: [one] } = await keepCalibration(data, 'B7', { ...KEPT, by: 'old' });
    await takeBackKept(data, 'B7', one!, new Date());
    await keepCalibration(data, 'serial:/dev/x', { ...KEPT, by: 'port' });
    expect(await findCalibrations(data, ['B7', 'serial:/dev/x'])).toMatchObject({ whose: 'serial:/dev/x', calibrations: [{ by: 'port' }] });
    expect(await findCalibrations(data, ['B7'])).toBeNull();
  });

  it('keep one with who, when and until when, apply it to an older trace, and take both back', async () => {
    const stand = await startStand();
    const trace = await recorded(stand);
    const refused = await stand.api(trace, { method: 'POST', body: { do: 'apply' } });
    expect(refused.status).toBe(404);
    expect(await refused.text()).toContain('no calibration of its logger');
    const kept = await answer<LoggerCalibrations>(stand, '/api/calibrations', { logger: LOGGER.serial, name: 'bench', calibration: MADE });
    expect(kept).toMatchObject({ logger: LOGGER.serial, name: 'bench', calibrations: [{ by: 'R. Vane', points: MADE.points, taken_back: null }] });
    const [one] = kept.calibrations;
    expect(Date.parse(one!.due!) - Date.parse(one!.at)).toBe(365 * 86_400_000);
    expect(await answer(stand, `/api/calibrations?logger=${LOGGER.serial}`)).toEqual(kept);
    expect((await answer<TraceRecord>(stand, trace, { do: 'apply' })).calibrations).toEqual([one]);
    expect((await answer<TraceRecord>(stand, trace, { do: 'apply' })).calibrations).toEqual([one]);
    expect((await answer<TraceRecord>(stand, trace, { do: 'take-back' })).calibrations[0]!.taken_back).not.toBeNull();
    const back = await answer<LoggerCalibrations>(stand, '/api/calibrations/take-back', { logger: LOGGER.serial, channel: 'current', at: one!.at });
    expect(back.calibrations[0]!.taken_back).not.toBeNull();
    expect((await stand.api(trace, { method: 'POST', body: { do: 'apply' } })).status).toBe(404);
  });

  it.each([
    [{ logger: 'x', calibration: { ...MADE, zero_before: null } }, 'read the zero too'],
    [{ logger: 'x', calibration: { ...MADE, part: 'drawer', points: [] } }, 'table of sensors'],
    [{ logger: '', calibration: MADE }, 'logger'],
    [{ logger: 'x', calibration: { ...MADE, points: [...MADE.points, ...MADE.points, ...MADE.points] } }, 'points'],
    [{ logger: 'x', calibration: { ...MADE, at: '2026-01-01T00:00:00Z' } }, 'at'],
  ])('refuse what cannot be one: %#', async (body, words) => {
    const stand = await startStand();
    const response = await stand.api('/api/calibrations', { method: 'POST', body });
    expect(response.status).toBe(400);
    expect(await response.text()).toContain(words);
  });
});
