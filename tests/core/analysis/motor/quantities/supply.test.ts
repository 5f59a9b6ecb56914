import { describe, expect, it } from 'vitest';
import { fitRobust, type Line } from '../../../../../src/core/analysis/motor/quantities/supply/feed-line.ts';
import { modulationOhm } from '../../../../../src/core/analysis/motor/quantities/supply/modulation.ts';
import { supplyFields } from '../../../../../src/core/analysis/motor/quantities/supply/supply.ts';
import { pairCells, pairingOf, type Pairing } from '../../../../../src/core/analysis/motor/quantities/supply/supply-cells.ts';
import { warmingOf } from '../../../../../src/core/analysis/motor/quantities/supply/warming.ts';
import type { LeadPlace } from '../../../../../src/core/analysis/motor/sensor/feed-voltage.ts';
import type { Motion } from '../../../../../src/core/analysis/motor/types.ts';
import type { Press } from '../../../../../src/core/analysis/motor/presses/presses.ts';
import { noise } from '../traces.ts';
import { pressOf, readBy, sampledAt } from '../ripple/columns.ts';

const COUNT = 2000;
/** A press of readings 100 to 1000, a millisecond apart: cells of five readings (a quarter of a mains period). */
interface Course {
  readonly ampsAt?: (i: number) => number;
  readonly voltsAt?: (i: number, amps: number) => number;
  readonly place?: LeadPlace;
  readonly press?: Partial<Press>;
  readonly clipA?: number | null;
  readonly noiseA?: number;
  /** what the clamp shows of it, where that is something else */
  readonly readAt?: (i: number) => number;
  readonly atMostS?: number | null;
}
function pairing({ ampsAt = () => 10, voltsAt = (_i, amps) => 12 - 0.1 * amps, place = 'battery', press = {}, clipA = null, noiseA = 0, readAt, atMostS = 0 }: Course = {}): Pairing {
  const whole = { ...pressOf(100, 1000), ...press };
  const flows = (i: number): number => (i < whole.startIndex || i >= whole.endIndex ? 0 : ampsAt(i));
  const values = Float32Array.from({ length: COUNT }, (_value, i) => whole.sign * (readAt === undefined ? flows(i) : readAt(i)));
  const voltageV = Float32Array.from({ length: COUNT }, (_value, i) => (place === 'motor' && flows(i) === 0 ? 0 : voltsAt(i, flows(i))));
  return pairingOf({ press: whole, baseline: { ...readBy(values), noiseA }, sampling: sampledAt(1000, COUNT), voltageV, place, readA: values, clipA, clamp: { followS: 0, atMostS, known: true } });
}
const inFives = (from: number, to: number): number[] => Array.from({ length: (to - from) / 5 + 1 }, (_value, c) => from + 5 * c);

