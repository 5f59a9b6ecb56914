import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import { compareActuation } from '../../../../src/core/present/documents/document-compare.ts';
import { recordCircuit, SOUND, USUAL } from '../../../score/compare/motor.ts';
import { judgePair, PAIR_KINDS, type JudgedPair } from '../../../score/compare/pairs.ts';
import { judgeNight, NIGHT_KINDS } from '../../../score/compare/night.ts';

/**
 * Pairs of recordings from a motor and a parked vehicle written for this purpose alone (tests/score/compare), changed by known amounts
 * between them: a reader who knows what was done must agree with the verdict. tests/score/compare/main.ts counts over many seeds.
 */
describe('the verdict on two motor tests of which is known what was done between them', () => {
  const judged: JudgedPair[] = [];
  it.each(PAIR_KINDS.map((kind) => [kind.name, kind.expected, kind] as const))('%s: %s', (_name, expected, kind) => {
    const one = judgePair(kind, 2);
    judged.push(one);
    expect(one.result.verdict.finding, one.result.verdict.because.join(' ')).toBe(expected);
    expect(one.result.verdict.because.length).toBeGreaterThan(1);
    expect(one.result.verdict.next.length).toBeGreaterThan(0);
  });

  it('gives bounds of the running current that hold its true change in at least 95 of 100', () => {
    const run = judged.flatMap(({ run: own }) => own);
    expect(run.length).toBeGreaterThan(40);
    const held = run.filter(({ trueA, low, high }) => low <= trueA && trueA <= high).length;
    // binomial: 95 % of some sixty, less two standard deviations
    expect(held / run.length).toBeGreaterThan(0.95 - 2 * Math.sqrt((0.95 * 0.05) / run.length));
  });

  it('says in words that a different supply was scaled away, and lets the running current follow it within its range', () => {
    const { result } = judgePair(PAIR_KINDS.find(({ name }) => name === 'same again, charger on')!, 2);
    expect(result.problems.find(({ code }) => code === 'different-supply')!.text).toMatch(/scaled to the first one's voltage/);
    const run = result.pairs.find(({ metric }) => metric === 'run_a')!;
    // the load here grows a little with speed: more current at more volts, and nothing broken
    expect(run.change!).toBeGreaterThan(0);
    expect(run.low!).toBeLessThan(0.05);
  });

  it('scales the speed to the common supply by what the switch-on tells of the motor\'s resistance, and its range holds the truth', () => {
    const at = (batteryV: number, seed: number) =>
      analyseActuation(recordCircuit({ ...SOUND, batteryV, ripplesPerTurn: 8, rippleShare: 0.06 }, { ...USUAL, rateHz: 2000, noiseA: 0.02, lead: 'motor' }, seed).trace, {});
    const result = compareActuation(at(12.2, 3), at(14, 4));
    const speeds = result.pairs.filter(({ metric }) => metric === 'ripple_hz');
    expect(speeds.length).toBeGreaterThan(0);
    for (const { before, change, low, high } of speeds) {
      // the same motor under the same load, but for what of the load grows with speed (about one part in fifteen here)
      expect(low!).toBeLessThanOrEqual(0.02 * before!);
      expect(high!).toBeGreaterThanOrEqual(-0.02 * before!);
      expect(Math.abs(change! / before!)).toBeLessThan(0.05);
    }
    expect(result.verdict.finding).toBe('unchanged');
  });

  it('does not judge the peak that a slow logger missed, and says so', () => {
    const { result } = judgePair(PAIR_KINDS.find(({ name }) => name === 'same again, slow logger')!, 2);
    expect(result.problems.map(({ code }) => code)).toContain('different-rate');
    expect(result.pairs.filter(({ metric }) => metric === 'inrush_peak_a').every(({ judgement }) => judgement === 'unsure')).toBe(true);
  });
});

describe('the verdict on two nights of which is known what was done between them', () => {
  it.each(NIGHT_KINDS.map((kind) => [kind.name, kind.expected, kind] as const))('%s: %s', (_name, expected, kind) => {
    const { result } = judgeNight(kind, 2);
    expect(result.verdict.finding, result.verdict.because.join(' ')).toBe(expected);
    expect(result.verdict.next.length).toBeGreaterThan(0);
  });

  it('gives bounds of the change asleep that hold the true one', () => {
    for (const kind of NIGHT_KINDS.filter(({ before, after }) => before.sleepS !== Infinity && after.sleepS !== Infinity)) {
      const { result, trueA } = judgeNight(kind, 3);
      const { low, high } = result.pairs.find(({ metric }) => metric === 'asleep_a')!;
      expect(low!, kind.name).toBeLessThanOrEqual(trueA);
      expect(high!, kind.name).toBeGreaterThanOrEqual(trueA);
    }
  });
});
