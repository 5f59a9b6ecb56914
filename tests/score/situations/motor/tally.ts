import { answerOf, type Bounded, type ToldPress } from './answer.ts';
import { matchPresses, overlapS, sameStretch } from './match.ts';
import { indexAt } from './truth/press.ts';
import type { PressTruth, Span, Truth } from './truth/types.ts';

/** Counts of hits over all recordings. `told` of `of`: where there was something to tell, how often it was; `held`: inside the bounds. */
export interface Tally {
  pressHit: number;
  pressExtra: number;
  pressMissed: number;
  stallHit: number;
  stallExtra: number;
  stallMissed: number;
  rippleTold: number;
  rippleRight: number;
  /** told wrong, and among these where no line stood clear in the record */
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
  /** told without bounds: how often within 3 % of the true peak */
  peakTold: number;
  peakNear: number;
}

export function emptyTally(): Tally {
  return {
    pressHit: 0, pressExtra: 0, pressMissed: 0, stallHit: 0, stallExtra: 0, stallMissed: 0, rippleTold: 0, rippleRight: 0, rippleWrong: 0, rippleWrongUnseen: 0,
    rippleVisible: 0, rippleVisibleRight: 0, rippleBounds: 0, rippleHeld: 0, runBounds: 0, runHeld: 0, runWidth: 0, sourceBounds: 0, sourceHeld: 0, peakBounds: 0, peakHeld: 0, peakTold: 0, peakNear: 0,
  };
}

/** Adds one recording's answer. A press counts as found when it covers at least half of the true one and the other way round. */
export function addToTally(tally: Tally, document: unknown, truth: Truth): void {
  const answer = answerOf(document);
  const { pairs, extra, missed, split } = matchPresses(answer.presses, truth.presses);
  tally.pressExtra += extra.length + split.reduce((sum, { told }) => sum + (truth.splitAllowed ? 0 : told.length - 1), 0);
  tally.pressMissed += missed.filter((press) => press.cut === null && !press.optional).length;
  for (const { told, press } of pairs) {
    if (overlapS(told, press) >= 0.5 * Math.max(told.endS - told.startS, press.endS - press.startS) || truth.splitAllowed) tally.pressHit++;
    else {
      tally.pressExtra++;
      tally.pressMissed++;
    }
    const claims = split.find((one) => one.press === press)?.told ?? [told];
    tallyStalls(tally, truth.splitAllowed ? claims : [told], press);
    tallyRipple(tally, told, press, truth);
    if (truth.levelsJudged && press.cut === null) tallyLevels(tally, told, press, truth);
  }
}

/** A press that the recording cuts is no evidence: none of its stalls is asked for. Where an opening may make two presses of one, the stalls of both count. */
function tallyStalls(tally: Tally, claims: readonly ToldPress[], press: PressTruth): void {
  const told = claims.flatMap(({ stalls }) => stalls);
  for (const stall of press.stalls) {
    if (told.some((other) => sameStretch(other, stall))) tally.stallHit++;
    else if (press.cut === null) tally.stallMissed++;
  }
  for (const stall of told) {
    if (![...press.stalls, ...press.greyStalls].some((true_) => sameStretch(stall, true_) || overlapS(stall, true_) >= 0.5 * (stall.endS - stall.startS))) tally.stallExtra++;
  }
}

/** The true value is the mean commutation frequency of any motor on the wire over the told run; a speed that wanders may be told anywhere in its range. */
function tallyRipple(tally: Tally, told: ToldPress, press: PressTruth, truth: Truth): void {
  const visible = truth.rippleVisible && press.run !== null && press.cut === null;
  if (visible) tally.rippleVisible++;
  if (told.ripple === null) return;
  tally.rippleTold++;
  const over = told.run ?? press.run ?? press;
  const right = truth.commutationHz.some((column) => nearFrequency(told.ripple!.value, column, truth.timeS, over));
  if (right) {
    tally.rippleRight++;
    if (visible) tally.rippleVisibleRight++;
    boundsHold(told.ripple, truth.commutationHz.map((column) => meanOver(column, truth.timeS, over)), (held) => {
      tally.rippleBounds++;
      if (held) tally.rippleHeld++;
    });
    return;
  }
  tally.rippleWrong++;
  if (!truth.rippleVisible) tally.rippleWrongUnseen++;
}

function nearFrequency(told: number, column: Float64Array, timeS: Float64Array, over: Span): boolean {
  const part = column.subarray(indexAt(timeS, over.startS), indexAt(timeS, over.endS));
  if (part.length === 0) return false;
  const sorted = part.slice().sort();
  const mean = meanOver(column, timeS, over);
  const low = Math.min(mean, sorted[Math.floor(0.1 * sorted.length)]!);
  const high = Math.max(mean, sorted[Math.floor(0.9 * sorted.length)]!);
  return told >= low * 0.99 && told <= high * 1.01;
}

function tallyLevels(tally: Tally, told: ToldPress, press: PressTruth, truth: Truth): void {
  if (told.run !== null && press.run !== null && overlapS(told.run, press.run) > 0.5 * (told.run.endS - told.run.startS)) {
    const mean = meanOver(truth.wireA, truth.timeS, told.run);
    const signed = Math.sign(told.run.value) === Math.sign(mean) ? mean : Math.abs(mean) * Math.sign(told.run.value);
    boundsHold(told.run, [signed], (held) => {
      tally.runBounds++;
      if (held) tally.runHeld++;
      tally.runWidth += Math.abs((told.run!.high! - told.run!.low!) / mean);
    });
  }
  if (truth.sourceOhm !== null && told.source !== null) {
    const { low, high } = truth.sourceOhm;
    tally.sourceBounds++;
    if ((told.source.low ?? told.source.value) <= high && (told.source.high ?? told.source.value) >= low) tally.sourceHeld++;
  }
  if (told.inrush === null || press.peakA === null) return;
  tally.peakTold++;
  if (Math.abs(Math.abs(told.inrush.value) / press.peakA - 1) <= 0.03) tally.peakNear++;
  boundsHold({ ...told.inrush, low: told.inrush.low, high: told.inrush.high }, [press.peakA, -press.peakA], (held) => {
    tally.peakBounds++;
    if (held) tally.peakHeld++;
  });
}

function boundsHold(told: Bounded, truths: readonly number[], count: (held: boolean) => void): void {
  if (told.low === null || told.high === null) return;
  const low = Math.min(told.low, told.high);
  const high = Math.max(told.low, told.high);
  count(truths.some((value) => value >= low && value <= high));
}

function meanOver(column: Float64Array, timeS: Float64Array, over: Span): number {
  const from = indexAt(timeS, over.startS);
  const to = Math.max(from + 1, indexAt(timeS, over.endS));
  let sum = 0;
  for (let index = from; index < to; index++) sum += column[index]!;
  return sum / (to - from);
}
