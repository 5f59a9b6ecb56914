import { answerOf, type Bounded, type ReportedPress } from './answer.ts';
import { matchPresses, overlapS, sameStretch } from './match.ts';
import { indexAt } from './truth/press.ts';
import type { PressTruth, Span, Truth } from './truth/types.ts';

/** Counts of hits over all recordings. `reported` of `of`: where there was something to tell, how often it was; `held`: inside the bounds. */
export interface Tally {
  pressHit: number;
  pressExtra: number;
  pressMissed: number;
  stallHit: number;
  stallExtra: number;
  stallMissed: number;
  rippleReported: number;
  rippleRight: number;
  /** reported wrong, and among these where no line stood clear in the record */
  rippleWrong: number;
  rippleWrongUnseen: number;
  rippleVisible: number;
  rippleVisibleRight: number;
  rippleBounds: number;
  rippleHeld: number;
  runBounds: number;
  runHeld: number;
  /** sum of the relative widths of the bounds, to see that they are not bought by being wide */
  runWidth: number;
  sourceBounds: number;
  sourceHeld: number;
  peakBounds: number;
  peakHeld: number;
  /** reported without bounds: how often within 3 % of the true peak */
  peakReported: number;
  peakNear: number;
}

export function emptyTally(): Tally {
  return {
    pressHit: 0, pressExtra: 0, pressMissed: 0, stallHit: 0, stallExtra: 0, stallMissed: 0, rippleReported: 0, rippleRight: 0, rippleWrong: 0, rippleWrongUnseen: 0,
    rippleVisible: 0, rippleVisibleRight: 0, rippleBounds: 0, rippleHeld: 0, runBounds: 0, runHeld: 0, runWidth: 0, sourceBounds: 0, sourceHeld: 0, peakBounds: 0, peakHeld: 0, peakReported: 0, peakNear: 0,
  };
}

/** Adds one recording's answer. A press counts as found when it covers at least half of the true one and the other way round. */
export function addToTally(tally: Tally, document: unknown, truth: Truth): void {
  const answer = answerOf(document);
  const { pairs, extra, missed, split } = matchPresses(answer.presses, truth.presses);
  tally.pressExtra += extra.length + split.reduce((sum, { reported }) => sum + (truth.splitAllowed ? 0 : reported.length - 1), 0);
  tally.pressMissed += missed.filter((press) => press.cut === null && !press.optional).length;
  for (const { reported, press } of pairs) {
    if (overlapS(reported, press) >= 0.5 * Math.max(reported.endS - reported.startS, press.endS - press.startS) || truth.splitAllowed) tally.pressHit++;
    else {
      tally.pressExtra++;
      tally.pressMissed++;
    }
    const claims = split.find((one) => one.press === press)?.reported ?? [reported];
    tallyStalls(tally, truth.splitAllowed ? claims : [reported], press);
    tallyRipple(tally, reported, press, truth);
    if (truth.levelsJudged && press.cut === null) tallyLevels(tally, reported, press, truth);
  }
}

/** A press that the recording cuts is no evidence: none of its stalls is asked for. Where an opening may make two presses of one, the stalls of both count. */
function tallyStalls(tally: Tally, claims: readonly ReportedPress[], press: PressTruth): void {
  const reported = claims.flatMap(({ stalls }) => stalls);
  for (const stall of press.stalls) {
    if (reported.some((other) => sameStretch(other, stall))) tally.stallHit++;
    else if (press.cut === null) tally.stallMissed++;
  }
  for (const stall of reported) {
    if (![...press.stalls, ...press.greyStalls].some((true_) => sameStretch(stall, true_) || overlapS(stall, true_) >= 0.5 * (stall.endS - stall.startS))) tally.stallExtra++;
  }
}

/** The true value is the mean commutation frequency of any motor on the wire over the reported run; a speed that wanders may be reported anywhere in its range. */
function tallyRipple(tally: Tally, reported: ReportedPress, press: PressTruth, truth: Truth): void {
  const visible = truth.rippleVisible && press.run !== null && press.cut === null;
  if (visible) tally.rippleVisible++;
  if (reported.ripple === null) return;
  tally.rippleReported++;
  const over = reported.run ?? press.run ?? press;
  const right = truth.commutationHz.some((column) => nearFrequency(reported.ripple!.value, column, truth.timeS, over));
  if (right) {
    tally.rippleRight++;
    if (visible) tally.rippleVisibleRight++;
    boundsHold(reported.ripple, truth.commutationHz.map((column) => meanOver(column, truth.timeS, over)), (held) => {
      tally.rippleBounds++;
      if (held) tally.rippleHeld++;
    });
    return;
  }
  tally.rippleWrong++;
  if (!truth.rippleVisible) tally.rippleWrongUnseen++;
}

function nearFrequency(reported: number, column: Float64Array, timeS: Float64Array, over: Span): boolean {
  const part = column.subarray(indexAt(timeS, over.startS), indexAt(timeS, over.endS));
  if (part.length === 0) return false;
  const sorted = part.slice().sort();
  const mean = meanOver(column, timeS, over);
  const low = Math.min(mean, sorted[Math.floor(0.1 * sorted.length)]!);
  const high = Math.max(mean, sorted[Math.floor(0.9 * sorted.length)]!);
  return reported >= low * 0.99 && reported <= high * 1.01;
}

function tallyLevels(tally: Tally, reported: ReportedPress, press: PressTruth, truth: Truth): void {
  if (reported.run !== null && press.run !== null && overlapS(reported.run, press.run) > 0.5 * (reported.run.endS - reported.run.startS)) {
    const mean = meanOver(truth.wireA, truth.timeS, reported.run);
    const signed = Math.sign(reported.run.value) === Math.sign(mean) ? mean : Math.abs(mean) * Math.sign(reported.run.value);
    boundsHold(reported.run, [signed], (held) => {
      tally.runBounds++;
      if (held) tally.runHeld++;
      tally.runWidth += Math.abs((reported.run!.high! - reported.run!.low!) / mean);
    });
  }
  if (truth.sourceOhm !== null && reported.source !== null) {
    const { low, high } = truth.sourceOhm;
    tally.sourceBounds++;
    if ((reported.source.low ?? reported.source.value) <= high && (reported.source.high ?? reported.source.value) >= low) tally.sourceHeld++;
  }
  if (reported.inrush === null || press.peakA === null) return;
  tally.peakReported++;
  if (Math.abs(Math.abs(reported.inrush.value) / press.peakA - 1) <= 0.03) tally.peakNear++;
  boundsHold({ ...reported.inrush, low: reported.inrush.low, high: reported.inrush.high }, [press.peakA, -press.peakA], (held) => {
    tally.peakBounds++;
    if (held) tally.peakHeld++;
  });
}

function boundsHold(reported: Bounded, truths: readonly number[], count: (held: boolean) => void): void {
  if (reported.low === null || reported.high === null) return;
  const low = Math.min(reported.low, reported.high);
  const high = Math.max(reported.low, reported.high);
  count(truths.some((value) => value >= low && value <= high));
}

function meanOver(column: Float64Array, timeS: Float64Array, over: Span): number {
  const from = indexAt(timeS, over.startS);
  const to = Math.max(from + 1, indexAt(timeS, over.endS));
  let sum = 0;
  for (let index = from; index < to; index++) sum += column[index]!;
  return sum / (to - from);
}
