import { Field, Float32, Float64, Int32, makeData, RecordBatch, RecordBatchStreamWriter, Schema, Struct, tableFromArrays, tableFromIPC, tableToIPC, Timestamp, TimeUnit, Utf8, vectorFromArray } from 'apache-arrow';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arrowBatchBytes, arrowSchemaBytes, arrowStreamEnd } from '../../../src/core/tracefile/arrow/arrow.ts';
import { batchRows, blockFault, MESSAGE_PREFIX_BYTES, metadataBytes, readBatch, readSchema, type ArrowSchema } from '../../../src/core/tracefile/arrow/message.ts';
import { joinBlocks, type SampleBlock } from '../../../src/core/trace.ts';

function concat(parts: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
}

function stream(blocks: readonly SampleBlock[]): Uint8Array<ArrayBuffer> {
  return concat([arrowSchemaBytes(), ...blocks.map(arrowBatchBytes), arrowStreamEnd()]);
}

/** Walks a whole stream in memory; a sentence when it cannot be used. */
function walk(bytes: Uint8Array<ArrayBuffer>): SampleBlock[] | string {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const part = (at: number, length: number): DataView<ArrayBuffer> => new DataView(bytes.buffer, bytes.byteOffset + at, length);
  if (bytes.length < MESSAGE_PREFIX_BYTES) return 'too short';
  const first = metadataBytes(view);
  if (first <= 0 || MESSAGE_PREFIX_BYTES + first > bytes.length) return 'no schema';
  const schema = readSchema(part(MESSAGE_PREFIX_BYTES, first));
  if ('code' in schema) return schema.text;
  const blocks: SampleBlock[] = [];
  let at = MESSAGE_PREFIX_BYTES + first;
  while (at + MESSAGE_PREFIX_BYTES <= bytes.length) {
    const length = metadataBytes(part(at, MESSAGE_PREFIX_BYTES));
    if (length === 0) return blocks;
    if (length < 0 || at + MESSAGE_PREFIX_BYTES + length > bytes.length) return 'no message';
    const layout = readBatch(part(at + MESSAGE_PREFIX_BYTES, length), schema as ArrowSchema);
    if (typeof layout === 'string') return layout;
    at += MESSAGE_PREFIX_BYTES + length;
    if (at + layout.bodyBytes > bytes.length) return 'cut';
    blocks.push(batchRows(bytes.subarray(at, at + layout.bodyBytes), layout));
    at += layout.bodyBytes;
  }
  return blocks;
}

const block: fc.Arbitrary<SampleBlock> = fc
  .tuple(fc.array(fc.tuple(fc.double({ noNaN: true }), fc.float({ noNaN: true }), fc.float({ noNaN: true })), { minLength: 1, maxLength: 200 }), fc.boolean())
  .map(([rows, withVoltage]) => ({
    timeS: Float64Array.from(rows, (row) => row[0]),
    currentA: Float32Array.from(rows, (row) => row[1]),
    voltageV: withVoltage ? Float32Array.from(rows, (row) => row[2]) : null,
  }));

describe('samples.arrows', () => {
  it('is read by the Arrow library as the three columns of the contract, voltage null where absent', () => {
    fc.assert(
      fc.property(fc.array(block, { minLength: 1, maxLength: 4 }), (blocks) => {
        const table = tableFromIPC(stream(blocks));
        expect(table.schema.fields.map((field) => `${field.name} ${field.type} ${field.nullable}`)).toEqual(['time_s Float64 false', 'current_a Float32 false', 'voltage_v Float32 true']);
        expect(table.batches).toHaveLength(blocks.length);
        expect([...table.getChild('time_s')!]).toEqual(blocks.flatMap((part) => [...part.timeS]));
        expect([...table.getChild('current_a')!]).toEqual(blocks.flatMap((part) => [...part.currentA]));
        expect([...table.getChild('voltage_v')!]).toEqual(blocks.flatMap((part) => (part.voltageV === null ? Array.from(part.timeS, () => null) : [...part.voltageV])));
      }),
      { numRuns: 60 },
    );
  });

  it('is read back by our own walk to the last bit', () => {
    fc.assert(
      fc.property(fc.array(block, { minLength: 1, maxLength: 4 }), (blocks) => {
        expect(walk(stream(blocks))).toEqual(blocks);
      }),
      { numRuns: 60 },
    );
  });

  it('begins at a multiple of 8 bytes with every message, so that columns can be read in place', () => {
    expect(arrowSchemaBytes().length % 8).toBe(0);
    for (const rows of [1, 2, 3, 7, 8, 9, 1000]) {
      expect(arrowBatchBytes({ timeS: new Float64Array(rows), currentA: new Float32Array(rows), voltageV: null }).length % 8).toBe(0);
    }
  });
});

