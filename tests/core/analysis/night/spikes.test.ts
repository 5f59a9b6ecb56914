import { describe, expect, it } from 'vitest';
import { read, recording } from './recording.ts';

const LENGTH_S = 2 * 3600;
/** lamps and modules until 600 s, then 20 mA */
const parkedA = (atS: number): number => 0.02 + (atS < 60 ? 2.5 : atS < 180 ? 1.5 : atS < 600 ? 0.4 : 0);

/** The parked vehicle with one reading in every `everyS` off by `spikeA`, nearly a third of a minute into the first of them. */
function spiky(rateHz: number, spikeA: number, everyS: number) {
  const trace = recording(LENGTH_S, rateHz, 0.002, parkedA);
  for (let atS = 17; atS < LENGTH_S; atS += everyS) trace.currentA[Math.round(atS * rateHz)] += spikeA;
  return trace;
}

describe('single readings far below zero', () => {
  it.each([
    [1, -3, 60],
    [1, -1, 20],
    [5, -3, 60],
    [5, -3, 10],
    [20, -3, 10],
    [20, -30, 60],
  ])('are left out and reported: %d readings a second, %d A every %d s', (rateHz, spikeA, everyS) => {
    const { asleep, verdict, wakeups, problems } = read(spiky(rateHz, spikeA, everyS));
    expect(verdict.finding).toBe('asleep');
    expect(Math.abs((asleep?.at_s ?? 0) - 600)).toBeLessThan(5);
    expect(asleep?.level_a).toBeCloseTo(0.02, 3);
    expect(wakeups).toEqual([]);
    const reported = problems.find(({ code }) => code === 'spikes');
    // those while lamps and modules draw more than the spike stay: nothing flows into the battery in them
    expect(reported?.text).toMatch(/^\d+ readings jump below zero for a moment/);
  });

  it('count as current where they go the other way: a module that polls draws it', () => {
    // 5 A for a fifth of a second each minute are 16.7 mA
    const { asleep, problems } = read(spiky(5, 5, 60));
    expect(asleep?.level_a).toBeCloseTo(0.02 + 5 / 5 / 60, 3);
    expect(problems.map(({ code }) => code)).not.toContain('spikes');
  });

  it('are a real current where half of all are', () => {
    const trace = recording(LENGTH_S, 1, 0.002, (atS) => (atS % 2 < 1 ? 0.05 : -0.5));
    const { asleep, problems } = read(trace);
    expect(problems.map(({ code }) => code)).not.toContain('spikes');
    expect(asleep).toBeNull();
  });
});
