import { describe, expect, it } from 'vitest';
import { blockAt, startStand } from '../stand.ts';

const NO_TITLE = { test: 'actuation', actuation: {}, drain: {}, title: '' } as const;

describe('the job that recordings go to', () => {
  it('is the same after a restart of the daemon, but nothing is recorded to it before somebody has said that it still is', async () => {
    const first = await startStand();
    const { id } = (await (await first.api('/api/jobs', { method: 'POST', body: { depot: '', vehicle: 'Minibus 4', complaint: 'side step hardly moves', circuit: '', fuse_rating_a: null, technician: '', note: '' } })).json()) as { id: string };
    const page = await first.page();
    page.send({ type: 'test', settings: { ...NO_TITLE, jobId: id } });
    await page.next('test', ({ settings }) => settings.jobId === id, 0);
    await first.daemon.close();

    const second = await startStand({ dataDir: first.dataDir });
    const again = await second.page();
    expect((await again.next('test', () => true, 0)).settings.jobId).toBe(id);
    second.source.send(blockAt(0, 100));
    expect(again.last('test')?.askJob).toBe(true);
    again.send({ type: 'record', do: 'start' });
    expect((await again.next('refused')).text).toContain('before the restart');
    again.send({ type: 'arm', arm: { startOn: { kind: 'now' }, beforeS: 1, stopAfterS: null, stopAfterBytes: null, stopWhenAsleep: false } });
    expect((await again.next('refused')).text).toContain('before the restart');
    // other settings are no answer
    again.send({ type: 'test', settings: { ...NO_TITLE, jobId: id, title: 'left' } });
    expect((await again.next('test')).askJob).toBe(true);
    again.send({ type: 'job', jobId: id });
    expect((await again.next('test')).askJob).toBe(false);
    again.send({ type: 'record', do: 'start' });
    expect((await again.next('recording', ({ recording }) => recording !== null, 0)).recording!.jobId).toBe(id);
    await second.daemon.close();
  });

  it('is not asked for where there was none, and is answered by choosing another one', async () => {
    const first = await startStand();
    const make = async (vehicle: string): Promise<string> => ((await (await first.api('/api/jobs', { method: 'POST', body: { depot: '', vehicle, complaint: '', circuit: '', fuse_rating_a: null, technician: '', note: '' } })).json()) as { id: string }).id;
    const [one, other] = [await make('Minibus 4'), await make('Van 2')];
    const page = await first.page();
    expect(page.last('test')?.askJob).toBe(false);
    page.send({ type: 'job', jobId: one });
    await page.next('test', ({ settings }) => settings.jobId === one, 0);
    await first.daemon.close();
    const second = await startStand({ dataDir: first.dataDir });
    const again = await second.page();
    again.send({ type: 'test', settings: { ...NO_TITLE, jobId: other } });
    expect(await again.next('test')).toMatchObject({ askJob: false, settings: { jobId: other } });
    await second.daemon.close();
  });

  it('keeps the name of a recording for that one alone', async () => {
    const stand = await startStand();
    const page = await stand.page();
    stand.source.send(blockAt(0, 100));
    page.send({ type: 'test', settings: { ...NO_TITLE, title: 'before, left', jobId: null } });
    page.send({ type: 'record', do: 'start' });
    expect((await page.next('recording', ({ recording }) => recording !== null, 0)).recording!.title).toBe('before, left');
    await page.until(() => page.last('test')?.settings.title === '');
    page.send({ type: 'record', do: 'stop' });
    await page.next('recording', ({ recording }) => recording === null);
    page.send({ type: 'record', do: 'start' });
    expect((await page.next('recording', ({ recording }) => recording !== null)).recording!.title).toBe('');
  });
});
