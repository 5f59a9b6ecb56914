import { Field, Float32, Float64, makeData, RecordBatch, RecordBatchStreamWriter, Schema, Struct } from 'apache-arrow';
import type { SampleBlock } from '../../trace.ts';
import { MESSAGE_PREFIX_BYTES, metadataBytes } from './message.ts';

/**
 * Writing `samples.arrows`: an Apache Arrow IPC stream that any Arrow reader opens, one record batch a flushed block, columns `time_s` float64,
 * `current_a` float32, `voltage_v` float32 (null where absent). Reading is in arrow-message.ts.
 */
const FIELDS = [new Field('time_s', new Float64(), false), new Field('current_a', new Float32(), false), new Field('voltage_v', new Float32(), true)];
const SCHEMA = new Schema(FIELDS);
const STREAM_END_BYTES = 8;

let plainSchema: Uint8Array | null = null;

/**
 * First bytes of a samples file: the schema message.
 * @param traceId kept in the schema's metadata, so that an index can tell to which samples it belongs
 */
export function arrowSchemaBytes(traceId?: string): Uint8Array {
  if (traceId === undefined) return (plainSchema ??= schemaMessage(SCHEMA));
  return schemaMessage(new Schema(FIELDS, new Map([['amptrail.trace', traceId]])));
}

function schemaMessage(schema: Schema): Uint8Array {
  const whole = RecordBatchStreamWriter.writeAll([emptyBatch(schema)]).toUint8Array(true);
  const prefix = new DataView(whole.buffer, whole.byteOffset, MESSAGE_PREFIX_BYTES);
  return whole.slice(0, MESSAGE_PREFIX_BYTES + metadataBytes(prefix));
}

/** Last bytes of a finished stream (columnar format, "IPC streaming format"). A stream without them is readable all the same. */
export function arrowStreamEnd(): Uint8Array {
  return Uint8Array.of(0xff, 0xff, 0xff, 0xff, 0, 0, 0, 0);
}

/** One block as the bytes of one record batch message, to be appended to the schema. About 0.2 ms a call, whatever the size up to 8,192 rows. */
export function arrowBatchBytes(block: SampleBlock): Uint8Array {
  const rows = block.timeS.length;
  const voltage =
    block.voltageV === null
      ? makeData({ type: new Float32(), length: rows, nullCount: rows, nullBitmap: new Uint8Array(Math.ceil(rows / 8)), data: new Float32Array(rows) })
      : makeData({ type: new Float32(), length: rows, nullCount: 0, data: block.voltageV });
  const children = [
    makeData({ type: new Float64(), length: rows, nullCount: 0, data: block.timeS }),
    makeData({ type: new Float32(), length: rows, nullCount: 0, data: block.currentA }),
    voltage,
  ];
  const batch = new RecordBatch(SCHEMA, makeData({ type: new Struct(FIELDS), length: rows, nullCount: 0, children }));
  const stream = RecordBatchStreamWriter.writeAll([batch]).toUint8Array(true);
  return stream.subarray(arrowSchemaBytes().length, stream.length - STREAM_END_BYTES);
}

function emptyBatch(schema: Schema): RecordBatch {
  return new RecordBatch(schema, makeData({ type: new Struct(FIELDS), length: 0, nullCount: 0, children: FIELDS.map((field) => makeData({ type: field.type, length: 0 })) }));
}
