import { describe, expect, it } from 'vitest';
import { choppedOf, eventsOf } from '../../../../../src/core/analysis/motor/finding/press-events.ts';
import { findingOf } from '../../../../../src/core/analysis/motor/finding/finding.ts';
import type { Wire } from '../../../../../src/core/analysis/motor/wire/wire.ts';
import { pressOf, readBy } from '../ripple/columns.ts';
import { press, stall } from './readings.ts';

const timeS = Float64Array.from({ length: 6000 }, (_value, i) => i / 1000);
const trace = { timeS, currentA: new Float32Array(6000), voltageV: null, gaps: [] };
const wireOf = (fields: Partial<Wire> = {}): Wire => ({ trace, spikes: new Int32Array(0), chopping: null, coupling: null, choppedSizes: null, ...fields });
const ofSpike = (spikeA: number): Float32Array => new Float32Array(6000).fill(4).fill(spikeA, 2000, 2001);
const seen = (fields: Parameters<typeof press>[0], before: Parameters<typeof eventsOf>[2], wire = wireOf(), recordedA = ofSpike(-30)) => eventsOf(press(fields), pressOf(1000, 4000), before, { wire, trace, recordedA });

describe('events of a press', () => {
  // a relay that changes over is through within 5 to 15 ms; three times that is no pause
  it.each([[0.045, true], [0.055, false]])('are a reversal after %d s without current: %s', (pauseS, isOne) => {
    const before = { actuation: press({ start_s: 0.2, end_s: 1 - pauseS, direction: 'reverse' }), press: pressOf(200, Math.round(1000 * (1 - pauseS)), -1) };
    expect(seen({}, before).map(({ code, sizeA }) => [code, sizeA])).toEqual(isOne ? [['reversal', 4]] : []);
    expect(seen({}, { ...before, press: pressOf(200, 950, 1) })).toEqual([]);
  });

  it('name the stall that led to the reversal, where it lasted to the end', () => {
    const jammed = press({ start_s: 0.2, end_s: 0.99, direction: 'reverse', run: null, stalls: [stall(0.5, 0.99, 14)] });
    expect(seen({}, { actuation: jammed, press: pressOf(200, 990, -1) })).toMatchObject([{ code: 'reversal', atS: 1, sizeA: 14 }]);
  });

  it('are cut-outs at the end of the stall, and spikes within the press but not on its switch-on', () => {
    expect(seen({ stalls: [stall(2, 3, 14, { cut_out: true }), stall(3.5, 4, 13)] }, undefined)).toEqual([{ code: 'cut-out', atS: 3, sizeA: 14 }]);
    expect(seen({}, undefined, wireOf({ spikes: Int32Array.of(900, 1010, 2000, 4000) }))).toEqual([{ code: 'spike', atS: 2, sizeA: 30 }]);
  });

  it('are no spike where a contact that opened for one reading leaves as little: down to nothing, and no farther', () => {
    const isSpike = (spikeA: number): boolean => seen({}, undefined, wireOf({ spikes: Int32Array.of(2000) }), ofSpike(spikeA)).length > 0;
    // 4 A beside it; 15 % past zero is still the noise of the clamp (EDGE)
    expect([4.1, 3.9, 0, -0.5, -0.7].map(isSpike)).toEqual([true, false, false, false, true]);
  });

  it('say nothing of chopping where none was found', () => {
    expect(choppedOf(pressOf(1000, 4000), wireOf(), readBy(new Float32Array(6000)))).toBeNull();
  });
});

describe('the finding of one press', () => {
  const motion = { stalls: [], running: [], inrushEnd: null, turned: true, certain: true };
  const stood = { startIndex: 0, endIndex: 1, approachIndex: 0, levelA: 14, at: 'travel' as const };
  const { run } = press();

  it('is the most telling first', () => {
    expect(findingOf({ ...motion, turned: false }, null, 3, true, {})).toBe('locked');
    expect(findingOf({ ...motion, turned: false }, null, 3, false, {})).toBe('stalled');
    expect(findingOf({ ...motion, stalls: [stood] }, run, 1, true, {})).toBe('intermittent');
    expect(findingOf({ ...motion, stalls: [stood] }, run, 0, true, { runLimitsA: [1, 3] })).toBe('stalled');
    expect(findingOf(motion, run, 0, true, {})).toBe('normal');
  });

  it('is heavy or light past a limit, and normal on it', () => {
    const by = (runLimitsA: readonly [number, number]) => findingOf(motion, run, 0, true, { runLimitsA });
    expect([by([3, 4]), by([4, 5]), by([3, 3.99]), by([4.01, 5])]).toEqual(['normal', 'normal', 'heavy', 'light']);
  });
});
