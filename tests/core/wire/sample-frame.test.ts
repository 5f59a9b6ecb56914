import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeSampleFrame, encodeSampleFrame } from '../../../src/core/wire/sample-frame.ts';

const floats = fc.array(fc.float({ noNaN: true, noDefaultInfinity: true }), { maxLength: 50 });

/** 4 points for each of 16,384 pixel columns, twice over */
const MOST_SAMPLES = 2 * 4 * 16_384;

describe('sample frame', () => {
  it('comes back as it was sent, with and without voltage', () => {
    fc.assert(
      fc.property(floats, fc.boolean(), fc.boolean(), fc.nat(), (values, withVoltage, reduced, sequence) => {
        const frame = {
          sequence: sequence >>> 0,
          reduced,
          startS: 1.5,
          endS: 2.5,
          timeS: Float64Array.from(values, (_, i) => i / 1000),
          currentA: Float32Array.from(values),
          voltageV: withVoltage ? Float32Array.from(values, (v) => -v) : null,
        };
        expect(decodeSampleFrame(encodeSampleFrame(frame).buffer)).toEqual(frame);
      }),
    );
  });

  it('refuses every cut, every longer one and any bytes of a stranger, with a sentence', () => {
    const bytes = encodeSampleFrame({
      sequence: 1, reduced: false, startS: 0, endS: 1,
      timeS: Float64Array.of(0, 1), currentA: Float32Array.of(1, 2), voltageV: null,
    });
    for (let length = 0; length < bytes.length; length++) expect(typeof decodeSampleFrame(bytes.slice(0, length).buffer)).toBe('string');
    expect(typeof decodeSampleFrame(new Uint8Array(bytes.length + 1).buffer)).toBe('string');
    fc.assert(fc.property(fc.uint8Array({ maxLength: 200 }), (noise) => typeof decodeSampleFrame(noise.slice().buffer) === 'string'));
  });

  it('does not believe a count that the bytes cannot hold', () => {
    const bytes = encodeSampleFrame({ sequence: 1, reduced: false, startS: 0, endS: 1, timeS: Float64Array.of(0), currentA: Float32Array.of(1), voltageV: null });
    new DataView(bytes.buffer).setUint32(12, 0xffffffff, true);
    expect(decodeSampleFrame(bytes.buffer)).toMatch(/says 4294967295 samples/);
  });

  it('is never longer than the agreed number of samples', () => {
    const timeS = new Float64Array(MOST_SAMPLES + 1);
    expect(() => encodeSampleFrame({ sequence: 1, reduced: false, startS: 0, endS: 1, timeS, currentA: new Float32Array(timeS.length), voltageV: null })).toThrow(RangeError);
  });

  it('lies in its bytes as its description says', () => {
    // written out by hand from the description: little-endian, header of 32 bytes, then the columns
    const bytes = encodeSampleFrame({ sequence: 0x01020304, reduced: true, startS: 1, endS: 2, timeS: Float64Array.of(1, 1.5), currentA: Float32Array.of(1, -2), voltageV: Float32Array.of(12, 0.5) });
    const hex = [
      '41544652 0100 0300', '04030201 02000000', '000000000000f03f', '0000000000000040',
      '000000000000f03f 000000000000f83f', '0000803f 000000c0', '00004041 0000003f',
    ].join('').replaceAll(' ', '');
    expect(Buffer.from(bytes).toString('hex')).toBe(hex);
    const plain = encodeSampleFrame({ sequence: 2 ** 32 + 5, reduced: false, startS: 0, endS: 0, timeS: new Float64Array(0), currentA: new Float32Array(0), voltageV: null });
    expect(Buffer.from(plain).toString('hex')).toBe(`41544652 0100 0000 05000000 00000000 ${'00'.repeat(16)}`.replaceAll(' ', ''));
  });

  it('of an empty window is a header and nothing more', () => {
    const empty = { sequence: 0, reduced: false, startS: 0, endS: 1, timeS: new Float64Array(0), currentA: new Float32Array(0), voltageV: null };
    expect(decodeSampleFrame(encodeSampleFrame(empty).buffer)).toEqual(empty);
  });

  it('of the agreed number of samples passes both ends, of one more neither', () => {
    const full = (count: number): Parameters<typeof encodeSampleFrame>[0] => ({ sequence: 0, reduced: false, startS: 0, endS: 1, timeS: new Float64Array(count), currentA: new Float32Array(count), voltageV: null });
    const most = encodeSampleFrame(full(MOST_SAMPLES));
    expect(typeof decodeSampleFrame(most.buffer)).toBe('object');
    const tooMany = new Uint8Array(most.length + 12);
    tooMany.set(most);
    new DataView(tooMany.buffer).setUint32(12, MOST_SAMPLES + 1, true);
    expect(decodeSampleFrame(tooMany.buffer)).toMatch(/says 131073 samples/);
  });

  it('with columns of unequal length is a mistake that is reported, whichever column it is', () => {
    const frame = { sequence: 0, reduced: false, startS: 0, endS: 1, timeS: Float64Array.of(0, 1), currentA: Float32Array.of(1, 2), voltageV: null };
    expect(() => encodeSampleFrame({ ...frame, currentA: Float32Array.of(1) })).toThrow('columns differ in length');
    expect(() => encodeSampleFrame({ ...frame, voltageV: Float32Array.of(1) })).toThrow('columns differ in length');
    expect(() => encodeSampleFrame({ ...frame, voltageV: Float32Array.of(1, 2, 3) })).toThrow('columns differ in length');
  });

  it('of another kind or version is told apart from a damaged one', () => {
    const bytes = encodeSampleFrame({ sequence: 0, reduced: false, startS: 0, endS: 1, timeS: Float64Array.of(0), currentA: Float32Array.of(1), voltageV: null });
    const changed = (at: number): string => {
      const copy = bytes.slice();
      copy[at]! ^= 1;
      return String(decodeSampleFrame(copy.buffer));
    };
    expect(changed(0)).toContain('wrong first bytes');
    expect(changed(4)).toContain('reads version 1: reload');
  });
});
