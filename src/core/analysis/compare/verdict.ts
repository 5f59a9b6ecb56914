import type { ActuationResult, AnalysisResult, DrainResult } from '../results.ts';
import { isDecidedByLimit, severityOf } from '../findings.ts';
import type { CompareEvidence, Side } from './codes.ts';
import { describeMetric } from './describe.ts';
import { FAULTY_SHARE } from './metrics/metrics.ts';
import { nextSteps } from './next-steps.ts';
import type { ComparedMetric, CompareFinding, CompareVerdict } from './results.ts';

/** The figure of each test that is held against a limit. */
const LIMIT_METRIC = { actuation: 'run_a', drain: 'asleep_a' } as const;

/**
 * repaired: a fault before, none after · better/worse: the finding or a deciding figure moved, by more than its uncertainty and
 * its tolerance · unchanged: neither. A finding that changed only because a figure slipped over a limit, by less than its tolerance, has
 * not changed. Of deciding figures that moved both ways the worse ones count: something got worse. The words say only what was seen.
 */
export function actuationVerdict(before: ActuationResult, after: ActuationResult, pairs: readonly ComparedMetric[]): CompareVerdict {
  return verdict(before, after, pairs);
}

export function drainVerdict(before: DrainResult, after: DrainResult, pairs: readonly ComparedMetric[]): CompareVerdict {
  const bothSlept = before.asleep !== null && after.asleep !== null;
  // an average of a trace that did not settle tells how long one recorded
  return verdict(before, after, bothSlept ? pairs : pairs.filter(({ metric }) => metric !== 'average_a'));
}

/** What keeps two traces from belonging together, and what to do about it. */
const REMEDY = { 'wrong-unit': 'right-unit', 'one-virtual': 'same-vehicle' } as const;

/** With a unit in question, or a virtual vehicle beside another one, nothing is claimed. */
export function noClaim(before: AnalysisResult, after: AnalysisResult, why: Extract<CompareEvidence, { code: keyof typeof REMEDY }>): CompareVerdict {
  return { finding: 'unchanged', claims: false, because: [bothFindings(before, after), why], next: [{ code: REMEDY[why.code] }] };
}

function verdict(before: AnalysisResult, after: AnalysisResult, pairs: readonly ComparedMetric[]): CompareVerdict {
  const [first, second] = [before.verdict.finding, after.verdict.finding];
  const sign = (pair: ComparedMetric): number => signOf(pair, first, second);
  const worse = pairs.filter((pair) => moved(pair) * sign(pair) > 0);
  const better = pairs.filter((pair) => moved(pair) * sign(pair) < 0);
  const slipped = first !== second && isDecidedByLimit(first) && isDecidedByLimit(second) && stayedAtLimit(LIMIT_METRIC[before.test], pairs);
  const rank = [severityOf(first), severityOf(second)];
  if (rank[0] === null && rank[1] === 0 && heldOverLimit(before)) rank[0] = severityOf('drain');
  const byFindings = slipped || rank[0] === null || rank[1] === null ? null : between(rank[0], rank[1]);
  // slipped over a limit, the presses changed their names and nothing else
  const deciding = (pair: ComparedMetric): boolean => decides(pair) && !(slipped && pair.metric === FAULTY_SHARE.name);
  const finding = byFindings ?? byFigures(better.filter(deciding), worse.filter(deciding));
  const because: CompareEvidence[] = [bothFindings(before, after)];
  if (slipped) because.push({ code: 'slipped' });
  if (first !== second) because.push(...nearLimits('first', before), ...nearLimits('second', after));
  const open = rank[0] === null || rank[1] === null;
  if (open) because.push({ code: 'no-answer', side: rank[0] !== null ? 'second' : rank[1] !== null ? 'first' : 'both' });
  else if (byFindings === null && (rank[0] ?? 0) > 0 && first !== second && !slipped) because.push({ code: 'fault-changed' });
  const telling = finding === 'worse' ? [...worse, ...better] : [...better, ...worse];
  const shown = telling.sort((a, b) => Number(decides(b)) - Number(decides(a))).slice(0, 4);
  for (const pair of shown) because.push({ code: 'figure', pair });
  const share = pairs.find(({ metric }) => metric === FAULTY_SHARE.name);
  if (share !== undefined && !shown.includes(share) && first !== second) because.push({ code: 'figure', pair: share });
  if (shown.length === 0 && finding === 'unchanged') because.push(noneMoved(pairs));
  // presses on both sides, and none of a direction that the other side has
  const apart = pairs.some(({ metric }) => metric === FAULTY_SHARE.name) && !pairs.some(({ metric, change }) => metric !== FAULTY_SHARE.name && change !== null);
  if ((open || apart) && finding === 'unchanged') return { finding, claims: false, because, next: [{ code: 'record-again' }] };
  return { finding, because, next: nextSteps(before.test, finding, pairs, rank[0] === 0 && rank[1] === 0) };
}