describe('the cells that the feed is read from', () => {
  it('are those of the press, at the battery with the 0.15 s before it, at the motor, where the feed was dead, without', () => {
    const battery = pairing();
    expect(battery.starts).toEqual(inFives(0, 990));
    expect([...battery.currentA]).toEqual(battery.starts.map((start) => (start < 100 ? 0 : 10)));
    expect(pairing({ press: { startIndex: 300 } }).starts[0]).toBe(150);
    expect(pairing({ place: 'motor' }).starts).toEqual(inFives(101, 991));
    // a press the other way round is the same
    expect(pairing({ press: { sign: -1 } }).currentA.map((amps) => amps + 0)).toEqual(battery.currentA);
  });

  it('are none while the current comes up: to 97 % of the highest of the switch-on', () => {
    expect(pairing({ ampsAt: (i) => (i < 120 ? 9.6 : 10) }).starts).toEqual([...inFives(0, 95), ...inFives(120, 990)]);
    expect(pairing({ ampsAt: (i) => (i < 120 ? 9.8 : 10) }).starts).toEqual(inFives(0, 990));
    // what comes after 0.15 s is no switch-on
    expect(pairing({ ampsAt: (i) => (i < 250 ? 9 : 10) }).starts).toEqual(inFives(0, 990));
  });

  it('are none until a slow channel at the motor shows all but a thousandth of the volts\' step', () => {
    // 1.1 V more each reading from 100 on, up to 11 V: from a fifth at 101 to 85 % at 108, 7 ms; times ln 1000 = 49 readings
    const slow = { place: 'motor' as const, ampsAt: (i: number) => (i < 120 ? 9 : 10), voltsAt: (i: number) => Math.min(11, 1.1 * (i - 99)) };
    expect(pairing(slow).channelS).toBeCloseTo(0.007, 9);
    expect(pairing(slow).starts).toEqual(inFives(151, 991));
    expect(pairing({ ...slow, voltsAt: () => 11 }).channelS).toBe(0);
  });

  it('are none in or beside a break of the contact, nor where the volts show it open', () => {
    const without = (...out: number[]): number[] => inFives(0, 990).filter((start) => !out.includes(start));
    expect(pairing({ press: { dropouts: [{ startIndex: 500, endIndex: 510 }] } }).starts).toEqual(without(495, 500, 505, 510));
    // half of the usual 11 V
    const opened = (volts: number) => pairing({ voltsAt: (i, amps) => (i === 702 ? volts : 12 - 0.1 * amps) }).starts;
    expect([opened(5.4), opened(5.6), opened(-11)]).toEqual([without(700), without(), without()]);
  });

  it('are none with or beside a reading at the end of the sensor\'s range', () => {
    const clipped = (amps: number, clipA: number | null, sign: 1 | -1 = 1) => pairing({ ampsAt: (i) => (i === 600 ? amps : 5), clipA, press: { sign } }).starts;
    const without = inFives(0, 990).filter((start) => start < 595 || start > 605);
    // within a hundredth of it
    const all = inFives(0, 990);
    expect([clipped(9.91, 10), clipped(9.91, 10, -1), clipped(9.89, 10), clipped(9.91, null)].map((starts) => starts.filter((start) => start >= 105))).toEqual([without, without, all, all].map((starts) => starts.filter((start) => start >= 105)));
  });

  it('carry the mean of their volts, without a sign, and slowed as the clamp slows the current', () => {
    const ramp = pairing({ voltsAt: (i) => -(10 + i / 1000) });
    expect(pairCells(ramp, 0, null).voltageV[0]).toBeCloseTo(10.002, 5);
    // behind a first-order lag a ramp comes as late as the lag: 20 ms of 1 V/s, once it has settled
    const late = pairCells(ramp, 0.02, null).voltageV;
    expect(pairCells(ramp, 0, null).voltageV.at(-1)! - late.at(-1)!).toBeCloseTo(0.02, 5);
  });
});

