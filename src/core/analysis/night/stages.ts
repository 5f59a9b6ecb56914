import type { Mark } from '../../trace.ts';
import { DEFAULT_DRAIN_LIMIT_A, type DrainOptions } from '../options.ts';
import { NORMAL_95 } from '../uncertainty/normal-95.ts';
import { combinedOf, joinedParts, partsOf } from '../uncertainty/parts.ts';
import { judge, type Judgement } from './finding/judge.ts';
import { readingsFrom } from './key-off/key-off.ts';
import { measurePulls } from './pulls/pulls.ts';
import { averageBetween } from './rest/average.ts';
import { estimateLevel, type LevelEstimate } from './rest/level-estimate.ts';
import { findRest, settledRest } from './rest/rest.ts';
import { findSettling, type Settling } from './rest/settling.ts';
import { MOST_ZERO_A } from './settings.ts';
import type { FuseTest, Readings, Rest, SleepTimeline } from './types.ts';
import { readTimeline } from './wake-ups/wake-ups.ts';

/** What the figures come from: the parked vehicle's rest, what woke it, what carries it. */
export interface Stages {
  readonly rest: Rest | null;
  readonly timeline: SleepTimeline;
  readonly estimate: LevelEstimate | null;
  readonly fuses: FuseTest;
  /** the first fuse pulled at rest, s; Infinity without one */
  readonly pulledS: number;
  readonly settling: Settling | null;
  readonly averageA: number;
}

/** The stages, and what is said of them. */
export interface JudgedStages {
  readonly stages: Stages;
  readonly verdict: Judgement;
}

/**
 * Rest, what woke it and what carries it, with what they say. A level that rose from the rest and stays to the end for much longer is read
 * once more as a night of its own that begins with the rise: where that one comes to rest, this is the rest. Where it does not, the
 * finding stands without a level.
 */
export function judgedStages(parked: Readings, found: Rest | null, marks: readonly Mark[], options: DrainOptions): JudgedStages {
  const first = judgedOnce(parked, found, marks, options);
  const { risen } = first.verdict;
  if (risen === null) return first;
  const after = readingsFrom(parked, risen.atS);
  const later = marks.filter((mark) => mark.timeS > risen.atS);
  const again = judgedStages(after, findRest(after, later), later, options);
  if (!again.verdict.slept) return first;
  return { stages: togetherWith(first.stages, again.stages, risen.atS), verdict: { ...again.verdict, risen } };
}

function judgedOnce(parked: Readings, found: Rest | null, marks: readonly Mark[], options: DrainOptions): JudgedStages {
  const stages = readStages(parked, found, marks, options);
  const { rest, timeline, estimate, pulledS, averageA } = stages;
  const limitA = options.limitA ?? DEFAULT_DRAIN_LIMIT_A;
  const figures = { levelA: estimate?.levelA ?? NaN, averageA, limitA, settlingS: options.settlingS ?? null, elapsedS: Math.max(0, parked.lastS - parked.firstS), pulledS, sensorA: estimate?.sensorA ?? 0 };
  return { stages, verdict: judge(parked, estimate === null ? null : rest, timeline, figures) };
}

function readStages(parked: Readings, found: Rest | null, marks: readonly Mark[], options: DrainOptions): Stages {
  const limitA = options.limitA ?? DEFAULT_DRAIN_LIMIT_A;
  const settlingS = options.settlingS ?? null;
  const fuses = measurePulls(parked, marks, found, { limitA, settlingS, gainUncertaintyPercent: options.gainUncertaintyPercent ?? 0, zeroDriftAPerHour: options.zeroDriftAPerHour ?? 0 });
  const timeline: SleepTimeline = found === null ? { wakeUps: [], rests: [] } : readTimeline(parked, found, fuses, marks);
  const pulledS = fuses.events.find((event) => found !== null && event.atS > found.atS)?.atS ?? Infinity;
  const untouched = timeline.rests.filter((stretch) => stretch.endS <= pulledS + parked.bins.widthS);
  const settling = findSettling(parked, untouched);
  const { rest, stretches } = settledRest(parked, found, untouched, settling);
  const estimate = estimateLevel(parked, stretches, options, settling);
  const averageA = averageBetween(parked, rest?.atS ?? parked.firstS, Math.min(pulledS, parked.lastS), timeline.wakeUps);
  return { fuses, pulledS, settling, rest, timeline, estimate, averageA };
}

/** The later stages, with the fuses and wake-ups from before the rise. Where a zero may have moved so far, the level from before is within the bounds. */
function togetherWith(first: Stages, later: Stages, risenS: number): Stages {
  const wakeUps = [...first.timeline.wakeUps.filter((wake) => wake.start_s < risenS), ...later.timeline.wakeUps];
  const pulls = [...first.fuses.pulls.filter((pull) => pull.at_s < risenS), ...later.fuses.pulls].sort((a, b) => a.change_a - b.change_a);
  return { ...later, timeline: { ...later.timeline, wakeUps }, fuses: { ...first.fuses, pulls }, estimate: withEarlier(later.estimate, first.estimate) };
}

function withEarlier(later: LevelEstimate | null, earlier: LevelEstimate | null): LevelEstimate | null {
  if (later === null || earlier === null || later.levelA - earlier.levelA > MOST_ZERO_A || earlier.lowA >= later.lowA) return later;
  const halfA = (later.highA - earlier.lowA) / 2;
  const modelA = Math.sqrt(Math.max(0, (halfA / NORMAL_95) ** 2 - combinedOf(later.parts) ** 2));
  return { ...later, lowA: earlier.lowA, parts: joinedParts(later.parts, partsOf({ model: modelA })) };
}
