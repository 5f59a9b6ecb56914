import { describe, expect, it } from 'vitest';
import { viewPress, type PressView } from '../../../../../src/core/analysis/motor/motion/press-view.ts';
import { envelopeBetween } from '../../../../../src/core/analysis/motor/signal/envelope.ts';
import { median } from '../../../../../src/core/stats.ts';
import type { Motion } from '../../../../../src/core/analysis/motor/types.ts';
import { loadOf } from '../../../../../src/core/analysis/motor/wire/load-kind.ts';
import type { LoadContext } from '../../../../../src/core/analysis/motor/wire/load-curve.ts';
import { noise } from '../traces.ts';
import { pressOf, readBy, sampledAt } from '../ripple/columns.ts';

interface Shown {
  readonly amps: (afterS: number) => number;
  /** s after the switch-on; what flows on afterwards is `tail` */
  readonly lastsS?: number;
  readonly tail?: (afterS: number) => number;
  readonly rateHz?: number;
  readonly hissA?: number;
  readonly turned?: boolean;
  readonly startsMidway?: boolean;
}
interface Told extends Partial<Pick<LoadContext, 'clipA' | 'chopped' | 'rippled'>> {
  readonly followS?: number;
}

/** What presses, each by itself at one rate, are told to be the load of. */
function loadsOf(shown: readonly Shown[], { followS = 0, clipA = null, chopped = false, rippled = shown.map(() => false) }: Told = {}): [string, string] {
  const { rateHz = 1000, hissA = 0 } = shown[0] ?? {};
  const starts: { startIndex: number; endIndex: number; one: Shown }[] = [];
  const readings: number[] = [];
  const hiss = noise(hissA);
  const rest = (count: number): void => void readings.push(...Array.from({ length: count }, hiss));
  rest(2 * rateHz);
  for (const one of shown) {
    const count = Math.round((one.lastsS ?? 1) * rateHz);
    starts.push({ startIndex: readings.length, endIndex: readings.length + count, one });
    for (let i = 0; i < count; i++) readings.push(one.amps(i / rateHz) + hiss());
    for (let i = 0; i < rateHz / 2; i++) readings.push((one.tail?.(i / rateHz) ?? 0) + hiss());
  }
  const sampling = sampledAt(rateHz, readings.length);
  const baseline = { ...readBy(Float32Array.from(readings)), noiseA: hissA };
  const views: PressView[] = starts.map(({ startIndex, endIndex, one }) => viewPress({ ...pressOf(startIndex, endIndex), startsMidway: one.startsMidway === true }, baseline, sampling));
  const motions: Motion[] = shown.map(({ turned = true }) => ({ stalls: [], running: [], inrushEnd: null, turned, certain: true }));
  // the power of the idle clamp, made the same way as that of a press
  const idleRippleVarianceA2 = median(envelopeBetween(0, 2 * rateHz, 1, baseline.deviationA, sampling).rippleVarianceA2);
  const { kind, reason } = loadOf(views, motions, { baseline, sampling, clamp: { followS, atMostS: null, known: false }, idleRippleVarianceA2, clipA, rippled, chopped });
  return [kind, reason];
}
const load = (amps: Shown['amps'], some: Omit<Shown, 'amps'> = {}, told: Told = {}): string => loadsOf([{ amps, ...some }], told).join(' ');

/** A winding's current comes up with its time constant. */
const rising = (tauS: number) => (t: number): number => 5 * (1 - Math.exp(-t / tauS));
/** From so many times the level down to it along an exponential. */
const falling = (times: number, tauS: number) => (t: number): number => 5 * (1 + (times - 1) * Math.exp(-t / tauS));
/** Quick at first and slower later: half of it is gone after 0.414 of this time, all but a tenth after 2.162. */
const cooling = (times: number, tauS: number) => (t: number): number => 5 * (1 + (times - 1) / (1 + t / tauS) ** 2);

