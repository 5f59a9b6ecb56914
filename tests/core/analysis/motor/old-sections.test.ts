import { describe, expect, it } from 'vitest';
import { cutIndex } from '../../../../src/core/analysis/motor/live-analysis.ts';
import { foldOld } from '../../../../src/core/analysis/motor/old-sections.ts';
import type { Section } from '../../../../src/core/analysis/motor/section.ts';
import { press } from './finding/readings.ts';
import { section } from './sections.ts';

const withPresses = (count: number, fields: Partial<Section> = {}): Section => section({ actuations: Array.from({ length: count }, () => press()), ...fields });
/** What is left of some sections, of which the newest with so many presses are kept. */
const left = (sections: readonly Section[], kept: number): [number, number[]] => {
  const folded = foldOld(sections, kept);
  return [folded.presses, folded.sections.map(({ actuations }) => actuations.length)];
};
/** Two sections that are no longer kept, as the one they are folded to. */
const folded = (first: Partial<Section>, next: Partial<Section>): Section => foldOld([section(first), section(next), withPresses(1)], 1).sections[0]!;

describe('sections whose presses are no longer kept', () => {
  it('are those before the newest with so many presses', () => {
    const three = [withPresses(2), withPresses(3), withPresses(1)];
    expect([left(three, 1), left(three, 2), left(three, 4), left(three, 5), left(three, 6), left(three, Infinity)]).toEqual([[5, [0, 1]], [2, [0, 3, 1]], [2, [0, 3, 1]], [0, [2, 3, 1]], [0, [2, 3, 1]], [0, [2, 3, 1]]]);
    expect([left([withPresses(2)], 1), left([], 1)]).toEqual([[0, [2]], [0, []]]);
  });

  it('are counted, and lose their presses, gaps and flags', () => {
    const flag = { start_s: 1, end_s: 2, limit_a: 5, peak_a: 9 };
    const one = foldOld([withPresses(2, { gaps: [{ start_s: 1, end_s: 2 }], flags: [flag] }), withPresses(1)], 1);
    expect([one.presses, one.sections[0]?.gaps, one.sections[0]?.flags, one.sections[0]?.actuations]).toEqual([2, [], [], []]);
    // folded once more they count nothing anew
    expect(left([...one.sections, withPresses(1)], 1)).toEqual([1, [0, 1]]);
  });

  it('add up their samples, and go from the first moment to the last', () => {
    expect(folded({ samples: 10, startS: 1, endS: 4 }, { samples: 20, startS: 4, endS: 9 })).toMatchObject({ samples: 30, startS: 1, endS: 9 });
  });

  it('have the rate, the zero and the background of the longer one, the first of two alike', () => {
    const rates = (firstSamples: number, nextSamples: number): number => folded({ samples: firstSamples, rateHz: 1 }, { samples: nextSamples, rateHz: 2 }).rateHz;
    expect([rates(10, 20), rates(20, 10), rates(10, 10)]).toEqual([2, 1, 1]);
  });

  it('have what one of them showed: the lead, volts and the highest of them, the load, a sensor that is of no use, a press that is open', () => {
    expect([folded({ place: 'battery' }, { place: 'motor' }).place, folded({ place: 'battery' }, { place: null }).place, folded({}, { place: 'battery' }).place]).toEqual(['motor', 'battery', 'battery']);
    expect([folded({ hasVoltage: true }, {}).hasVoltage, folded({}, { hasVoltage: true }).hasVoltage, folded({}, {}).hasVoltage]).toEqual([true, true, false]);
    expect([folded({ topV: 12 }, { topV: 14 }).topV, folded({ topV: 14 }, { topV: 12 }).topV]).toEqual([14, 14]);
    expect([folded({ load: { kind: 'unknown', reason: 'mixed' } }, { load: { kind: 'motor', reason: 'ripple' } }).load.kind, folded({ load: { kind: 'lamp', reason: 'filament' } }, { load: { kind: 'unknown', reason: 'mixed' } }).load.kind]).toEqual(['motor', 'lamp']);
    expect([folded({ isUnusable: true }, {}).isUnusable, folded({}, { isUnusable: true }).isUnusable, folded({}, {}).isUnusable]).toEqual([true, true, false]);
    expect([folded({ certain: false }, {}).certain, folded({}, { certain: false }).certain, folded({}, {}).certain]).toEqual([false, false, true]);
  });

  it('have each problem once, as it was first met', () => {
    const { problems } = folded({ problems: [{ code: 'offset', levelA: 1 }, { code: 'uneven-rate' }] }, { problems: [{ code: 'offset', levelA: 2 }, { code: 'gaps', count: 1, firstS: 3 }] });
    expect(problems).toEqual([{ code: 'offset', levelA: 1 }, { code: 'uneven-rate' }, { code: 'gaps', count: 1, firstS: 3 }]);
  });

  it('have the presses without current that are more than those the clamp missed', () => {
    const dead = (...of: [number, number][]) => foldOld([...of.map(([deadPresses, missed]) => section({ deadPresses, unseenLoads: missed })), withPresses(1)], 1).sections[0]!;
    expect([dead([3, 0], [2, 1]), dead([2, 2], [1, 0]), dead([1, 4], [2, 0])].map(({ deadPresses, unseenLoads }) => [deadPresses, unseenLoads])).toEqual([[4, 0], [1, 0], [2, 0]]);
  });
});

describe('where a full window is cut', () => {
  /** A second of a hundred samples. */
  const timeS = Float64Array.from({ length: 100 }, (_value, i) => i / 100);
  const cut = (...spans: [number, number][]): number => cutIndex({ actuations: spans.map(([start_s, end_s]) => press({ start_s, end_s })) }, { timeS });

  it('is the middle of the last moment without current that leaves more than half of it behind', () => {
    // from 0.7 to 0.99 s, from 0.6 to 0.8 s
    expect([cut([0.1, 0.7]), cut([0.1, 0.6], [0.8, 0.99]), cut([0.1, 0.3], [0.4, 0.6], [0.8, 0.95])]).toEqual([85, 70, 70]);
    // the fiftieth of a hundred leaves half of it, no more
    expect([cut([0.43, 0.99]), cut([0, 0.01]), cut([0, 0.03])]).toEqual([100, 100, 51]);
  });

  it('lasts for more than a tenth of a second', () => {
    expect([cut([0.1, 0.7], [0.79, 0.99]), cut([0.1, 0.7], [0.82, 0.99]), cut([0.1, 0.5], [0.65, 0.95])]).toEqual([100, 76, 58]);
  });

  it('is its end where a press fills it, or nothing is known of it', () => {
    expect([cut([0, 0.99]), cut([0, 0.3], [0.35, 0.99]), cut()]).toEqual([100, 100, 100]);
  });
});
