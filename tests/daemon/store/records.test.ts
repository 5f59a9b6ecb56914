import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { CalibrationRecord } from '../../../src/core/analysis/uncertainty/calibration.ts';
import { emptyTraceRecord } from '../../../src/core/tracefile/trace-json.ts';
import type { TraceRecord } from '../../../src/core/tracefile/record.ts';
import { keepActiveJob, readActiveJob } from '../../../src/daemon/store/active-job.ts';
import { uidOfFileName, fleetFileName, partition, shortUid } from '../../../src/daemon/store/exchange/fleet-names.ts';
import { addPhoto, changePhoto, checkPhoto, findPhoto, isPhoto } from '../../../src/daemon/store/records/job-photos.ts';
import { Jobs } from '../../../src/daemon/store/records/jobs.ts';
import { findCalibrations, keepCalibration, keptOfLogger, loggerCalibrations, takeBackKept } from '../../../src/daemon/store/records/logger-calibrations.ts';
import { cleanFields } from '../../../src/daemon/store/records/read-job.ts';
import { dropResult, keepResult, readResult } from '../../../src/daemon/store/records/result-cache.ts';
import { applyCalibration, takeBackCalibration } from '../../../src/daemon/store/records/trace-calibration.ts';
import { keepLogo, MAX_HEADING, MAX_LOGO_BYTES, readWorkshop, removeLogo, writeHeading } from '../../../src/daemon/store/records/workshop.ts';
import { RunningTraces } from '../../../src/daemon/store/running-traces.ts';
import { measuredRateHz } from '../../../src/daemon/store/samples/reading/rate.ts';
import type { TraceWriter } from '../../../src/daemon/store/samples/writing/trace-writer.ts';
import { JOB_FIELDS, scratch, stores } from './kit.ts';

const folder = scratch();
const at = (name: string): string => join(folder, name);
const NOW = new Date('2026-03-02T08:00:00Z');

/** A PNG as far as its header goes (W3C PNG, 5.2 and 11.2.2), filled up to so many bytes. */
function png(widthPx: number, heightPx: number, bytes = 64): Buffer {
  const file = Buffer.alloc(bytes);
  Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 13]).copy(file);
  file.write('IHDR', 12, 'latin1');
  file.writeUInt32BE(widthPx, 16);
  file.writeUInt32BE(heightPx, 20);
  return file;
}

function made(name: string, bytes: Uint8Array | string): string {
  writeFileSync(at(name), bytes);
  return at(name);
}

