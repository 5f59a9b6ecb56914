import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Thinner, thinningText, type ThinningPolicy } from '../../../src/core/tracefile/thinning.ts';
import { joinBlocks, type SampleBlock } from '../../../src/core/trace.ts';

const POLICY: ThinningPolicy = { changeA: 0.5, aroundS: 2, binS: 0.1 };

function thin(blocks: readonly SampleBlock[], policy = POLICY): { kept: SampleBlock; spans: readonly { startS: number; endS: number }[] } {
  const out: SampleBlock[] = [];
  const thinner = new Thinner(policy, (block) => out.push(block));
  for (const block of blocks) thinner.add(block);
  thinner.flush();
  return { kept: joinBlocks(out, []), spans: thinner.keptFullRate };
}

/** Ten minutes at 1 kS/s: asleep with a little ripple, one wake-up of 3 s at 300 s. */
const night: SampleBlock = (() => {
  const timeS = Float64Array.from({ length: 600_000 }, (_, i) => i / 1000);
  const currentA = Float32Array.from(timeS, (atS, i) => (atS >= 300 && atS < 303 ? 4 : 0.03) + ((i * 37) % 100) / 10_000);
  return { timeS, currentA, voltageV: Float32Array.from(currentA, (value) => 12.6 - value / 50) };
})();

describe('thinning by hand', () => {
  const block = (timeS: number[], currentA: number[], voltageV: number[] | null = null): SampleBlock => ({ timeS: Float64Array.from(timeS), currentA: Float32Array.from(currentA), voltageV: voltageV === null ? null : Float32Array.from(voltageV) });
  const rows = ({ timeS, currentA }: SampleBlock): number[][] => Array.from(timeS, (atS, i) => [atS, currentA[i]!]);
  const policy: ThinningPolicy = { changeA: 0.5, aroundS: 0, binS: 1 };
  /** bins of four samples a second with these currents */
  const bins = (...levels: number[][]): SampleBlock => block(levels.flatMap((_, bin) => [0, 0.25, 0.5, 0.75].map((at) => bin + at)), levels.flat());

  it('keeps of a quiet bin three, the mean at the middle or next to it', () => {
    // the first bin has none before it to be compared with; 1, 2, 3 and 2.8 thousandths have the mean 2.2
    expect(rows(thin([bins([0, 0, 0, 0], [0.001, 0.002, 0.003, 0.0028])], policy).kept).slice(4)).toEqual([[1, Math.fround(0.001)], [1.5, Math.fround(0.003)], [1.75, expect.closeTo(0.0022, 6)]]);
    // all alike: first, last and middle; lowest last and highest first: in order of time
    expect(rows(thin([bins([0, 0, 0, 0], [0, 0, 0, 0])], policy).kept).slice(4).map(([atS]) => atS)).toEqual([1, 1.5, 1.75]);
    expect(rows(thin([bins([0, 0, 0, 0], [0.003, 0, 0, 0.001])], policy).kept).slice(4).map(([atS]) => atS)).toEqual([1, 1.25, 1.5]);
    // three samples are three samples
    expect(rows(thin([block([0, 0.3, 0.6, 1, 1.3, 1.6], [0, 0, 0, 0, 0, 0])], policy).kept)).toHaveLength(6);
    const volts = thin([block([0, 1, 1.25, 1.5, 1.75], [0, 0, 0.001, 0.002, 0.001], [12, 12, 13, 14, 15])], policy).kept.voltageV!;
    expect([...volts].slice(1)).toEqual([12, 14, 13.5]);
  });

  it('takes for a change what spans or moves by more than that', () => {
    const whole = (...levels: number[][]): boolean => thin([bins([0, 0, 0, 0], ...levels)], policy).kept.timeS.length === 4 * (levels.length + 1);
    expect([whole([0, 0.5, 0, 0]), whole([0, 0.51, 0, 0]), whole([0.5, 0.5, 0.5, 0.5]), whole([0.51, 0.51, 0.51, 0.51]), whole([-0.51, -0.51, -0.51, -0.51])]).toEqual([false, true, false, true, true]);
    expect(thin([bins([0, 0, 0, 0], [9, 9, 9, 9])], policy).spans).toEqual([{ startS: 0, endS: 1.75 }]);
    expect(thin([bins([0, 0, 0, 0], [0, 0, 0, 0], [9, 9, 9, 9])], policy).spans).toEqual([{ startS: 0, endS: 0.75 }, { startS: 2, endS: 2.75 }]);
  });

  it('keeps the bins that begin up to the set time after a change, and end from the set time before it on', () => {
    // bins of 0, 0.25, 0.5 and 0.75 s: the first counts as a change and keeps up to 0.75 + 1.25 = 2 s, the change of 6 s from 6 - 1.25 = 4.75 s on and up to 8 s
    const quiet = [0, 0, 0, 0];
    const { kept, spans } = thin([bins(quiet, quiet, quiet, quiet, quiet, quiet, [0, 9, -9, 0], quiet, quiet, quiet)], { ...policy, aroundS: 1.25 });
    const samplesIn = (bin: number): number => [...kept.timeS].filter((atS) => Math.floor(atS) === bin).length;
    expect(Array.from({ length: 10 }, (_, bin) => samplesIn(bin))).toEqual([4, 4, 4, 3, 4, 4, 4, 4, 4, 3]);
    expect(spans).toEqual([{ startS: 0, endS: 2.75 }, { startS: 4, endS: 8.75 }]);
  });

  it('lists stretches a bin or more apart each by itself, and what comes after ten thousand with the last', () => {
    const twoAt = (atS: number): SampleBlock => block([0, 0.5, atS, atS + 0.5], [0, 9, 0, 9]);
    expect([thin([twoAt(1.5)], policy).spans.length, thin([twoAt(1.25)], policy).spans.length]).toEqual([2, 1]);
    const many = thin([bins(...Array.from({ length: 20_010 }, (_, bin) => (bin % 2 === 0 ? [1, -1, 1, -1] : [0, 0, 0, 0])))], policy).spans;
    expect([many.length, many.at(-2)!.endS, many.at(-1)]).toEqual([10_000, 19_996.75, { startS: 19_998, endS: 20_008.75 }]);
  });

  it('hands on nothing where nothing came, and refuses what is no policy', () => {
    const out: SampleBlock[] = [];
    const thinner = new Thinner(policy, (one) => out.push(one));
    thinner.flush();
    thinner.add(block([], []));
    thinner.flush();
    expect([out, thinner.keptFullRate]).toEqual([[], []]);
    for (const wrong of [{ changeA: 0 }, { aroundS: -1 }, { binS: 0 }, { changeA: Number.NaN }]) expect(() => new Thinner({ ...policy, ...wrong }, () => undefined)).toThrow(RangeError);
  });
});

