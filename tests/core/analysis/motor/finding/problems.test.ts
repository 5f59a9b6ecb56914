import { describe, expect, it } from 'vitest';
import { fuseEvidence, wireEvidence } from '../../../../../src/core/analysis/motor/finding/feed-evidence.ts';
import { readingProblems } from '../../../../../src/core/analysis/motor/finding/reading-problems.ts';
import { wireProblems } from '../../../../../src/core/analysis/motor/finding/wire-problems.ts';
import { asymmetryEvidence, travelEvidence } from '../../../../../src/core/analysis/motor/finding/travel-evidence.ts';
import type { PressContext } from '../../../../../src/core/analysis/motor/finding/press-details.ts';
import type { PressReading } from '../../../../../src/core/analysis/motor/codes.ts';
import { pressOf, readBy, sampledAt } from '../ripple/columns.ts';
import { fitted, press, stall } from './readings.ts';

function context(voltageV: Float32Array | null = null, clipA: number | null = null, noiseA = 0.01): PressContext {
  const values = new Float32Array(100);
  const sampling = sampledAt(1000, 100);
  const trace = { timeS: Float64Array.from({ length: 100 }, (_value, i) => i / 1000), currentA: values, voltageV, gaps: [] };
  const wire = { trace, spikes: new Int32Array(0), chopping: null, coupling: null, zeroedUnderCurrent: false, elsewhere: 0, choppedSizes: null };
  return { recordedA: values, wire, trace, baseline: { ...readBy(values), noiseA }, sampling, options: {}, clamp: { followS: 0.008, known: false, atMostS: null }, place: 'motor', clipA };
}

const codesOf = (actuations: PressReading[], topV: number, given: PressContext): string[] => readingProblems(actuations, [pressOf(10, 90)], 'motor', topV, given).map(({ code }) => code);

describe('problems that the presses show', () => {
  it('are the kinds of figures that the end of the range hides, each counted by press', () => {
    const peak = { peak_a: 10, at_s: 1, settle_s: 0.1, charge_c: 1, i2t_a2s: 1, peak_at_least: true as const };
    const hidden = press({ inrush: peak, stalls: [stall(2, 3, 10, { at_least: true }), stall(3, 4, 10, { at_least: true })] });
    expect(readingProblems([hidden, press()], [], null, 0, context(null, 10))).toEqual([{ code: 'clipped', clipA: 10, peaks: 1, runs: 0, stalls: 1, hidesFeed: false }]);
    expect(readingProblems([hidden], [], 'motor', 12, context(null, 10))).toMatchObject([{ code: 'clipped', hidesFeed: true }]);
  });

  // ISO 16750-2: 12 V equipment lives from 9 V (code C), 24 V equipment up to 32 V
  it.each([[8.9, true], [9.1, false], [31.9, false], [32.1, true], [0.1, true]])('%d V at most are no vehicle\'s: %s', (topV, isOdd) => {
    const volts = context(new Float32Array(100).fill(topV));
    expect(codesOf([press()], topV, volts).includes('implausible-voltage')).toBe(isOdd);
    // where nothing was pressed nothing asked for volts, and no channel has none
    for (const odd of [codesOf([], topV, volts), codesOf([press()], topV, context())]) expect(odd).not.toContain('implausible-voltage');
  });

  it('are noise of more than a tenth of the run', () => {
    expect(codesOf([press()], 12, context(null, null, 0.41))).toEqual(['noise']);
    expect(codesOf([press()], 12, context(null, null, 0.39))).toEqual([]);
  });

  it('are a clamp turned round where volts and amps differ in sign in every press', () => {
    expect(codesOf([press()], 12, context(new Float32Array(100).fill(-12)))).toEqual(['reversed-clamp']);
    expect(codesOf([press()], 12, context(new Float32Array(100).fill(12)))).toEqual([]);
    const given = context(new Float32Array(100).map((_value, i) => (i < 50 ? -12 : 12)));
    expect(readingProblems([press()], [pressOf(5, 40), pressOf(55, 90)], 'motor', 12, given)).toEqual([]);
  });

  it('are a slow sensor by the first peak that it rounded off, with the bandwidth 1/(2 pi 8 ms) = 19.9 Hz', () => {
    const [found] = readingProblems([press({ inrush: { peak_a: 10, at_s: 1, settle_s: 0.1, charge_c: 1, i2t_a2s: 1, low_peak_a: 10, high_peak_a: 14 } })], [], null, 0, context());
    expect(found).toMatchObject({ code: 'slow-sensor', followS: 0.008, known: false, lowPeakA: 10, highPeakA: 14 });
    expect(found?.code === 'slow-sensor' ? found.bandwidthHz : 0).toBeCloseTo(19.9, 1);
  });
});