describe('photos of a job', () => {
  const open = stores(folder);

  it('are known by their bytes, and are neither too long nor too large to draw', async () => {
    expect(await checkPhoto(made('p.png', png(20_000, 10_000)))).toEqual({ type: 'image/png', ending: 'png', widthPx: 20_000, heightPx: 10_000 });
    await expect(checkPhoto(made('p.png', png(20_000, 10_001)))).rejects.toMatchObject({ code: 'too-large' });
    expect(await checkPhoto(made('p.png', png(1, 1, 100)), 100)).toMatchObject({ widthPx: 1 });
    await expect(checkPhoto(made('p.png', png(1, 1, 101)), 100)).rejects.toMatchObject({ code: 'too-large' });
    await expect(checkPhoto(made('p.png', '<svg/>'))).rejects.toMatchObject({ code: 'wrong-format' });
    await expect(checkPhoto(at('nowhere.png'))).rejects.toMatchObject({ code: 'not-found' });
    expect([await isPhoto(made('p.png', png(1, 1))), await isPhoto(folder)]).toEqual([true, false]);
  });

  it('go with their job in its zip: another data folder has those that are photos, and none that only has the name of one', async () => {
    const [here, there] = [await open('photos-here'), await open('photos-there')];
    const { id } = await here.jobs.create(JOB_FIELDS, NOW);
    await addPhoto(here.jobs, id, made('step', png(640, 480)), 'the step', NOW);
    const [photo] = (await addPhoto(here.jobs, id, made('rust', png(64, 48)), 'rust', NOW)).photos.map((one) => one.id);
    writeFileSync(join(here.jobs.path(id), 'photo-page.png'), '<svg/>');
    const zip: Uint8Array[] = [];
    for await (const part of await here.exportJobZip(id, {})) zip.push(part);
    await there.importJob(made('job.zip', Buffer.concat(zip)), 'job.zip');
    const names = readdirSync(there.jobs.path(id)).filter((name) => name.startsWith('photo-'));
    expect(names.sort()).toEqual((await here.jobs.read(id)).photos.map((one) => one.id).sort());
    expect(readFileSync(join(there.jobs.path(id), photo!))).toEqual(png(640, 480));
  });

  it('lie in its folder under a name of their time, are changed by it, and are asked of their bytes again', async () => {
    const { jobs } = await open('photos');
    const { id } = await jobs.create(JOB_FIELDS, NOW);
    const upload = made('upload', png(640, 480));
    await addPhoto(jobs, id, upload, 'x'.repeat(201), NOW);
    const { photos } = await addPhoto(jobs, id, upload, 'the fuse', NOW);
    expect(photos).toEqual([
      { id: 'photo-2026-03-02T08-00-00-000Z.png', at: NOW.toISOString(), caption: 'x'.repeat(200), width_px: 640, height_px: 480, removed: false },
      { id: 'photo-2026-03-02T08-00-00-000Z-2.png', at: NOW.toISOString(), caption: 'the fuse', width_px: 640, height_px: 480, removed: false },
    ]);
    const [first, second] = photos;
    expect((await changePhoto(jobs, id, first!.id, { caption: 'the step', removed: true })).photos).toEqual([{ ...first, caption: 'the step', removed: true }, second]);
    await expect(changePhoto(jobs, id, 'photo-none.png', { removed: true })).rejects.toMatchObject({ code: 'not-found' });
    const found = await findPhoto(jobs, id, second!.id);
    expect([found.kind.widthPx, readFileSync(found.path).equals(png(640, 480))]).toEqual([640, true]);
    writeFileSync(found.path, 'no picture');
    await expect(findPhoto(jobs, id, second!.id)).rejects.toMatchObject({ code: 'wrong-format' });
    await expect(findPhoto(jobs, id, 'job.json')).rejects.toMatchObject({ code: 'bad-name' });
    await expect(addPhoto(jobs, 'nobody', upload, '', NOW)).rejects.toMatchObject({ code: 'not-found' });
  });

  it('are two hundred at most', async () => {
    const { jobs } = await open('many-photos');
    const { id } = await jobs.create(JOB_FIELDS, NOW);
    const upload = made('upload', png(1, 1));
    const photos = Array.from({ length: 199 }, (_, i) => ({ id: `photo-2026-03-01T08-00-00-${String(i).padStart(3, '0')}Z.png`, at: NOW.toISOString(), caption: '', width_px: 1, height_px: 1, removed: false }));
    await jobs.updateStory(id, () => ({ photos }));
    expect((await addPhoto(jobs, id, upload, '', NOW)).photos).toHaveLength(200);
    const before = readdirSync(jobs.path(id));
    await expect(addPhoto(jobs, id, upload, '', NOW)).rejects.toMatchObject({ code: 'too-large' });
    expect(readdirSync(jobs.path(id))).toEqual(before);
  });
});