describe('one level', () => {
  // 0.1 ms x ln 9 = 0.22 ms, the quickest winding from a tenth to nine tenths
  it('is a resistance where it is there within what the quickest winding takes, and open where the logger cannot show that', () => {
    expect([load(() => 5, { rateHz: 5000 }), load(() => 5, { rateHz: 4500 })]).toEqual(['heater no-rise', 'unknown sharp-edge']);
    expect(load(() => 5, { rateHz: 5000, tail: (t) => (t < 0.0003 ? 5 : 0) })).toBe('heater no-rise');
  });

  it('is a winding\'s where it comes up more slowly than it goes', () => {
    const fine = { rateHz: 20_000, hissA: 0.002 };
    expect([0.0003, 0.0007].map((tauS) => load(rising(tauS), fine))).toEqual(['unknown winding', 'unknown winding']);
    // a clamp that follows as slowly shows the same of a switch: 1.54 ms up, and 0.66 ms or 0.88 ms down, twice that and a reading
    expect([0.0003, 0.0004, 0.0007].map((tauS) => load(rising(0.0007), { ...fine, tail: (t) => 5 * Math.exp(-t / tauS) }))).toEqual(['unknown winding', 'unknown sharp-edge', 'unknown sharp-edge']);
  });

  // the slowest winding of a motor, 3 ms, takes 6.6 ms; twice that is surely a coil
  it('is a coil\'s where it takes longer than twice the slowest winding of a motor, and open in between', () => {
    expect([0.0032, 0.0058, 0.0062, 0.02, 0.06, 0.072].map((tauS) => load(rising(tauS), { rateHz: 5000, hissA: 0.002 }))).toEqual(['unknown slow-edge', 'unknown slow-edge', 'solenoid slow-rise', 'solenoid slow-rise', 'solenoid slow-rise', 'unknown slow-edge']);
    // five times as slow as it goes at the least
    expect([0.0018, 0.0022].map((tauS) => load(rising(0.01), { rateHz: 5000, hissA: 0.002, tail: (t) => 5 * Math.exp(-t / tauS) }))).toEqual(['solenoid slow-rise', 'unknown winding']);
    // a straight rise has half of it behind it half way, an exponential a quarter: ln 1.8 / ln 9
    expect(load((t) => 5 * Math.min(1, t / 0.03), { rateHz: 5000 })).toBe('unknown slow-edge');
    expect(load(rising(0.0028), { rateHz: 5000, hissA: 0.002 })).not.toBe('unknown slow-edge');
  });

  it('keeps to within three hundredths from its first moments to its end', () => {
    const bent = (shareUp: number) => load((t) => 5 * (t > 0.4 && t < 0.6 ? 1 + shareUp : 1), { rateHz: 5000 });
    expect([bent(0.02), bent(-0.02), bent(0.04), bent(-0.04)]).toEqual(['heater no-rise', 'heater no-rise', 'unknown too-little', 'unknown too-little']);
  });
});

