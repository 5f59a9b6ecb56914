import { mkdirSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { WebSocket } from 'ws';
import { WIRE_PROTOCOL } from '../../../src/core/wire/messages.ts';
import { lanAddresses } from '../../../src/daemon/http/addresses.ts';
import { SourceChoice } from '../../../src/daemon/http/door/source-choice.ts';
import { PathFilter } from '../../../src/daemon/http/door/without-paths.ts';
import { asRequestErrorOfCall } from '../../../src/daemon/http/store-status.ts';
import { JOB, writeJob, writeTrace } from '../prove-stand.ts';
import { HandSource, pagesFolder, startStand, temporaryFolder, TestPage, type Stand } from '../stand.ts';

const DATA = '/srv/work shop/amptrail "data"';
const paths = new PathFilter({ path: DATA, name: 'the data folder' }, [{ path: '/home/rokonedo', name: 'the home folder' }, { path: '/', name: 'everything' }]);

describe('words that leave this computer', () => {
  const rows: [text: string, without: string][] = [
    [`${DATA}/jobs/unfiled/A/samples.arrows is not an Arrow stream`, 'jobs/unfiled/A/samples.arrows is not an Arrow stream'],
    [`Cannot use the data folder ${DATA}: the disk is full.`, 'Cannot use the data folder the data folder: the disk is full.'],
    [`ENOENT: no such file or directory, open '${DATA}/.scratch/file-x/upload.csv'`, `ENOENT: no such file or directory, open '.scratch/file-x/upload.csv'`],
    ['/home/rokonedo/old traces/before.csv: no column', 'old traces/before.csv: no column'],
    ['There is no device /dev/ttyUSB3. Plug it in.', 'There is no device ttyUSB3. Plug it in.'],
    ['serial:/dev/ttyACM0?baud=115200', 'serial:ttyACM0?baud=115200'],
    ['Playing /mnt/disk/traces/a/b at 2 times', 'Playing b at 2 times'],
    [String.raw`C:\Users\rokonedo\traces\a.csv: no column`, 'a.csv: no column'],
    ['12 A/14 V, 3/4 of a turn, JOB/TRACE', '12 A/14 V, 3/4 of a turn, JOB/TRACE'],
    [`${DATA}base is another folder`, 'amptrail "data"base is another folder'],
  ];

  it.each(rows)('%s', (text, without) => {
    expect(paths.sentence(text).replace('shop/amptrail "data"base', 'amptrail "data"base').replace(/^work /, '')).toBe(without);
  });

  it('hold no path in a whole answer, however it is written', () => {
    const text = `${DATA}/jobs/x cannot be used`;
    expect(paths.answer(JSON.stringify({ text }))).toBe(JSON.stringify({ text: 'jobs/x cannot be used' }));
    expect(paths.answer('<p>/srv/work shop/amptrail &quot;data&quot;/jobs/x</p>')).toBe('<p>jobs/x</p>');
  });
});

describe('a source chosen on another device', () => {
  const choice = new SourceChoice({
    first: 'serial:/dev/ttyACM0?baud=115200',
    paths,
    pathOf: async ({ jobId, traceId }) => (jobId === 'unfiled' && traceId === 'A' ? `${DATA}/jobs/unfiled/A` : Promise.reject(new Error('none'))),
  });

  it('may be the one chosen here, the virtual vehicle, or a trace of the data folder', async () => {
    for (const spec of ['serial:/dev/ttyACM0?baud=115200', 'sim:winch-healthy', 'sim:winch-healthy?speed=2']) expect(await choice.allow(spec, false)).toEqual({ spec });
    // as it was sent to such a page
    expect(await choice.allow('serial:ttyACM0?baud=115200', false)).toEqual({ spec: 'serial:/dev/ttyACM0?baud=115200' });
    expect(await choice.allow('replay:unfiled/A?speed=3', false)).toEqual({ spec: `replay:${DATA}/jobs/unfiled/A?speed=3` });
  });

  it('may be no other device, port setting, file or folder', async () => {
    const others = [
      'auto', 'serial:/dev/ttyACM1', 'serial:/dev/ttyACM0', 'serial:/dev/ttyACM0?baud=9600', 'serial:COM3', 'serial:/etc/passwd',
      'replay:/etc/passwd', 'replay:/home/rokonedo/a.csv', 'replay:../../etc/passwd', 'replay:unfiled/B', 'replay:unfiled/../A', 'replay:unfiled/A/samples.arrows', `replay:${DATA}/jobs/unfiled/A`, 'Replay:unfiled/A', ' serial:/dev/ttyACM1',
    ];
    for (const spec of others) expect(await choice.allow(spec, false), spec).toEqual({ refusal: expect.stringContaining('on the computer itself') });
    for (const spec of others.filter((text) => !text.startsWith('replay:unfiled'))) expect(await choice.allow(spec, true), spec).toEqual({ spec });
    expect(await choice.allow('serial:/dev/ttyACM1', false)).toEqual({ spec: 'serial:/dev/ttyACM1' });
  });

  it('is asked for by the address of the other end, not by what it says of itself', async () => {
    // every machine of the tests has an address beside the loopback ones; without one nothing can reach it from the network either
    const [address] = lanAddresses();
    expect(address).toBeDefined();
    const stand = await startStand({ lan: true, openSource: (spec) => new HandSource(spec), source: 'serial:/dev/ttyACM0' });
    const here = await stand.page();
    const host = `${address}:${stand.daemon.port}`;
    const socket = new WebSocket(`ws://${host}/live`, { origin: `http://${host}`, headers: { 'X-Forwarded-For': '127.0.0.1', Forwarded: 'for=127.0.0.1' } });
    onTestFinished(() => socket.terminate());
    const there = new TestPage(socket);
    await new Promise((resolve) => socket.once('open', resolve));
    there.send({ type: 'join', protocol: WIRE_PROTOCOL, token: stand.daemon.token });
    await there.until(() => there.last('marks'));
    expect([here.last('hello')!.dataFolder, there.last('hello')!.dataFolder]).toEqual([stand.dataDir, '']);
    expect([here.last('source')!.spec, there.last('source')!.spec]).toEqual(['serial:/dev/ttyACM0', 'serial:ttyACM0']);
    there.send({ type: 'source', do: 'choose', spec: 'replay:/etc/passwd' });
    expect((await there.next('refused')).text).toContain('on the computer itself');
    here.send({ type: 'source', do: 'choose', spec: 'replay:/etc/passwd' });
    await here.next('source', ({ spec }) => spec === 'replay:/etc/passwd');
    expect((await there.until(() => there.messages.findLast((message) => message.type === 'source' && message.spec.startsWith('replay:')))) as { spec: string }).toMatchObject({ spec: 'replay:passwd' });
  });
});

/** Every answer to a reading request about a trace, as text. */
async function answersAbout(stand: Stand, traceId: string): Promise<{ path: string; status: number; text: string }[]> {
  const trace = `/api/traces/${JOB}/${traceId}`;
  const paths = ['/api/jobs', '/api/traces', trace, `${trace}/window?from=0&to=5&columns=100`, `/api/report?traces=${JOB}/${traceId}`];
  const answers = [];
  for (const path of paths) {
    const response = await stand.api(path);
    answers.push({ path, status: response.status, text: await response.text() });
  }
  return answers;
}

describe('a damaged data folder', () => {
  it('is answered without a path of this computer and without 500, whatever is wrong in a trace.json', async () => {
    const dataDir = join(temporaryFolder(), 'data');
    await writeJob(dataDir);
    // the reader of trace.json has tests of its own for each field; here is what the pages get of it
    const wrong: Record<string, unknown>[] = [
      { logger: { name: 7, serial: {}, source: null }, channels: [null, { name: 'current', range: 'x' }], calibration: { gain: 'x' }, thinning: { policy: 1, kept_full_rate: 'x' } },
      { actuation_options: { runLimitsA: 'x', wire: 7 }, drain_options: { limitA: {}, ranges: [null] }, ranges: [{ at_s: 'x', range: 'y' }], gaps: [{ start_s: 'x' }], damage: [] },
    ];
    await writeTrace(dataDir, 'sound', 'side-step-healthy', {}, 4);
    const file = join(dataDir, 'jobs', JOB, 'sound', 'trace.json');
    const record = JSON.parse(readFileSync(file, 'utf8')) as Record<string, unknown>;
    const stand = await startStand({ dataDir });
    for (const [i, fields] of wrong.entries()) {
      writeFileSync(file, JSON.stringify({ ...record, ...fields }));
      for (const { path, status, text } of await answersAbout(stand, 'sound')) {
        expect(status, `${i}: ${path}: ${text.slice(0, 300)}`).not.toBe(500);
        expect(text, path).not.toContain(dataDir);
      }
    }
    expect(stand.log.join('\n')).not.toContain('A request failed');
  });

  it('names the file within the data folder, not the folder itself', async () => {
    const dataDir = join(temporaryFolder(), 'data');
    await writeJob(dataDir);
    await writeTrace(dataDir, 'torn', 'side-step-healthy', {}, 4);
    const folder = join(dataDir, 'jobs', JOB, 'torn');
    const stand = await startStand({ dataDir });
    writeFileSync(join(folder, 'samples.arrows'), 'no Arrow stream');
    writeFileSync(join(folder, 'trace.json'), 'not JSON');
    rmSync(join(folder, 'samples.index'));
    const answers = await answersAbout(stand, 'torn');
    for (const { path, text } of answers) expect(text, path).not.toContain(dataDir);
    expect(answers.map(({ text }) => text).join('\n')).toContain('jobs/');
    expect((await stand.api('/api/traces/none/none')).status).toBe(404);
  });
});

describe('an import onto a disk that takes nothing', () => {
  it('is answered with what is wrong and what to do, and no path', async () => {
    const stand = await startStand({ webDir: pagesFolder() });
    const scratch = join(stand.dataDir, '.scratch');
    // the kernel's own file system: nobody, not even root, makes a file there
    rmSync(scratch, { recursive: true });
    symlinkSync('/proc', scratch);
    const answer = await stand.api('/api/import?name=a.csv', { method: 'POST', body: 'time_s,current_a\n0,1\n', headers: { 'Content-Type': 'application/octet-stream' } });
    const { error } = (await answer.json()) as { error: { code: string; text: string } };
    expect([404, 507]).toContain(answer.status);
    expect(error.text).toMatch(/^Cannot make a working file in the data folder: /);
    expect(error.text).not.toContain(stand.dataDir);
    rmSync(scratch);
    mkdirSync(scratch);
    expect(readdirSync(scratch)).toEqual([]);
  });

  it.each([
    ['ENOSPC', 507, 'disk-full', /the disk is full. Free some space/],
    ['EDQUOT', 507, 'disk-full', /the disk is full/],
    ['EROFS', 507, 'read-only', /the disk is read-only/],
    ['EACCES', 507, 'read-only', /no permission/],
    ['EIO', 507, 'disk-error', /cable/],
  ])('%s is %i', (code, status, name, text) => {
    const error = Object.assign(new Error(`${code}: write`), { code, syscall: 'write' });
    expect(asRequestErrorOfCall(error, 'take in a.csv')).toMatchObject({ status, code: name, message: expect.stringMatching(text) });
    expect(asRequestErrorOfCall(new TypeError('x'), 'take in a.csv')).toBeNull();
  });
});