describe('the heading of the workshop', () => {
  it('is text and a picture, both gone without a word where they cannot be used', async () => {
    mkdirSync(at('shop'));
    expect(await readWorkshop(at('shop'))).toEqual({ heading: '', logo: null });
    await writeHeading(at('shop'), 'x'.repeat(MAX_HEADING + 1));
    await keepLogo(at('shop'), made('logo', png(4000, 4000)));
    expect(await readWorkshop(at('shop'))).toEqual({ heading: 'x'.repeat(MAX_HEADING), logo: { type: 'image/png', base64: png(4000, 4000).toString('base64') } });
    await expect(keepLogo(at('shop'), made('logo', png(4000, 4001)))).rejects.toMatchObject({ code: 'too-large' });
    await expect(keepLogo(at('shop'), made('logo', png(1, 1, MAX_LOGO_BYTES + 1)))).rejects.toMatchObject({ code: 'too-large' });
    await keepLogo(at('shop'), made('logo', png(1, 1, MAX_LOGO_BYTES)));
    writeFileSync(at('shop/workshop-logo'), 'no picture');
    writeFileSync(at('shop/workshop.json'), '{"heading":7}');
    expect(await readWorkshop(at('shop'))).toEqual({ heading: '', logo: null });
    writeFileSync(at('shop/workshop.json'), '{');
    await removeLogo(at('shop'));
    await removeLogo(at('shop'));
    expect(await readWorkshop(at('shop'))).toEqual({ heading: '', logo: null });
    expect(readdirSync(at('shop'))).toEqual(['workshop.json']);
    await expect(keepLogo(at('no-shop'), made('logo', png(1, 1)))).rejects.toMatchObject({ code: 'not-found' });
  });
});

describe('the newest analysis beside a trace', () => {
  it('is one of this schema with a finding, of no more than 8 MiB, or none', async () => {
    mkdirSync(at('analysed'));
    const result = { schema: 'amptrail/1', verdict: { finding: 'normal' } } as never;
    expect(await readResult(at('analysed'))).toBeNull();
    await keepResult(at('analysed'), result);
    expect(await readResult(at('analysed'))).toEqual(result);
    for (const other of ['{', 'null', '{"schema":"amptrail/2","verdict":{"finding":"normal"}}', '{"schema":"amptrail/1"}', '{"schema":"amptrail/1","verdict":{"finding":7}}']) {
      writeFileSync(at('analysed/analysis.json'), other);
      expect(await readResult(at('analysed')), other).toBeNull();
    }
    const padded = (bytes: number): string => JSON.stringify(result).padEnd(bytes);
    writeFileSync(at('analysed/analysis.json'), padded(8 << 20));
    expect(await readResult(at('analysed'))).toEqual(result);
    writeFileSync(at('analysed/analysis.json'), padded((8 << 20) + 1));
    expect(await readResult(at('analysed'))).toBeNull();
    await dropResult(at('analysed'));
    expect(readdirSync(at('analysed'))).toEqual([]);
    await dropResult(at('analysed'));
    await keepResult(at('no-trace-here'), result);
  });
});

const CALIBRATION: CalibrationRecord = {
  channel: 'current', at: '2026-03-01T08:00:00.000Z', by: 'R.', temperature_c: 20, due: null, zero_before: 0.01, zero_after: null, zero_scatter: 0.001, zero_hours: null,
  points: [{ applied: 10, read: 10.1, tolerance_percent: 1 }], shunt: null, part: null, taken_back: null,
};
const LATER: CalibrationRecord = { ...CALIBRATION, at: '2026-03-02T08:00:00.000Z' };
const VOLTS: CalibrationRecord = { ...CALIBRATION, channel: 'voltage' };

