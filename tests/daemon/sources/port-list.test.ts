import { mkdirSync, mkdtempSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { PortAnswer, PortSeen } from '../../../src/core/wire/api.ts';
import { LineTally } from '../../../src/daemon/sources/serial/line-tally.ts';
import { heldByOthers, seePorts } from '../../../src/daemon/sources/serial/port-list.ts';
import { startDaemon } from '../../../src/daemon/serve.ts';
import { DeskDevice, DeskPorts } from './kit.ts';

/** Who may open a serial device: members of dialout on Debian and its kin (`/dev/ttyUSB0` is root:dialout 0660). */
const MAY_OPEN = process.platform === 'linux' ? 'sudo usermod -aG dialout $USER' : 'administrator';

describe('the serial devices of this computer', () => {
  it('are listed without opening any: the one that is read, those that another program has open, and the free ones; ports a PC only claims to have are left out', async () => {
    const desk = new DeskPorts();
    desk.plugIn(new DeskDevice('/dev/ttyACM0', { vendorId: '2341', serialNumber: 'A-1' }));
    desk.plugIn(new DeskDevice('/dev/ttyUSB3', { vendorId: '1a86' }));
    desk.plugIn(new DeskDevice('/dev/ttyS1'));
    const held = async (paths: readonly string[]): Promise<ReadonlySet<string>> => new Set(paths.filter((path) => path.endsWith('USB3')));
    expect(await seePorts(desk, '/dev/ttyACM0', held)).toEqual([
      { path: '/dev/ttyACM0', description: 'USB 2341:0001, serial A-1', use: 'ours' },
      { path: '/dev/ttyUSB3', description: 'USB 1a86:0001', use: 'other' },
    ]);
    // what is read is in the list, whether the system names it or not
    expect((await seePorts(desk, '/dev/pts/9', held)).map(({ path, use }) => [path, use])).toEqual([['/dev/pts/9', 'ours'], ['/dev/ttyACM0', 'free'], ['/dev/ttyUSB3', 'other']]);
    expect(desk.opened).toEqual([]);
  });

  it('are known as open elsewhere from what the system says of every process but this one', async () => {
    const proc = mkdtempSync(join(tmpdir(), 'amptrail-proc-'));
    onTestFinished(() => rmSync(proc, { recursive: true, force: true }));
    // proc(5): /proc/PID/fd/N is a link to the open file
    for (const [id, target] of [['41', '/dev/ttyUSB0'], ['42', '/dev/null'], [String(process.pid), '/dev/ttyACM0']] as const) {
      mkdirSync(join(proc, id, 'fd'), { recursive: true });
      symlinkSync(target, join(proc, id, 'fd', '3'));
    }
    mkdirSync(join(proc, 'self'));
    expect([...(await heldByOthers(['/dev/ttyUSB0', '/dev/ttyACM0'], proc))]).toEqual(['/dev/ttyUSB0']);
    expect([...(await heldByOthers(['/dev/ttyUSB0'], join(proc, 'nothing')))]).toEqual([]);
  });

  it('answer over the API on the computer itself: one is asked what it is, the one that is read is not', async () => {
    const desk = new DeskPorts();
    desk.plugIn(new DeskDevice('/dev/ttyACM0', { vendorId: '2341' }));
    desk.refusals.set('/dev/ttyACM0', 'Error: Permission denied, cannot open /dev/ttyACM0');
    const dataDir = mkdtempSync(join(tmpdir(), 'amptrail-ports-'));
    onTestFinished(() => rmSync(dataDir, { recursive: true, force: true }));
    const daemon = await startDaemon({ source: 'serial:/dev/ttyACM9', dataDir, port: 0, ports: desk, log: () => undefined });
    onTestFinished(() => daemon.close());
    const call = (method: string, path: string, body?: unknown): Promise<Response> => {
      const origin = `http://127.0.0.1:${daemon.port}`;
      return fetch(`${origin}${path}`, { method, headers: { Authorization: `Bearer ${daemon.token}`, Origin: origin, 'Content-Type': 'application/json' }, body: body === undefined ? null : JSON.stringify(body) });
    };
    const seen = (await (await call('GET', '/api/ports')).json()) as PortSeen[];
    expect(seen.map(({ path, use }) => [path, use])).toEqual([['/dev/ttyACM9', 'ours'], ['/dev/ttyACM0', 'free']]);
    const answer = (await (await call('POST', '/api/ports/ask', { path: '/dev/ttyACM0' })).json()) as PortAnswer;
    expect(answer).toMatchObject({ answers: 'denied', text: expect.stringContaining('no permission to open /dev/ttyACM0') });
    expect(answer.text).toContain(MAY_OPEN);
    expect((await call('POST', '/api/ports/ask', { path: '/dev/ttyACM9' })).status).toBe(409);
    // no other file of the computer is opened because a page names it
    expect((await call('POST', '/api/ports/ask', { path: '/etc/passwd' })).status).toBe(404);
    expect(desk.opened.some(({ path }) => path === '/etc/passwd')).toBe(false);
  });
});

describe('the share of damaged lines', () => {
  it('is that of the last ten seconds: a mended wire is seen at once, a silent one has none', () => {
    const tally = new LineTally();
    tally.begin(0);
    expect(tally.share(0)).toBe(null);
    for (let i = 0; i < 400; i += 1) tally.add(i / 20, i % 4 === 0 && i < 200);
    // by 20 s the ten spoilt seconds are past
    expect(tally.share(19.99)).toEqual({ linesPerS: 20, damagedPart: 0 });
    for (let i = 0; i < 100; i += 1) tally.add(20 + i / 20, i % 2 === 0);
    // ten whole seconds, 15 to 24: half of the newest hundred of two hundred lines
    expect(tally.share(24.99)).toEqual({ linesPerS: 20, damagedPart: 0.25 });
    expect(tally.share(60)).toBe(null);
    // in its first second too, one line comes to another
    tally.begin(0);
    for (const atS of [0.1, 0.2, 0.3]) tally.add(atS, atS < 0.2);
    expect(tally.share(0.9)).toEqual({ linesPerS: 3, damagedPart: 1 / 3 });
    tally.begin(100);
    tally.add(100.1, true);
    expect(tally.share(100.5)).toEqual({ linesPerS: 1, damagedPart: 1 });
  });
});
