import { describe, expect, it } from 'vitest';
import { createLiveDrain } from '../../src/core/present/documents/document-night.ts';
import type { DrainResult } from '../../src/core/analysis/results.ts';
import { NightAlarm, nightFacts } from '../../web/test/night/night-watch.ts';

const wake = { start_s: 1000, end_s: 1010, peak_a: 2, charge_c: 20 };

/** 30 mA for ten minutes at 10 readings a second, changed by hand into what a case needs. */
function night(change: Partial<DrainResult>): DrainResult {
  const timeS = Float64Array.from({ length: 6000 }, (_, i) => i / 10);
  const live = createLiveDrain({});
  live.push({ timeS, currentA: Float32Array.from(timeS, (_, i) => 0.03 + (i % 2) * 1e-4), voltageV: null });
  return { ...live.result(), ...change };
}

describe('the night watch', () => {
  it('counts in live time, and goes on counting between two results', () => {
    const result = night({ asleep: { at_s: 100, level_a: 0.03, low_a: 0.03, high_a: 0.03 }, wakeups: [{ ...wake, start_s: 400, end_s: 410 }], wait_s: 300 });
    expect(nightFacts(result, 50, 50, 50 + result.trace.duration_s + 60)).toEqual({
      recordingS: result.trace.duration_s + 60, asleepS: result.trace.duration_s - 40, settledS: null, wakeups: 1, wakesS: [result.trace.duration_s - 340], nextS: 240,
    });
  });

  it('names the newest three wake-ups, newest first', () => {
    const wakeups = [100, 200, 300, 400].map((startS) => ({ ...wake, start_s: startS, end_s: startS + 10 }));
    const result = night({ wakeups });
    expect(nightFacts(result, 0, 0, 1000)).toMatchObject({ wakeups: 4, wakesS: [600, 700, 800] });
  });

  it('says nothing of a night that has no result, and does not claim to record', () => {
    expect(nightFacts(null, 0, null, 10)).toEqual({ recordingS: null, asleepS: null, settledS: null, wakeups: 0, wakesS: [], nextS: null });
  });

  it('sounds once for each wake-up and once for the limit, and starts anew with another recording', () => {
    const alarm = new NightAlarm();
    const asleep = { at_s: 100, level_a: 0.08, low_a: 0.08, high_a: 0.08 };
    expect(alarm.push(night({ asleep: null, over_limit: null, wakeups: [] }), 0)).toBe(null);
    expect(alarm.push(night({ asleep, over_limit: false, wakeups: [] }), 0)).toBe(null);
    expect(alarm.push(night({ asleep, over_limit: false, wakeups: [wake] }), 0)).toBe('wake-up');
    expect(alarm.push(night({ asleep, over_limit: false, wakeups: [wake] }), 0)).toBe(null);
    expect(alarm.push(night({ asleep, over_limit: true, wakeups: [wake] }), 0)).toBe('limit');
    expect(alarm.push(night({ asleep, over_limit: true, wakeups: [wake] }), 0)).toBe(null);
    expect(alarm.push(night({ asleep, over_limit: false, wakeups: [wake, wake] }), 7)).toBe(null);
  });
});
