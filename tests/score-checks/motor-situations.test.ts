import { describe, expect, it } from 'vitest';
import { judge } from '../score/situations/motor/judge.ts';
import { allMotorSituations, makeSituation, motorSituations, run, table } from '../score/situations/motor/run.ts';
import { addToTally, emptyTally, type Tally } from '../score/situations/motor/tally.ts';
import type { PressTruth } from '../score/situations/motor/truth/types.ts';
import { truthful } from './truthful.ts';

const SEED = 11;
const SOME = ['short-press', 'two-quick-presses', 'jam-early', 'locked-play', 'contact-lost', 'clamp-off', 'dead-lead', 'unpowered', 'over-limits', 'tight-spot', 'broken-gear', 'heater-flat', 'solenoid', 'latch', 'pair-one-stops', 'lamp-joins', 'steady-beside', 'passes-no-dc', 'tips-clipped', 'clamp-reversed', 'cut-start-then-whole', 'cut-both', 'middle-of-stall', 'pushed-through', 'relief-valve', 'engine-fires', 'reads-zero', 'heater-pulsed', 'four-latches', 'memory-seat', 'fuse-blows', 'rate-falls', 'ends-in-the-start'];

describe('the situations of the motor test', () => {
  it('are the same for the same seed, and others for another', () => {
    const [first, again, other] = [makeSituation('short-press', SEED), makeSituation('short-press', SEED), makeSituation('short-press', SEED + 1)];
    expect(again.columns).toEqual(first.columns);
    expect(again.truth).toEqual(first.truth);
    expect(other.columns.currentA).not.toEqual(first.columns.currentA);
  });

  it('have names of their own and say what they are', () => {
    expect(new Set(allMotorSituations.map((entry) => entry.name)).size).toBe(allMotorSituations.length);
    expect(motorSituations.length).toBeGreaterThan(60);
    expect(allMotorSituations.filter((entry) => entry.about.length < 10)).toEqual([]);
  });

  it.each(SOME)('%s: finite readings in rising time, and the truth reported in full is right', (name) => {
    const situation = makeSituation(name, SEED);
    const { timeS, currentA, voltageV } = situation.columns;
    expect(timeS.every((atS, index) => Number.isFinite(atS) && (index === 0 || atS > timeS[index - 1]!))).toBe(true);
    expect(currentA.every(Number.isFinite) && (voltageV === null || voltageV.every(Number.isFinite))).toBe(true);
    expect(judge(truthful(situation), situation.truth, situation.options.runLimitsA !== undefined)).toEqual({ outcome: 'right', reasons: [] });
  });
});

describe('the judge', () => {
  const outcome = (name: string, change: (document: Record<string, unknown>) => object, press: (press: PressTruth) => object = () => ({})): string => {
    const situation = makeSituation(name, SEED);
    const document = truthful(situation, press);
    return judge({ ...document, ...change(document) }, situation.truth, situation.options.runLimitsA !== undefined).outcome;
  };
  const says = (finding: string, basis = 'itself') => () => ({ verdict: { finding, basis } });

  it('tells false from honest verdicts', () => {
    expect(outcome('jam-early', says('normal'))).toBe('false');
    expect(outcome('jam-early', says('unclear'))).toBe('cannot-tell');
    expect(outcome('short-press', says('stalled'))).toBe('false');
    expect(outcome('broken-gear', says('normal'))).toBe('false');
    expect(outcome('broken-gear', says('normal', 'none'))).toBe('cannot-tell');
    expect(outcome('short-press', says('normal', 'limits'))).toBe('false');
    expect(outcome('clamp-off', says('dead'))).toBe('false');
    expect(outcome('cut-both', says('normal'))).toBe('false');
  });

  it('counts a wrong remark as false and a silence as missed', () => {
    expect(outcome('short-press', () => ({ load: { kind: 'heater' } }))).toBe('false');
    expect(outcome('short-press', () => ({ problems: [{ code: 'ac-coupled' }] }))).toBe('false');
    expect(outcome('short-press', () => ({}), () => ({ events: [{ code: 'slip', at_s: 1 }] }))).toBe('false');
    expect(outcome('short-press', () => ({}), (press) => ({ stalls: [{ start_s: press.startS, end_s: press.endS }] }))).toBe('false');
    expect(outcome('short-press', () => ({}), () => ({ beat: { period_s: 0.2 } }))).toBe('false');
    expect(outcome('short-press', () => ({ actuations: [] }))).toBe('missed');
    expect(outcome('pair-one-stops', () => ({}), () => ({ steps: [] }))).toBe('missed');
    expect(outcome('passes-no-dc', () => ({ problems: [] }))).toBe('missed');
    expect(outcome('pushed-through', () => ({}), () => ({ events: [] }))).toBe('missed');
  });

  it('gives a table with a line a class and the figures', () => {
    const result = run({ seed: SEED, classes: ['short-press', 'locked-play'] }, () => ({}));
    expect(result.totals).toEqual({ right: 0, 'cannot-tell': 0, missed: 2, false: 0 });
    expect(table(result)).toMatch(/short-press[^\n]+\n[^\n]*locked-play/);
  });
});