describe('what the feed is, from volts and amps', () => {
  const still: Motion = { stalls: [], running: [{ startIndex: 300, endIndex: 1000 }], inrushEnd: 300, turned: true, certain: true };
  const started = (i: number): number => (i < 300 ? 20 - (i - 100) * 0.08 : 4);
  const hiss = () => {
    const wobble = noise(1e-4, 5);
    return (_i: number, amps: number): number => 12.6 - 0.1 * amps + wobble();
  };

  it('is a source behind its resistance: 12.6 V and 0.1 ohm, 12.2 V at 4 A', () => {
    for (const [place, sign] of [['battery', 1], ['battery', -1], ['motor', 1]] as const) {
      const supply = supplyFields(pairing({ ampsAt: started, voltsAt: hiss(), place, press: { sign } }), still)!;
      expect([supply.open_v, supply.run_v, supply.source_ohm]).toEqual([expect.closeTo(12.6, 2), expect.closeTo(12.2, 2), expect.closeTo(0.1, 3)]);
      expect(supply.low_ohm < 0.1 && supply.high_ohm > 0.1 && supply.high_ohm - supply.low_ohm < 0.005).toBe(true);
    }
  });

  it('has the kelvin that the current warms the wire by in its bounds: 0.4 % of the resistance', () => {
    const supply = supplyFields(pairing({ ampsAt: started, voltsAt: hiss() }), still)!;
    expect(supply.uncertainty?.find(({ source }) => source === 'model')?.contribution).toBeCloseTo(0.0004 / 1.959964, 5);
  });

  it('has at the battery no more volts at rest than were read', () => {
    // a battery that bends: at rest 12.5 V, where the line of the press leads to 12.6 V
    const bent = hiss();
    const supply = supplyFields(pairing({ ampsAt: started, voltsAt: (i, amps) => (amps === 0 ? 12.5 : bent(i, amps)) }), still)!;
    expect(supply.open_v).toBeCloseTo(12.5, 2);
  });

  it('is not known of a press that may not have turned, at one level, where volts rise with the amps, or lead to another vehicle\'s range', () => {
    expect(supplyFields(pairing({ ampsAt: started, voltsAt: hiss() }), { ...still, certain: false })).toBeNull();
    expect(supplyFields(pairing({ place: 'motor', voltsAt: hiss() }), still)).toBeNull();
    expect(supplyFields(pairing({ ampsAt: started, voltsAt: (_i, amps) => 12 + 0.1 * amps }), still)).toBeNull();
    // at the motor, where 18 V part vehicles of 12 V from those of 24 V, which have 32 V at the most: 18.4 V without load are 17.2 V at 4 A, 33 V are 29.8 V
    const known = (openV: number, ohm: number) => supplyFields(pairing({ ampsAt: started, place: 'motor', voltsAt: (_i, amps) => openV - ohm * amps }), still) !== null;
    expect([known(18.4, 0.3), known(17.8, 0.3), known(33, 0.8), known(31, 0.8)]).toEqual([false, true, false, true]);
  });

  // 4 A + 16 A exp(-t/60 ms) from the switch on, through a clamp of 4 ms: 4 (1 - exp(-t/T)) + 16 tau/(tau - T) (exp(-t/tau) - exp(-t/T))
  describe('read by a clamp of 4 ms', () => {
    const [tauS, lagS] = [0.06, 0.004];
    const course = (sinceS: number): number => (sinceS <= 0 ? 0 : 4 * (1 - Math.exp(-sinceS / lagS)) + ((16 * tauS) / (tauS - lagS)) * (Math.exp(-sinceS / tauS) - Math.exp(-sinceS / lagS)));
    const behind = (atMostS: number | null, sign: 1 | -1 = 1) =>
      supplyFields(pairing({ ampsAt: (i) => 4 + 16 * Math.exp(-(i - 99.5) / 1000 / tauS), readAt: (i) => (i >= 1000 ? 0 : course((i - 99.5) / 1000)), voltsAt: hiss(), press: { sign }, atMostS }), still);

    it('is the same, whether or not the switch-off shows how slow that is, and its lag is a part of its uncertainty', () => {
      for (const supply of [behind(null), behind(0.004), behind(0.002), behind(null, -1)]) {
        expect(Math.abs(supply!.source_ohm / 0.1 - 1)).toBeLessThan(0.03);
        expect(supply!.low_ohm < 0.1 && supply!.high_ohm > 0.1).toBe(true);
      }
    });

    it('is off by the volts that sagged before the amps were seen, where that clamp is said to follow at once', () => {
      const supply = behind(0);
      expect(supply === null || Math.abs(supply.source_ohm / 0.1 - 1) > Math.abs(behind(0.004)!.source_ohm / 0.1 - 1)).toBe(true);
    });
  });

  it('is read in the middle of a press that did not run', () => {
    // the quarter at either end is left out: 12.6 V - 0.1 ohm x 4 A
    const supply = supplyFields(pairing({ ampsAt: (i) => (i < 300 ? 20 - (i - 100) * 0.08 : i < 950 ? 4 : 10), voltsAt: hiss() }), { ...still, running: [] })!;
    expect(supply.run_v).toBeCloseTo(12.2, 2);
  });
});

