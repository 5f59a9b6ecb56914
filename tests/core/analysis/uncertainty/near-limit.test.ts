import { describe, expect, it } from 'vitest';
import { runsNearLimits, sleepNearLimit } from '../../../../src/core/analysis/uncertainty/near-limit.ts';
import { compareActuation } from '../../../../src/core/present/documents/document-compare.ts';
import { analyseActuation, analyseDrain } from '../../../analyse.ts';
import { draw, noise, press } from '../motor/traces.ts';

const run = { median_a: 5, low_a: 4.9, high_a: 5.1 };
const SAID = 'too close to the limit';

describe('a figure near a limit', () => {
  it.each([
    [4.89, 0], [4.91, 1], [5, 1], [5.09, 1], [5.11, 0],
  ])('is reported for a run of 4.9 to 5.1 A with its upper limit at %f A: %i', (limit, times) => {
    expect(runsNearLimits([{ start_s: 1, run, finding: 'normal' }], [3, limit])).toHaveLength(times);
  });

  it('is not reported for presses that no limit decides', () => {
    expect(runsNearLimits([{ start_s: 1, run, finding: 'stalled' }], [3, 5])).toEqual([]);
    expect(runsNearLimits([{ start_s: 1, run, finding: 'normal', cut: 'end' }], [3, 5])).toEqual([]);
    expect(runsNearLimits([{ start_s: 1, run: { ...run, at_least: true }, finding: 'heavy' }], [3, 5])).toEqual([]);
    expect(runsNearLimits([{ start_s: 1, run, finding: 'normal' }], undefined)).toEqual([]);
    expect(sleepNearLimit(null, 0.05)).toEqual([]);
  });

  const drawn = (levelA: number, seed: number): ReturnType<typeof draw> => {
    const n = noise(0.01, seed);
    return draw(1000, 6, (t) => press(t, 1, 5, 20, levelA) + n());
  };
  const options = { runLimitsA: [3, 5] as const, gainUncertaintyPercent: 2 };

  it('is said with the finding of a motor test, whichever side of the limit it reads', () => {
    for (const [levelA, finding] of [[5.1, 'heavy'], [4.9, 'normal']] as const) {
      const { verdict, near_limits: near } = analyseActuation(drawn(levelA, 5), options);
      expect(verdict.finding).toBe(finding);
      expect(near).toMatchObject([{ figure: 'run', limit_a: 5 }]);
      expect(verdict.because.join(' ')).toContain(SAID);
    }
    const far = analyseActuation(drawn(6, 5), options);
    expect(far.near_limits).toEqual([]);
    expect(far.verdict.because.join(' ')).not.toContain(SAID);
  });

  it('is said where only a gain nobody stated may put the level past the limit: 4 % at most over the root of three, 95 % of it 4.5 % (JCGM 100:2008, 4.3.7)', () => {
    const line = (levelA: number, more: object = {}): string => analyseActuation(drawn(levelA, 5), { runLimitsA: [3, 5], ...more }).verdict.because.join(' ');
    const TOLD = 'the gain error of this sensor is not known: ± 4.5 %';
    for (const levelA of [4.82, 5.15]) expect(line(levelA), String(levelA)).toContain(TOLD);
    for (const levelA of [4, 5.4]) expect(line(levelA), String(levelA)).not.toContain(TOLD);
    // a gain that was stated is in the bounds; limits by the same sensor share it
    expect(line(5.15, { gainUncertaintyPercent: 0.1 })).not.toContain(TOLD);
    expect(line(5.15, { runLimitsFrom: 'known-good' })).not.toContain(TOLD);
  });

  it('is said of the trace it is in when two are compared', () => {
    const [before, after] = [analyseActuation(drawn(7, 5), options), analyseActuation(drawn(4.9, 6), options)];
    const { verdict } = compareActuation(before, after);
    expect(verdict.because.join(' ')).toContain(`In the second trace: The running current`);
    expect(verdict.because.join(' ')).toContain(SAID);
  });

  it('is said of a night whose level holds the limit between its bounds', () => {
    const n = noise(0.002, 4);
    const night = draw(2, 1800, (t) => (t < 60 ? 2 : 0.048) + n());
    const near = analyseDrain(night, [], { zeroUncertaintyA: 0.002 });
    expect(near.near_limits).toMatchObject([{ figure: 'asleep', limit_a: 0.05 }]);
    expect(near.verdict.because.join(' ')).toContain(SAID);
    expect(analyseDrain(night, [], { zeroUncertaintyA: 0.002, limitA: 0.06 }).near_limits).toEqual([]);
  });
});