describe('the figures', () => {
  const SIZE = 0.02;
  /** levels reported with bounds of 2 %, put `off` of their size away from the truth */
  const tallyOf = (name: string, off: number, stalls?: readonly object[]): Tally => {
    const situation = makeSituation(name, SEED);
    const near = (value: number): { value: number; low: number; high: number } => ({ value: value * (1 + off), low: value * (1 + off) - SIZE * Math.abs(value), high: value * (1 + off) + SIZE * Math.abs(value) });
    const tally = emptyTally();
    addToTally(tally, truthful(situation, (press) => {
      const run = near((press.runA ?? 1) * press.sign);
      const peak = near(press.peakA ?? 1);
      return {
        run: press.run === null ? null : { start_s: press.run.startS, end_s: press.run.endS, median_a: run.value, low_a: run.low, high_a: run.high },
        inrush: { peak_a: peak.value, low_peak_a: peak.low, high_peak_a: peak.high },
        ...(stalls === undefined ? {} : { stalls }),
      };
    }), situation.truth);
    return tally;
  };

  it('count presses and stalls that are reported, missed and made up', () => {
    expect(tallyOf('jam-early', 0)).toMatchObject({ pressHit: 1, pressExtra: 0, pressMissed: 0, stallHit: 1, stallExtra: 0, stallMissed: 0 });
    expect(tallyOf('jam-early', 0, [])).toMatchObject({ stallHit: 0, stallMissed: 1 });
    expect(tallyOf('short-press', 0, [{ start_s: 0, end_s: 9 }])).toMatchObject({ pressHit: 2, stallHit: 0, stallExtra: 2 });
  });

  it('hold bounds against the perfect current, before the clamp', () => {
    expect(tallyOf('short-press', 0)).toMatchObject({ runBounds: 2, runHeld: 2, peakBounds: 2, peakHeld: 2, peakNear: 2 });
    expect(tallyOf('short-press', 0.1)).toMatchObject({ runBounds: 2, runHeld: 0, peakBounds: 2, peakHeld: 0, peakNear: 0 });
    expect(tallyOf('clamp-reversed', 0)).toMatchObject({ runHeld: tallyOf('clamp-reversed', 0).runBounds });
  });

  it('take a frequency for right within 1 % of the true commutation only', () => {
    const situation = makeSituation('ripple-plain', SEED);
    const press = situation.truth.presses[0]!;
    const at = situation.truth.timeS.findIndex((atS) => atS > (press.run!.startS + press.run!.endS) / 2);
    const trueHz = situation.truth.commutationHz[0]![at]!;
    const reported = (hz: number): Tally => {
      const tally = emptyTally();
      addToTally(tally, truthful(situation, (other) => (other === press ? { run: null, ripple: { frequency_hz: hz, low_hz: hz * 0.98, high_hz: hz * 1.02 } } : {})), situation.truth);
      return tally;
    };
    expect(reported(trueHz * 1.005)).toMatchObject({ rippleReported: 1, rippleRight: 1, rippleHeld: 1, rippleWrong: 0 });
    expect(reported(trueHz * 1.05)).toMatchObject({ rippleReported: 1, rippleRight: 0, rippleWrong: 1 });
    expect(reported(trueHz / 2)).toMatchObject({ rippleRight: 0, rippleWrong: 1 });
  });
});
