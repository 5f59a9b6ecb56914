import { crc32 } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { BatchTable, gapsOfTable, rateOfTable, type BatchEntry } from '../../../src/core/tracefile/batch-table.ts';
import { decodeEntry, decodeIndexHeader, decodeSummary, decodeTrailer, encodeEntry, encodeIndexHeader, encodeSummary, entryBytes, TRAILER_BYTES } from '../../../src/core/tracefile/index-file.ts';
import { addBlockNodes, Levels, NODE_FANOUT, NODE_SAMPLES, Nodes } from '../../../src/core/tracefile/levels.ts';
import type { SampleBlock } from '../../../src/core/trace.ts';

function block(rows: number, startS: number, seed: number): SampleBlock {
  const value = (i: number): number => Math.fround(Math.sin(i * 12.9898 + seed) * 43.7);
  return { timeS: Float64Array.from({ length: rows }, (_, i) => startS + i / 1000), currentA: Float32Array.from({ length: rows }, (_, i) => value(i)), voltageV: Float32Array.from({ length: rows }, (_, i) => value(i + 7)) };
}

function entry(offset: number, given: SampleBlock, gapBefore = false): BatchEntry {
  return { offset, bytes: 1000, crc32: 42, fromRow: 0, rows: given.timeS.length, firstS: given.timeS[0]!, lastS: given.timeS[given.timeS.length - 1]!, hasVoltage: true, gapBefore, nodesAt: -1 };
}

/** A small index: table, levels and the bytes of its entries. */
function small(): { table: BatchTable; levels: Levels; entries: Uint8Array[]; blocks: SampleBlock[] } {
  const table = new BatchTable();
  const levels = new Levels();
  const blocks = Array.from({ length: 90 }, (_, i) => block(50 + ((i * 37) % 700), i * 2, i));
  const entries = blocks.map((part, i) => {
    const nodes = new Nodes();
    addBlockNodes(part, nodes);
    levels.addBase(nodes);
    const made = entry(256 + 1000 * i, part, i % 10 === 5);
    table.push(made);
    return encodeEntry(made, nodes, 0, nodes.length, crc32);
  });
  return { table, levels, entries, blocks };
}

describe('levels', () => {
  it('hold minimum, maximum and mean of 64 × 8^k samples each, as counted by hand', () => {
    const { levels, blocks } = small();
    // level-0 nodes as plain lists of samples
    let below: number[][] = [];
    for (const part of blocks) for (let from = 0; from < part.timeS.length; from += NODE_SAMPLES) below.push(Array.from(part.currentA.subarray(from, from + NODE_SAMPLES)));
    for (const level of levels.above) {
      const runs: number[][] = [];
      for (let from = 0; from < below.length; from += NODE_FANOUT) runs.push(below.slice(from, from + NODE_FANOUT).flat());
      expect(level.length).toBe(runs.length);
      for (const [i, run] of runs.entries()) {
        expect(level.count[i]).toBe(run.length);
        expect(level.lowA[i]).toBe(Math.min(...run));
        expect(level.highA[i]).toBe(Math.max(...run));
        expect(level.meanA[i]).toBeCloseTo(run.reduce((sum, value) => sum + value, 0) / run.length, 3);
      }
      below = runs;
    }
    expect(below).toHaveLength(1);
  });

  it('are the same however the nodes come', () => {
    const { levels, blocks } = small();
    const all = new Nodes();
    for (const part of blocks) addBlockNodes(part, all);
    const again = new Levels();
    again.addBase(all);
    expect(again.above.map((level) => [level.length, ...level.highA.slice(0, level.length)])).toEqual(levels.above.map((level) => [level.length, ...level.highA.slice(0, level.length)]));
  });
});