describe('thinning', () => {
  const { kept, spans } = thin([night]);

  it('keeps every sample from the set time before a change to the set time after', () => {
    const inside = (atS: number): boolean => atS >= 298 && atS <= 305;
    const before = [...night.timeS].filter(inside);
    expect([...kept.timeS].filter(inside)).toEqual(before);
    expect(spans.some((span) => span.startS <= 298 && span.endS >= 305)).toBe(true);
  });

  it('elsewhere keeps smallest, largest and mean of every bin, so that no peak is lost and the size shrinks', () => {
    expect(kept.timeS.length).toBeLessThan(night.timeS.length / 20);
    const quiet = joinBlocks([kept], []);
    const from = quiet.timeS.findIndex((atS) => atS >= 100);
    const three = [0, 1, 2].map((k) => quiet.currentA[from + k]!).sort((a, b) => a - b);
    const bin = Array.from(night.currentA.subarray(100_000, 100_100)).sort((a, b) => a - b);
    expect(three[0]).toBe(bin[0]);
    expect(three[2]).toBe(bin[bin.length - 1]);
    expect(three[1]).toBeCloseTo(bin.reduce((sum, value) => sum + value, 0) / bin.length, 6);
  });

  it('gives rising times, the true extremes, and the same whatever the blocks', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.double({ min: 1e-4, max: 0.3, noNaN: true }), fc.float({ min: -30, max: 30, noNaN: true })), { minLength: 1, maxLength: 300 }), fc.array(fc.nat(300), { maxLength: 6 }), (rows, cuts) => {
        let atS = 0;
        const all: SampleBlock = { timeS: Float64Array.from(rows, ([stepS]) => (atS += stepS)), currentA: Float32Array.from(rows, ([, value]) => value), voltageV: null };
        const whole = thin([all]).kept;
        for (let i = 1; i < whole.timeS.length; i++) expect(whole.timeS[i]).toBeGreaterThan(whole.timeS[i - 1]!);
        expect(Math.max(...whole.currentA)).toBe(Math.max(...all.currentA));
        expect(Math.min(...whole.currentA)).toBe(Math.min(...all.currentA));
        const bounds = [0, ...cuts.filter((cut) => cut < rows.length).sort((a, b) => a - b), rows.length];
        const pieces = bounds.slice(1).map((to, i) => ({ timeS: all.timeS.slice(bounds[i], to), currentA: all.currentA.slice(bounds[i], to), voltageV: null }));
        expect(thin(pieces).kept).toEqual(whole);
      }),
      { numRuns: 150 },
    );
  });

  it('is reported in words, and refuses a policy that means nothing', () => {
    expect(thinningText(POLICY)).toBe('Full rate within 2 s of any change of more than 0.5 A; elsewhere, of every 0.1 s, the samples of smallest and largest current and one of the mean.');
    expect(() => thin([night], { ...POLICY, changeA: 0 })).toThrow(RangeError);
    expect(() => thin([night], { ...POLICY, binS: Number.NaN })).toThrow(RangeError);
  });
});
