import { describe, expect, it } from 'vitest';
import { evenedViews, viewRipple } from '../../../../../src/core/analysis/motor/ripple/angle-resampling.ts';
import { findCandidate, findExpected, surveyLines, type RippleContext, type Survey } from '../../../../../src/core/analysis/motor/ripple/ripple-candidate.ts';
import { noise } from '../traces.ts';
import { pressOf, readBy, sampledAt } from './columns.ts';

const RATE_HZ = 5000;
const HIGHEST_A = 20;

interface Run {
  /** a tone of 1000 Hz, five times as strong, from somewhere else: for so much of the run */
  readonly tonedShare?: number;
  readonly hz?: number;
  readonly amplitudeA?: number;
  readonly seconds?: number;
  readonly perRevolution?: number;
  readonly highestA?: number;
}

/** A run at 4 A and an even speed whose ripple is a sine. */
function surveyed({ hz = 400, amplitudeA = 0.1, seconds = 2, perRevolution, highestA = HIGHEST_A, tonedShare = 0 }: Run): { survey: Survey; context: RippleContext } {
  const hiss = noise(0.02, 11);
  const length = Math.round(seconds * RATE_HZ);
  const tone = (i: number): number => (i < tonedShare * length ? 5 * amplitudeA * Math.sin((2 * Math.PI * 1000 * i) / RATE_HZ) : 0);
  const values = Float32Array.from({ length }, (_value, i) => 4 + amplitudeA * Math.sin((2 * Math.PI * hz * i) / RATE_HZ) + tone(i) + hiss());
  const context: RippleContext = { baseline: readBy(values), sampling: sampledAt(RATE_HZ, values.length), perRevolution, cornerHz: Infinity, highestA, idleOf: () => null };
  const view = viewRipple(pressOf(0, values.length), [{ startIndex: 0, endIndex: values.length }], context, context.idleOf);
  const [even] = view === null ? [] : evenedViews([view], highestA, context);
  if (even === undefined) throw new Error('the run is too short for a spectrum');
  return { survey: surveyLines(even, context), context };
}

function candidate(run: Run) {
  const { survey, context } = surveyed(run);
  return findCandidate(survey, context);
}

describe('the ripple of one press', () => {
  // 400 ripples a second for two seconds are 800, at ten a turn 40 turns a second
  it('has its frequency inside its bounds, its count, and its turns where the ripples a turn are typed in', () => {
    const found = candidate({ perRevolution: 10 });
    expect(found).not.toBe('alias');
    if (found === null || found === 'alias') throw new Error('nothing found');
    const { frequency_hz: hz, low_hz: low, high_hz: high, revolutions_per_s: turns, count } = found.ripple;
    expect(Math.abs(hz - 400)).toBeLessThan(1);
    expect(low).toBeLessThan(400);
    expect(high).toBeGreaterThan(400);
    expect(high - low).toBeLessThan(8);
    expect(Math.abs(count - 800)).toBeLessThanOrEqual(2);
    expect(turns).toBeCloseTo(hz / 10, 6);
    const free = candidate({});
    expect(free === null || free === 'alias' ? NaN : free.ripple.revolutions_per_s).toBeNull();
  });

  it('is not a stronger tone that is there for less than half of the run, and may be one that is there for longer', () => {
    const hzOf = (tonedShare: number): number => {
      const found = candidate({ tonedShare });
      return found === null || found === 'alias' ? NaN : found.usualHz;
    };
    expect(hzOf(0.3)).toBeCloseTo(400, 0);
    expect(hzOf(0.8)).toBeCloseTo(1000, 0);
  });

  it('is none where noise is all there is', () => {
    expect(candidate({ amplitudeA: 0 })).toBeNull();
  });

  // TI DRV8215 datasheet: at least 20 ripples. 150 Hz for 0.1 s are 15, for 0.2 s 30
  it('is none with fewer than twenty ripples', () => {
    expect(candidate({ hz: 150, seconds: 0.1 })).toBeNull();
    expect(candidate({ hz: 150, seconds: 0.2 })).not.toBeNull();
  });

  // 2.5 readings a ripple: 2000 Hz of 5000
  it('may be folded from above two fifths of the rate on', () => {
    expect(candidate({ hz: 1950 })).not.toBe('alias');
    expect(candidate({ hz: 2050 })).toBe('alias');
  });

  it('is looked for where the other presses have it, within 6 %, and nowhere else', () => {
    const { survey, context } = surveyed({ amplitudeA: 0.02 });
    const near = findExpected(survey, 410, context);
    expect(near === null || near === 'alias' ? NaN : near.usualHz).toBeCloseTo(400, 0);
    expect(findExpected(survey, 600, context)).toBeNull();
  });
});
