import { mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { CalibrationRecord } from '../../../src/core/analysis/uncertainty/calibration.ts';
import type { Mark } from '../../../src/core/trace.ts';
import { keepCalibration, loggerCalibrations, takeBackKept } from '../../../src/daemon/store/records/logger-calibrations.ts';
import { Store } from '../../../src/daemon/store/store.ts';
import { scratch } from './kit.ts';

describe('what several pages do at the same moment', () => {
  const folder = scratch();

  it('is done for each: files of one name that are taken in, and traces of one name that are moved, all arrive', async () => {
    const store = await Store.open(join(folder, 'data'), { software: 'test', now: () => new Date('2026-03-02T08:00:00Z') });
    onTestFinished(() => store.close());
    const path = join(folder, 'bench.csv');
    writeFileSync(path, 'time_s,current_a\n0,0\n1,2\n2,0\n');
    const refs = (await Promise.all(Array.from({ length: 6 }, () => store.importFile(path, 'bench.csv')))).flat();
    expect(new Set(refs.map(({ traceId }) => traceId)).size).toBe(6);
    for (const ref of refs) expect((await store.record(ref)).samples).toBe(3);
    // what was made on the way is gone
    expect(readdirSync(store.dataFolder).filter((name) => name.startsWith('.import'))).toEqual([]);

    const job = await store.jobs.create({ depot: '', vehicle: 'minibus 7', complaint: '', circuit: '', fuse_rating_a: null, technician: '', note: '' }, new Date(0));
    const there = await store.moveTrace(refs[0]!, job.id);
    const [again] = await store.importFile(path, 'bench.csv');
    // the same name in two places, and both to where the first one lies
    const other = await store.jobs.create({ depot: '', vehicle: 'minibus 8', complaint: '', circuit: '', fuse_rating_a: null, technician: '', note: '' }, new Date(0));
    expect(again!.traceId).toBe(there.traceId);
    const moved = await Promise.all([store.moveTrace(there, other.id), store.moveTrace(again!, other.id)]);
    expect(new Set(moved.map(({ traceId }) => traceId)).size).toBe(2);
    for (const ref of moved) expect((await store.record(ref)).samples).toBe(3);
  });

  it('changes of one trace do not undo each other', async () => {
    const store = await Store.open(join(folder, 'changes'), { software: 'test' });
    onTestFinished(() => store.close());
    const path = join(folder, 'changes.csv');
    writeFileSync(path, 'time_s,current_a\n0,0\n1,2\n2,0\n');
    const [ref] = await store.importFile(path, 'bench.csv');
    await Promise.all([store.updateTrace(ref!, { title: 'before' }), store.updateTrace(ref!, { test: 'drain' }), store.updateTrace(ref!, { drain_options: { limitA: 0.1 } })]);
    expect(await store.record(ref!)).toMatchObject({ title: 'before', test: 'drain', drain_options: { limitA: 0.1 } });
    const mark = (timeS: number, label = 'x'): Mark => ({ timeS, kind: 'note', label });
    await store.addMark(ref!, mark(0));
    await store.addMark(ref!, mark(1));
    await Promise.all([store.changeMark(ref!, mark(0), mark(0, 'first')), store.changeMark(ref!, mark(1), null), store.addMark(ref!, mark(2)), store.addMark(ref!, mark(3))]);
    const reader = await store.openTrace(ref!);
    expect(reader.marks).toEqual([mark(0, 'first'), mark(2), mark(3)]);
    await reader.close();
  });

  it('calibrations of one logger are all kept', async () => {
    const dataFolder = join(folder, 'calibrations');
    mkdirSync(dataFolder);
    const made = (at: string): CalibrationRecord => ({ channel: 'current', at, by: '', temperature_c: null, due: null, zero_before: 0.03, zero_after: null, zero_scatter: null, zero_hours: null, points: [], shunt: null, part: null, taken_back: null });
    const times = ['2026-11-01T08:00:00.000Z', '2026-11-01T08:00:01.000Z', '2026-11-01T08:00:02.000Z'];
    const kept = times.map((at) => keepCalibration(dataFolder, 'H1', made(at)));
    // what is refused leaves the next its turn
    const wrong = takeBackKept(dataFolder, 'H1', { channel: 'voltage', at: times[0]! }, new Date(0));
    const back = takeBackKept(dataFolder, 'H1', { channel: 'current', at: times[1]! }, new Date(0));
    await expect(wrong).rejects.toMatchObject({ code: 'not-found' });
    await Promise.all([...kept, back]);
    expect((await loggerCalibrations(dataFolder, 'H1')).map(({ at, taken_back: taken }) => [at, taken])).toEqual([[times[0], null], [times[1], '1970-01-01T00:00:00.000Z'], [times[2], null]]);
  });
});
