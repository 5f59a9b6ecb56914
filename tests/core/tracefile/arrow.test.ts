import { Field, Float32, Float64, Int32, makeData, RecordBatch, RecordBatchStreamWriter, Schema, Struct, tableFromArrays, tableFromIPC, tableToIPC, Timestamp, TimeUnit, Utf8, vectorFromArray } from 'apache-arrow';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arrowBatchBytes, arrowSchemaBytes, arrowStreamEnd } from '../../../src/core/tracefile/arrow/arrow.ts';
import { FlatTable, readLong } from '../../../src/core/tracefile/arrow/flat.ts';
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
      { numRuns: 2000 },
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
    const prefix = (length: number, mark = 0xffffffff): number => {
      const view = new DataView(new ArrayBuffer(8));
      view.setUint32(0, mark, true);
      view.setInt32(4, length, true);
      return metadataBytes(view);
    };
    expect(prefix(0)).toBe(0);
    expect(prefix(248)).toBe(248);
    expect(prefix(248, 0xfffffffe)).toBe(-1);
    expect([prefix(1 << 20), prefix((1 << 20) + 8)]).toEqual([1 << 20, -1]);
    for (const length of [-8, 7, 1 << 30, 0x7ffffff8]) expect(prefix(length)).toBe(-1);
  });
});

/** A FlatBuffers table by hand, field by number, as the "internals" page of FlatBuffers lays it out: vtable, table, then what its offsets lead to. */
type Flat = { byte: number } | { short: number } | { long: number } | { table: Fields } | { text: string } | { tables: Fields[] } | { pairs: [number, number][] };
interface Fields {
  readonly [number: number]: Flat;
}

function flat(root: Fields): DataView<ArrayBuffer> {
  const bytes: number[] = [0, 0, 0, 0];
  const put = (at: number, value: number, size: number): void => {
    for (let k = 0; k < size; k++) bytes[at + k] = Math.floor(value / 256 ** k) & 255;
  };
  const room = (size: number): number => bytes.push(...new Array<number>(size).fill(0)) - size;
  const write = (fields: Fields): number => {
    const slots = Math.max(-1, ...Object.keys(fields).map(Number)) + 1;
    const vtable = room(4 + 2 * slots);
    put(vtable, 4 + 2 * slots, 2);
    const at = room(4);
    put(at, at - vtable, 4);
    const places = Object.entries(fields).map(([number, field]) => {
      const place = room(8);
      put(vtable + 4 + 2 * Number(number), place - at, 2);
      return [place, field as Flat] as const;
    });
    for (const [place, field] of places) {
      if ('byte' in field) put(place, field.byte, 1);
      else if ('short' in field) put(place, field.short, 2);
      else if ('long' in field) put(place, field.long, 8);
      else put(place, target(field) - place, 4);
    }
    return at;
  };
  const target = (field: Extract<Flat, object>): number => {
    if ('table' in field) return write(field.table);
    if ('text' in field || 'pairs' in field) {
      const items = 'text' in field ? [...field.text].map((letter) => letter.charCodeAt(0)) : field.pairs.flat();
      const at = room(4 + items.length * ('text' in field ? 1 : 8));
      put(at, 'text' in field ? items.length : items.length / 2, 4);
      for (const [i, item] of items.entries()) put(at + 4 + i * ('text' in field ? 1 : 8), item, 'text' in field ? 1 : 8);
      return at;
    }
    const list = (field as { tables: Fields[] }).tables;
    const at = room(4 + 4 * list.length);
    put(at, list.length, 4);
    for (const [i, one] of list.entries()) put(at + 4 + 4 * i, write(one) - (at + 4 + 4 * i), 4);
    return at;
  };
  put(0, write(root), 4);
  return new DataView(Uint8Array.from(bytes).buffer);
}

describe('a FlatBuffers table', () => {
  it('has its defaults where a field is absent', () => {
    for (const view of [flat({}), flat({ 6: { byte: 1 } })]) {
      const table = FlatTable.root(view);
      expect([table.has(0), table.byte(1), table.short(2), table.long(3), table.table(4), table.vector(5, 8), table.string(5)]).toEqual([false, 0, 0, 0, null, { at: 0, length: 0 }, '']);
    }
  });

  it('has a vector that ends with its message, and none that runs on', () => {
    const view = flat({ 1: { text: 'abcdef' } });
    const table = FlatTable.root(view);
    expect([table.string(1), table.vector(1, 1).length]).toEqual(['abcdef', 6]);
    expect(() => table.vector(1, 2)).toThrow(RangeError);
    expect(() => FlatTable.root(new DataView(view.buffer, 0, view.byteLength - 1)).vector(1, 1)).toThrow(RangeError);
  });

  it('has whole numbers of 64 bits as far as they are exact', () => {
    const long = (low: number, high: number): number => readLong(new DataView(Int32Array.of(0, low, high).buffer), 4);
    expect([long(5, 0), long(5, 1), long(-1, 0x1fffff)]).toEqual([5, 2 ** 32 + 5, Number.MAX_SAFE_INTEGER]);
    for (const [low, high] of [[0, 0x200000], [-1, -1], [0, 0x7fffffff]] as const) expect(() => long(low, high)).toThrow(RangeError);
  });
});

