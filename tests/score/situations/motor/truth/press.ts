import type { Record } from '../physics/bench.ts';
import type { Hold } from '../physics/timeline.ts';
import { BOUNDS } from './bounds.ts';
import { findingsOf, type FaultFacts } from './findings.ts';
import type { Cut, Finding, Options, PressTruth, Span, StallTruth, StepTruth } from './types.ts';

/** a start that ends in no run: where its peak is looked for */
const NO_RUN_PEAK_S = 0.3;
/** where the levels on both sides of a step are taken */
const STEP_BEFORE_S = 0.2;
const STEP_AFTER_S = [0.3, 0.5] as const;

/** What a scene knows that the columns do not show by themselves. */
export interface PressFacts extends FaultFacts {
  readonly alsoHonest?: readonly Finding[];
  /** replaces whatever follows from the columns */
  readonly right?: readonly Finding[];
  readonly events?: PressTruth['events'];
  readonly steps?: PressTruth['steps'];
  readonly beat?: PressTruth['beat'];
  readonly chopped?: PressTruth['chopped'];
  /** no start-up peak to judge (soft start, a lamp) */
  readonly noPeak?: boolean;
  readonly optional?: boolean;
}

/** What the columns of one recording say, cut to the window that was recorded. */
export interface Observed {
  readonly record: Record;
  /** current of the presses alone, before the sensor; and what is always there beside it */
  readonly wireA: Float64Array;
  readonly backgroundA: number;
  readonly noLoadTurnsPerS: readonly number[];
  readonly standingA: number | null;
  /** how noisy one reading is, A */
  readonly noiseA: number;
  readonly rateHz: number;
  readonly options: Options;
  readonly breaks: readonly Span[];
  readonly sense: 1 | -1 | 0;
  readonly signed: boolean;
}

interface Turning {
  readonly stretches: readonly StallTruth[];
  readonly turns: number;
}

/** One hold of the switch, as the definitions read it. */
export function pressTruth(seen: Observed, hold: Hold, facts: PressFacts): PressTruth | null {
  const { timeS } = seen.record;
  const first = timeS[0]!;
  const last = timeS[timeS.length - 1]!;
  if (hold.toS <= first || hold.fromS >= last) return null;
  const cut = cutOf(hold, first, last);
  const span: Span = { startS: Math.max(hold.fromS, first), endS: Math.min(hold.toS, last) };
  const from = indexAt(timeS, span.startS);
  const to = indexAt(timeS, span.endS);
  const breaks = seen.breaks.filter((gone) => gone.startS >= hold.fromS && gone.endS <= hold.toS && gone.startS < last && gone.endS > first);
  const turning = turningOf(seen, hold, [from, to], breaks);
  const run = runOf(seen, [from, to], turning, cut);
  const runA = run === null ? null : meanOf(seen.wireA, indexAt(timeS, run.startS), indexAt(timeS, run.endS));
  const sureBreaks = breaks.filter((gone) => isSureBreak(gone, seen.rateHz));
  const stalls = turning.stretches.filter((stretch) => seen.standingA === null || Math.abs(stretch.levelA) > BOUNDS.cutOffShare * seen.standingA).filter((stretch) => stretch.endS - stretch.startS >= BOUNDS.standSureS);
  const greyStalls = turning.stretches.filter((stretch) => !stalls.includes(stretch) && stretch.endS - stretch.startS >= BOUNDS.standGreyS);
  const described = findingsOf(seen, { stalls, greyStalls, sureBreaks, breaks, runA, turns: turning.turns, lengthS: span.endS - span.startS }, facts);
  return {
    ...span,
    sign: (seen.signed && hold.polarity < 0 ? -1 : 1) * (seen.sense < 0 ? -1 : 1) > 0 ? 1 : -1,
    cut,
    optional: facts.optional === true,
    right: facts.right ?? described.right,
    honest: [...described.honest, ...(facts.alsoHonest ?? [])],
    stalls, greyStalls,
    breaks: sureBreaks,
    greyBreaks: breaks.filter((gone) => !sureBreaks.includes(gone)),
    peakA: facts.noPeak === true || cut === 'start' || cut === 'both' ? null : peakOf(seen, from, run === null ? Math.min(to, indexAt(timeS, span.startS + NO_RUN_PEAK_S)) : indexAt(timeS, run.startS)),
    run, runA,
    standingA: seen.standingA,
    events: facts.events ?? [],
    steps: (facts.steps ?? []).map((step) => measuredStep(seen, step, span)),
    beat: facts.beat ?? null,
    chopped: facts.chopped === undefined || facts.chopped === null ? null : { ...facts.chopped, meanA: runA ?? meanOf(seen.wireA, from, to) },
  };
}

