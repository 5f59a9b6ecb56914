import { describe, expect, it } from 'vitest';
import { createLiveActuation } from '../../../../src/core/present/documents/document-motor.ts';
import { findScenario } from '../../../../src/simulate/scenarios.ts';

describe('a live motor test of a day', () => {
  it('lists the newest presses and counts those before: none is lost from the count, and the list does not grow', { timeout: 120_000 }, () => {
    const windowSamples = 25_000;
    const all = createLiveActuation({}, windowSamples);
    const bounded = createLiveActuation({}, windowSamples, 3);
    const vehicle = findScenario('side-step-healthy')!.start(3);
    let longest = 0;
    for (let block = 0; block < 16; block++) {
      const samples = vehicle.next(10_000);
      all.push(samples);
      bounded.push(samples);
      if (block % 8 === 7) longest = Math.max(longest, bounded.result().actuations.length);
    }
    const whole = all.result();
    const newest = bounded.result();
    expect(whole.earlier_actuations).toBeUndefined();
    expect(newest.earlier_actuations).toBeGreaterThan(0);
    expect(newest.earlier_actuations! + newest.actuations.length).toBe(whole.actuations.length);
    expect(newest.actuations).toEqual(whole.actuations.slice(-newest.actuations.length));
    expect(longest).toBeLessThan(whole.actuations.length / 2);
    expect(newest.trace).toMatchObject({ samples: whole.trace.samples, duration_s: whole.trace.duration_s });
  });
});