describe('the schema of an Arrow stream, part by part (Message.fbs, Schema.fbs)', () => {
  const column = (name: string, more: Fields = {}): Fields => ({ 0: { text: name }, 2: { byte: 3 }, 3: { table: { 0: { short: 2 } } }, ...more });
  const both = [column('time_s'), column('current_a')];
  const read = (fields: Fields[], schema: Fields = {}, message: Fields = {}) => readSchema(flat({ 1: { byte: 1 }, 2: { table: { 1: { tables: fields }, ...schema } }, ...message }));
  const why = (...given: Parameters<typeof read>): string => {
    const answer = read(...given);
    return 'code' in answer ? answer.text : 'taken';
  };

  it('says where the columns lie among the buffers, two for numbers, three for texts, none for null', () => {
    const beside = (type: number): Fields => ({ 0: { text: 'x' }, 2: { byte: type } });
    const placed = (types: number[]) => read([...types.map(beside), ...both]);
    expect(placed([])).toEqual({ time: { node: 0, buffer: 0, bytes: 8 }, current: { node: 1, buffer: 2, bytes: 8 }, voltage: null, nodes: 2, buffers: 4 });
    expect(placed([1])).toMatchObject({ time: { node: 1, buffer: 0 }, buffers: 4 });
    for (const type of [2, 3, 6, 7, 8, 9, 10, 18]) expect(placed([type]), `type ${type}`).toMatchObject({ time: { node: 1, buffer: 2 }, buffers: 6 });
    for (const type of [4, 5, 19, 20]) expect(placed([type]), `type ${type}`).toMatchObject({ time: { node: 1, buffer: 3 }, buffers: 7 });
    // none, nested and fixed-size kinds, intervals
    for (const type of [0, 11, 12, 13, 14, 15, 16, 17, 21, 26]) expect(why([beside(type), ...both]), `type ${type}`).toContain('column x is of a kind');
    expect(read([...both, column('voltage_v', { 3: { table: { 0: { short: 1 } } } })])).toMatchObject({ voltage: { node: 2, buffer: 4, bytes: 4 } });
  });

  it('is refused for what it says', () => {
    expect(why(both, {}, { 1: { byte: 3 } })).toContain('does not begin with a schema');
    expect(why(both, { 0: { short: 1 } })).toContain('big-endian');
    expect(why([column('time_s', { 4: { table: {} } }), column('current_a')])).toContain('time_s is of a kind');
    expect(why([column('time_s', { 5: { tables: [column('x')] } }), column('current_a')])).toContain('time_s is of a kind');
    expect(why([...both, column('time_s')])).toContain('the column time_s twice');
    expect(why([...both, column('voltage_v', { 3: { table: { 0: { short: 0 } } } })])).toContain('voltage_v is not float32');
    const columns = (count: number): Fields[] => [...both, ...Array.from({ length: count - 2 }, (): Fields => ({ 2: { byte: 2 } }))];
    expect([why(columns(1024)), why(columns(1025))]).toEqual(['taken', expect.stringContaining('1025 columns')]);
    expect(why(both, {}, { 2: { table: { 1: { text: 'not a list of columns' } } } })).toContain('damaged');
    // a programmer's mistake is no damage
    expect(() => readSchema(null as never)).toThrow(TypeError);
  });
});