describe('calibrations of a logger', () => {
  it('lie in a list of its own, oldest first, with the name it was given', async () => {
    mkdirSync(at('kept'));
    expect(await keptOfLogger(at('kept'), 'L1')).toEqual({ name: '', calibrations: [] });
    await keepCalibration(at('kept'), 'L1', CALIBRATION, 'bench clamp');
    expect(await keepCalibration(at('kept'), 'L1', LATER)).toEqual({ name: 'bench clamp', calibrations: [CALIBRATION, LATER] });
    expect(await loggerCalibrations(at('kept'), 'L1')).toEqual([CALIBRATION, LATER]);
    expect(await loggerCalibrations(at('kept'), 'l2')).toEqual([]);
    // names that are no file's name get one of their own
    for (const name of ['serial:/dev/ttyACM0', 'serial-/dev/ttyACM0', 'con', 'x'.repeat(81)]) await keepCalibration(at('kept'), name, VOLTS);
    expect(readdirSync(at('kept/calibrations'))).toHaveLength(5);
    expect(readdirSync(at('kept/calibrations')).every((name) => /^[\w-]{1,89}\.json$/.test(name))).toBe(true);
    expect(await loggerCalibrations(at('kept'), 'serial:/dev/ttyACM0')).toEqual([VOLTS]);
    writeFileSync(at('kept/calibrations/L1.json'), '{"calibrations":[1]}');
    await expect(keptOfLogger(at('kept'), 'L1')).rejects.toMatchObject({ code: 'wrong-format' });
    writeFileSync(at('kept/calibrations/L1.json'), '{');
    await expect(keptOfLogger(at('kept'), 'L1')).rejects.toMatchObject({ code: 'wrong-format' });
  });

  it('that were taken back stay in the list and hold no more; the first name that has any counts', async () => {
    mkdirSync(at('back'));
    await keepCalibration(at('back'), 'L1', CALIBRATION);
    await keepCalibration(at('back'), 'L1', LATER);
    await keepCalibration(at('back'), 'L1', VOLTS);
    expect(await findCalibrations(at('back'), ['none', 'L1'])).toEqual({ whose: 'L1', calibrations: [LATER, VOLTS] });
    const taken = await takeBackKept(at('back'), 'L1', LATER, NOW);
    expect(taken.calibrations).toEqual([CALIBRATION, { ...LATER, taken_back: NOW.toISOString() }, VOLTS]);
    expect((await findCalibrations(at('back'), ['L1']))!.calibrations).toEqual([CALIBRATION, VOLTS]);
    for (const none of [{ channel: 'current', at: '2026-01-01T00:00:00.000Z' }, { channel: 'voltage', at: LATER.at }] as const) await expect(takeBackKept(at('back'), 'L1', none, NOW)).rejects.toMatchObject({ code: 'not-found' });
    expect(await findCalibrations(at('back'), ['none'])).toBeNull();
  });

  it('are put into the record of a trace once, and taken back from it', async () => {
    mkdirSync(at('lab'));
    mkdirSync(at('lab/t'));
    const write = (about: Partial<TraceRecord>): void => writeFileSync(at('lab/t/trace.json'), JSON.stringify({ ...emptyTraceRecord('t', NOW.toISOString(), 'x'), end: 'ended', logger: { name: 'clamp', serial: 'L1', firmware: null, source: 'serial:/dev/x' }, ...about }));
    write({});
    await expect(applyCalibration(at('lab/t'), at('lab'))).rejects.toMatchObject({ code: 'not-found', message: expect.stringContaining('L1') });
    await keepCalibration(at('lab'), 'L1', CALIBRATION);
    await keepCalibration(at('lab'), 'L1', VOLTS);
    const applied = await applyCalibration(at('lab/t'), at('lab'));
    expect([applied.whose, applied.record.calibrations]).toEqual(['L1', [CALIBRATION, VOLTS]]);
    expect((await applyCalibration(at('lab/t'), at('lab'))).record.calibrations).toHaveLength(2);
    const back = await takeBackCalibration(at('lab/t'), NOW, 'voltage');
    expect([back.taken, back.record.calibrations]).toEqual([1, [CALIBRATION, { ...VOLTS, taken_back: NOW.toISOString() }]]);
    expect((await takeBackCalibration(at('lab/t'), NOW)).taken).toBe(1);
    expect((await takeBackCalibration(at('lab/t'), NOW)).taken).toBe(0);
    await keepCalibration(at('lab'), 'other', LATER);
    expect((await applyCalibration(at('lab/t'), at('lab'), 'other')).record.calibrations.at(-1)).toEqual(LATER);
    write({ end: 'running' });
    await expect(applyCalibration(at('lab/t'), at('lab'))).rejects.toMatchObject({ code: 'running' });
    writeFileSync(at('lab/t/trace.json'), '{');
    await expect(takeBackCalibration(at('lab/t'), NOW)).rejects.toMatchObject({ code: 'wrong-format' });
  });
});

