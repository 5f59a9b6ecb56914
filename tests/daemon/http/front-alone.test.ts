import { mkdirSync } from 'node:fs';
import type { IncomingMessage } from 'node:http';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { language } from '../../../src/core/present/language.ts';
import { WIRE_PROTOCOL, type FromPage, type ToPage } from '../../../src/core/wire/messages.ts';
import { Devices } from '../../../src/daemon/http/door/devices.ts';
import { DOOR_LIMITS } from '../../../src/daemon/http/door/limits.ts';
import { createFront } from '../../../src/daemon/http/front.ts';
import type { ApiContext } from '../../../src/daemon/http/routes/api-context.ts';
import type { Listening } from '../../../src/daemon/http/server.ts';
import type { Commands } from '../../../src/daemon/live/commands.ts';
import type { Hub } from '../../../src/daemon/live/hub.ts';
import { StoreError } from '../../../src/daemon/store/files/store-error.ts';
import { pagesFolder, temporaryFolder } from '../stand.ts';
import { comeTo, type HandPage } from './hand-page.ts';

const { together } = language;
const HELLO: ToPage = { type: 'hello', protocol: WIRE_PROTOCOL, version: '1', dataFolder: '/data', scenarios: [] };
const STORED: ToPage = { type: 'stored' };
const settled = (): Promise<void> => new Promise((resolve) => setTimeout(resolve));

/** What the daemon shows to the outside, over a hub and a store that only say what they are asked. */
async function frontBench({ lan = true }: { readonly lan?: boolean } = {}) {
  const dataFolder = temporaryFolder();
  mkdirSync(join(dataFolder, 'jobs'));
  const clock = { nowMs: () => 0, date: () => new Date(0) };
  const devices = await Devices.open(dataFolder, clock.date, () => undefined);
  const done: Exclude<FromPage, { type: 'join' | 'controls' }>[] = [];
  let serve: Parameters<Listening['serve']>[0] | null = null;
  let joined = 0;
  const front = createFront({
    hub: { joined: () => joined++, snapshot: () => [HELLO, STORED] } as unknown as Hub,
    commands: { do: (command: (typeof done)[number]) => (done.push(command), null) } as unknown as Commands,
    context: {
      store: {
        dataFolder,
        path: async ({ jobId, traceId }: { jobId: string; traceId: string }) => (jobId === 'unfiled' ? join(dataFolder, 'jobs', jobId, traceId) : Promise.reject(new StoreError('not-found', 'None.'))),
      },
    } as unknown as ApiContext,
    listening: { port: 8080, serve: (handlers) => (serve = handlers), close: async () => undefined },
    clock, lan, devices, source: 'serial:/dev/ttyACM0', limits: DOOR_LIMITS, webDir: pagesFolder(), log: () => undefined,
  });
  onTestFinished(async () => {
    front.close();
    await devices.close();
  });
  front.serve();
  const join_ = (key: string, address?: string): HandPage => {
    const page = comeTo((...wire) => serve!.upgrade(...wire), address, (socket) => serve!.door.connections.add(socket));
    page.says({ type: 'join', protocol: WIRE_PROTOCOL, token: key });
    return page;
  };
  return { front, devices, done, dataFolder, join: join_, serve: () => serve!, joined: () => joined };
}

describe('a page that has joined', () => {
  it('hears what its key allows and where it is open, and of the controls where it may have them', async () => {
    const { front, devices, join, joined } = await frontBench();
    const { key } = await devices.add('bay 2', 'operate');
    const hello = (more: object): object => ({ ...HELLO, lan: true, ...more });
    const free = { type: 'controls', mine: true, holder: together.here, asked: 'no', askedBy: null };
    const own = join(front.keys.operate);
    expect(own.news()).toEqual([hello({ access: 'operate', device: null, local: true }), STORED, free]);
    // paths of this computer stay here
    expect(join(front.keys.view, '192.0.2.7').news()).toEqual([hello({ access: 'view', device: null, local: false, dataFolder: '' }), STORED]);
    expect(join(key, '192.0.2.8').news()).toEqual([hello({ access: 'operate', device: 'bay 2', local: false, dataFolder: '' }), STORED, { ...free, mine: false }]);
    expect([joined(), front.pages.count]).toEqual([3, 3]);
  });

  it('is told whether other devices can reach the daemon', async () => {
    const { front, join } = await frontBench({ lan: false });
    expect(join(front.keys.operate).news()[0]).toMatchObject({ type: 'hello', lan: false });
  });

  it('may be none without a key', async () => {
    const { front, join } = await frontBench();
    expect([join('wrong').closedWith, front.pages.count]).toEqual([4003, 0]);
  });
});