describe('a batch of an Arrow stream, part by part', () => {
  const place = (node: number): ArrowSchema['time'] => ({ node, buffer: 2 * node, bytes: node === 0 ? 8 : 4 });
  const schema: ArrowSchema = { time: place(0), current: place(1), voltage: place(2), nodes: 3, buffers: 6 };
  interface Batch {
    readonly nodes?: [number, number][];
    readonly buffers?: [number, number][];
    readonly bodyBytes?: number;
    readonly type?: number;
    readonly more?: Fields;
  }
  /** ten rows: 80 bytes of time, 40 of current, 40 of voltage, one behind the other */
  const read = ({ nodes = [[10, 0], [10, 0], [10, 0]], buffers = [[0, 0], [0, 80], [80, 0], [80, 40], [120, 0], [120, 40]], bodyBytes = 160, type = 3, more = {} }: Batch, from = schema) =>
    readBatch(flat({ 1: { byte: type }, 2: { table: { 0: { long: 10 }, 1: { pairs: nodes }, 2: { pairs: buffers }, ...more } }, 3: { long: bodyBytes } }), from);

  it('has each column within its body, to the last byte', () => {
    expect(read({})).toEqual({ rows: 10, bodyBytes: 160, timeAt: 0, timeBytes: 8, currentAt: 80, currentBytes: 4, voltageAt: 120, voltageBytes: 4 });
    expect(read({}, { ...schema, voltage: { ...place(2), bytes: 4 } })).toMatchObject({ voltageBytes: 4 });
    expect(read({ nodes: [[10, 0], [10, 0], [10, 1]] })).toMatchObject({ voltageAt: -1 });
    expect(read({}, { ...schema, voltage: null })).toMatchObject({ voltageAt: -1, voltageBytes: 4 });
    expect(read({ buffers: [[0, 0], [0, 80], [80, 0], [80, 40], [120, 0], [160, 80]], bodyBytes: 240 }, { ...schema, voltage: { ...place(2), bytes: 8 } })).toMatchObject({ voltageAt: 160, voltageBytes: 8 });
  });

  it.each([
    ['another message', { type: 1 }, 'not a record batch'],
    ['compressed', { more: { 3: { table: {} } } }, 'compressed'],
    ['a column more', { nodes: [[10, 0], [10, 0], [10, 0], [10, 0]] }, 'not those of the schema'],
    ['a buffer less', { buffers: [[0, 0], [0, 80], [80, 0], [80, 40], [120, 40]] }, 'not those of the schema'],
    ['a row without a time', { nodes: [[10, 1], [10, 0], [10, 0]] }, 'without a time'],
    ['a row without a current', { nodes: [[10, 0], [10, 1], [10, 0]] }, 'without a time or a current'],
    ['a column of another length', { nodes: [[10, 0], [9, 0], [10, 0]] }, 'lengths do not fit'],
    ['a buffer too short for its rows', { buffers: [[0, 0], [0, 79], [80, 0], [80, 40], [120, 0], [120, 40]] }, 'lengths do not fit'],
    ['a column that reaches beyond its body', { bodyBytes: 159 }, 'lengths do not fit'],
  ] as const)('is refused for %s', (_, changes, wanted) => {
    expect(read(changes as unknown as Batch)).toContain(wanted);
  });

  it('gives the rows asked for, of either width, wherever its body lies', () => {
    for (const bytes of [4, 8] as const) {
      for (const shift of [0, 1, 4, 8]) {
        const whole = new Uint8Array(shift + 8 + 3 * 32);
        const view = new DataView(whole.buffer, shift);
        const values = (at: number, first: number): void => [0, 1, 2, 3].forEach((k) => (bytes === 4 ? view.setFloat32(at + 4 * k, first + k, true) : view.setFloat64(at + 8 * k, first + k, true)));
        for (const [at, first] of [[0, 30], [40, 10], [72, 20]] as const) values(at, first);
        const rows = batchRows(whole.subarray(shift), { rows: 4, bodyBytes: 104, timeAt: 40, timeBytes: bytes, currentAt: 72, currentBytes: bytes, voltageAt: 0, voltageBytes: bytes }, 1, 3);
        expect(rows, `${bytes} bytes at ${shift}`).toEqual({ timeS: Float64Array.of(11, 12), currentA: Float32Array.of(21, 22), voltageV: Float32Array.of(31, 32) });
        // in place where it lies on a bound of its own width, else copied
        expect([rows.timeS.buffer === whole.buffer, rows.currentA.buffer === whole.buffer]).toEqual([bytes === 8 && shift % 8 === 0, bytes === 4 && shift % 4 === 0]);
      }
    }
  });

  it('says what is no batch of a programmer at once', () => {
    expect(() => readBatch(null as never, schema)).toThrow(TypeError);
  });
});

describe('blockFault', () => {
  const rows = (timeS: number[], currentA: number[], voltageV: number[] | null = null): SampleBlock => ({ timeS: Float64Array.from(timeS), currentA: Float32Array.from(currentA), voltageV: voltageV === null ? null : Float32Array.from(voltageV) });
  it.each([
    ['rising time and finite values', rows([0, 1], [1, 2], [3, 4]), null],
    ['no voltage', rows([0, 1], [1, 2]), null],
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