describe('what moves the amps and not the volts', () => {
  // cells of ten readings: ten of a switch-on at 20 A, eighty of a run at 4 A and ten after it, whose volts go 0.04 V up and down ten cells at a time: robust deviation 1.4826 x 0.04 V, none of it from cell to cell
  const starts = Array.from({ length: 100 }, (_value, c) => 10 * c);
  const currentA = Float64Array.from(starts, (start) => (start < 100 ? 20 : 4));
  const line: Line = { slope: -0.1, intercept: 12, error: 0, scatterV: 0, meanV: 11 };
  const volts = (swingV: number, shakeV: number): Float64Array => currentA.map((amps, c) => 12 - 0.1 * amps + (c < 10 ? 0 : swingV * (c % 20 < 10 ? 1 : -1) + shakeV * (c % 2 === 0 ? 1 : -1)));
  const running = [{ startIndex: 100, endIndex: 900 }];
  const moved = (swingV: number, noiseA = 0, some: Partial<Motion> = {}, slope = -0.1, shakeV = 0): number =>
    modulationOhm({ currentA, voltageV: volts(swingV, shakeV) }, { ...pairing(), press: pressOf(0, 1000), starts, step: 10, baseline: { ...readBy(new Float32Array(1000)), noiseA } }, { stalls: [], running, inrushEnd: 100, turned: true, certain: true, ...some }, { ...line, slope });

  it('puts the cells of the switch-on off together: by its share of the run, times what they carry of the slope', () => {
    // 0.59304 A of 4 A; mean 5.6 A: carried 10 x 14.4 x 20 = 2880 of 10 x 14.4² + 90 x 1.6² = 2304: 0.1 x 0.59304 x 2880/(4 x 2304)
    expect(moved(0.04)).toBeCloseTo(0.0185325, 6);
    // the noise of the clamp is none of it: a reading's variance over the ten of a cell
    expect(moved(0.04, 0.5)).toBeCloseTo((0.1 * Math.sqrt(0.59304 ** 2 - 0.025) * 2880) / (4 * 2304), 6);
    // nor is what differs from cell to cell: 5 mV up and down have second differences of 20 mV, and so a variance of (1.4826 x 20 mV)²/6
    expect(moved(0.04, 0, {}, -0.1, 0.005)).toBeCloseTo((0.1 * Math.sqrt((0.059304 ** 2 - (1.4826 * 0.02) ** 2 / 6) / 0.01) * 2880) / (4 * 2304), 5);
    // twice the swing, twice as much
    expect(moved(0.08)).toBeCloseTo(2 * moved(0.04), 6);
  });

  it('is nothing without a run, without a swing, below the noise, or where the rotor stood', () => {
    expect([moved(0), moved(0.04, 2), moved(0.04, 0, { running: [] })]).toEqual([0, 0, 0]);
    expect(moved(0.04, 0, { stalls: [{ startIndex: 0, endIndex: 100, approachIndex: 0, levelA: 20, at: 'start' }] })).toBe(0);
  });
});

describe('a feed that warms', () => {
  const run = { startIndex: 200, endIndex: 1800 };
  /** 20 A, from reading 150 on 4 A, over 0.1 ohm that become more from reading 300 to 1800. */
  const warming = (more: (part: number) => number, place: LeadPlace = 'motor', wobbleV = 1e-4): Pairing => {
    const wobble = noise(wobbleV, 9);
    const ohm = (i: number): number => 0.1 + more(Math.max(0, (i - 300) / 1500));
    return pairing({ place, press: { endIndex: 1900 }, ampsAt: (i) => (i < 150 ? 20 : 4), voltsAt: (i, amps) => 12 - ohm(i) * amps + wobble() });
  };

  it('is told by what it loses in the first and the last third of the run, over the amps', () => {
    // 0.2 ohm more in a straight line: in the middle of the first third (reading 468) 0.1224, of the last (1536) 0.2648
    expect(warmingOf(warming((part) => 0.2 * part), run)).toEqual({ from_ohm: expect.closeTo(0.1224, 3), to_ohm: expect.closeTo(0.2648, 3) });
  });

  it('is none that grows by less than a quarter, at once, or no more than the cells scatter, nor at the battery', () => {
    // from the middle of the first third on 0.712 of it is gained
    const grown = (more: number) => warmingOf(warming((part) => more * part), run) !== null;
    expect([grown(0.034), grown(0.042)]).toEqual([false, true]);
    expect([warmingOf(warming((part) => (part > 0.3 ? 0.2 : 0)), run), warmingOf(warming((part) => (part > 0.7 ? 0.2 : 0)), run)]).toEqual([null, null]);
    expect([warmingOf(warming((part) => 0.05 * part, 'motor', 0.3), run), warmingOf(warming((part) => 0.2 * part, 'battery'), run), warmingOf(warming((part) => 0.2 * part), undefined)]).toEqual([null, null, null]);
    // a run of six cells a third is the shortest
    expect(warmingOf(warming((part) => 0.2 * part), { startIndex: 200, endIndex: 260 })).toBeNull();
  });
});