describe('samples.index', () => {
  it('keeps the schema check, every batch with its nodes, and the summary', () => {
    const { table, levels, entries } = small();
    expect(decodeIndexHeader(encodeIndexHeader(256, 7, crc32), crc32)).toEqual({ schemaBytes: 256, schemaCrc: 7 });
    for (const [i, bytes] of entries.entries()) {
      const nodes = new Nodes();
      expect(entryBytes(bytes, 0)).toBe(bytes.length);
      expect(decodeEntry(bytes, 0, bytes.length, 5000, nodes, crc32)).toEqual({ ...table.entry(i), nodesAt: 5056 });
      expect(nodes.length).toBe(Math.ceil(table.rows[i]! / NODE_SAMPLES));
    }
    const parts = encodeSummary(table, levels, 91_256, 12_345, crc32);
    const whole = Buffer.concat(parts);
    const place = decodeTrailer(whole.subarray(-TRAILER_BYTES), 12_345 + whole.length, crc32);
    expect(place).toEqual({ at: 12_345, bytes: whole.length - TRAILER_BYTES });
    const read = decodeSummary(new Uint8Array(whole.subarray(0, -TRAILER_BYTES)), crc32)!;
    expect(read.samplesEnd).toBe(91_256);
    expect(Array.from({ length: read.table.length }, (_, i) => read.table.entry(i))).toEqual(Array.from({ length: table.length }, (_, i) => table.entry(i)));
    expect(read.levels.above.map((level) => Array.from(level.lowV.subarray(0, level.length)))).toEqual(levels.above.map((level) => Array.from(level.lowV.subarray(0, level.length))));
  });

  it('tells every single flipped bit', () => {
    const { table, levels, entries } = small();
    const header = encodeIndexHeader(256, 7, crc32);
    for (let bit = 0; bit < header.length * 8; bit++) {
      const bytes = header.slice();
      bytes[bit >> 3]! ^= 1 << (bit & 7);
      expect(decodeIndexHeader(bytes, crc32)).toBeNull();
    }
    const first = entries[0]!;
    for (let bit = 0; bit < first.length * 8; bit++) {
      const bytes = first.slice();
      bytes[bit >> 3]! ^= 1 << (bit & 7);
      const length = entryBytes(bytes, 0);
      expect(length === 0 || length !== first.length || decodeEntry(bytes, 0, length, 0, new Nodes(), crc32) === null, `bit ${bit}`).toBe(true);
    }
    const summary = new Uint8Array(Buffer.concat(encodeSummary(table, levels, 1, 64, crc32).slice(0, -1)));
    for (let bit = 0; bit < summary.length * 8; bit += 61) {
      const bytes = summary.slice();
      bytes[bit >> 3]! ^= 1 << (bit & 7);
      expect(decodeSummary(bytes, crc32), `bit ${bit}`).toBeNull();
    }
  });

  it('with a right checksum and absurd counts is refused before anything is made of it', () => {
    for (const [at, value] of [[16, 0xffffffff], [20, 0xffffffff], [16, 1 << 24]] as const) {
      const bytes = new Uint8Array(4096);
      const view = new DataView(bytes.buffer);
      view.setUint32(0, 0x4d555341, true);
      view.setUint32(at, value, true);
      view.setUint32(4, crc32(bytes.subarray(8)), true);
      expect(decodeSummary(bytes, crc32)).toBeNull();
    }
  });
});

describe('the table of batches', () => {
  it('finds the batches of a stretch of time, gaps and the usual rate', () => {
    const { table } = small();
    expect(table.range(-1, 1000)).toEqual([0, 90]);
    expect(table.range(4, 4.0001)).toEqual([2, 3]);
    expect(table.range(3.9, 3.95)).toEqual([2, 2]);
    expect(table.range(table.lastS[3]!, table.firstS[4]!)).toEqual([3, 4]);
    expect(gapsOfTable(table)).toHaveLength(9);
    expect(gapsOfTable(table)[0]).toEqual({ startS: table.lastS[4], endS: table.firstS[5] });
    expect(rateOfTable(table)).toBeCloseTo(1000, 6);
  });
});