describe('Arrow streams of other programs', () => {
  it('are read with float32 or float64 columns, more columns beside, in any order', () => {
    const table = tableFromArrays({ current_a: Float64Array.of(1.5, 2.5), count: Int32Array.of(7, 8), time_s: Float64Array.of(0, 1), voltage_v: Float32Array.of(12, 13) });
    const blocks = walk(concat([tableToIPC(table, 'stream')]));
    expect(joinBlocks(blocks as SampleBlock[], [])).toEqual({ timeS: Float64Array.of(0, 1), currentA: Float32Array.of(1.5, 2.5), voltageV: Float32Array.of(12, 13), gaps: [] });
  });

  it('with one missing voltage have none in that batch', () => {
    const fields = [new Field('time_s', new Float64()), new Field('current_a', new Float32()), new Field('voltage_v', new Float32(), true)];
    const children = [vectorFromArray([0, 1], new Float64()).data[0]!, vectorFromArray([1, 2], new Float32()).data[0]!, vectorFromArray([12, null], new Float32()).data[0]!];
    const batch = new RecordBatch(new Schema(fields), makeData({ type: new Struct(fields), length: 2, nullCount: 0, children }));
    const blocks = walk(concat([RecordBatchStreamWriter.writeAll([batch]).toUint8Array(true)]));
    expect((blocks as SampleBlock[])[0]!.voltageV).toBeNull();
  });

  const streamOf = (type: Float64 | Int32 | Timestamp | Utf8, name: string): Uint8Array<ArrayBuffer> => {
    const fields = [new Field(name, type, false), new Field('current_a', new Float32(), false)];
    const batch = new RecordBatch(new Schema(fields), makeData({ type: new Struct(fields), length: 0, nullCount: 0, children: fields.map((field) => makeData({ type: field.type, length: 0 })) }));
    return concat([RecordBatchStreamWriter.writeAll([batch]).toUint8Array(true)]);
  };

  it.each([
    ['whole numbers as time', streamOf(new Int32(), 'time_s'), /time_s is not float32 or float64/],
    ['clock times as time', streamOf(new Timestamp(TimeUnit.MILLISECOND), 'time_s'), /time_s is not float32 or float64/],
    ['text as time', streamOf(new Utf8(), 'time_s'), /time_s is not float32 or float64/],
    ['no time', streamOf(new Float64(), 'seconds'), /no column time_s/],
    ['words in a dictionary', concat([tableToIPC(tableFromArrays({ time_s: Float64Array.of(0), current_a: Float32Array.of(1), note: ['a'] }), 'stream')]), /note is of a kind that is not read/],
  ])('with %s are refused in words', (_, bytes, wanted) => {
    expect(walk(bytes)).toMatch(wanted);
  });
});

describe('hostile Arrow bytes', () => {
  const good = stream([0, 1].map((k) => ({ timeS: Float64Array.from({ length: 40 }, (_, i) => k + i / 100), currentA: new Float32Array(40).fill(2), voltageV: k === 0 ? new Float32Array(40).fill(12) : null })));

  it('never make the walk read outside them, loop, or ask for memory, whichever bytes are changed', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.nat(good.length - 1), fc.constantFrom(0, 1, 0x7f, 0x80, 0xff)), { minLength: 1, maxLength: 8 }), fc.nat(good.length), (changes, length) => {
        const bytes = good.slice(0, length);
        for (const [at, value] of changes) if (at < bytes.length) bytes[at] = value;
        const result = walk(bytes);
        if (typeof result !== 'string') expect(result.reduce((sum, part) => sum + part.timeS.length, 0)).toBeLessThanOrEqual(good.length / 12);
      }),
      { numRuns: 5000 },
    );
  });

  it('that change one 32-bit word of the metadata to any extreme are read or refused, never more', () => {
    for (let at = 0; at + 4 <= 560; at += 4) {
      for (const value of [0, 1, 0x7fffffff, 0x80000000, 0xffffffff, 0x10000, 1 << 30]) {
        const bytes = good.slice();
        new DataView(bytes.buffer).setUint32(at, value, true);
        const result = walk(bytes);
        expect(typeof result === 'string' || Array.isArray(result)).toBe(true);
      }
    }
  });

  it('that claim a length no message can have are no message', () => {
    const prefix = (length: number): number => {
      const view = new DataView(new ArrayBuffer(8));
      view.setUint32(0, 0xffffffff, true);
      view.setInt32(4, length, true);
      return metadataBytes(view);
    };
    expect(prefix(0)).toBe(0);
    expect(prefix(248)).toBe(248);
    for (const length of [-8, 7, 1 << 30, 0x7ffffff8]) expect(prefix(length)).toBe(-1);
  });
});

describe('blockFault', () => {
  const rows = (timeS: number[], currentA: number[], voltageV: number[] | null = null): SampleBlock => ({ timeS: Float64Array.from(timeS), currentA: Float32Array.from(currentA), voltageV: voltageV === null ? null : Float32Array.from(voltageV) });
  it.each([
    ['rising time and finite values', rows([0, 1], [1, 2], [3, 4]), null],
    ['equal times', rows([0, 0], [1, 2]), /does not rise at row 2/],
    ['a time not after the block before', rows([-1, 0], [1, 2]), /row 1/],
    ['a NaN time', rows([0, Number.NaN], [1, 2]), /row 2/],
    ['an infinite time', rows([0, Infinity], [1, 2]), /row 2/],
    ['a NaN current', rows([0, 1], [1, Number.NaN]), /row 2 has no current/],
    ['an infinite voltage', rows([0, 1], [1, 2], [1, Infinity]), /row 2 has no voltage/],
  ])('tells %s', (_, given, wanted) => {
    const fault = blockFault(given, -1);
    if (wanted === null) expect(fault).toBeNull();
    else expect(fault).toMatch(wanted);
  });
});
