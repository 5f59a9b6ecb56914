import { describe, expect, it } from 'vitest';
import type { SteadyView } from '../../../src/core/wire/calibration.ts';
import type { Feed } from '../../../src/daemon/live/feed.ts';
import { steadyView } from '../../../src/daemon/live/steady.ts';
import { LOGGER } from '../stand.ts';

const FEED = { logger: LOGGER, spec: 'hand:1', state: { state: 'live', text: '' }, zeroA: 0 };

function viewOf(amps: readonly number[], { feed = {}, ageS = 0.5 as number | null, volts = amps as readonly number[] | null } = {}): SteadyView {
  const block = { timeS: Float64Array.from(amps, (_, i) => i / 1000), currentA: Float32Array.from(amps), voltageV: volts === null ? null : Float32Array.from(volts) };
  return steadyView({ ...FEED, ...feed } as unknown as Feed, block, ageS);
}

/** Eight parts of two readings each, the mean of each part, and how far both lie from it. */
const parts = (means: readonly number[], noise: number): number[] => means.flatMap((mean) => [mean - noise, mean + noise]);

describe('the reading of a channel that is held still', () => {
  it('is its mean with what a zero step took off, and its uncertainty by eight parts', () => {
    // means 0 and 1 mA in turn: standard deviation 0.5 mA x sqrt(8 / 7), of the mean of eight that over sqrt 8
    const { current, voltage, readings, logger } = viewOf(parts([0, 1, 0, 1, 0, 1, 0, 1].map((m) => m / 1000), 0.1), { feed: { zeroA: 0.25 }, volts: parts(Array.from({ length: 8 }, () => 12), 0.5) });
    expect(current).toMatchObject({ mean: expect.closeTo(0.2505, 7), uncertainty: expect.closeTo((0.0005 * Math.sqrt(8 / 7)) / Math.sqrt(8), 8), moving: false });
    expect(voltage).toMatchObject({ mean: 12, uncertainty: 0, moving: false });
    expect([readings, logger]).toEqual([16, 'H1']);
  });

  it('needs two readings in each part, and no hole in any', () => {
    expect(viewOf(Array.from({ length: 15 }, () => 1)).current).toBeNull();
    expect(viewOf(Array.from({ length: 16 }, () => 1)).current).toEqual({ mean: 1, uncertainty: 0, moving: false });
    const holed = viewOf(Array.from({ length: 16 }, () => 1), { volts: [...Array.from({ length: 15 }, () => 12), Number.NaN] });
    expect([holed.current === null, holed.voltage]).toEqual([false, null]);
    expect(viewOf(Array.from({ length: 16 }, () => 1), { volts: null }).voltage).toBeNull();
  });

  it('moves when its halves differ by more than four of their standard uncertainties', () => {
    // parts 0.01 off their half in turn: within 0.01 x sqrt(8 / 6), of the difference of two means of four that times sqrt(2 / 4), four times: 0.03266
    const halves = (apart: number): number[] => parts([-0.01, 0.01, -0.01, 0.01, apart - 0.01, apart + 0.01, apart - 0.01, apart + 0.01], 1);
    expect(viewOf(halves(0.0325)).current!.moving).toBe(false);
    expect(viewOf(halves(0.0328)).current!.moving).toBe(true);
    expect(viewOf(halves(-0.0328)).current!.moving).toBe(true);
  });

  it('moves when its parts stand on different levels, though the halves agree; one step of the reading is no level', () => {
    expect(viewOf(parts([0, 1, 0, 1, 0, 1, 0, 1], 0.01)).current!.moving).toBe(true);
    expect(viewOf(parts([0, 1, 0, 1, 0, 1, 0, 1], 0.9)).current!.moving).toBe(false);
    const oneStep = [...Array.from({ length: 15 }, () => 0), 0.1];
    expect(viewOf(oneStep).current!.moving).toBe(false);
  });
});

describe('no reading of now', () => {
  const still = Array.from({ length: 16 }, () => 1);

  it('is one of a logger that is silent, or has been for over 3 s', () => {
    expect(viewOf(still, { ageS: 3 }).readings).toBe(16);
    for (const view of [viewOf(still, { ageS: 3.1 }), viewOf(still, { ageS: null }), viewOf(still, { feed: { state: { state: 'lost', text: '' } } })]) expect(view).toEqual({ logger: 'H1', current: null, voltage: null, readings: 0 });
    expect(viewOf(still, { feed: { logger: null } }).logger).toBeNull();
  });
});