describe('problems of the wire', () => {
  const plain = { coupling: null, zeroedUnderCurrent: false, elsewhere: 0, unseen: 0, backgroundA: 0, wire: context().wire, actuations: [], sampling: sampledAt(1000, 100) };

  it('are none where nothing is odd, and each reported once with its figures', () => {
    expect(wireProblems(plain)).toEqual([]);
    expect(wireProblems({ ...plain, unseen: 2, backgroundA: -1.5 })).toEqual([{ code: 'clamp-off', times: 2 }, { code: 'background', levelA: 1.5 }]);
    const narrow = press({ inrush: { peak_a: 10, at_s: 1, settle_s: 0.1, charge_c: 1, i2t_a2s: 1, low_peak_a: 9, high_peak_a: 12, narrow_peak: true } });
    expect(wireProblems({ ...plain, actuations: [narrow] })).toMatchObject([{ code: 'peak-band', lowPeakA: 9, highPeakA: 12 }]);
  });
});

describe('what wire and fuse add to the evidence', () => {
  const wire = { areaMm2: 1.31, lengthM: 10, temperatureC: 40 };
  const shared = (ohm: number, sourceOhm: number, width: number): PressReading =>
    press({
      supply: { open_v: 12.5, run_v: 11.3, source_ohm: sourceOhm, low_ohm: sourceOhm - width / 2, high_ohm: sourceOhm + width / 2 },
      wire: { wire_ohm: ohm, drop_v: 4 * ohm, sag_v: 4 * sourceOhm, share: ohm / sourceOhm, low_share: ohm / (sourceOhm + width / 2), high_share: ohm / (sourceOhm - width / 2) },
    });

  it('is the wire\'s part by the press with the surest resistance, and what is left: 4 A x (0.3 - 0.14) ohm = 0.64 V', () => {
    const [found] = wireEvidence([shared(0.14, 0.35, 0.2), shared(0.14, 0.3, 0.02)], wire, 'motor');
    expect(found).toMatchObject({ code: 'wire', sourceOhm: 0.3, exceeds: false });
    expect(found?.code === 'wire' ? found.restV : 0).toBeCloseTo(0.64, 9);
  });

  it('says that the wire would be more than was measured, that nothing is left, or that the lead is in the wrong place', () => {
    expect(wireEvidence([shared(0.3, 0.25, 0.02)], wire, 'motor')).toMatchObject([{ exceeds: true, restV: null }]);
    expect(wireEvidence([shared(0.29, 0.3, 0.02)], wire, 'motor')).toMatchObject([{ exceeds: false, restV: null }]);
    expect(wireEvidence([shared(0.14, 0.3, 0.02)], wire, 'battery')).toEqual([{ code: 'wire-behind-lead' }]);
    expect(wireEvidence([press()], wire, 'motor')).toEqual([]);
    expect(wireEvidence([shared(0.14, 0.3, 0.02)], undefined, 'motor')).toEqual([]);
  });

  it('is the fuse by the press that asked most of it', () => {
    const fused = (share: number): PressReading => press({ fuse: { rating_a: 10, share, lasted_s: 2, i2t_a2s: 9, holds_s: 1, opens_s: 9 } });
    expect(fuseEvidence([fused(0.4), fused(1.5)])).toMatchObject([{ code: 'fuse', atLeast: false, fuse: { share: 1.5 } }]);
    expect(fuseEvidence([press()])).toEqual([]);
  });
});

describe('what both directions add', () => {
  it('is the harder one from a quarter more on, and its mirror', () => {
    expect(asymmetryEvidence({ run_ratio: 1.26, duration_ratio: 1 })).toEqual([{ code: 'one-way-harder', harder: 'forward', ratio: 1.26 }]);
    expect(asymmetryEvidence({ run_ratio: 0.5, duration_ratio: 1 })).toEqual([{ code: 'one-way-harder', harder: 'reverse', ratio: 2 }]);
    expect(asymmetryEvidence({ run_ratio: 1.24, duration_ratio: 1 })).toEqual([]);
    expect(asymmetryEvidence(null)).toEqual([]);
  });

  it('is the farther one where both bounds agree; mirrored, low and high change places: 1/0.9 and 1/0.7', () => {
    const far = (ratio: number, low: number, high: number): unknown => asymmetryEvidence({ run_ratio: 1, duration_ratio: 1, travel_ratio: ratio, low_travel_ratio: low, high_travel_ratio: high });
    expect(far(1.2, 1.06, 1.3)).toEqual([{ code: 'one-way-farther', farther: 'forward', ratio: 1.2, low: 1.06, high: 1.3 }]);
    expect(far(1.2, 1.04, 1.4)).toEqual([]);
    expect(far(0.8, 0.7, 0.9)).toEqual([{ code: 'one-way-farther', farther: 'reverse', ratio: 1.25, low: 1 / 0.9, high: 1 / 0.7 }]);
  });

  it('is the mean travel of each direction in turns, within the widest bounds', () => {
    const way = (turns: number, direction: 'forward' | 'reverse'): PressReading =>
      press({ direction, travel: { ripples: 8 * turns, low_ripples: 7 * turns, high_ripples: 9 * turns, revolutions: turns, low_revolutions: turns - 1, high_revolutions: turns + 1 } });
    expect(travelEvidence([way(10, 'forward'), way(12, 'forward'), way(9, 'reverse')])).toEqual([
      { code: 'travel', ways: [{ direction: 'forward', turns: 11, low: 9, high: 13 }, { direction: 'reverse', turns: 9, low: 8, high: 10 }] },
    ]);
    expect(travelEvidence([fitted(10)])).toEqual([]);
  });
});
