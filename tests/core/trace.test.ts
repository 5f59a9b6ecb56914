import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { joinBlocks, lowerBound } from '../../src/core/trace.ts';
import { traceWindow } from './trace-window.ts';

const rising = fc.uniqueArray(fc.integer({ min: -1000, max: 1000 }), { maxLength: 60 }).map((values) => Float64Array.from(values).sort());

describe('trace', () => {
  it('finds the first time not before a moment, as a plain search does', () => {
    fc.assert(
      fc.property(rising, fc.integer({ min: -1100, max: 1100 }), (timeS, atS) => {
        const plain = timeS.findIndex((value) => value >= atS);
        expect(lowerBound(timeS, atS)).toBe(plain === -1 ? timeS.length : plain);
      }),
    );
  });

  it('takes a half-open window and clips the gaps to it', () => {
    const trace = { timeS: Float64Array.of(0, 1, 2, 5, 6), currentA: Float32Array.of(0, 1, 2, 5, 6), voltageV: null, gaps: [{ startS: 2, endS: 5 }] };
    const window = traceWindow(trace, 1, 5);
    expect([...window.currentA]).toEqual([1, 2]);
    expect(window.gaps).toEqual([{ startS: 2, endS: 5 }]);
    expect(traceWindow(trace, 5, 99).gaps).toEqual([]);
    expect(traceWindow(trace, 3, 4).gaps).toEqual([{ startS: 3, endS: 4 }]);
  });

  it('joins blocks cut anywhere into the same trace', () => {
    fc.assert(
      fc.property(rising, fc.array(fc.nat(60), { maxLength: 8 }), fc.boolean(), (timeS, cuts, withVoltage) => {
        const currentA = Float32Array.from(timeS, (value) => value / 7);
        const edges = [0, ...cuts.filter((cut) => cut <= timeS.length).sort((a, b) => a - b), timeS.length];
        const blocks = edges.slice(1).map((end, i) => ({
          timeS: timeS.slice(edges[i], end),
          currentA: currentA.slice(edges[i], end),
          voltageV: withVoltage ? currentA.slice(edges[i], end) : null,
        }));
        expect(joinBlocks(blocks, [])).toEqual({ timeS, currentA, voltageV: withVoltage ? currentA : null, gaps: [] });
      }),
    );
  });
});
