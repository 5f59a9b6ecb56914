import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findChopping } from '../../../../../src/core/analysis/motor/wire/chopping.ts';
import { noise } from '../traces.ts';
import { sampledAt } from '../ripple/columns.ts';

interface Supply {
  readonly hz: number;
  readonly duty: number;
  readonly rateHz?: number;
  readonly seed?: number;
  readonly levelA?: number;
}

/** Magnitudes of a press of a second between rests of half a second, whose current a module switches on and off. */
function chopped({ hz, duty, rateHz = 10_000, seed = 1, levelA = 6 }: Supply): Float32Array {
  const hiss = noise(0.004 * levelA, seed);
  return Float32Array.from({ length: 2 * rateHz }, (_value, i) => {
    const atS = i / rateHz - 0.5;
    const isOn = atS >= 0 && atS < 1 && (atS * hz) % 1 < duty;
    return Math.abs((isOn ? levelA : 0) + hiss());
  });
}

const found = (sizes: Float32Array, rateHz = 10_000) => findChopping(sizes, sampledAt(rateHz, sizes.length));

describe('a chopped supply', () => {
  it('is found with its frequency within 3 %, whatever its frequency and duty (property)', () => {
    fc.assert(
      fc.property(fc.double({ min: 100, max: 400, noNaN: true }), fc.double({ min: 0.2, max: 0.8, noNaN: true }), fc.integer({ min: 1, max: 1000 }), (hz, duty, seed) => {
        const chopping = found(chopped({ hz, duty, seed }));
        expect(Math.abs((chopping?.frequencyHz ?? 0) / hz - 1)).toBeLessThan(0.03);
        expect(chopping?.part).toBeNull();
      }),
      { numRuns: 30, seed: 8 },
    );
  });

  it('does not change with the scale of the sensor', () => {
    const plain = found(chopped({ hz: 150, duty: 0.4 }));
    expect(found(chopped({ hz: 150, duty: 0.4, levelA: 60 }))?.frequencyHz).toBeCloseTo(plain?.frequencyHz ?? NaN, 6);
  });

  // 20,030 Hz read 5000 times a second are seen at 30 Hz, slower than any module switches
  it('has no frequency where the logger folds it', () => {
    expect(found(chopped({ hz: 20_030, duty: 0.5, rateHz: 5000 }), 5000)?.frequencyHz).toBeNull();
  });
});

describe('what is no chopped supply', () => {
  const run = (amps: (atS: number) => number): Float32Array => {
    const hiss = noise(0.02, 3);
    return Float32Array.from({ length: 20_000 }, (_value, i) => {
      const atS = i / 10_000 - 0.5;
      return Math.abs((atS >= 0 && atS < 1 ? amps(atS) : 0) + hiss());
    });
  };

  it('is a run whose ripple leaves more than half', () => {
    expect(found(run((atS) => 6 * (1 - 0.4 * Math.abs(Math.sin(600 * Math.PI * atS)))))).toBeNull();
  });

  // a notch once a turn, from standstill to 40 turns a second with a time constant of 0.1 s: the first turns take up to twice as long
  it('is a rotor with a lost coil, whose notches come closer as it gains speed', () => {
    const turned = (atS: number): number => 40 * (atS - 0.1 * (1 - Math.exp(-atS / 0.1)));
    expect(found(run((atS) => (turned(atS) % 1 < 0.15 ? 2 : 6)))).toBeNull();
  });

  // 0.5 A swinging to nothing after a switch-on of 20 A: a fortieth of what the winding draws
  it('is a rotor that drives nothing, whose small current swings to nothing', () => {
    expect(found(run((atS) => 20 * Math.exp(-atS / 0.02) + 0.25 * (1 + Math.sin(2 * Math.PI * 150 * atS))))).toBeNull();
  });
});
