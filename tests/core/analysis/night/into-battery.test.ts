import { describe, expect, it } from 'vitest';
import { read, recording } from './recording.ts';

const H = 3600;
const NOISE_A = 0.001;
/** lamps and modules until `untilS`, then the floor */
const parkedA = (floorA: number, untilS = 600) => (atS: number): number => floorA + (atS < 0.1 * untilS ? 2.5 : atS < 0.3 * untilS ? 1.5 : atS < untilS ? 0.4 : 0);

describe('current into the battery', () => {
  it('in pulses far apart is a charger that keeps a parked vehicle: no key-off, and the rest is between them', () => {
    const { verdict, asleep, key_off_s: keyOffS, wakeups } = read(recording(3 * H, 5, NOISE_A, (atS) => parkedA(0.02)(atS) - (atS % 300 >= 200 && atS % 300 < 220 ? 1 : 0)));
    expect([verdict.finding, keyOffS, wakeups]).toEqual(['asleep', null, []]);
    expect(Math.abs(asleep!.at_s - 600)).toBeLessThan(5);
    expect(asleep!.level_a).toBeCloseTo(0.02, 3);
  });

  it('for the greater part of the time until it ends is what came before the vehicle was parked, with breaks of its own', () => {
    const { verdict, key_off_s: keyOffS } = read(recording(3 * H, 5, NOISE_A, (atS) => (atS < H ? (atS % 300 < 60 ? 0.3 : -2) : parkedA(0.02)(atS - H))));
    expect(verdict.finding).toBe('asleep');
    expect(Math.abs(keyOffS! - H)).toBeLessThan(5);
  });

  it('ends with the engine, however a charger pulses later', () => {
    const { verdict, key_off_s: keyOffS } = read(recording(3 * H, 5, NOISE_A, (atS) => (atS < 400 ? -12 : parkedA(0.02)(atS - 400) - (atS > H && atS % 300 < 20 ? 1 : 0))));
    expect(verdict.finding).toBe('asleep');
    expect(Math.abs(keyOffS! - 400)).toBeLessThan(5);
  });

  it('from before any time-out is over up to the end tells nothing of the vehicle: a panel may have hidden a part of it all along', () => {
    const { verdict, asleep } = read(recording(4 * H, 5, NOISE_A, (atS) => (atS < 1000 ? parkedA(0.02, 200)(atS) : -0.4)));
    expect([verdict.finding, asleep]).toEqual(['unclear', null]);
    expect(verdict.because.join(' ')).toContain('into the battery');
  });

  it('after a rest that outlasted every time-out leaves that rest as it was', () => {
    const { verdict, asleep } = read(recording(4 * H, 5, NOISE_A, (atS) => (atS < 5000 ? parkedA(0.02, 200)(atS) : -0.4)));
    expect(verdict.finding).toBe('asleep');
    expect(asleep!.level_a).toBeCloseTo(0.02, 3);
  });

  it('with nothing drawn at any time is a clamp the wrong way round, also where the rest reads next to nothing', () => {
    const { verdict, asleep } = read(recording(3 * H, 5, NOISE_A, (atS) => -parkedA(0.005)(atS)));
    expect([verdict.finding, asleep]).toEqual(['unclear', null]);
    // a charger comes off, modules time out, and the zero is a little low
    const charged = read(recording(3 * H, 5, NOISE_A, (atS) => (atS < 600 ? -2 : parkedA(-0.002)(atS - 600))));
    expect(charged.verdict.finding).toBe('asleep');
    expect(Math.abs(charged.key_off_s! - 600)).toBeLessThan(5);
  });
});
