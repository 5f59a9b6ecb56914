import { readdirSync, readFileSync, utimesSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { Store } from '../../src/daemon/store/store.ts';
import { scratch } from '../daemon/store/kit.ts';
import type { TraceRef } from '../../src/core/wire/api.ts';
import { verifyTrace } from '../../src/daemon/store/samples/mending/verify.ts';
import { kill9, startChild } from './kit.ts';

describe('two daemons on one data folder', () => {
  const folder = scratch();

  it('the second refuses and names the first; when the first is killed the folder is free at once', async () => {
    const data = join(folder, 'data');
    const child = await new Promise<ReturnType<typeof startChild>>((resolve) => {
      const started = startChild('holding', [data], () => resolve(started));
    });
    await expect(Store.open(data, { software: 'test' })).rejects.toMatchObject({ code: 'in-use', message: expect.stringMatching(new RegExp(`process ${child.pid} on .*--data DIR`)) });
    await kill9(child);
    const store = await Store.open(data, { software: 'test' });
    await expect(Store.open(data, { software: 'test' })).rejects.toMatchObject({ code: 'in-use' });
    await store.close();
    await (await Store.open(data, { software: 'test' })).close();
  });

  it('a lock left by another computer is taken over when it has not been renewed', async () => {
    const data = join(folder, 'network');
    await (await Store.open(data, { software: 'test' })).close();
    const { mkdirSync, writeFileSync } = await import('node:fs');
    mkdirSync(join(data, '.lock'));
    writeFileSync(join(data, '.owner.json'), JSON.stringify({ pid: 1, host: 'another', since: '2026-03-02T08:00:00Z' }));
    await expect(Store.open(data, { software: 'test' })).rejects.toThrow(/process 1 on another/);
    utimesSync(join(data, '.lock'), new Date(Date.now() - 60_000), new Date(Date.now() - 60_000));
    await (await Store.open(data, { software: 'test' })).close();
  });

  it('one that was stopped while the other took its lock ends its recording with a message and writes nothing into what the other has mended', async () => {
    const data = join(folder, 'stopped');
    const said: Record<string, unknown>[] = [];
    let heard: () => void = () => undefined;
    const child = startChild('storing', [data], (line) => {
      said.push(JSON.parse(line) as Record<string, unknown>);
      heard();
    });
    const until = (seen: () => boolean): Promise<void> =>
      new Promise((resolve) => {
        heard = () => seen() && resolve();
        heard();
      });
    await until(() => said.filter(({ bytes }) => Number(bytes) > 10_000).length > 3);
    child.kill('SIGSTOP');
    // 34 s pass: its lock has not been renewed since
    const longAgo = new Date(Date.now() - 34_000);
    utimesSync(join(data, '.lock'), longAgo, longAgo);
    const store = await Store.open(data, { software: 'test' });
    const ref = said.find((one) => 'ref' in one)!['ref'] as TraceRef;
    expect(store.recovered).toEqual([ref]);
    const path = await store.path(ref);
    await store.addMark(ref, { timeS: 0.1, kind: 'note', label: 'of the other' });
    const mended = readdirSync(path).map((name) => [name, readFileSync(join(path, name))] as const);
    child.kill('SIGCONT');
    await until(() => said.some((one) => 'ended' in one));
    expect(said.find((one) => 'ended' in one)).toMatchObject({ ended: 'lock-lost', text: expect.stringMatching(/^Recording has ended\. .*another amptrail uses it now/) });
    // it goes on handing samples to a recording that has ended
    const after = said.length;
    await until(() => said.length > after + 3);
    expect(readdirSync(path).sort()).toEqual(mended.map(([name]) => name).sort());
    for (const [name, bytes] of mended) expect(readFileSync(join(path, name)).equals(bytes), name).toBe(true);
    expect(await verifyTrace(path)).toMatchObject({ ok: true, damaged: [] });
    await kill9(child);
    // the folder stays with who has it
    await expect(Store.open(data, { software: 'test' })).rejects.toMatchObject({ code: 'in-use' });
    await store.close();
  });
});
