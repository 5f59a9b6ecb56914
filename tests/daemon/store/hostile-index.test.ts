import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { crc32 } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import type { BatchEntry } from '../../../src/core/tracefile/arrow/batch-table.ts';
import { decodeEntry, decodeTrailer, encodeEntry, entryBytes, INDEX_HEADER_BYTES, TRAILER_BYTES } from '../../../src/core/tracefile/index-file.ts';
import { Nodes } from '../../../src/core/tracefile/window/levels.ts';
import { openTrace } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { SamplesFile } from '../../../src/daemon/store/samples/samples-file.ts';
import { capture, recording, sameSamples, scratch, slice } from './kit.ts';

const folder = scratch();
const whole = recording(3000, 1000, 4);

describe('an index whose checksums are right over what is not so', () => {
  /** Its entries up to the summary, the second one changed and its checksum made again. */
  const lying = (bytes: Buffer, change: Partial<BatchEntry>): Buffer => {
    const { at: endAt } = decodeTrailer(bytes.subarray(bytes.length - TRAILER_BYTES), bytes.length, crc32)!;
    const parts: Uint8Array[] = [bytes.subarray(0, INDEX_HEADER_BYTES)];
    for (let at = INDEX_HEADER_BYTES, i = 0; at < endAt; i++) {
      const length = entryBytes(bytes, at);
      const nodes = new Nodes();
      const entry = decodeEntry(bytes, at, length, 0, nodes, crc32)!;
      const told = i === 1 ? { ...entry, ...change } : entry;
      parts.push(encodeEntry(told, nodes, 0, told.rows === 0 ? 0 : nodes.length, crc32));
      at += length;
    }
    return Buffer.concat(parts);
  };

  it.each<[string, Partial<BatchEntry>]>([
    ['has no bytes', { bytes: 0 }], ['has no rows', { rows: 0 }], ['ends behind the file', { bytes: 1e9 }], ['lies elsewhere', { offset: 1 }], ['begins in its middle', { fromRow: 5 }],
    ['ends before it begins', { firstS: 1.5, lastS: 1.4 }], ['begins before the last one ended', { firstS: 0.5 }], ['begins as the last one ended', { firstS: 0.999 }],
  ])('costs no sample, and nothing is called damaged, where a batch %s', async (what, change) => {
    const path = join(folder, what.replaceAll(' ', '-'));
    await capture(path, { pieces: [whole] });
    const indexPath = join(path, 'samples.index');
    writeFileSync(indexPath, lying(readFileSync(indexPath), change));
    const reader = await openTrace(path);
    expect([reader.samples, sameSamples(await reader.load(), whole)]).toEqual([3000, true]);
    expect([reader.firstS, reader.lastS, reader.gaps]).toEqual([0, 2.999, []]);
    for (const [from, to] of [[900, 1100], [1350, 1550], [1900, 2100]] as const) expect(sameSamples(await reader.load(from / 1000, to / 1000), slice(whole, from, to)), `from ${from} ms on`).toBe(true);
    expect(reader.problems.filter(({ code }) => code !== 'index-rebuilt')).toEqual([]);
    await reader.close();
  });
});

describe('a message of a samples file', () => {
  it('is cut wherever its end is missing, and whole from its last byte on', async () => {
    const path = join(folder, 'cut');
    await capture(path, { pieces: [recording(20, 1000, 1)] });
    const bytes = readFileSync(join(path, 'samples.arrows'));
    const messageOf = (fileBytes: number): ReturnType<SamplesFile['messageAt']> => {
      writeFileSync(join(path, 'samples.arrows'), bytes.subarray(0, fileBytes));
      const file = SamplesFile.open(join(path, 'samples.arrows'));
      const message = file.messageAt(file.dataAt, file.size());
      file.close();
      return message;
    };
    const found = messageOf(bytes.length);
    if ('end' in found) throw new Error(found.text);
    // 8 bytes say how long its head is, and after that comes the body
    const head = found.bodyAt - found.offset;
    for (const length of [0, 1, 7, 8, 9, head - 1, head, head + 1, found.bytes - 1]) expect(messageOf(found.offset + length), `${length} bytes of it`).toMatchObject({ end: 'cut' });
    expect(messageOf(found.offset + found.bytes)).toEqual(found);
  });
});
