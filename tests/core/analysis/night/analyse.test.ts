import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createLiveDrain } from '../../../../src/core/present/documents/document-night.ts';
import type { Mark } from '../../../../src/core/trace.ts';
import { read, recording } from './recording.ts';

describe('a key-off drain test', () => {
  it('finds the sleep of the published module table: 130.2 mA until 20 min, then 10.9 mA (Jeep KJ 2007)', () => {
    const result = read(recording(2400, 10, 0.003, (atS) => (atS < 1200 ? 0.1302 : 0.0109)));
    expect(result.verdict.finding).toBe('asleep');
    expect(Math.abs((result.asleep?.at_s ?? 0) - 1200)).toBeLessThan(5);
    expect(result.asleep?.level_a).toBeCloseTo(0.0109, 3);
    expect(result.over_limit).toBe(false);
  });

  it('does not take the 130.2 mA plateau of that table for a drain while it may still time out', () => {
    const result = read(recording(900, 10, 0.003, (atS) => (atS < 35 ? 2.2 : 0.1302)));
    expect(result.verdict.finding).toBe('too-short');
    expect(result.asleep).toBeNull();
    expect(result.held?.level_a).toBeCloseTo(0.1302, 3);
    expect(result.time_out).toMatchObject({ name: 'transmission-controller', length_s: 1200, until_s: 1200 });
    expect(result.verdict.because.join(' ')).toContain('may still be waiting');
    expect(result.wait_s).toBeGreaterThan(0);
    expect(result.verdict.next[0]).toContain('75');
  });

  it('says nothing of sleep while a level over the limit has stood from the first sample for less than its 20 minutes', () => {
    const result = read(recording(900, 10, 0.003, () => 0.1302));
    expect(result.verdict.finding).toBe('too-short');
    expect(result.asleep).toBeNull();
    expect(result.wait_s).toBeGreaterThan(0);
  });

  it('does not call a fall half a minute ago a floor, nor a level that never fell to half', () => {
    expect(read(recording(600, 10, 0.003, (atS) => (atS < 560 ? 0.9 : 0.2))).asleep).toBeNull();
    expect(read(recording(900, 10, 0.003, (atS) => (atS < 300 ? 0.3 : 0.2))).asleep).toBeNull();
  });

  it('calls a vehicle waking whose level is within the limit and whose wake-ups lift the average over it', () => {
    const result = read(recording(6000, 10, 0.003, (atS) => 0.025 + (atS % 240 >= 120 && atS % 240 < 160 ? 0.3 : 0)));
    expect(result.verdict.finding).toBe('waking');
    expect(result.asleep?.level_a).toBeCloseTo(0.025, 3);
    expect(result.over_limit).toBe(true);
    expect(result.average_a).toBeCloseTo(0.075, 2);
  });

  it('calls regular telematics normal: mean 35.1 mA, median 25 mA (Oldsmobile Aurora 2001, 135 mA more for 45 s each 600 s)', () => {
    const result = read(recording(6000, 10, 0.003, (atS) => 0.025 + (atS % 600 >= 300 && atS % 600 < 345 ? 0.135 : 0)));
    expect(result.verdict.finding).toBe('asleep');
    expect(result.wakeups).toHaveLength(10);
    expect(result.wake_period_s).toBeCloseTo(600, 0);
    expect(result.average_a).toBeCloseTo(0.0351, 3);
    expect(result.median_a).toBeCloseTo(0.025, 3);
  });

  it('names the fuse that carries the drain although the mark is four seconds late', () => {
    const trace = recording(900, 10, 0.003, (atS) => (atS >= 600 && atS < 650 ? 0.022 : 0.202));
    const marks: Mark[] = [
      { timeS: 604, kind: 'pull', label: 'F7' },
      { timeS: 652, kind: 'refit', label: 'F7' },
      { timeS: 750, kind: 'pull', label: 'F9' },
    ];
    // as if its maker gave the 5 minutes of the Saturn Aura 2008
    const { pulls, unexplained_a, verdict } = read(trace, marks, { settlingS: 300 });
    expect(verdict.finding).toBe('drain');
    expect(pulls.map((pull) => [pull.label, pull.carries])).toEqual([['F7', true], ['F9', false]]);
    expect(pulls[0].change_a).toBeCloseTo(-0.18, 3);
    expect(pulls[0].at_s).toBeCloseTo(600, 0);
    expect(unexplained_a).toBeCloseTo(0.022, 2);
  });

  it('says which fuses share the drain', () => {
    const trace = recording(1200, 10, 0.002, (atS) => 0.02 + (atS >= 600 && atS < 650 ? 0 : 0.09) + (atS >= 750 && atS < 800 ? 0 : 0.08));
    const marks: Mark[] = [
      { timeS: 600, kind: 'pull', label: 'F1' },
      { timeS: 650, kind: 'refit', label: 'F1' },
      { timeS: 750, kind: 'pull', label: 'F2' },
      { timeS: 800, kind: 'refit', label: 'F2' },
    ];
    expect(read(trace, marks, { settlingS: 300 }).problems.map((problem) => problem.code)).toContain('shared-drain');
  });

  it('takes one wake-up for an event: it says nothing of how often more will come', () => {
    const result = read(recording(720, 10, 0.003, (atS) => (atS < 420 ? 0.9 : atS >= 480 && atS < 525 ? 0.3 : 0.025)));
    expect(result.verdict.finding).toBe('asleep');
    expect(result.over_limit).toBeNull();
    expect(result.asleep?.level_a).toBeCloseTo(0.025, 3);
    expect(result.wakeups).toHaveLength(1);
    expect(result.verdict.next[0]).toContain('how often it wakes');
  });

  it('earns rest above the limit by the longest published time-out only, whatever fuse was pulled before', () => {
    const trace = recording(5400, 2, 0.003, (atS) => (atS < 60 ? 2.2 : 0.2));
    const until = (endS: number): ReturnType<typeof read> => read({ ...trace, timeS: trace.timeS.subarray(0, endS * 2), currentA: trace.currentA.subarray(0, endS * 2) }, [{ timeS: 600, kind: 'pull', label: 'F3' }]);
    // 75 min: Ford 2023 Edge, Battery Drain Check
    expect(until(4400).verdict.finding).toBe('too-short');
    expect(until(4400).pulls[0]?.carries).toBeNull();
    expect(until(4600).verdict.finding).toBe('drain');
  });

  it('calls a vehicle awake or a drain whose current stays up after the time-outs, one woken again and again waking', () => {
    const works = recording(5400, 5, 0.01, (atS) => 1.5 + 0.6 * Math.sin(atS / 17) * Math.sin(atS / 41));
    // a module at work: what is done next is the same for both words (tests/score/definitions.md)
    expect(['awake', 'drain']).toContain(read(works).verdict.finding);
    // steady: a lamp left on, or a module stuck
    expect(read(recording(5400, 5, 0.01, () => 1.7)).verdict.finding).toBe('drain');
    expect(read(recording(2400, 5, 0.004, (atS) => (atS < 200 || atS % 90 < 40 ? 0.8 : 0.02))).verdict.finding).toBe('waking');
  });

  it('accepts a trace that starts asleep, at moment 0', () => {
    const result = read(recording(900, 5, 0.002, () => 0.018));
    expect(result.verdict.finding).toBe('asleep');
    expect(result.asleep?.at_s).toBe(0);
  });

  it('widens the bounds for a zero that drifts by 30 mA and says that a clamp cannot prove 25 mA', () => {
    const result = read(recording(4 * 3600, 2, 0.004, (atS) => 0.02 + (0.03 * atS) / (4 * 3600)));
    const problem = result.problems.find((one) => one.code === 'zero-drift');
    expect(problem?.text).toContain('25 mA');
    expect((result.asleep?.high_a ?? 0) - (result.asleep?.low_a ?? 0)).toBeGreaterThan(0.03);
  });

  it('reports a negative level: charger connected or clamp reversed', () => {
    expect(read(recording(900, 5, 0.002, () => -0.04)).problems.map((problem) => problem.code)).toContain('negative-drain');
  });

  it('answers an empty trace and a single sample without failing', () => {
    for (const count of [0, 1]) {
      const result = read({ timeS: new Float64Array(count), currentA: new Float32Array(count), voltageV: null, gaps: [] });
      expect(result.verdict.finding).toBe('too-short');
      expect(JSON.stringify(result)).not.toContain('NaN');
    }
  });

  it('says the same fed live in blocks of any size as from the whole trace', () => {
    const trace = recording(1500, 20, 0.005, (atS) => (atS < 300 ? 0.9 : atS % 400 < 30 ? 0.2 : 0.03));
    const marks: Mark[] = [{ timeS: 1300, kind: 'pull', label: 'F1' }];
    const whole = read(trace, marks);
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 9000 }), { minLength: 1, maxLength: 12 }), (sizes) => {
        const live = createLiveDrain({});
        live.mark(marks[0]);
        for (let at = 0, k = 0; at < trace.timeS.length; k++) {
          const end = Math.min(trace.timeS.length, at + sizes[k % sizes.length]);
          live.push({ timeS: trace.timeS.subarray(at, end), currentA: trace.currentA.subarray(at, end), voltageV: null });
          at = end;
        }
        expect(live.result()).toEqual(whole);
      }),
      { numRuns: 12 },
    );
  });
});
