import type { SampleBlock } from '../trace.ts';

/**
 * Samples from the daemon to a page, one binary WebSocket frame or HTTP body. This file is the only owner of the form.
 *
 * Little-endian. Header of 32 bytes (a multiple of 8, so that the columns can be read in place):
 *   0 u32 magic 0x52465441 ("ATFR") · 4 u16 version 1 · 6 u16 flags (1 = voltage column, 2 = reduced to first/min/max/last per column)
 *   8 u32 sequence · 12 u32 count · 16 f64 startS (of the window asked for, or of the first sample) · 24 f64 endS
 * then count x f64 time, count x f32 current, and with flag 1 count x f32 voltage.
 */
export interface SampleFrame extends SampleBlock {
  readonly sequence: number;
  readonly reduced: boolean;
  readonly startS: number;
  readonly endS: number;
}

const MAGIC = 0x52465441;
const VERSION = 1;
const HEADER_BYTES = 32;
const FLAGS = { voltage: 1, reduced: 2 } as const;

/** Most samples in one frame: 4 points for each of 16,384 pixel columns, twice over; more is refused on both ends. */
const MAX_FRAME_SAMPLES = 131_072;

/** Throws RangeError when columns differ in length or the frame would be too long: both are mistakes of the caller. */
export function encodeSampleFrame(frame: SampleFrame): Uint8Array<ArrayBuffer> {
  const count = frame.timeS.length;
  if (count > MAX_FRAME_SAMPLES) throw new RangeError(`a frame holds at most ${MAX_FRAME_SAMPLES} samples, got ${count}`);
  if (frame.currentA.length !== count || (frame.voltageV !== null && frame.voltageV.length !== count)) {
    throw new RangeError(`columns differ in length: ${count} times, ${frame.currentA.length} currents`);
  }
  const withVoltage = frame.voltageV !== null;
  const bytes = new Uint8Array(HEADER_BYTES + count * (withVoltage ? 16 : 12));
  const view = new DataView(bytes.buffer);
  view.setUint32(0, MAGIC, true);
  view.setUint16(4, VERSION, true);
  view.setUint16(6, (withVoltage ? FLAGS.voltage : 0) | (frame.reduced ? FLAGS.reduced : 0), true);
  view.setUint32(8, frame.sequence >>> 0, true);
  view.setUint32(12, count, true);
  view.setFloat64(16, frame.startS, true);
  view.setFloat64(24, frame.endS, true);
  new Float64Array(bytes.buffer, HEADER_BYTES, count).set(frame.timeS);
  new Float32Array(bytes.buffer, HEADER_BYTES + 8 * count, count).set(frame.currentA);
  if (frame.voltageV !== null) new Float32Array(bytes.buffer, HEADER_BYTES + 12 * count, count).set(frame.voltageV);
  return bytes;
}

/** Returns the frame as views on `buffer`, or a sentence that says what is wrong with it. */
export function decodeSampleFrame(buffer: ArrayBuffer): SampleFrame | string {
  if (buffer.byteLength < HEADER_BYTES) return `sample frame of ${buffer.byteLength} bytes is shorter than its header`;
  const view = new DataView(buffer);
  if (view.getUint32(0, true) !== MAGIC) return 'not a sample frame: wrong first bytes';
  const version = view.getUint16(4, true);
  if (version !== VERSION) return `sample frame has version ${version}, this page reads version ${VERSION}: reload the page`;
  const flags = view.getUint16(6, true);
  const count = view.getUint32(12, true);
  const withVoltage = (flags & FLAGS.voltage) !== 0;
  const wanted = HEADER_BYTES + count * (withVoltage ? 16 : 12);
  if (count > MAX_FRAME_SAMPLES || wanted !== buffer.byteLength) return `sample frame says ${count} samples but has ${buffer.byteLength} bytes`;
  return {
    sequence: view.getUint32(8, true),
    reduced: (flags & FLAGS.reduced) !== 0,
    startS: view.getFloat64(16, true),
    endS: view.getFloat64(24, true),
    timeS: new Float64Array(buffer, HEADER_BYTES, count),
    currentA: new Float32Array(buffer, HEADER_BYTES + 8 * count, count),
    voltageV: withVoltage ? new Float32Array(buffer, HEADER_BYTES + 12 * count, count) : null,
  };
}
