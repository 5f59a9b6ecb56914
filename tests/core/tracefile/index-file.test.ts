import { crc32 } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { BatchTable } from '../../../src/core/tracefile/batch-table.ts';
import { decodeSummary, decodeTrailer, encodeSummary, INDEX_HEADER_BYTES } from '../../../src/core/tracefile/index-file.ts';
import { Levels } from '../../../src/core/tracefile/window/levels.ts';

function sealed(change: (table: BatchTable) => void = () => undefined): { summary: Uint8Array; trailer: Uint8Array } {
  const table = new BatchTable();
  table.push({ offset: 400, bytes: 100, crc32: 1, fromRow: 0, rows: 10, firstS: 0, lastS: 1, hasVoltage: false, gapBefore: false, nodesAt: 80 });
  change(table);
  const parts = encodeSummary(table, new Levels(), 500, INDEX_HEADER_BYTES, crc32);
  return { summary: Buffer.concat(parts.slice(0, -1)), trailer: parts.at(-1)! };
}

describe('the summary of an index file', () => {
  it('comes back as it was written', () => {
    const { summary, trailer } = sealed();
    const fileBytes = INDEX_HEADER_BYTES + summary.length + trailer.length;
    expect(decodeTrailer(trailer, fileBytes, crc32)).toEqual({ at: INDEX_HEADER_BYTES, bytes: summary.length });
    const read = decodeSummary(new Uint8Array(summary), crc32)!;
    expect([read.table.offset[0], read.table.nodesAt[0], read.samplesEnd]).toEqual([400, 80, 500]);
  });

  it('is none where its checksum is right over a place that no file has', () => {
    const { summary, trailer } = sealed();
    const fileBytes = INDEX_HEADER_BYTES + summary.length + trailer.length;
    const view = new DataView(trailer.buffer, trailer.byteOffset);
    view.setFloat64(8, INDEX_HEADER_BYTES + 0.5, true);
    view.setFloat64(16, summary.length - 0.5, true);
    view.setUint32(4, crc32(trailer.subarray(8)), true);
    expect(decodeTrailer(trailer, fileBytes, crc32)).toBeNull();
    for (const at of [0.5, -8, 2 ** 60, Infinity, NaN]) {
      expect(decodeSummary(new Uint8Array(sealed((table) => (table.offset[0] = at)).summary), crc32), `offset ${at}`).toBeNull();
      expect(decodeSummary(new Uint8Array(sealed((table) => (table.nodesAt[0] = at)).summary), crc32), `nodesAt ${at}`).toBeNull();
    }
  });
});
