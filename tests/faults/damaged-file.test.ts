import { cpSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { RecordBatchReader } from 'apache-arrow';
import { describe, expect, it } from 'vitest';
import type { TraceRecord } from '../../src/core/tracefile/record.ts';
import { joinBlocks } from '../../src/core/trace.ts';
import { recoverTrace } from '../../src/daemon/store/samples/mending/recover.ts';
import { openTrace } from '../../src/daemon/store/samples/reading/trace-reader.ts';
import { verifyTrace } from '../../src/daemon/store/samples/mending/verify.ts';
import { capture, readAll, recording, sameSamples, scratch, slice } from '../daemon/store/kit.ts';

const ROWS = 10;
const BLOCKS = 12;
const whole = recording(ROWS * BLOCKS, 1000, 77);

/** Ends of the batches in the file, from its own index of bytes. */
function batchEnds(bytes: Buffer): number[] {
  const ends: number[] = [];
  let at = 8 + bytes.readInt32LE(4);
  while (bytes.readInt32LE(at + 4) !== 0) {
    // a batch: prefix, metadata, 16 bytes of columns a row
    at += 8 + bytes.readInt32LE(at + 4) + ROWS * 16;
    ends.push(at);
  }
  return ends;
}

function setRecord(folder: string, changes: Partial<TraceRecord>): void {
  const path = join(folder, 'trace.json');
  writeFileSync(path, JSON.stringify({ ...(JSON.parse(readFileSync(path, 'utf8')) as TraceRecord), ...changes }));
}

describe('a samples file cut at every byte of its last three blocks', () => {
  const folder = scratch();
  const path = join(folder, 'trace');
  const samplesPath = join(path, 'samples.arrows');

  it.each([['with', false], ['without', true]])('opens %s its index with every block that is whole, and recovers to a sound trace', async (_, dropIndex) => {
    rmSync(path, { recursive: true, force: true });
    await capture(path, { pieces: [whole], flushEvery: ROWS });
    setRecord(path, { end: 'running', samples: 0, sha256: null });
    const bytes = readFileSync(samplesPath);
    const ends = batchEnds(bytes);
    expect(ends).toHaveLength(BLOCKS);
    if (dropIndex) rmSync(join(path, 'samples.index'));
    for (let length = bytes.length; length > ends[BLOCKS - 4]!; length--) {
      truncateSync(samplesPath, length);
      const blocks = ends.filter((end) => end <= length).length;
      const reader = await openTrace(path);
      if (reader.samples !== blocks * ROWS) throw new Error(`cut at ${length}: ${reader.samples} samples of ${blocks * ROWS}`);
      if (length % 50 === 0) expect(sameSamples(await reader.load(), slice(whole, 0, blocks * ROWS)), `cut at ${length}`).toBe(true);
      await reader.close();
      if (length % 97 !== 0) continue;
      const copy = join(folder, 'copy');
      cpSync(path, copy, { recursive: true });
      expect(await recoverTrace(copy)).toBe(true);
      expect(await verifyTrace(copy), `cut at ${length}`).toMatchObject({ ok: true, samples: blocks * ROWS });
      const batches = [...RecordBatchReader.from(readFileSync(join(copy, 'samples.arrows')))];
      expect(batches.reduce((sum, batch) => sum + batch.numRows, 0)).toBe(blocks * ROWS);
      rmSync(copy, { recursive: true });
    }
  });

  it('that was ended before is reported as cut short', async () => {
    await capture(join(folder, 'ended'), { pieces: [whole], flushEvery: ROWS });
    const file = join(folder, 'ended', 'samples.arrows');
    truncateSync(file, readFileSync(file).length - 300);
    const report = await verifyTrace(join(folder, 'ended'));
    expect(report).toMatchObject({ ok: false, samples: (BLOCKS - 1) * ROWS });
    expect(report.problems.map((problem) => problem.text).join('\n')).toMatch(/its end is missing/);
    expect(sameSamples(await readAll(join(folder, 'ended')), slice(whole, 0, (BLOCKS - 1) * ROWS))).toBe(true);
  });
});

describe('a flipped bit in the samples file', () => {
  const folder = scratch();
  const path = join(folder, 'trace');

  it('is found wherever it is; verify names the time range, and every other block stays readable', async () => {
    await capture(path, { pieces: [whole], flushEvery: ROWS });
    const file = join(path, 'samples.arrows');
    const index = readFileSync(join(path, 'samples.index'));
    const bytes = readFileSync(file);
    const ends = batchEnds(bytes);
    const dataAt = ends[0]! - (ends[1]! - ends[0]!);
    for (let at = 1; at < bytes.length; at += 29) {
      const bad = Buffer.from(bytes);
      bad[at]! ^= 1 << (at & 7);
      writeFileSync(file, bad);
      writeFileSync(join(path, 'samples.index'), index);
      if (at < dataAt) {
        // in the first message: either the file is refused in words, or verify sees that it is not the file that was recorded
        const answer = await verifyTrace(path).then((report) => report.ok, () => false);
        expect(answer, `byte ${at} of the schema`).toBe(false);
        continue;
      }
      const report = await verifyTrace(path);
      expect(report.ok, `byte ${at}`).toBe(false);
      const block = ends.findIndex((end) => at < end);
      if (block < 0) continue;
      expect(report.damaged, `byte ${at}`).toHaveLength(1);
      expect(report.damaged[0]).toMatchObject({ start_s: whole.timeS[block * ROWS], end_s: whole.timeS[block * ROWS + ROWS - 1] });
      const reader = await openTrace(path);
      const trace = await reader.load();
      const rest = joinBlocks([slice(whole, 0, block * ROWS), slice(whole, (block + 1) * ROWS, whole.timeS.length)].filter((part) => part.timeS.length > 0), []);
      expect(sameSamples(trace, rest), `byte ${at}`).toBe(true);
      expect(trace.gaps, `byte ${at}`).toHaveLength(1);
      expect(reader.problems.map((problem) => problem.code)).toEqual(['damaged-block']);
      await reader.close();
    }
  });
});
