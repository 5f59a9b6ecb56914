import { analyseDrain } from '../../analyse.ts';
import type { DrainResult, WakeUp } from '../../../src/core/analysis/results.ts';
import { Tally } from '../drain/tally.ts';
import type { ScoreRow } from '../drain/tally.ts';
import { night } from './night.ts';
import type { Night } from './truth.ts';

export interface JudgedNight {
  readonly night: Omit<Night, 'trace'>;
  readonly result: DrainResult;
  /** what is not as it should be, one line each: for looking at single nights */
  readonly faults: readonly string[];
}

/** The longest wait that a maker publishes before a parked vehicle is measured (tests/score/definitions.md). */
const LONGEST_TIME_OUT_S = 75 * 60;

/** A zero that has moved this far takes the level with it, whatever reads it: only the bounds are judged then. */
const ZERO_HELD_A = 0.0004;

export function judgeNight(seed: number, tally: Tally, changesA: number[]): JudgedNight {
  const { trace, ...rest } = night(seed);
  const result = analyseDrain(trace, rest.marks, {});
  const { truth } = rest;
  const faults: string[] = [];
  const check = (name: string, good: boolean, detail: string): void => {
    tally.add(name, good);
    if (!good) faults.push(`${name}: ${detail}`);
  };
  if (truth.findings.length > 0) {
    const { finding } = result.verdict;
    const right = truth.findings.includes(finding);
    tally.add(`finding ${truth.findings[0]}`, right);
    check('finding', right, `${finding} instead of ${truth.findings.join(' or ')}`);
  }
  if (truth.negative) check('backwards reported', result.verdict.finding === 'unclear', result.verdict.finding);
  if (truth.asleepAtS === null) {
    if (!truth.negative) check('no sleep made up', result.asleep === null, `asleep at ${result.asleep?.at_s}`);
    return { night: rest, result, faults };
  }
  const { lowS, highS } = truth.asleepAtS;
  if (truth.levelA !== null && truth.levelA > 0.05 && rest.durationS < LONGEST_TIME_OUT_S && result.asleep === null) return { night: rest, result, faults };
  check('sleep found', result.asleep !== null, `${result.verdict.finding}; true ${highS.toFixed(0)} s at ${truth.levelA}`);
  if (result.asleep !== null && truth.levelA !== null) {
    const { at_s, level_a, low_a, high_a } = result.asleep;
    check('moment', at_s >= lowS - 5 && at_s <= highS + 5, `${at_s.toFixed(1)} instead of ${lowS.toFixed(1)} to ${highS.toFixed(1)}`);
    const levels = `${level_a.toFixed(5)} [${low_a.toFixed(5)}, ${high_a.toFixed(5)}] for ${truth.levelA.toFixed(5)}, drift ${truth.driftA.toFixed(4)}`;
    if (Math.abs(truth.driftA) <= ZERO_HELD_A) check('level', Math.abs(level_a - truth.levelA) <= 0.0015, levels);
    check(Math.abs(truth.driftA) <= ZERO_HELD_A ? 'bounds' : 'bounds with drift', low_a <= truth.levelA && truth.levelA <= high_a, levels);
  }
  judgeWakeUps(rest, trace.gaps, result, check, tally);
  for (const pull of truth.pulls) {
    const found = result.pulls.find((one) => one.label === pull.label);
    check('pulls found', found !== undefined, pull.label);
    if (found === undefined) continue;
    // not made at rest, as the definitions have it: nothing is claimed
    if (found.carries === null) continue;
    changesA.push(Math.abs(found.change_a - pull.changeA));
    if (Math.abs(found.change_a - pull.changeA) > 0.003) faults.push(`change ${pull.label}: ${found.change_a.toFixed(4)} [${found.low_a.toFixed(4)}, ${found.high_a.toFixed(4)}] for ${pull.changeA.toFixed(4)}`);
    check('change in bounds', found.low_a <= pull.changeA && pull.changeA <= found.high_a, `${pull.label} ${found.change_a.toFixed(5)} [${found.low_a.toFixed(5)}, ${found.high_a.toFixed(5)}] for ${pull.changeA.toFixed(5)}`);
    if (pull.carries === false) check('empty fuse', !found.carries, `${pull.label} ${found.change_a}`);
    if (pull.carries === true) check('carrying fuse found', found.carries, `${pull.label} ${found.change_a} for ${pull.changeA}`);
  }
  judgeCulprit(rest, result, check);
  return { night: rest, result, faults };
}

