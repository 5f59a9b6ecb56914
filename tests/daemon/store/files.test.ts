import { chmodSync, mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { MAX_MARKS } from '../../../src/core/tracefile/marks.ts';
import { openAppend, TAKEN_OVER } from '../../../src/daemon/store/files/append-file.ts';
import { lockFolder } from '../../../src/daemon/store/files/lock.ts';
import { makeFolders } from '../../../src/daemon/store/files/make-folders.ts';
import { checkName, isSafeName, timedName, withFreeName } from '../../../src/daemon/store/files/names.ts';
import { NOT_PLAIN, openPlain, openPlainSync } from '../../../src/daemon/store/files/plain-file.ts';
import { closeToOthers } from '../../../src/daemon/store/files/private-files.ts';
import { readMarksFile, readSmallFile, readTraceRecord, writeJson } from '../../../src/daemon/store/files/record-file.ts';
import { checkCancelled, explainError, StoreError } from '../../../src/daemon/store/files/store-error.ts';
import { MarksFile } from '../../../src/daemon/store/samples/marks/marks-file.ts';
import { checkWritten, endBy, isTakenOver, mayStillWrite } from '../../../src/daemon/store/samples/writing/capture-end.ts';
import { PendingRows } from '../../../src/daemon/store/samples/writing/pending-rows.ts';
import { emptyTraceRecord } from '../../../src/core/tracefile/trace-json.ts';
import { recording, scratch, slice } from './kit.ts';

const folder = scratch();
const at = (name: string): string => join(folder, name);

describe('a name', () => {
  it('has 1 to 120 letters, and is none that Windows keeps', () => {
    for (const good of ['a', 'x'.repeat(120), 'con-1', 'com', 'com10', 'lpt', 'auxiliary']) expect(isSafeName(good), good).toBe(true);
    for (const bad of ['', 'x'.repeat(121), 'Con', 'prn', 'aux', 'nul', 'COM1', 'lpt9']) expect(isSafeName(bad), bad).toBe(false);
    expect(checkName('a', 'job')).toBe('a');
    expect(() => checkName('../a', 'job')).toThrow(expect.objectContaining({ code: 'bad-name', message: expect.stringContaining('../a') }));
  });

  it('by time has sixty letters of words, none of them a dash at an end', () => {
    const time = new Date('2026-03-02T08:05:09.123Z');
    expect(timedName(time, 'x'.repeat(61))).toBe(`2026-03-02T08-05-09Z-${'x'.repeat(60)}`);
    expect(timedName(time, `${'x'.repeat(59)} y`)).toBe(`2026-03-02T08-05-09Z-${'x'.repeat(59)}`);
    expect([timedName(time, ' ä '), timedName(time, '?')]).toEqual(['2026-03-02T08-05-09Z-a', '2026-03-02T08-05-09Z']);
  });

  it('that is taken gets a number, up to a thousand', async () => {
    const tried: string[] = [];
    expect(await withFreeName('a', async (name) => tried.push(name) === 3)).toBe('a-3');
    expect(tried).toEqual(['a', 'a-2', 'a-3']);
    let count = 0;
    expect(await withFreeName('a', async () => ++count === 1000)).toBe('a-1000');
    await expect(withFreeName('a', async () => (count++, false))).rejects.toMatchObject({ code: 'exists' });
    expect(count).toBe(2000);
  });
});

describe('what the system says', () => {
  it.each([
    ['ENOENT', 'not-found'], ['ENOTDIR', 'not-found'], ['EACCES', 'read-only'], ['EPERM', 'read-only'], ['EROFS', 'read-only'], ['ENOSPC', 'disk-full'], ['EDQUOT', 'disk-full'], ['EFBIG', 'disk-full'],
    [NOT_PLAIN, 'wrong-format'], ['EISDIR', 'wrong-format'], ['EEXIST', 'exists'], ['ENOTEMPTY', 'exists'], ['EIO', 'disk-error'], ['ENXIO', 'disk-error'], ['ENODEV', 'disk-error'], ['ESTALE', 'disk-error'], ['EWHAT', 'disk-error'],
  ])('%s is %s', (code, ours) => {
    const error = explainError(Object.assign(new Error('no words of ours'), { code }), 'read the moon');
    expect(error).toMatchObject({ name: 'StoreError', code: ours, message: expect.stringContaining('read the moon') });
    expect(error.message.includes('no words of ours')).toBe(code === 'EWHAT');
  });

  it('of what is said already is said no further', () => {
    const known = new StoreError('running', 'It runs.');
    expect(explainError(known, 'x')).toBe(known);
    expect(explainError('only words', 'x').message).toContain('only words');
    expect(() => checkCancelled(undefined)).not.toThrow();
    expect(() => checkCancelled(new AbortController().signal)).not.toThrow();
    expect(() => checkCancelled(AbortSignal.abort())).toThrow(expect.objectContaining({ code: 'cancelled' }));
  });

  it('is how a capture ends that could not be written', () => {
    const by = (code: string) => endBy(Object.assign(new Error(code), { code }), '/data/t');
    expect([by('ENOSPC').cause, by('EIO').cause, by('EACCES').cause, by(TAKEN_OVER).cause, endBy(new StoreError('lock-lost', 'Gone.'), '/data/t').cause]).toEqual(['disk-full', 'disk-error', 'disk-error', 'lock-lost', 'lock-lost']);
    expect(by(TAKEN_OVER).why!.message).toContain('/data/t');
    expect(by('ENOSPC').text).toContain(by('ENOSPC').why!.message);
    expect([isTakenOver(Object.assign(new Error(''), { code: TAKEN_OVER })), isTakenOver(new Error(''))]).toEqual([true, false]);
    expect([null, { cause: 'stopped', text: '' } as const, by('ENOSPC'), by('EIO'), by(TAKEN_OVER)].map(mayStillWrite)).toEqual([true, true, false, false, false]);
    expect(() => checkWritten(null)).not.toThrow();
    expect(() => checkWritten({ cause: 'duration', text: '' })).not.toThrow();
    expect(() => checkWritten(by('ENOSPC'))).toThrow(expect.objectContaining({ code: 'disk-full' }));
  });
});

describe('a file that only grows', () => {
  it('takes what is written after what is there, and nothing once another has written to it', async () => {
    writeFileSync(at('grown'), 'ab');
    const file = await openAppend(at('grown'));
    await file.append(Buffer.from('cd'));
    await file.append(Buffer.from('e'));
    await file.sync();
    expect(readFileSync(at('grown'), 'utf8')).toBe('abcde');
    await file.truncate(3);
    await file.append(Buffer.from('f'));
    expect(readFileSync(at('grown'), 'utf8')).toBe('abcf');
    writeFileSync(at('grown'), 'x', { flag: 'a' });
    await expect(file.append(Buffer.from('g'))).rejects.toMatchObject({ code: TAKEN_OVER });
    expect(readFileSync(at('grown'), 'utf8')).toBe('abcfx');
    await file.close();
  });

  it('is missed when another has taken its name', async () => {
    const file = await openAppend(at('replaced'));
    await writeJson(at('replaced'), {});
    await expect(file.sync()).rejects.toMatchObject({ code: 'ENOENT' });
    await file.close();
  });
});

describe('folders', () => {
  it('are made level by level, with the rights that were asked for, and may be there already', async () => {
    await makeFolders(at('a/b/c'), 0o700);
    expect([at('a'), at('a/b'), at('a/b/c')].map((path) => statSync(path).mode & 0o777)).toEqual([0o700, 0o700, 0o700]);
    await makeFolders(at('a/b'));
    writeFileSync(at('a/file'), '');
    await expect(makeFolders(at('a/file'))).rejects.toMatchObject({ code: 'EEXIST' });
    await expect(makeFolders(at('a/file/below'))).rejects.toMatchObject({ code: 'ENOTDIR' });
  });

  it('are closed to other users, which those of this one stay', async () => {
    if (process.platform === 'win32') return;
    mkdirSync(at('open'));
    chmodSync(at('open'), 0o755);
    expect(await closeToOthers(at('open'))).toBe(true);
    expect(statSync(at('open')).mode & 0o777).toBe(0o700);
    chmodSync(at('open'), 0o500);
    expect(await closeToOthers(at('open'))).toBe(true);
    expect(statSync(at('open')).mode & 0o777).toBe(0o500);
  });

  it('and pipes are no files to read', async () => {
    expect(() => openPlainSync(folder)).toThrow(expect.objectContaining({ code: NOT_PLAIN }));
    await expect(openPlain(folder)).rejects.toMatchObject({ code: NOT_PLAIN });
    await expect(openPlain(at('nowhere'))).rejects.toMatchObject({ code: 'ENOENT' });
  });
});

describe('a folder that belongs to one process', () => {
  const owner = (name: string): string => join(at(name), '.owner.json');

  it('is refused to a second, by the name of the first, and free after it', async () => {
    mkdirSync(at('taken'));
    const lock = await lockFolder(at('taken'), () => undefined);
    expect(JSON.parse(readFileSync(owner('taken'), 'utf8'))).toMatchObject({ pid: process.pid, host: hostname() });
    expect(await lock.lost()).toBeNull();
    await expect(lockFolder(at('taken'), () => undefined)).rejects.toMatchObject({ code: 'in-use', message: expect.stringContaining(String(process.pid)) });
    await lock.release();
    const next = await lockFolder(at('taken'), () => undefined);
    await next.release();
    expect(() => statSync(owner('taken'))).toThrow();
  });

  it('is lost when another says it is his, and then left to him', async () => {
    mkdirSync(at('lost'));
    const lock = await lockFolder(at('lost'), () => undefined);
    const other = JSON.stringify({ pid: 1, host: 'elsewhere', since: '2026-03-02T08:00:00Z', key: 'another' });
    writeFileSync(owner('lost'), other);
    expect(await lock.lost()).toContain(at('lost'));
    await lock.release();
    expect(readFileSync(owner('lost'), 'utf8')).toBe(other);
    const rubbish = await lockFolder(at('lost'), () => undefined);
    writeFileSync(owner('lost'), 'rubbish');
    expect(await rubbish.lost()).not.toBeNull();
    await rubbish.release();
  });

  it('of a process that has ended is taken at once; of a computer elsewhere nobody knows whether it has', async () => {
    // no process has a number as high (Linux: 2^22 at most)
    const left = (host: string): string => JSON.stringify({ pid: 2 ** 30, host, since: '2026-03-02T08:00:00Z', key: 'dead' });
    for (const name of ['dead', 'far']) mkdirSync(join(at(name), '.lock'), { recursive: true });
    writeFileSync(owner('dead'), left(hostname()));
    await (await lockFolder(at('dead'), () => undefined)).release();
    writeFileSync(owner('far'), left('elsewhere'));
    await expect(lockFolder(at('far'), () => undefined)).rejects.toMatchObject({ code: 'in-use', message: expect.stringContaining('elsewhere') });
    writeFileSync(owner('far'), '{}');
    await expect(lockFolder(at('far'), () => undefined)).rejects.toMatchObject({ code: 'in-use' });
  });
});

describe('a small file', () => {
  it('has 16 MiB at most, and is none where there is none', async () => {
    expect(await readSmallFile(at('none'))).toBeNull();
    writeFileSync(at('large'), Buffer.alloc(16 << 20, 0x20));
    expect(await readSmallFile(at('large'))).toHaveLength(16 << 20);
    writeFileSync(at('large'), ' ', { flag: 'a' });
    await expect(readSmallFile(at('large'))).rejects.toThrow(String((16 << 20) + 1));
    expect((await readMarksFile(at('large'))).problems.map(({ code }) => code)).toEqual(['bad-mark']);
    expect(await readMarksFile(at('none'))).toEqual({ marks: [], problems: [] });
  });

  it('of JSON ends with a line end, and gets the rights that were asked for', async () => {
    await writeJson(at('small.json'), { a: 1 }, 0o600);
    expect([readFileSync(at('small.json'), 'utf8'), statSync(at('small.json')).mode & 0o777]).toEqual(['{\n  "a": 1\n}\n', 0o600]);
  });

  it('of a trace that cannot be used leaves a record of nothing, and says why', async () => {
    const why = async (text: string | null): Promise<string> => {
      if (text !== null) writeFileSync(at('trace.json'), text);
      const { record, known, problems } = await readTraceRecord(text === null ? at('no-trace.json') : at('trace.json'), 't');
      expect([known, record]).toEqual([false, emptyTraceRecord('t', '', '')]);
      expect(problems.map(({ code }) => code)).toEqual(['wrong-format']);
      return problems[0]!.text;
    };
    expect(new Set([await why(null), await why('{'), await why('[]')]).size).toBe(3);
    writeFileSync(at('trace.json'), JSON.stringify({ ...emptyTraceRecord('t', '2026-03-02T08:00:00Z', 'x'), title: 7 }));
    const partly = await readTraceRecord(at('trace.json'), 't');
    expect([partly.known, partly.record.start, partly.problems.length]).toEqual([true, '2026-03-02T08:00:00Z', 1]);
    expect(partly.problems[0]!.text).toContain('title');
  });
});

describe('the file of marks', () => {
  const mark = { timeS: 1, kind: 'note', label: 'a' } as const;

  it('gives a mark after a torn line a line of its own', async () => {
    writeFileSync(at('torn.jsonl'), '{"time_s":1,"kind":"note","label":"a"}\n{"time_s":2,"ki');
    const file = await MarksFile.open(at('torn.jsonl'));
    await file.add(mark);
    await file.add(mark);
    await file.close();
    expect(readFileSync(at('torn.jsonl'), 'utf8').split('\n').map((line) => line.length > 20)).toEqual([true, false, true, true, false]);
  });

  it('takes as many marks as are ever read, and no more', async () => {
    writeFileSync(at('full.jsonl'), '{"time_s":1,"kind":"note","label":"some words that make the file longer than one look at it"}\n'.repeat(MAX_MARKS - 1));
    const file = await MarksFile.open(at('full.jsonl'));
    await file.add(mark);
    await expect(file.add(mark)).rejects.toMatchObject({ code: 'too-large' });
    await file.close();
    const again = await MarksFile.open(at('full.jsonl'));
    await expect(again.add(mark)).rejects.toMatchObject({ code: 'too-large' });
    await again.close();
  });
});

describe('rows that wait for the disk', () => {
  it('are gathered into batches of 8,192, parted at gaps and where the volts come or go', () => {
    const rows = new PendingRows();
    const all = recording(20_000, 1000, 3);
    expect(rows.add(slice(all, 0, 9000))).toBe(false);
    rows.breakHere();
    rows.breakHere();
    rows.add(slice(all, 9000, 9100));
    rows.add({ ...slice(all, 9100, 9200), voltageV: null });
    expect(rows.length).toBe(9200);
    expect(rows.take().map(({ block, gapBefore }) => [block.timeS.length, block.voltageV?.length ?? null, gapBefore])).toEqual([[8192, 8192, false], [808, 808, false], [100, 100, true], [100, null, false]]);
    expect([rows.length, rows.take()]).toEqual([0, []]);
  });

  it('are worth a flush from four batches on', () => {
    const rows = new PendingRows();
    const all = recording(4 * 8192, 1000, 3);
    expect(rows.add(slice(all, 0, 4 * 8192 - 1))).toBe(false);
    expect(rows.add(slice(all, 4 * 8192 - 1, 4 * 8192))).toBe(true);
  });

  it('are a million at most; what does not fit is counted and leaves a gap', () => {
    const rows = new PendingRows();
    const block = recording(1 << 18, 1000, 3);
    for (let i = 0; i < 4; i++) rows.add(block);
    expect([rows.length, rows.dropped]).toEqual([1 << 20, 0]);
    expect(rows.add(slice(block, 0, 5))).toBe(true);
    expect([rows.length, rows.dropped]).toEqual([1 << 20, 5]);
    rows.take();
    rows.add(slice(block, 0, 5));
    expect(rows.take().map(({ gapBefore }) => gapBefore)).toEqual([true]);
  });
});
