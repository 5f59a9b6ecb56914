import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeSampleFrame, encodeSampleFrame, MAX_FRAME_SAMPLES } from '../../../src/core/wire/sample-frame.ts';

const floats = fc.array(fc.float({ noNaN: true, noDefaultInfinity: true }), { maxLength: 50 });

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
    const timeS = new Float64Array(MAX_FRAME_SAMPLES + 1);
    expect(() => encodeSampleFrame({ sequence: 1, reduced: false, startS: 0, endS: 1, timeS, currentA: new Float32Array(timeS.length), voltageV: null })).toThrow(RangeError);
  });
});
