import { crc32 } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { BatchTable, gapsOfTable, rateOfTable, type BatchEntry } from '../../../src/core/tracefile/arrow/batch-table.ts';
import { decodeEntry, decodeIndexHeader, decodeSummary, decodeTrailer, encodeEntry, encodeIndexHeader, encodeSummary, ENTRY_BYTES, entryBytes, INDEX_HEADER_BYTES, NODE_BYTES } from '../../../src/core/tracefile/index-file.ts';
import { Levels, Nodes } from '../../../src/core/tracefile/window/levels.ts';

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

  /** `batches` of 10, 20, 30 … rows, and the levels above so many level-0 nodes; then changed, with the right checksum again */
  function bytesOf(batches: number, nodes: number, change: (view: DataView) => void = () => undefined, cut = 0): Uint8Array {
    const table = new BatchTable();
    for (let i = 0; i < batches; i++) table.push({ offset: 400 + i, bytes: 100 + i, crc32: i, fromRow: 5 * i, rows: 10 * (i + 1), firstS: i, lastS: i + 0.5, hasVoltage: i % 2 === 0, gapBefore: i > 1, nodesAt: i === 1 ? -1 : 80 * i });
    const base = new Nodes();
    for (let k = 0; k < nodes; k++) {
      const at = base.grow();
      for (const [place, name] of (['firstS', 'lowA', 'lowV', 'meanA', 'meanV', 'lastS', 'highA', 'highV'] as const).entries()) base[name][at] = k + place / 8;
      base.count[at] = 64;
    }
    const levels = new Levels();
    levels.addBase(base);
    const bytes = new Uint8Array(Buffer.concat(encodeSummary(table, levels, 500, INDEX_HEADER_BYTES, crc32).slice(0, -1)));
    const whole = bytes.slice(0, bytes.length - cut);
    const view = new DataView(whole.buffer);
    change(view);
    view.setUint32(4, crc32(whole.subarray(8)), true);
    return whole;
  }

  it('keeps every column of the batches and of the levels above their nodes', () => {
    const { table, levels } = decodeSummary(bytesOf(3, 20), crc32)!;
    expect([table.length, table.samples]).toEqual([3, 60]);
    expect([0, 1, 2].map((i) => table.entry(i))).toEqual([0, 1, 2].map((i) => ({ offset: 400 + i, bytes: 100 + i, crc32: i, fromRow: 5 * i, rows: 10 * (i + 1), firstS: i, lastS: i + 0.5, hasVoltage: i !== 1, gapBefore: i === 2, nodesAt: i === 1 ? -1 : 80 * i })));
    // 20 nodes have 8, 8 and 4 above them, and these one; means of 0 … 7, 8 … 15, 16 … 19 and of all, 3/8 more
    expect(levels.above.map(({ length }) => length)).toEqual([3, 1]);
    expect(levels.above.map((level) => [...level.count.subarray(0, level.length)])).toEqual([[512, 512, 256], [1280]]);
    expect(levels.above.map((level) => [...level.meanA.subarray(0, level.length)].map((meanA) => meanA.toFixed(4)))).toEqual([['3.8750', '11.8750', '17.8750'], ['9.8750']]);
    expect([...levels.above[0]!.lastS.subarray(0, 3)]).toEqual([7.625, 15.625, 19.625]);
    // eight batches fill their columns to the last byte; none make a summary of its head alone
    expect(decodeSummary(bytesOf(8, 0), crc32)!.table.samples).toBe(360);
    expect(decodeSummary(bytesOf(0, 0), crc32)).toMatchObject({ samplesEnd: 500, table: { length: 0 } });
  });

  it('is none when a bit of it is flipped, or its end is missing under a right checksum', () => {
    const whole = bytesOf(3, 20);
    for (let at = 0; at < whole.length; at++) expect(decodeSummary(whole.map((byte, i) => (i === at ? byte ^ 1 : byte)), crc32), `byte ${at}`).toBeNull();
    for (const [batches, nodes] of [[3, 20], [8, 0]] as const) expect(decodeSummary(bytesOf(batches, nodes, undefined, 8), crc32)).toBeNull();
    expect(decodeSummary(bytesOf(3, 20, (view) => view.setUint32(0, 0x4d555342, true)), crc32)).toBeNull();
    const { trailer, summary } = sealed();
    const fileBytes = INDEX_HEADER_BYTES + summary.length + trailer.length;
    for (let at = 0; at < trailer.length; at++) expect(decodeTrailer(trailer.map((byte, i) => (i === at ? byte ^ 1 : byte)), fileBytes, crc32), `byte ${at}`).toBeNull();
    expect(decodeTrailer(trailer.subarray(0, 23), fileBytes, crc32)).toBeNull();
  });

  it('asks for no more than its bytes can hold, whatever it claims', () => {
    const claim = (at: number, value: number, batches = 3, nodes = 20): boolean => decodeSummary(bytesOf(batches, nodes, (view) => view.setUint32(at, value, true)), crc32) !== null;
    expect([claim(16, 3), claim(16, 4), claim(16, 0xffffffff), claim(20, 2), claim(20, 3), claim(20, 0xffffffff)]).toEqual([true, false, false, true, false, false]);
    // three batches: behind the head of 24 bytes, 4 columns of 24, 4 of 12 padded to 16, one of 3 padded to 8
    const levelAt = 24 + 4 * 24 + 4 * 16 + 8;
    expect([claim(levelAt, 3), claim(levelAt, 4), claim(levelAt, 0xffffffff)]).toEqual([true, false, false]);
    // rows of the first batch: behind 4 columns of 24 and 3 of 16
    const rowsAt = 24 + 4 * 24 + 3 * 16;
    expect([claim(rowsAt, 4096 * 64), claim(rowsAt, 4096 * 64 + 1)]).toEqual([true, false]);
    // a mean of the first level that is no number: behind 2 columns of 24 and 3 of 16
    expect(decodeSummary(bytesOf(3, 20, (view) => view.setFloat32(levelAt + 8 + 2 * 24 + 3 * 16, Number.NaN, true)), crc32)).toBeNull();
    const levelsOf = (count: number): unknown => {
      const levels = new Levels();
      const one = new Nodes();
      one.grow();
      levels.adopt(Array.from({ length: count }, () => one), 0);
      return decodeSummary(new Uint8Array(Buffer.concat(encodeSummary(new BatchTable(), levels, 500, INDEX_HEADER_BYTES, crc32).slice(0, -1))), crc32);
    };
    expect([levelsOf(16) === null, levelsOf(17) === null]).toEqual([false, true]);
  });

  it('lies behind the header, and ends where the trailer begins', () => {
    const place = (at: number, bytes: number, fileBytes: number): boolean => {
      const trailer = sealed().trailer.slice();
      const view = new DataView(trailer.buffer, trailer.byteOffset);
      view.setFloat64(8, at, true);
      view.setFloat64(16, bytes, true);
      view.setUint32(4, crc32(trailer.subarray(8)), true);
      return decodeTrailer(trailer, fileBytes, crc32) !== null;
    };
    // header 32, trailer 24, and no summary is shorter than its head of 24
    expect([place(32, 24, 80), place(31, 25, 80), place(33, 23, 80), place(32, 24, 81), place(32, 24, 79), place(32.5, 47.5, 104), place(40, 40, 104)]).toEqual([true, false, false, false, false, false, true]);
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

const ENTRY: BatchEntry = { offset: 400, bytes: 1234, crc32: 0xdeadbeef, fromRow: 7, rows: 100, firstS: 0.5, lastS: 1.5, hasVoltage: true, gapBefore: false, nodesAt: -1 };

/** Two nodes for 100 samples: 64 and 36. */
function twoNodes(): Nodes {
  const nodes = new Nodes();
  for (let k = 0; k < 2; k++) {
    const i = nodes.grow();
    nodes.firstS[i] = 0.5 + k;
    nodes.lastS[i] = 1 + k;
    nodes.lowA[i] = 1 + k;
    nodes.highA[i] = 2 + k;
    nodes.meanA[i] = 1.5 + k;
    nodes.lowV[i] = 11 + k;
    nodes.highV[i] = 13 + k;
    nodes.meanV[i] = 12 + k;
  }
  return nodes;
}

describe('the header of an index file', () => {
  const header = encodeIndexHeader(488, 0x12345678, crc32);

  it('lies in its bytes as its description says', () => {
    // "amptidx1", 488 = 0x1e8, then the sum of these 16 bytes and zeros
    const first = '616d707469647831e801000078563412';
    expect(Buffer.from(header).toString('hex').slice(0, 32)).toBe(first);
    expect(new DataView(header.buffer).getUint32(16, true)).toBe(crc32(Buffer.from(first, 'hex')));
    expect(decodeIndexHeader(header, crc32)).toEqual({ schemaBytes: 488, schemaCrc: 0x12345678 });
  });

  it('is none when any of its bytes is another, or one is missing', () => {
    for (let at = 0; at < header.length; at++) {
      const changed = header.slice();
      changed[at]! ^= 0x10;
      expect(decodeIndexHeader(changed, crc32), `byte ${at}`).toBeNull();
    }
    expect(decodeIndexHeader(header.subarray(0, INDEX_HEADER_BYTES - 1), crc32)).toBeNull();
    // of another form, with the right checksum
    const other = header.slice();
    other[7] = 0x32;
    new DataView(other.buffer).setUint32(16, crc32(other.subarray(0, 16)), true);
    expect(decodeIndexHeader(other, crc32)).toBeNull();
    expect(decodeIndexHeader(Uint8Array.from([...header, 1, 2]), crc32)).not.toBeNull();
  });
});

describe('an entry of an index file', () => {
  const entry = encodeEntry(ENTRY, twoNodes(), 0, 2, crc32);

  it('comes back as it was written, with its nodes, wherever it lies', () => {
    expect(entry.length).toBe(ENTRY_BYTES + 2 * NODE_BYTES);
    const bytes = Uint8Array.from([...new Uint8Array(16).fill(7), ...entry]);
    expect(entryBytes(bytes, 16)).toBe(entry.length);
    const nodes = new Nodes();
    expect(decodeEntry(bytes, 16, entry.length, 1000, nodes, crc32)).toEqual({ ...ENTRY, nodesAt: 1000 + 16 + ENTRY_BYTES });
    expect(nodes.length).toBe(2);
    expect([...nodes.count.subarray(0, 2)]).toEqual([64, 36]);
    const wanted = twoNodes();
    for (const name of ['firstS', 'lastS', 'lowA', 'highA', 'meanA', 'lowV', 'highV', 'meanV'] as const) expect([...nodes[name].subarray(0, 2)], name).toEqual([...wanted[name].subarray(0, 2)]);
  });

  it('says voltage and gap apart', () => {
    for (const hasVoltage of [false, true]) {
      for (const gapBefore of [false, true]) {
        const bytes = encodeEntry({ ...ENTRY, hasVoltage, gapBefore }, twoNodes(), 0, 2, crc32);
        expect(decodeEntry(bytes, 0, bytes.length, 0, new Nodes(), crc32)).toMatchObject({ hasVoltage, gapBefore });
        const table = new BatchTable();
        table.push({ ...ENTRY, hasVoltage, gapBefore });
        expect(table.entry(0)).toEqual({ ...ENTRY, hasVoltage, gapBefore });
      }
    }
  });

  it('may hold a part of the nodes', () => {
    const bytes = encodeEntry({ ...ENTRY, rows: 36 }, twoNodes(), 1, 2, crc32);
    const nodes = new Nodes();
    decodeEntry(bytes, 0, bytes.length, 0, nodes, crc32);
    expect([nodes.length, nodes.count[0], nodes.meanA[0], nodes.lowV[0]]).toEqual([1, 36, 2.5, 12]);
  });

  it('is none when a bit of it is flipped: behind its checksum, or before', () => {
    for (let at = 4; at < entry.length; at++) {
      const changed = entry.slice();
      changed[at]! ^= 1;
      expect(decodeEntry(changed, 0, entry.length, 0, new Nodes(), crc32), `byte ${at}`).toBeNull();
    }
    const elsewhere = entry.slice();
    elsewhere[0]! ^= 1;
    expect(entryBytes(elsewhere, 0)).toBe(0);
  });

  it('is none where its checksum is right over values that no samples have', () => {
    const wrong: [name: 'lastS' | 'lowA' | 'highA' | 'meanA' | 'lowV' | 'meanV', value: number][] = [
      ['lastS', Number.NaN], ['lastS', Infinity], ['lowA', Number.NaN], ['lowA', -Infinity], ['highA', Infinity], ['meanA', Number.NaN], ['meanA', 1e6], ['lowV', Number.NaN], ['meanV', Infinity],
    ];
    for (const [name, value] of wrong) {
      const nodes = twoNodes();
      nodes[name][1] = value;
      const bytes = encodeEntry(ENTRY, nodes, 0, 2, crc32);
      expect(decodeEntry(bytes, 0, bytes.length, 0, new Nodes(), crc32), `${name} ${value}`).toBeNull();
    }
    const withoutVolts = twoNodes();
    for (const name of ['lowV', 'highV', 'meanV'] as const) withoutVolts[name].fill(Number.NaN);
    const bytes = encodeEntry(ENTRY, withoutVolts, 0, 2, crc32);
    expect(decodeEntry(bytes, 0, bytes.length, 0, new Nodes(), crc32)).not.toBeNull();
  });

  it('is as long as the nodes that its rows need, and begins nowhere else', () => {
    const claim = (rows: number, nodes: number): number => {
      const bytes = entry.slice();
      new DataView(bytes.buffer).setUint32(24, rows, true);
      new DataView(bytes.buffer).setUint32(48, nodes, true);
      return entryBytes(bytes, 0);
    };
    expect(claim(64, 1)).toBe(ENTRY_BYTES + NODE_BYTES);
    expect(claim(65, 2)).toBe(ENTRY_BYTES + 2 * NODE_BYTES);
    expect(claim(65, 1)).toBe(0);
    expect(claim(4096 * 64, 4096)).toBe(ENTRY_BYTES + 4096 * NODE_BYTES);
    expect(claim(4096 * 64 + 1, 4097)).toBe(0);
    expect(entryBytes(entry.subarray(0, ENTRY_BYTES), 0)).toBe(entry.length);
    expect(entryBytes(entry.subarray(0, ENTRY_BYTES - 1), 0)).toBe(0);
    expect(entryBytes(entry, entry.length - ENTRY_BYTES + 1)).toBe(0);
  });
});

/** Batches of these rows, first and last times. */
function tableOf(...batches: readonly (readonly [rows: number, firstS: number, lastS: number, gapBefore?: boolean])[]): BatchTable {
  const table = new BatchTable();
  for (const [rows, firstS, lastS, gapBefore = false] of batches) table.push({ ...ENTRY, rows, firstS, lastS, gapBefore });
  return table;
}

describe('the table of batches', () => {
  it('grows and keeps every column', () => {
    const table = new BatchTable();
    for (let i = 0; i < 200; i++) table.push({ ...ENTRY, offset: i * 1000, fromRow: i, firstS: i, lastS: i + 0.5, nodesAt: i * 8 });
    expect([table.length, table.samples]).toEqual([200, 20_000]);
    for (const i of [0, 63, 64, 127, 128, 199]) expect(table.entry(i)).toEqual({ ...ENTRY, offset: i * 1000, fromRow: i, firstS: i, lastS: i + 0.5, nodesAt: i * 8 });
  });

  it('finds the batches of a half-open stretch of time', () => {
    const table = tableOf([10, 0, 0.9], [10, 1, 1.9], [10, 2, 2.9]);
    expect(table.range(0, 3)).toEqual([0, 3]);
    expect(table.range(0.9, 1)).toEqual([0, 1]);
    expect(table.range(0.91, 1)).toEqual([1, 1]);
    expect(table.range(1, 2)).toEqual([1, 2]);
    expect(table.range(1.9, 2.001)).toEqual([1, 3]);
    expect(table.range(3, 9)).toEqual([3, 3]);
  });

  it('tells the holes its writer marked, none before the first', () => {
    const table = tableOf([10, 0, 1, true], [10, 2, 3, true], [10, 3.1, 4], [10, 6, 7, true]);
    expect(gapsOfTable(table)).toEqual([{ startS: 1, endS: 2 }, { startS: 4, endS: 6 }]);
    expect(gapsOfTable(table, 2)).toEqual([{ startS: 4, endS: 6 }]);
    expect(gapsOfTable(table, 3)).toEqual([{ startS: 4, endS: 6 }]);
  });

  it('has the rate at which half of its samples came, or slower', () => {
    // 101 rows in a second are 100 Hz
    expect(rateOfTable(tableOf([101, 0, 1]))).toBe(100);
    expect(rateOfTable(tableOf([101, 0, 1], [11, 1.1, 2.1], [11, 2.2, 3.2]))).toBe(100);
    expect(rateOfTable(tableOf([11, 0, 1], [11, 1.1, 2.1], [12, 2.2, 2.4]))).toBe(10);
    // exactly half at the lower rate is enough
    expect(rateOfTable(tableOf([21, 0, 2], [21, 3, 3.2]))).toBe(10);
    expect(rateOfTable(tableOf([20, 0, 1.9], [21, 3, 3.2]))).toBe(100);
    // a batch of one sample has no rate
    expect(rateOfTable(tableOf([1, 0, 0], [2, 1, 1.25]))).toBe(4);
    expect(rateOfTable(tableOf([1, 0, 0]))).toBeNull();
    expect(rateOfTable(new BatchTable())).toBeNull();
  });
});