describe('a switch-on that falls', () => {
  it('is a filament\'s: six times as high or more, down to a tenth within a tenth of a second, and slower as it goes', () => {
    // 2.162 x 40 ms = 86 ms, x 48 ms = 104 ms
    expect([load(cooling(10, 0.04)), load(cooling(10, 0.048)), load(cooling(5, 0.04))].map((told) => told === 'lamp filament')).toEqual([true, false, false]);
    // an exponential is as quick at its end as at its beginning
    expect(load(falling(10, 0.03), { hissA: 0.01 })).not.toBe('lamp filament');
    // one that took 10 ms to come up to the level is none, unless the clamp is as slow
    const late = (t: number): number => (t < 0.01 ? 4 : cooling(10, 0.04)(t - 0.01));
    expect([load(late), load(late, {}, { followS: 0.0021 }), load(late, {}, { followS: 0.0019 })].map((told) => told === 'lamp filament')).toEqual([false, true, false]);
  });

  it('is a motor\'s: along an exponential, with noise that may hide a commutator, slower than the quickest rotor', () => {
    // half of it is gone after 12 ms x ln 2 = 8.3 ms, less a reading
    expect([0.03, 0.012, 0.009].map((tauS) => load(falling(4, tauS), { hissA: 0.1 }))).toEqual(['motor run-up', 'motor run-up', 'unknown too-little']);
    expect([load(falling(4, 0.03), { hissA: 0.1, turned: false }), load(falling(4, 0.03)), load(falling(1.15, 0.03), { hissA: 0.1 })].map((told) => told === 'motor run-up')).toEqual([false, false, false]);
    // one as high and as short as a filament's is left open
    expect([load(falling(9, 0.03), { hissA: 0.1 }), load(falling(9, 0.06), { hissA: 0.1 })]).toEqual(['unknown too-little', 'motor run-up']);
    expect(load(falling(4, 0.03), { hissA: 0.1 }, { chopped: true })).toBe('unknown pulsed');
  });

  it('is what warms up: without any ripple, half of it after more than a filament takes, slower as it goes', () => {
    // 0.414 x 0.3 s = 0.124 s, x 0.22 s = 0.091 s
    expect([load(cooling(2, 0.3), { lastsS: 4 }), load(cooling(2, 0.22), { lastsS: 4 })]).toEqual(['heater warms-up', 'unknown too-little']);
    // with noise, or a slow clamp, only what takes longer than 0.35 s: 0.414 x 0.9 s = 0.37 s, x 1.2 s = 0.50 s
    expect([0.3, 1.2].map((tauS) => load(cooling(2, tauS), { lastsS: 8, hissA: 0.2 }) === 'heater warms-up')).toEqual([false, true]);
    expect([0.3, 0.9].map((tauS) => load(cooling(2, tauS), { lastsS: 8 }, { followS: 0.001 }) === 'heater warms-up')).toEqual([false, true]);
    // a ceramic heater waits until it is warm: half at 1.5 s, a tenth 2.2 time constants later, which is to be more than 0.35 s
    const waiting = (widthS: number) => (t: number): number => 5 * (1 + 1 / (1 + Math.exp((t - 1.5) / widthS)));
    expect([load(waiting(0.2), { lastsS: 6 }), load(waiting(0.14), { lastsS: 6 })].map((told) => told === 'heater warms-up')).toEqual([true, false]);
    // a heavy rotor gains speed along an exponential, for seconds too; of a fall cut short nobody knows the shape
    expect([load(falling(2, 0.6), { lastsS: 6 }), load(cooling(2, 3), { lastsS: 1.5 })]).toEqual(['unknown too-little', 'unknown too-little']);
  });

  it('is no heater\'s once it climbs again', () => {
    const again = (t: number): number => falling(2, 0.6)(t) + (t > 3 ? 2 : 0);
    expect(load(again, { lastsS: 6 })).toBe('unknown too-little');
    expect(load((t) => falling(4, 0.03)(t) + (t > 0.5 && t < 0.7 ? 3 : 0), { hissA: 0.1 })).toBe('motor run-up');
    expect(load((t) => falling(4, 0.03)(t) + (t > 0.5 && t < 0.7 ? 3 : 0), { hissA: 0.1, turned: false })).toBe('unknown too-little');
  });
});

describe('a current that never goes quiet', () => {
  const lively = (amps: (t: number) => number) => (t: number): number => amps(t) + 0.2 * Math.sin(2 * Math.PI * 170 * t);
  it('is a motor\'s where it falls as a rotor gains speed', () => {
    expect([load(lively(falling(3, 0.03))), load(lively(falling(3, 0.004))), load(lively(() => 5))]).toEqual(['motor run-up', 'unknown no-rotor', 'unknown too-little']);
    expect(load(lively(falling(3, 0.03)), {}, { chopped: true })).toBe('unknown pulsed');
    expect(load(lively(falling(3, 0.03)), { turned: false })).toBe('motor run-up');
  });

  it('with a ripple that is a speed is a motor\'s, unless its switch-on is no rotor\'s', () => {
    const rippled = { rippled: [true] };
    expect([load(() => 5, {}, rippled), load(falling(3, 0.03), {}, rippled), load(falling(3, 0.004), {}, rippled), load(cooling(10, 0.04), {}, rippled)]).toEqual(['motor ripple', 'motor ripple', 'unknown no-rotor', 'unknown no-rotor']);
    expect(load(falling(1.15, 0.004), {}, rippled)).toBe('motor ripple');
  });
});