function cutOf(hold: Hold, first: number, last: number): Cut | null {
  const start = hold.fromS < first;
  const end = hold.toS > last;
  return start && end ? 'both' : start ? 'start' : end ? 'end' : null;
}

function isSureBreak(gone: Span, rateHz: number): boolean {
  const lengthS = gone.endS - gone.startS;
  return lengthS >= BOUNDS.bounceS && lengthS <= BOUNDS.breakSureS && lengthS * rateHz >= BOUNDS.breakReadings;
}

/** Stretches in which a powered motor stands still, and how far it turned in all. */
function turningOf(seen: Observed, hold: Hold, [from, to]: readonly [number, number], breaks: readonly Span[]): Turning {
  const { record, noLoadTurnsPerS } = seen;
  const stretches: StallTruth[] = [];
  let turns = 0;
  for (let motor = 0; motor < noLoadTurnsPerS.length; motor++) {
    const speed = record.turnsPerS[motor]!;
    const angle = record.turns[motor]!;
    const limit = BOUNDS.standsBelow * noLoadTurnsPerS[motor]!;
    let since = -1;
    for (let index = from; index <= to; index++) {
      const atS = record.timeS[index]!;
      const powered = index < to && !breaks.some((gone) => atS >= gone.startS && atS < gone.endS);
      if (powered && Math.abs(speed[index]!) < limit) {
        if (since < 0) since = index;
      } else if (since >= 0) {
        const turnedBefore = Math.abs(angle[since]! - angle[from]!);
        const at = turnedBefore > BOUNDS.playTurns || (hold.fromS < record.timeS[0]! && turnedBefore > 0) ? 'travel' : 'start';
        stretches.push({ startS: record.timeS[since]!, endS: atS, at, levelA: meanOf(seen.wireA, since, index) });
        since = -1;
      }
    }
    turns = Math.max(turns, Math.abs(angle[Math.max(from, to - 1)]! - angle[from]!));
  }
  return { stretches: stretches.sort((left, right) => left.startS - right.startS), turns };
}

/** From the start-up's end (within 5 % of the fastest steady speed) to the release, a stall or a break. */
function runOf(seen: Observed, [from, to]: readonly [number, number], turning: Turning, cut: Cut | null): Span | null {
  const { record } = seen;
  if (seen.noLoadTurnsPerS.length === 0) return { startS: record.timeS[from]!, endS: record.timeS[to]! };
  const speed = record.turnsPerS[0]!;
  const moving = Array.from(speed.subarray(from, to), Math.abs).filter((turnsPerS) => turnsPerS > BOUNDS.standsBelow * seen.noLoadTurnsPerS[0]!);
  const usual = moving.sort((left, right) => left - right)[Math.floor(moving.length / 2)] ?? 0;
  if (turning.turns < BOUNDS.playTurns || usual === 0) return null;
  let start = from;
  if (cut !== 'start' && cut !== 'both') while (start < to && Math.abs(speed[start]!) < 0.95 * usual) start++;
  const stand = turning.stretches.find((stretch) => stretch.startS > record.timeS[start]! && stretch.endS - stretch.startS >= BOUNDS.standGreyS);
  const endS = stand?.startS ?? record.timeS[to]!;
  return endS - record.timeS[start]! > 0.02 ? { startS: record.timeS[start]!, endS } : null;
}

function peakOf(seen: Observed, from: number, to: number): number {
  let peak = 0;
  for (let index = from; index <= to; index++) peak = Math.max(peak, Math.abs(seen.record.peakA[index]! - seen.backgroundA));
  return peak;
}

/** What a step really changed: the level from 0.3 s after it against the one just before. */
function measuredStep(seen: Observed, step: StepTruth, span: Span): StepTruth {
  const mean = (fromS: number, toS: number): number => meanOf(seen.wireA, indexAt(seen.record.timeS, fromS), indexAt(seen.record.timeS, toS));
  if (step.atS - STEP_BEFORE_S < span.startS || step.atS + STEP_AFTER_S[1] > span.endS) return step;
  return { ...step, changeA: mean(step.atS + STEP_AFTER_S[0], step.atS + STEP_AFTER_S[1]) - mean(step.atS - STEP_BEFORE_S, step.atS - STEP_BEFORE_S / 4) };
}

export function indexAt(timeS: Float64Array, atS: number): number {
  let low = 0;
  let high = timeS.length - 1;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (timeS[middle]! < atS) low = middle + 1;
    else high = middle;
  }
  return low;
}

export function meanOf(values: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let index = from; index < to; index++) sum += values[index]!;
  return to > from ? sum / (to - from) : 0;
}
