import { closeSync, existsSync, ftruncateSync, openSync, readdirSync, readFileSync, statSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { crc32, deflateRawSync } from 'node:zlib';
import { strFromU8, strToU8, unzipSync, zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { convertTrace } from '../../../src/daemon/store/exchange/convert.ts';
import { Store } from '../../../src/daemon/store/store.ts';
import { zipFiles, type ZipOptions } from '../../../src/daemon/store/exchange/zip.ts';

import { capture, JOB_FIELDS, readAll, recording, sameSamples, scratch, stores } from './kit.ts';
import { dataDescriptor, DEFLATED, localHeader, STREAMED_UTF8, zipEnd, type ZipEntry } from './zip-forge.ts';

async function gathered(parts: AsyncIterable<Uint8Array>): Promise<Buffer> {
  const all: Uint8Array[] = [];
  for await (const part of parts) all.push(part);
  return Buffer.concat(all);
}

describe('zips', () => {
  const folder = scratch();
  const open = stores(folder);
  const samples = recording(20_000, 1000, 2);
  const recorded = async (store: Store, jobId: string | null, title: string): Promise<{ jobId: string; traceId: string }> => {
    const { ref, writer } = await store.startTrace(jobId, { title }, { durable: false });
    writer.append(samples);
    await writer.mark({ timeS: 3, kind: 'pull', label: 'F12' });
    await writer.finish('stopped');
    return ref;
  };

  it('of a trace are read by a general zip reader (fflate), and taken in again as they were', async () => {
    const store = await open('zip');
    const ref = await recorded(store, null, 'winch');
    const zip = await gathered(await store.exportZip(ref));
    const files = unzipSync(zip);
    expect(Object.keys(files).sort()).toEqual(['marks.jsonl', 'samples.arrows', 'trace.json'].map((name) => `${ref.traceId}/${name}`));
    for (const [name, bytes] of Object.entries(files)) expect(Buffer.from(bytes).equals(readFileSync(join(await store.path(ref), name.split('/')[1]!))), name).toBe(true);
    writeFileSync(join(folder, 'w.zip'), zip);
    // the command line makes the same of the folder
    await convertTrace(await store.path(ref), join(folder, 'w2.zip'));
    expect(unzipSync(readFileSync(join(folder, 'w2.zip')))).toEqual(files);
    const [back] = await store.importFile(join(folder, 'w.zip'), 'w.zip');
    expect(back).toEqual({ jobId: 'unfiled', traceId: `${ref.traceId}-2` });
    expect(sameSamples(await readAll(await store.path(back!)), samples)).toBe(true);
    expect(readdirSync(join(folder, 'zip')).filter((name) => name.startsWith('.import'))).toEqual([]);
  });

  it('of a whole job are handed over: another data folder has the job with its facts, its traces and their marks', async () => {
    const [here, there] = [await open('here'), await open('there')];
    const job = await here.jobs.create(JOB_FIELDS, new Date('2026-02-20T07:30:00Z'));
    const before = await recorded(here, job.id, 'before');
    const after = await recorded(here, job.id, 'after');
    const reported: number[] = [];
    writeFileSync(join(folder, 'job.zip'), await gathered(await here.exportJobZip(job.id, { progress: (share) => void reported.push(share) })));
    expect(reported).toEqual(reported.toSorted((a, b) => a - b));
    expect([reported[0]! < 0.5, reported.at(-1)! > 0.9]).toEqual([true, true]);
    const refs = await there.importFile(join(folder, 'job.zip'), 'job.zip');
    expect(refs.map((ref) => ref.traceId).sort()).toEqual([before.traceId, after.traceId].sort());
    expect(await there.jobs.read(job.id)).toEqual(job);
    const reader = await there.openTrace(before);
    expect(reader.marks).toEqual([{ timeS: 3, kind: 'pull', label: 'F12' }]);
    expect(reader.record).toMatchObject({ title: 'before', sha256: (await here.record(before)).sha256 });
    await reader.close();
    // once more: nothing is written over
    // without a data folder the same zip becomes the job's folder again
    expect((await convertTrace(join(folder, 'job.zip'), join(folder, 'job'))).samples).toBeGreaterThan(0);
    expect(readdirSync(join(folder, 'job')).sort()).toEqual(['job.json', before.traceId, after.traceId].sort());
    const again = await there.importFile(join(folder, 'job.zip'), 'job.zip');
    expect(again[0]!.jobId).toBe(`${job.id}-2`);
    // into a job that the person names, no other is made
    const named = await there.importFile(join(folder, 'job.zip'), 'job.zip', { jobId: job.id });
    expect(named.every((ref) => ref.jobId === job.id)).toBe(true);
    expect(await there.jobs.ids()).toHaveLength(2);
  });

  it('of a job with a single trace become the folder of the job, not of the trace', async () => {
    const store = await open('one-trace');
    const job = await store.jobs.create(JOB_FIELDS, new Date('2026-02-20T07:30:00Z'));
    const { traceId } = await recorded(store, job.id, 'before');
    writeFileSync(join(folder, 'one.zip'), await gathered(await store.exportJobZip(job.id, {})));
    await convertTrace(join(folder, 'one.zip'), join(folder, 'one'));
    expect(readdirSync(join(folder, 'one')).sort()).toEqual([traceId, 'job.json'].sort());
  });

  it('of a job whose job.json is rubbish still bring its traces', async () => {
    const store = await open('rubbish-job');
    await capture(join(folder, 'good'), { pieces: [recording(2000, 1000, 1)] });
    const good = (name: string): Buffer => readFileSync(join(folder, 'good', name));
    writeFileSync(join(folder, 'rj.zip'), zipSync({ 'j/job.json': strToU8('{"created":{},"vehicle":[1'), 'j/t/samples.arrows': good('samples.arrows'), 'j/t/trace.json': good('trace.json') }));
    const [ref] = await store.importFile(join(folder, 'rj.zip'), 'rj.zip');
    expect(ref!.traceId).toBe('t');
    expect(await store.jobs.read(ref!.jobId)).toMatchObject({ vehicle: '', created: '2026-03-02T08:00:00.000Z' });
  });

  it('refuses hostile ones: paths that climb out, bombs, rubbish, cut ones; and writes nothing outside its folder', async () => {
    const store = await open('hostile');
    await capture(join(folder, 'fine'), { pieces: [recording(2000, 1000, 1)] });
    const bytes = readFileSync(join(folder, 'fine', 'samples.arrows'));
    const record = readFileSync(join(folder, 'fine', 'trace.json'));
    const take = async (name: string, zip: Uint8Array): Promise<unknown> => {
      writeFileSync(join(folder, name), zip);
      return store.importFile(join(folder, name), name).catch((error: Error) => error.message);
    };
    const climbing = zipSync({ '../../../climbed/samples.arrows': bytes, '/abs/samples.arrows': bytes, 'a/../b/samples.arrows': bytes, 'C:\\x/samples.arrows': bytes, 'ok/trace.json': record, 'ok/samples.arrows': bytes, 'ok/evil.sh': strToU8('x'), 'ok/sub/deep/er/samples.arrows': bytes });
    expect(await take('climb.zip', climbing)).toEqual([{ jobId: 'unfiled', traceId: 'ok' }]);
    expect(readdirSync(join(folder, 'hostile', 'jobs', 'unfiled', 'ok')).sort()).toEqual(['samples.arrows', 'samples.index', 'trace.json']);
    expect(existsSync(join(folder, 'climbed'))).toBe(false);
    const good = zipSync({ 'c/samples.arrows': bytes, 'c/trace.json': record }, { level: 1 });
    expect(await take('bomb.zip', zipSync({ 'b/samples.arrows': new Uint8Array(40 << 20) }, { level: 1 }))).toMatch(/unpacks to more than 100 times/);
    expect(await take('rubbish.zip', strToU8('PK not really a zip'))).toMatch(/not a zip/);
    expect(await take('cut.zip', good.slice(0, 9000))).toMatch(/not a zip file, or its end is missing/);
    expect(await take('no.zip', zipSync({ 'd/readme.txt': strToU8('x') }))).toMatch(/holds no trace/);
    expect(await take('bad.zip', zipSync({ 'e/samples.arrows': strToU8('not arrow'), 'e/trace.json': record }))).toMatch(/^e\/samples\.arrows is not an Arrow stream/);
    const flipped = Uint8Array.from(good);
    flipped[200]! ^= 1;
    expect(await take('flip.zip', flipped)).toMatch(/damaged at c\/samples\.arrows/);
    expect(strFromU8(record)).toContain('amptrail-trace/1');
    expect(await store.jobs.traceIds('unfiled')).toEqual(['ok']);
    expect(readdirSync(join(folder, 'hostile')).filter((name) => name.startsWith('.import'))).toEqual([]);
  });

  it.each<[string, RegExp, Partial<ZipEntry>]>([
    ['are said to be smaller than they are', /more than its directory says|unpacks to more/, { bytes: 1000 }],
    ['are said to begin elsewhere', /no file begins where its directory says/, { offset: 7 }],
    ['lie beyond the end of the file', /no file begins where its directory says/, { offset: 2 ** 40 }],
    ['reach beyond the end of the file', /ends in the middle/, { packedBytes: 2 ** 33 }],
    ['are encrypted', /encrypted/, { flags: STREAMED_UTF8 | 1 }],
    ['are packed in another way', /not read here \(method 93\)/, { method: 93 }],
    ['have another CRC-32', /CRC-32 does not fit/, { crc32: 1 }],
  ])('whose files %s are refused in words', async (_, words, lie) => {
    const store = await open(`lies-${words.source.length}`);
    const content = Buffer.alloc(200_000, 'recorded ');
    const packed = deflateRawSync(content);
    const header = localHeader('t/samples.arrows', true);
    const entry: ZipEntry = { name: 't/samples.arrows', method: DEFLATED, flags: STREAMED_UTF8, crc32: crc32(content), packedBytes: packed.length, bytes: content.length, offset: 0, wide: true };
    const descriptor = dataDescriptor(entry);
    writeFileSync(join(folder, 'lie.zip'), Buffer.concat([header, packed, descriptor, ...zipEnd([{ ...entry, ...lie }], header.length + packed.length + descriptor.length)]));
    await expect(store.importFile(join(folder, 'lie.zip'), 'lie.zip')).rejects.toThrow(words);
  });

  it('whose files share their bytes, which lets a small bomb be a large one, are refused', async () => {
    const store = await open('overlap');
    const content = Buffer.alloc(200_000);
    const packed = deflateRawSync(content);
    const header = localHeader('t/samples.arrows', false);
    const entry: ZipEntry = { name: 't0/samples.arrows', method: DEFLATED, flags: 0, crc32: crc32(content), packedBytes: packed.length, bytes: content.length, offset: 0, wide: false };
    const entries = Array.from({ length: 20 }, (_, i) => ({ ...entry, name: `t${i}/samples.arrows` }));
    writeFileSync(join(folder, 'overlap.zip'), Buffer.concat([header, packed, ...zipEnd(entries, header.length + packed.length)]));
    await expect(store.importFile(join(folder, 'overlap.zip'), 'overlap.zip')).rejects.toThrow(/overlap/);
  });
});

describe('zips above 4 GB (64-bit extension, APPNOTE 6.3.10, 4.3.14 and 4.5.3)', () => {
  const folder = scratch();
  const wide: ZipOptions = { wideFromBytes: 1000 };

  it('written with 64-bit sizes are read by a general zip reader and by this one', async () => {
    const path = join(folder, 'wide');
    await capture(path, { pieces: [recording(5000, 1000, 3)] });
    const zip = await gathered(zipFiles([{ path: join(path, 'samples.arrows'), name: 'wide/samples.arrows' }, { path: join(path, 'trace.json'), name: 'wide/trace.json' }], wide));
    expect(Buffer.from(unzipSync(zip)['wide/samples.arrows']!).equals(readFileSync(join(path, 'samples.arrows')))).toBe(true);
    // the directory's "version needed" is 4.5 (4.4.3.2): a reader without the extension says so instead of reading nonsense
    expect(zip.readUInt16LE(zip.indexOf(Uint8Array.of(0x50, 0x4b, 1, 2)) + 6)).toBe(45);
    writeFileSync(join(folder, 'wide.zip'), zip);
    const store = await Store.open(join(folder, 'data'), { software: 'test 1' });
    expect(await store.importFile(join(folder, 'wide.zip'), 'wide.zip')).toEqual([{ jobId: 'unfiled', traceId: 'wide' }]);
    await store.close();
  });

  it('are opened wherever their files lie: a trace behind 5 GB of something else, on a disk that holds none of it', async () => {
    const path = join(folder, 'far');
    await capture(path, { pieces: [recording(3000, 1000, 4)] });
    const zip = join(folder, 'far.zip');
    const fd = openSync(zip, 'w');
    const head = localHeader('far/film.bin', true);
    writeSync(fd, head);
    const entries: ZipEntry[] = [{ name: 'far/film.bin', method: 0, flags: 0, crc32: 0, packedBytes: 5e9, bytes: 5e9, offset: 0, wide: true }];
    let at = 5e9 + head.length;
    for (const name of ['samples.arrows', 'trace.json']) {
      const content = readFileSync(join(path, name));
      const packed = deflateRawSync(content);
      const header = localHeader(`far/${name}`, false);
      writeSync(fd, header, 0, header.length, at);
      writeSync(fd, packed, 0, packed.length, at + header.length);
      entries.push({ name: `far/${name}`, method: DEFLATED, flags: 0, crc32: crc32(content), packedBytes: packed.length, bytes: content.length, offset: at, wide: false });
      at += header.length + packed.length;
    }
    for (const part of zipEnd(entries, at)) {
      writeSync(fd, part, 0, part.length, at);
      at += part.length;
    }
    ftruncateSync(fd, at);
    closeSync(fd);
    expect(statSync(zip).size).toBeGreaterThan(5e9);
    const store = await Store.open(join(folder, 'data'), { software: 'test 1' });
    expect(await store.importFile(zip, 'far.zip')).toEqual([{ jobId: 'unfiled', traceId: 'far' }]);
    await store.close();
  });
});