/** The fuse with the largest change is named first, and is said to carry. */
function judgeCulprit(rest: Omit<Night, 'trace'>, result: DrainResult, check: (name: string, good: boolean, detail: string) => void): void {
  if (rest.truth.pulls.some((pull) => result.pulls.find((one) => one.label === pull.label)?.carries === null)) return;
  const carriers = rest.truth.pulls.filter((pull) => pull.carries === true).toSorted((first, second) => first.changeA - second.changeA);
  if (carriers.length === 0) return;
  const named = result.pulls.filter((pull) => pull.carries).toSorted((first, second) => first.change_a - second.change_a);
  const ties = carriers.filter((pull) => pull.changeA < carriers[0].changeA * 0.9).map((pull) => pull.label);
  check('carrying fuse', named.length > 0 && ties.includes(named[0].label), `${named[0]?.label} instead of ${ties.join(' or ')}`);
}

function judgeWakeUps(rest: Omit<Night, 'trace'>, gaps: Night['trace']['gaps'], result: DrainResult, check: (name: string, good: boolean, detail: string) => void, tally: Tally): void {
  const { truth } = rest;
  const hidden = (startS: number, endS: number): boolean => gaps.some((gap) => gap.startS < endS + 1 && gap.endS > startS - 1);
  const ours = result.wakeups.filter((wake) => wake.cause !== 'fuse');
  const taken = new Set<WakeUp>();
  const wantedWakes = truth.wakeUps.filter((wake) => !hidden(wake.startS, wake.endS));
  for (const wanted of wantedWakes) {
    const found = ours.find((wake) => {
      const bothS = Math.min(wake.end_s, wanted.endS) - Math.max(wake.start_s, wanted.startS);
      return !taken.has(wake) && bothS > 0.5 * Math.max(wake.end_s - wake.start_s, wanted.endS - wanted.startS);
    });
    if (found !== undefined) taken.add(found);
    check('wake-ups found', found !== undefined, `${wanted.startS.toFixed(1)} to ${wanted.endS.toFixed(1)}`);
    if (found !== undefined && wanted.byPerson) check('person reported', found.cause === 'person', String(found.cause));
  }
  for (const wake of ours) {
    if (!hidden(wake.start_s, wake.end_s)) check('wake-ups true', taken.has(wake), `${wake.start_s.toFixed(1)} to ${wake.end_s.toFixed(1)}, ${wake.peak_a.toFixed(4)} A`);
  }
  if (truth.wakePeriodS !== null) {
    const period = result.wake_period_s;
    check('period', period !== null && Math.abs(period / truth.wakePeriodS - 1) <= 0.02, `${period} instead of ${truth.wakePeriodS}`);
  } else if (wantedWakes.length === 0) tally.add('no beat made up', result.wake_period_s === null);
}

export function secondFigures(tally: Tally, changesA: readonly number[]): ScoreRow[] {
  const found = tally.share('wake-ups found');
  const right = tally.share('wake-ups true');
  const f1 = (2 * found * right) / (found + right);
  const sorted = changesA.toSorted((first, second) => first - second);
  const p90 = 1000 * (sorted[Math.floor(0.9 * sorted.length)] ?? 0);
  return [
    tally.row('sleep found', 'sleep found', 1),
    tally.row('no sleep made up', 'no sleep made up', 0.95),
    tally.row('moment', 'moment within 5 s', 0.95),
    tally.row('level', 'level within 1.5 mA', 0.9),
    tally.row('bounds', 'level inside its bounds', 0.9),
    tally.row('bounds with drift', 'level inside its bounds, zero adrift', 0.8),
    tally.row('wake-ups found', 'wake-ups found', 0.97),
    tally.row('wake-ups true', 'wake-ups true', 0.97),
    { name: 'wake-ups F1', value: f1, goal: '>= 0.97', met: f1 >= 0.97, count: tally.count('wake-ups found') },
    tally.row('period', 'period within 2 %', 0.97),
    tally.row('no beat made up', 'no beat made up', 0.97),
    tally.row('person reported', 'wake-up by a person reported', 0.95),
    tally.row('pulls found', 'pulls found', 1),
    { name: 'change of a pull, 90th percentile, mA', value: p90, goal: '<= 3', met: p90 <= 3, count: changesA.length },
    tally.row('change in bounds', 'change inside its bounds', 0.9),
    tally.row('carrying fuse', 'carrying fuse named right', 0.97),
    tally.row('carrying fuse found', 'every carrying fuse found', 0.95),
    tally.row('empty fuse', 'fuse without current not blamed', 0.97),
    tally.row('backwards reported', 'current backwards reported', 1),
    tally.row('finding', 'finding right', 0.95),
    ...['asleep', 'drain', 'waking', 'awake', 'too-short'].map((name) => tally.row(`finding ${name}`, `finding right, ${name}`, 0.9)),
  ];
}
