import { existsSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { DeviceMade, DeviceView } from '../../../src/core/wire/api.ts';
import { lanAddresses } from '../../../src/daemon/http/addresses.ts';
import { joinPage, startStand, temporaryFolder, type Stand } from '../stand.ts';

async function addDevice(stand: Stand, name: string, access: 'view' | 'operate'): Promise<DeviceMade> {
  const answer = await stand.api('/api/devices', { method: 'POST', body: { name, access } });
  expect(answer.status).toBe(200);
  return (await answer.json()) as DeviceMade;
}

async function listed(stand: Stand): Promise<DeviceView[]> {
  return (await (await stand.api('/api/devices')).json()) as DeviceView[];
}

const withKey = (key: string): { headers: Record<string, string> } => ({ headers: { Authorization: `Bearer ${key}` } });
const JOB = { depot: '', vehicle: 'Van 2', complaint: '', circuit: 'door', fuse_rating_a: null, technician: '', note: '' };

describe('tablets', () => {
  it('are named, listed, and may look or change, also after a restart', async () => {
    const dataDir = join(temporaryFolder(), 'data');
    const first = await startStand({ dataDir });
    expect(await listed(first)).toEqual([]);
    const bay = await addDevice(first, ' Bay 2 ', 'operate');
    const office = await addDevice(first, 'Office', 'view');
    expect(bay).toMatchObject({ device: { name: 'Bay 2', access: 'operate', last_seen: null }, urls: [] });
    expect(bay.key).toMatch(/^[\w-]{32}$/);
    await first.daemon.close();

    const text = readFileSync(join(dataDir, 'devices.json'), 'utf8');
    for (const { key } of [bay, office]) expect(text).not.toContain(key);
    expect(statSync(join(dataDir, 'devices.json')).mode & 0o777).toBe(0o600);

    const second = await startStand({ dataDir });
    expect((await second.api('/api/traces', withKey(first.daemon.token))).status).toBe(401);
    expect((await second.api('/api/traces', withKey(office.key))).status).toBe(200);
    expect((await second.api('/api/jobs', { method: 'POST', body: JOB, ...withKey(bay.key) })).status).toBe(200);
    expect((await second.api('/api/jobs', { method: 'POST', body: JOB, ...withKey(office.key) })).status).toBe(403);
    const looking = await joinPage(second.daemon, office.key);
    expect(looking.last('hello')).toMatchObject({ access: 'view' });
    looking.send({ type: 'record', do: 'start' });
    expect((await looking.next('refused')).what).toBe('record');
    const devices = await listed(second);
    expect(devices.map(({ name }) => name)).toEqual(['Bay 2', 'Office']);
    expect(devices.every(({ last_seen }) => last_seen !== null)).toBe(true);
    expect(JSON.stringify(devices)).not.toMatch(/sha256|key/);
  });

  it('are shut out one by one, at once and for good: requests, tickets and open pages', async () => {
    const dataDir = join(temporaryFolder(), 'data');
    const stand = await startStand({ dataDir });
    const lost = await addDevice(stand, 'Lost', 'operate');
    const kept = await addDevice(stand, 'Kept', 'operate');
    const [lostPage, keptPage] = [await joinPage(stand.daemon, lost.key), await joinPage(stand.daemon, kept.key)];
    const ticket = (await (await stand.api('/api/tickets', { method: 'POST', body: { path: '/api/traces' }, ...withKey(lost.key) })).json()) as { url: string };
    expect((await stand.api(`/api/devices/${lost.device.id}/remove`, { method: 'POST', body: {} })).status).toBe(200);
    expect((await lostPage.whenClosed()).code).toBe(4003);
    expect((await stand.api('/api/traces', withKey(lost.key))).status).toBe(401);
    expect((await fetch(`http://127.0.0.1:${stand.daemon.port}${ticket.url}`)).status).toBe(401);
    expect((await stand.api('/api/traces', withKey(kept.key))).status).toBe(200);
    expect(keptPage.closed).toBeNull();
    expect((await stand.api(`/api/devices/${lost.device.id}/remove`, { method: 'POST', body: {} })).status).toBe(404);
    await stand.daemon.close();
    const next = await startStand({ dataDir });
    expect((await next.api('/api/traces', withKey(lost.key))).status).toBe(401);
    expect((await next.api('/api/traces', withKey(kept.key))).status).toBe(200);
  });

  it('cannot let in or shut out others, nor see them with a key that may look', async () => {
    const stand = await startStand({ lan: true });
    const { key, device, urls } = await addDevice(stand, 'Bay 2', 'operate');
    const [address] = lanAddresses();
    const origin = `http://${address}:${stand.daemon.port}`;
    expect(urls).toContain(`${origin}/#${key}`);
    const ask = (path: string, body: unknown): Promise<Response> =>
      fetch(`${origin}${path}`, { method: 'POST', headers: { Authorization: `Bearer ${key}`, Origin: origin, 'Content-Type': 'application/json' }, body: JSON.stringify(body) });
    expect((await ask('/api/jobs', JOB)).status).toBe(200);
    expect((await ask('/api/devices', { name: 'Another', access: 'operate' })).status).toBe(403);
    expect((await ask(`/api/devices/${device.id}/remove`, {})).status).toBe(403);
    expect((await stand.api('/api/devices', withKey(stand.daemon.viewToken))).status).toBe(403);
    expect((await listed(stand)).map(({ name }) => name)).toEqual(['Bay 2']);
  });

  it('need a name of their own, and are at most fifty', async () => {
    const stand = await startStand();
    await addDevice(stand, 'Bay 2', 'view');
    const status = async (body: unknown): Promise<number> => (await stand.api('/api/devices', { method: 'POST', body })).status;
    expect(await status({ name: 'Bay 2', access: 'view' })).toBe(409);
    for (const body of [{ name: '', access: 'view' }, { name: '  ', access: 'view' }, { name: 'x'.repeat(61), access: 'view' }, { name: 'x', access: 'everything' }, { name: 'x' }, {}]) expect(await status(body)).toBe(400);
    for (let i = 0; i < 49; i++) expect(await status({ name: `tablet ${i}`, access: 'view' })).toBe(200);
    expect(await status({ name: 'one more', access: 'view' })).toBe(409);
  });

  it('of a damaged list are not let in, and the list is put aside and said so', async () => {
    const dataDir = join(temporaryFolder(), 'data');
    const first = await startStand({ dataDir });
    const { key } = await addDevice(first, 'Bay 2', 'operate');
    await first.daemon.close();
    const path = join(dataDir, 'devices.json');
    const good = readFileSync(path, 'utf8');
    for (const damage of ['', 'x', '[]', 'null', good.replace('operate', 'everything'), good.replace(/"sha256": "\w+"/, '"sha256": ""'), good.slice(0, -20)]) {
      writeFileSync(path, damage);
      const stand = await startStand({ dataDir });
      expect((await stand.api('/api/traces', withKey(key))).status, damage).toBe(401);
      expect(stand.log.join('\n')).toContain('put aside');
      expect(readFileSync(join(dataDir, 'devices-damaged.json'), 'utf8')).toBe(damage);
      expect(existsSync(path)).toBe(false);
      await stand.daemon.close();
    }
  });
});