/** slope, half width of its 95 % bounds (ohm), scatter about the line (V) */
const SLOPES = [[-0.09952460678804174, 0.001705066495507472, 0.014036883958289646], [-0.09710133006814785, 0.005278522627932224, 0.024700267689546588], [-0.09910239638017504, 0.007822323674500241, 0.025422880886447438]] as const;

describe('the line of volts over amps', () => {
  // NumPy and SciPy: least squares where the amps are known exactly, HC3 weights (MacKinnon and White 1985), four lags (Newey and West 1987), Student's t of the cells that carry the slope; the scatter of all cells is the floor
  it.each([
    ['all cells', (k: number) => 0.02 * Math.sin(1.7 * k * k + 1), SLOPES[0]],
    ['those of the switch-on', (k: number) => (k < 8 ? 0.1 : 0.005) * Math.sin(1.7 * k * k + 1), SLOPES[1]],
    ['those of the switch-on, which follow each other', (k: number) => (k < 8 ? 0.08 : 0.005) * Math.cos(0.8 * k), SLOPES[2]],
  ] as const)('has its error by the scatter of %s', (_what, offV, [slope, error, scatterV]) => {
    const currentA = Float64Array.from({ length: 40 }, (_value, k) => (k < 8 ? 20 - 2 * k : 4));
    const found = fitRobust({ currentA, voltageV: currentA.map((amps, k) => 12 - 0.1 * amps + offV(k)) })!;
    expect([found.slope, found.error, found.scatterV]).toEqual([expect.closeTo(slope, 7), expect.closeTo(error, 7), expect.closeTo(scatterV, 7)]);
  });

  it('moves with the volts, turns with their scale and against that of the amps', () => {
    const SCALE = 3;
    const wobble = noise(0.01, 21);
    const amps = Float64Array.from({ length: 60 }, (_value, k) => (k < 12 ? 20 - 1.2 * k : 4) + wobble());
    const volts = amps.map((value) => 12 - 0.1 * value + wobble());
    const line = fitRobust({ currentA: amps, voltageV: volts })!;
    const moved = fitRobust({ currentA: amps, voltageV: volts.map((value) => value + 5) })!;
    expect([moved.slope, moved.intercept, moved.error, moved.scatterV]).toEqual([line.slope, line.intercept + 5, line.error, line.scatterV].map((value) => expect.closeTo(value, 9)));
    const larger = fitRobust({ currentA: amps, voltageV: volts.map((value) => SCALE * value) })!;
    expect([larger.slope, larger.intercept, larger.error, larger.scatterV]).toEqual([line.slope, line.intercept, line.error, line.scatterV].map((value) => expect.closeTo(SCALE * value, 9)));
    const stronger = fitRobust({ currentA: amps.map((value) => SCALE * value), voltageV: volts })!;
    expect([stronger.slope, stronger.intercept, stronger.error]).toEqual([line.slope / SCALE, line.intercept, line.error / SCALE].map((value) => expect.closeTo(value, 9)));
    // and is the same for a current the other way
    const turned = fitRobust({ currentA: amps.map((value) => -value), voltageV: volts })!;
    expect([turned.slope, turned.error]).toEqual([expect.closeTo(-line.slope, 9), expect.closeTo(line.error, 9)]);
  });
});