describe('the fields of a job', () => {
  it('are texts without blanks around them, of 4,000 letters at most, and figures above zero', () => {
    const clean = cleanFields({ vehicle: '  minibus ', note: 'x'.repeat(4001), circuit: 7, fuse_rating_a: 0.5, odometer_km: 0 });
    expect(clean).toMatchObject({ vehicle: 'minibus', note: 'x'.repeat(4000), circuit: '', plate: '', fuse_rating_a: 0.5, odometer_km: null });
    expect([-1, Infinity, '5', null, undefined].map((given) => cleanFields({ fuse_rating_a: given }).fuse_rating_a)).toEqual([null, null, null, null, null]);
  });

  it('of another data folder come with its time, where that is one, and with none where the file is rubbish', async () => {
    mkdirSync(at('jobs'));
    const jobs = new Jobs(at('jobs'));
    expect(await jobs.adopt(made('job.json', JSON.stringify({ ...JOB_FIELDS, created: '2025-01-02T03:04:05.000Z', signs: { hums: 'yes' } })), NOW)).toMatchObject({ created: '2025-01-02T03:04:05.000Z', vehicle: JOB_FIELDS.vehicle, signs: { hums: 'yes' } });
    expect(await jobs.adopt(made('job.json', JSON.stringify({ vehicle: 'van', created: 'long ago' })), NOW)).toMatchObject({ created: NOW.toISOString(), vehicle: 'van' });
    for (const rubbish of ['{', 'null']) expect(await jobs.adopt(made('job.json', rubbish), NOW)).toMatchObject({ created: NOW.toISOString(), vehicle: '' });
    expect(await jobs.list()).toHaveLength(4);
  });

  it('are not saved over what another has saved meanwhile', async () => {
    mkdirSync(at('merged'));
    const jobs = new Jobs(at('merged'));
    const { id } = await jobs.create(JOB_FIELDS, NOW);
    await jobs.update(id, { ...JOB_FIELDS, note: 'grit' }, JOB_FIELDS);
    expect(await jobs.update(id, { ...JOB_FIELDS, circuit: 'step' }, JOB_FIELDS)).toMatchObject({ note: 'grit', circuit: 'step' });
    await expect(jobs.update(id, { ...JOB_FIELDS, note: 'oil' }, JOB_FIELDS)).rejects.toMatchObject({ name: 'ChangedMeanwhile', now: { note: 'grit', circuit: 'step' } });
    await jobs.updateEvidence(id, { signs: { hums: 'yes' } }, { signs: {} });
    await expect(jobs.updateEvidence(id, { signs: { hums: 'no' } }, { signs: {} })).rejects.toMatchObject({ name: 'ChangedMeanwhile' });
    expect((await jobs.read(id)).note).toBe('grit');
    await expect(new Jobs(at('no-jobs')).ids()).rejects.toMatchObject({ code: 'not-found' });
  });
});

describe('the job that recordings go to', () => {
  const open = stores(folder);

  it('is kept over a restart while it is there', async () => {
    const store = await open('active');
    expect(await readActiveJob(store)).toBeNull();
    const { id } = await store.jobs.create(JOB_FIELDS, NOW);
    await keepActiveJob(store, id);
    expect(await readActiveJob(store)).toBe(id);
    await keepActiveJob(store, 'nobody');
    expect(await readActiveJob(store)).toBeNull();
    await keepActiveJob(store, null);
    expect(await readActiveJob(store)).toBeNull();
  });
});