describe('who works the logger', () => {
  it('is one page; another is told who holds the controls, by where it is open, and may still set a mark', async () => {
    const { front, devices, join, done } = await frontBench();
    const { key } = await devices.add('bay 2', 'operate');
    for (const [holder, address, name] of [[front.keys.operate, '127.0.0.1', together.here], [front.keys.operate, '192.0.2.7', together.elsewhere('192.0.2.7')], [key, '192.0.2.8', together.tablet('bay 2')], [key, '::1', together.tablet('bay 2')]] as const) {
      const first = join(holder, address);
      const other = join(front.keys.operate);
      other.news();
      done.length = 0;
      other.says({ type: 'record', do: 'start' });
      other.says({ type: 'mark', kind: 'note', label: 'x' });
      await settled();
      expect([other.news(), done], name).toEqual([[{ type: 'refused', what: 'record', text: together.notYours(name) }], [{ type: 'mark', kind: 'note', label: 'x' }]]);
      other.emit('close');
      first.emit('close');
    }
  });

  it('changes hands by asking, or by going', async () => {
    const { front, join, done } = await frontBench();
    const [first, other] = [join(front.keys.operate), join(front.keys.operate)];
    other.says({ type: 'controls', do: 'take' });
    await settled();
    expect([first.news().at(-1).askedBy, other.news().at(-1).asked, done]).toEqual([together.here, 'waiting', []]);
    first.says({ type: 'controls', do: 'hand-over' });
    await settled();
    expect([first.news().at(-1).mine, other.news().at(-1).mine]).toEqual([false, true]);
    other.says({ type: 'record', do: 'stop' });
    await settled();
    expect(done).toEqual([{ type: 'record', do: 'stop' }]);
    other.emit('close');
    expect(first.news().at(-1)).toMatchObject({ mine: false, holder: null });
    first.says({ type: 'zero', do: 'take' });
    await settled();
    expect(done.at(-1)).toEqual({ type: 'zero', do: 'take' });
  });
});

describe('a source that a page chooses', () => {
  const choose = (spec: string): object => ({ type: 'source', do: 'choose', spec });

  it('is any on this computer; from elsewhere the virtual vehicle, a stored trace, and what was chosen here', async () => {
    const { front, join, done, dataFolder } = await frontBench();
    const chosenBy = async (page: HandPage, spec: string): Promise<unknown> => {
      page.news();
      done.length = 0;
      page.says(choose(spec));
      await settled();
      return (done[0] as { spec?: string } | undefined)?.spec ?? page.news().at(-1)?.text;
    };
    const here = join(front.keys.operate);
    expect(await chosenBy(here, 'serial:/dev/ttyUSB7')).toBe('serial:/dev/ttyUSB7');
    expect(await chosenBy(here, 'replay:unfiled/night')).toBe(`replay:${join_(dataFolder)}?speed=1`);
    here.emit('close');
    const away = join(front.keys.operate, '192.0.2.7');
    expect(await chosenBy(away, 'sim:side-step')).toBe('sim:side-step');
    expect(await chosenBy(away, 'replay:unfiled/night')).toBe(`replay:${join_(dataFolder)}?speed=1`);
    for (const known of ['serial:/dev/ttyUSB7', 'serial:/dev/ttyACM0']) expect(await chosenBy(away, known)).toBe(known);
    for (const foreign of ['serial:/dev/ttyUSB8', 'replay:/etc/passwd', 'replay:none/none']) expect(await chosenBy(away, foreign), foreign).toBe(language.daemon.http.sourceChoice.fromAnotherDeviceOnly);
  });

  it('is worked with as the page says', async () => {
    const { front, join, done } = await frontBench();
    const page = join(front.keys.operate);
    for (const message of [{ type: 'source', do: 'switch', position: 'forward' }, { type: 'source', do: 'fuse', label: 'F1', fitted: false }]) page.says(message);
    await settled();
    expect(done).toEqual([{ type: 'source', do: 'switch', position: 'forward' }, { type: 'source', do: 'fuse', label: 'F1', fitted: false }]);
  });

  const join_ = (dataFolder: string): string => join(dataFolder, 'jobs', 'unfiled', 'night');
});

describe('the gate', () => {
  it('answers to names of the network only when it is open to it', async () => {
    for (const lan of [false, true]) {
      const { serve } = await frontBench({ lan });
      const refusalOf = (host: string): string | undefined => serve().door.gate.request({ method: 'GET', url: '/', headers: { host } } as unknown as IncomingMessage)?.code;
      expect([refusalOf('127.0.0.1:8080'), refusalOf('localhost:8080'), refusalOf('evil.example:8080')]).toEqual([undefined, undefined, 'wrong-host']);
    }
  });
});