describe('several presses', () => {
  const lamp: Shown = { amps: cooling(10, 0.04) };
  const coil: Shown = { amps: rising(0.01) };
  const motor: Shown = { amps: (t) => falling(3, 0.03)(t) + 0.2 * Math.sin(2 * Math.PI * 170 * t) };
  const level: Shown = { amps: () => 5 };
  const sharp: Shown = { amps: (t) => 5 * Math.min(1, t / 0.03) };

  it('are a motor\'s where one of them is', () => {
    expect([loadsOf([lamp, coil, motor]), loadsOf([level, level, motor])]).toEqual([['motor', 'run-up'], ['motor', 'run-up']]);
  });

  it('are what all that tell it agree on, half of them at the least', () => {
    expect([loadsOf([coil, coil]), loadsOf([coil, level]), loadsOf([coil, level, level]), loadsOf([lamp, coil])]).toEqual([['solenoid', 'slow-rise'], ['solenoid', 'slow-rise'], ['unknown', 'too-little'], ['unknown', 'mixed']]);
  });

  it('have a sharp or a slow edge where all have one, and no rotor where none of them has', () => {
    const none: Shown = { amps: (t) => falling(3, 0.004)(t) + 0.2 * Math.sin(2 * Math.PI * 170 * t) };
    expect([loadsOf([level, sharp]), loadsOf([sharp, level]), loadsOf([none, none]), loadsOf([none, sharp])]).toEqual([['unknown', 'sharp-edge'], ['unknown', 'slow-edge'], ['unknown', 'no-rotor'], ['unknown', 'too-little']]);
  });

  it('are told by those whose switch-on was seen, within the range', () => {
    expect([loadsOf([{ ...coil, startsMidway: true }, lamp]), loadsOf([{ ...coil, startsMidway: true }]), loadsOf([])]).toEqual([['lamp', 'filament'], ['unknown', 'too-little'], ['unknown', 'too-little']]);
    // the lamp comes to 50 A, the coil to 5 A; nine tenths of the range are its end
    expect([loadsOf([lamp, coil], { clipA: 54 }), loadsOf([lamp, coil], { clipA: 57 }), loadsOf([coil], { clipA: 5.5 }), loadsOf([coil], { clipA: 5.6 })].map(([kind]) => kind)).toEqual(['solenoid', 'unknown', 'unknown', 'solenoid']);
  });

  it('are pulsed where the supply is chopped and they show nothing else', () => {
    expect([loadsOf([level], { chopped: true }), loadsOf([coil], { chopped: true })]).toEqual([['unknown', 'pulsed'], ['solenoid', 'slow-rise']]);
  });
});

describe('a lock', () => {
  /** Its bolt moves at 5 A for so long, out of a rush of 12 A, and stands at 10 A until the module ends the pulse. */
  const bolt = (movesS: number, lastsS = 0.5, moving = 5): Shown => ({ amps: (t) => (t < movesS ? moving + 7 * Math.exp(-t / 0.008) : 10), lastsS, hissA: 0.02 });
  const isLatch = (...shown: Shown[]): boolean => loadsOf(shown)[0] === 'latch';

  it('moves its bolt for 35 to 130 ms and stands, press after press, each as long as the other', () => {
    expect([isLatch(bolt(0.08), bolt(0.08)), isLatch(bolt(0.08)), isLatch(bolt(0.16), bolt(0.16)), isLatch(bolt(0.02), bolt(0.02))]).toEqual([true, false, false, false]);
    expect([isLatch(bolt(0.08, 0.5), bolt(0.08, 0.52)), isLatch(bolt(0.08, 0.5), bolt(0.08, 0.53)), isLatch(bolt(0.08, 1.55), bolt(0.08, 1.55)), isLatch(bolt(0.08, 1.65), bolt(0.08, 1.65))]).toEqual([true, false, true, false]);
  });

  it('draws less while it moves, and stands to the end', () => {
    expect(isLatch(bolt(0.08, 0.5, 9.2), bolt(0.08, 0.5, 9.2))).toBe(false);
    const released = (atS: number): Shown => ({ ...bolt(0.08), amps: (t) => (t > atS ? 4 : bolt(0.08).amps(t)) });
    expect(isLatch(released(0.3), released(0.3))).toBe(false);
    expect(isLatch({ ...bolt(0.08), startsMidway: true }, bolt(0.08))).toBe(false);
  });
});