describe('captures that are being recorded', () => {
  it('are found by job and trace until they are closed, and keep their job from going', async () => {
    const running = new RunningTraces();
    let close = (): void => undefined;
    const ended: string[] = [];
    const writer = (name: string) => ({ closed: new Promise<void>((resolve) => (close = resolve)), finish: async (cause: string) => void ended.push(`${name} ${cause}`) }) as unknown as TraceWriter;
    const first = writer('a');
    running.add({ jobId: 'j1', traceId: 't' }, first);
    const closeFirst = close;
    running.add({ jobId: 'j10', traceId: 't' }, writer('b'));
    expect([running.get({ jobId: 'j1', traceId: 't' }), running.get({ jobId: 'j2', traceId: 't' })]).toEqual([first, undefined]);
    expect(() => running.refuse({ jobId: 'j1', traceId: 't' }, 'move')).toThrow(expect.objectContaining({ code: 'running' }));
    expect(() => running.refuseJob('j1')).toThrow(expect.objectContaining({ code: 'running' }));
    closeFirst();
    await new Promise((resolve) => setImmediate(resolve));
    expect(() => running.refuse({ jobId: 'j1', traceId: 't' }, 'move')).not.toThrow();
    expect(() => running.refuseJob('j1')).not.toThrow();
    await running.finishAll();
    expect(ended).toEqual(['b shutdown']);
    expect(() => running.refuseJob('j10')).not.toThrow();
  });
});

describe('names in the table of a fleet', () => {
  it('are encoded but for letters, digits and three marks, two hundred bytes at most', () => {
    expect([partition(' Mill Lane '), partition(''), partition('a.b-c_d'), partition('..x'), partition("(it's)~*!")]).toEqual(['Mill%20Lane', '__HIVE_DEFAULT_PARTITION__', 'a.b-c_d', '%2E%2Ex', '%28it%27s%29%7E%2A%21']);
    expect(partition('x'.repeat(200))).toBe('x'.repeat(200));
    expect(partition('x'.repeat(201))).toMatch(/^x{187}-[0-9a-f]{12}$/);
    expect(partition(`${'x'.repeat(186)}${'é'.repeat(9)}`)).toMatch(/^x{186}-[0-9a-f]{12}$/);
    expect(partition('x'.repeat(201))).not.toBe(partition('x'.repeat(202)));
  });

  it('of a file end in sixteen digits of what it holds', () => {
    const uid = '0123456789abcdef0123';
    expect([fleetFileName('t', uid), shortUid(uid), uidOfFileName('a-b-0123456789abcdef.parquet')]).toEqual(['t-0123456789abcdef.parquet', '0123456789abcdef', '0123456789abcdef']);
    for (const other of ['t.parquet', 't-0123456789abcde.parquet', 't-0123456789abcdef.csv']) expect(uidOfFileName(other), other).toBeNull();
  });
});

describe('the usual rate of a recording', () => {
  it('is that of the median interval, whatever holes and bursts it has', () => {
    const meter = measuredRateHz();
    expect(meter.rateHz()).toBeNull();
    meter.add(Float64Array.from([0]));
    expect(meter.rateHz()).toBeNull();
    // 50 intervals of 1 ms, 20 of 10 s, 20 of a microsecond; the join of two pieces counts as none
    meter.add(Float64Array.from({ length: 51 }, (_, i) => i / 1000));
    meter.add(Float64Array.from({ length: 21 }, (_, i) => 10 * i));
    meter.add(Float64Array.from({ length: 21 }, (_, i) => i / 1e6));
    expect(meter.rateHz()).toBeCloseTo(1000, 6);
    const edges = measuredRateHz();
    edges.add(Float64Array.from([0, 1e-12]));
    expect(edges.rateHz()).toBeCloseTo(1e12, -3);
    const slow = measuredRateHz();
    slow.add(Float64Array.from([0, 1e7]));
    expect(slow.rateHz()).toBeCloseTo(1e-7, 12);
  });
});
