import { describe, expect, it } from 'vitest';
import { read, recording, withGaps } from './recording.ts';

const H = 3600;
const NOISE_A = 0.001;
/** lamps and modules until 600 s, then the floor */
const parkedA = (floorA: number) => (atS: number): number => floorA + (atS < 60 ? 2.5 : atS < 180 ? 1.5 : atS < 600 ? 0.4 : 0);
const codes = (problems: readonly { code: string }[]): string[] => problems.map((problem) => problem.code);

/** The recording with the reading at `fromS` repeated until `toS`, and all readings rounded to `stepA`. */
function hung(fromS: number, toS: number, floorA: number, stepA = 0) {
  const trace = recording(3 * H, 5, NOISE_A, parkedA(floorA));
  if (stepA > 0) trace.currentA.forEach((value, i) => (trace.currentA[i] = Math.round(value / stepA) * stepA));
  const from = trace.timeS.findIndex((atS) => atS >= fromS);
  trace.currentA.fill(trace.currentA[from], from, trace.timeS.filter((atS) => atS < toS).length);
  return trace;
}

describe('a logger that hangs', () => {
  it.each([0, 0.001])('is reported, with readings in steps of %s A, and the rest is read beside it', (stepA) => {
    const { asleep, verdict, problems, trace } = read(hung(4000, 6000, 0.03, stepA));
    expect(codes(problems)).toContain('stuck');
    expect(verdict.finding).toBe('asleep');
    expect(asleep?.level_a).toBeCloseTo(0.03, 3);
    expect(trace.samples).toBe(3 * H * 5);
  });

  it('shows no level: hung on awake modules it is neither drain nor sleep', () => {
    const { asleep, verdict, problems, levels } = read(hung(400, 3 * H, 0.03));
    expect(codes(problems)).toContain('stuck');
    expect([verdict.finding, asleep]).toEqual(['too-short', null]);
    expect(levels.at(-1)?.end_s).toBeLessThan(410);
  });

  it('is not made of a quiet current on a coarse step', () => {
    // 20 mA a step and 1 mA of noise: at rest the readings stand on one step
    const trace = recording(3 * H, 5, NOISE_A, parkedA(0.03));
    trace.currentA.forEach((value, i) => (trace.currentA[i] = Math.round(value / 0.02) * 0.02));
    expect(codes(read(trace).problems)).not.toContain('stuck');
  });

  it('is not made of readings at the end of the range', () => {
    const trace = recording(3 * H, 5, NOISE_A, (atS) => (atS < 300 ? 8 : parkedA(0.03)(atS)));
    trace.currentA.forEach((value, i) => (trace.currentA[i] = Math.min(5, value)));
    expect(codes(read(trace).problems)).not.toContain('stuck');
  });
});

describe('a level that is another after a gap in the data', () => {
  it.each([0.008, 0.02, -0.008])('is no wake-up when nobody saw it begin or end: %s A', (stepA) => {
    const trace = withGaps(recording(4 * H, 5, NOISE_A, (atS) => parkedA(0.02)(atS) + (atS > 7000 ? stepA : 0)), [[6900, 7100]]);
    const { wakeups, asleep, verdict } = read(trace);
    expect(wakeups).toEqual([]);
    expect(verdict.finding).toBe('asleep');
    // either zero may be the true one
    expect(asleep!.low_a).toBeLessThan(Math.min(0.02, 0.02 + stepA));
    expect(asleep!.high_a).toBeGreaterThan(Math.max(0.02, 0.02 + stepA));
  });

  it('is a wake-up when it is seen to end', () => {
    const trace = withGaps(recording(4 * H, 5, NOISE_A, (atS) => parkedA(0.02)(atS) + (atS > 7000 && atS < 7200 ? 0.02 : 0)), [[6900, 7100]]);
    expect(read(trace).wakeups).toHaveLength(1);
  });
});

describe('a zero that nobody stated', () => {
  it('is in the bounds, and is said to be unknown; what a fuse carries does not depend on it', () => {
    const marks = [{ kind: 'pull', label: 'F7', timeS: 8000 }, { kind: 'refit', label: 'F7', timeS: 8200 }] as const;
    const trace = recording(3 * H, 5, NOISE_A, (atS) => parkedA(0.1)(atS) + 0.004 - (atS >= 8000 && atS < 8200 ? 0.06 : 0));
    const unstated = read(trace, marks);
    expect(unstated.asleep!.low_a).toBeLessThan(0.1);
    expect(unstated.asleep!.uncertainty!.map(({ source }) => source)).toContain('zero-unknown');
    expect(unstated.verdict.because.join(' ')).toContain('The zero of the sensor is not known');
    const stated = read(trace, marks, { zeroUncertaintyA: 0.0002 });
    expect(stated.asleep!.high_a - stated.asleep!.low_a).toBeLessThan(0.001);
    expect(stated.verdict.because.join(' ')).not.toContain('The zero of the sensor is not known');
    expect(unstated.pulls).toEqual(stated.pulls);
  });

  it('leaves a level near the limit open', () => {
    const { verdict, over_limit: overLimit } = read(recording(3 * H, 5, NOISE_A, parkedA(0.053)));
    expect([verdict.finding, overLimit]).toEqual(['unclear', null]);
    expect(read(recording(3 * H, 5, NOISE_A, parkedA(0.053)), [], { zeroUncertaintyA: 0.0005 }).verdict.finding).toBe('drain');
  });
});

describe('a module that polls with short pulses far apart', () => {
  it.each([5, 50])('counts in the level with all it draws, at %i readings a second', (rateHz) => {
    // 0.8 A for 60 ms every 13 s, at 5 readings a second a level of its own, at 50 readings inside one
    const pollA = (atS: number): number => parkedA(0.012)(atS) + (atS % 13 < 0.06 ? 0.8 : 0);
    const { asleep } = read(recording(2 * H, rateHz, NOISE_A, pollA), [], { zeroUncertaintyA: 0 });
    const at = Array.from({ length: 6600 * rateHz }, (_, i) => 600 + i / rateHz);
    const truthA = at.reduce((sum, atS) => sum + pollA(atS), 0) / at.length;
    expect(Math.abs(asleep!.level_a - truthA)).toBeLessThan(0.0002);
    expect(asleep!.low_a).toBeLessThanOrEqual(truthA);
    expect(asleep!.high_a).toBeGreaterThanOrEqual(truthA);
  });
});

describe('a reading that sways', () => {
  it('makes neither wake-ups nor pulls of a sway to both sides', () => {
    // rounded bumps of 30 mA over ten seconds, one up, one down, every five minutes
    const swayA = (atS: number): number => (atS % 300 < 10 ? (Math.floor(atS / 300) % 2 === 0 ? 0.03 : -0.03) * Math.sin((Math.PI * (atS % 300)) / 10) ** 2 : 0);
    const { wakeups, possible_pulls: possible, verdict } = read(recording(4 * H, 5, 0.002, (atS) => parkedA(0.02)(atS) + swayA(atS)));
    expect([verdict.finding, wakeups, possible]).toEqual(['asleep', [], []]);
  });
});