/** Where the finding of a side is decided by a limit, and its figure lies within uncertainty of it. */
function nearLimits(side: Side, { verdict: { finding }, near_limits: near = [] }: AnalysisResult): CompareEvidence[] {
  return near.length > 0 && isDecidedByLimit(finding) ? [{ code: 'near-limit', side, near: near[0], count: near.length }] : [];
}

/** A night too short to rule out a late time-out, whose floor had settled over the limit all the same: beside one asleep it was the drain. */
function heldOverLimit(result: AnalysisResult): boolean {
  return result.test === 'drain' && result.asleep !== null && result.over_limit === true;
}

function between(before: number, after: number): CompareFinding | null {
  if (before > 0 && after === 0) return 'repaired';
  if (after < before) return 'better';
  return after > before ? 'worse' : null;
}

function byFigures(better: readonly ComparedMetric[], worse: readonly ComparedMetric[]): CompareFinding {
  if (worse.length > 0) return 'worse';
  return better.length > 0 ? 'better' : 'unchanged';
}

/** The figure held against a limit stayed within its tolerance, or within what two sensors may differ by, in every direction. */
function stayedAtLimit(limitMetric: string, pairs: readonly ComparedMetric[]): boolean {
  const own = pairs.filter(({ metric, change }) => metric === limitMetric && change !== null);
  return own.length > 0 && own.every(({ change, tolerance, scales_half_width: scales = 0 }) => Math.abs(change ?? 0) < Math.max(tolerance, scales));
}

/** +1 when more is worse. A motor that drove nothing gets better by drawing more; of heavy and light neither way is better. */
function signOf(pair: ComparedMetric, first: string, second: string): number {
  if (pair.metric === 'run_a') {
    if (first === 'light') return second === 'heavy' ? 0 : -1;
    if (second === 'light') return first === 'heavy' ? 0 : -1;
  }
  return describeMetric(pair.metric).worse;
}

function decides(pair: ComparedMetric): boolean {
  if (!describeMetric(pair.metric).decides) return false;
  const few = pair.direction !== null && Math.min(pair.before_count, pair.after_count) < FEW_PRESSES;
  const least = few ? FEW_TOLERANCES : 1;
  return Math.abs(pair.change ?? 0) > least * pair.tolerance;
}

/**
 * With fewer presses than three on a side the bounds hold little or nothing of how much presses differ by themselves, which is about
 * the tolerance (see metrics.ts): the change must be twice that to decide. Drain levels are means over hours and need no such allowance.
 */
const FEW_PRESSES = 3;
const FEW_TOLERANCES = 2;

function moved(pair: ComparedMetric): number {
  return pair.judgement === 'higher' ? 1 : pair.judgement === 'lower' ? -1 : 0;
}

function bothFindings(before: AnalysisResult, after: AnalysisResult): CompareEvidence {
  const evidence = { code: 'findings', first: before.verdict.finding, second: after.verdict.finding } as const;
  // what a motor's finding was judged by belongs to it: a press that nothing judged is not yet a normal one
  return before.test === 'actuation' && after.test === 'actuation' ? { ...evidence, firstBasis: before.verdict.basis, secondBasis: after.verdict.basis } : evidence;
}

function noneMoved(pairs: readonly ComparedMetric[]): CompareEvidence {
  if (pairs.length === 0) return { code: 'nothing-compared' };
  return { code: 'none-moved', same: pairs.filter(({ judgement }) => judgement === 'same').length, of: pairs.length };
}
