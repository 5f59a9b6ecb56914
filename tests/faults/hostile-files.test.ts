import { closeSync, cpSync, ftruncateSync, openSync, readFileSync, rmSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { crc32 } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { encodeSummary, TRAILER_BYTES } from '../../src/core/tracefile/index-file.ts';
import { BatchTable } from '../../src/core/tracefile/arrow/batch-table.ts';
import { Levels } from '../../src/core/tracefile/window/levels.ts';
import { recoverTrace } from '../../src/daemon/store/samples/mending/recover.ts';
import { openTrace } from '../../src/daemon/store/samples/reading/trace-reader.ts';
import { verifyTrace } from '../../src/daemon/store/samples/mending/verify.ts';
import { capture, recording, scratch, seeded } from '../daemon/store/kit.ts';

/** Opens, reads and verifies; whatever happens must be an answer in words, in memory that does not depend on what the file claims. */
async function useUp(path: string): Promise<string> {
  try {
    const reader = await openTrace(path);
    try {
      for await (const block of reader.blocks()) if (block.timeS.length > 70_000) throw new Error('a block longer than promised');
      await reader.window(0, 10, 100);
    } finally {
      await reader.close();
    }
    const report = await verifyTrace(path);
    return report.ok ? 'whole' : 'damaged';
  } catch (error) {
    if ((error as Error).name !== 'StoreError') throw error;
    return (error as Error).message;
  }
}

/** A file of `bytes` bytes that takes no room on the disk. */
function sparse(path: string, head: Uint8Array, bytes: number): void {
  const fd = openSync(path, 'w');
  writeSync(fd, head);
  ftruncateSync(fd, bytes);
  closeSync(fd);
}

describe('hostile files', () => {
  const folder = scratch();
  const good = join(folder, 'good');
  const bad = join(folder, 'bad');

  const fresh = async (): Promise<void> => {
    if (!(await openTrace(good).then((reader) => reader.close().then(() => true), () => false))) await capture(good, { pieces: [recording(3000, 1000, 5)], flushEvery: 500, marks: [{ timeS: 1, kind: 'note', label: 'x' }] });
    rmSync(bad, { recursive: true, force: true });
    cpSync(good, bad, { recursive: true });
  };

  it('of absurd size are refused without being read: samples, trace.json, marks', async () => {
    await fresh();
    sparse(join(folder, 'huge.arrows'), new Uint8Array(0), 40e9);
    expect(await useUp(join(folder, 'huge.arrows'))).toMatch(/not an Arrow stream/);
    sparse(join(bad, 'trace.json'), Buffer.from('{'), 8e9);
    sparse(join(bad, 'marks.jsonl'), Buffer.from('{'), 8e9);
    const before = process.memoryUsage().rss;
    const reader = await openTrace(bad);
    expect(reader.samples).toBe(3000);
    expect(reader.problems.map((problem) => problem.text).join('\n')).toMatch(/trace\.json cannot be used.*8000000000 bytes[\s\S]*marks\.jsonl cannot be read/);
    await reader.close();
    expect(process.memoryUsage().rss - before).toBeLessThan(200e6);
  });

  it('with a batch that claims more rows or bytes than the file has are cut off there', async () => {
    const bytes = readFileSync(join(good, 'samples.arrows'));
    const schemaEnd = 8 + bytes.readInt32LE(4);
    let refused = 0;
    for (let at = schemaEnd; at < schemaEnd + 240; at += 4) {
      for (const value of [0x7fffffff, 0xffffffff, 0x40000000, 1 << 20]) {
        const changed = Buffer.from(bytes);
        changed.writeUInt32LE(value, at);
        writeFileSync(join(folder, 'lies.arrows'), changed);
        if ((await useUp(join(folder, 'lies.arrows'))) !== 'whole') refused++;
      }
    }
    expect(refused).toBeGreaterThan(50);
  });

  it.each([
    ['null', 'null'],
    ['a list', '[1,2,3]'],
    ['another schema', '{"schema":"other/9"}'],
    ['nesting without end', `${'['.repeat(200_000)}`],
    ['wrong types throughout', '{"schema":"amptrail-trace/1","gaps":{"length":1e9},"samples":"many","channels":[null],"end":"never","logger":7,"damage":[],"rate_hz":-1,"start":{}}'],
    ['gaps out of order', '{"schema":"amptrail-trace/1","end":"ended","samples":3000,"gaps":[{"start_s":5,"end_s":1},{"start_s":0,"end_s":2}]}'],
    ['a name for the prototype', '{"schema":"amptrail-trace/1","__proto__":{"polluted":1},"constructor":{"prototype":{"polluted":1}}}'],
  ])('trace.json with %s costs the notes, never the samples', async (_, text) => {
    await fresh();
    writeFileSync(join(bad, 'trace.json'), text);
    const reader = await openTrace(bad);
    expect(reader.samples).toBe(3000);
    expect(reader.record.samples).toBe(3000);
    expect(reader.record.gaps).toEqual([]);
    expect(({} as Record<string, unknown>)['polluted']).toBeUndefined();
    await reader.close();
    await recoverTrace(bad);
    expect((await openTrace(bad)).samples).toBe(3000);
  });

  it('with an index whose checksums are right and whose words are not cannot lead the reader astray', async () => {
    await fresh();
    const index = readFileSync(join(good, 'samples.index'));
    const size = readFileSync(join(good, 'samples.arrows')).length;
    const random = seeded(4);
    for (let round = 0; round < 150; round++) {
      const table = new BatchTable();
      for (let i = 0; i < 6; i++) {
        table.push({ offset: Math.floor(random() * size * 1.5), bytes: Math.floor(random() * 2 ** (random() * 33)), crc32: 1, fromRow: Math.floor(random() * 2000), rows: Math.floor(random() * 2 ** (random() * 20)), firstS: (random() - 0.2) * 10, lastS: random() * 10, hasVoltage: true, gapBefore: random() < 0.3, nodesAt: Math.floor(random() * index.length * 2) });
      }
      if (round % 3 === 0) table.firstS[2] = Number.NaN;
      const parts = encodeSummary(table, new Levels(), size - 8, index.length, crc32);
      writeFileSync(join(bad, 'samples.index'), Buffer.concat([index, ...parts]));
      expect(typeof (await useUp(bad))).toBe('string');
      await fresh();
    }
    expect(TRAILER_BYTES).toBe(24);
  });
});
