import { readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
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
});
