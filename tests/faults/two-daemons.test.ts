import { utimesSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { Store } from '../../src/daemon/store/store.ts';
import { scratch } from '../daemon/store/kit.ts';
import { kill9, startChild } from './kit.ts';

describe('two daemons on one data folder', () => {
  const folder = scratch();

  it('the second refuses and names the first; when the first is killed the folder is free at once', { timeout: 60_000 }, async () => {
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
});
