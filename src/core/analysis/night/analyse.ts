import { quantile } from '../../stats.ts';
import type { Gap, Mark, SampleBlock, Trace } from '../../trace.ts';
import type { LiveAnalysis } from '../live.ts';
import type { DrainOptions } from '../options.ts';
import { DEFAULT_DRAIN_LIMIT_A } from '../options.ts';
import type { DrainResult, Level, WakeUp } from '../results.ts';
import { RESULT_SCHEMA } from '../results.ts';
import { reserveCapacityLimitA } from '../../reference/drain-limits.ts';
import { BinTable } from './levels/bins.ts';
import { makeBlocks } from './levels/blocks.ts';
import { estimateLevel } from './rest/level-estimate.ts';
import { judge } from './finding/judge.ts';
import { readingStepA } from './levels/noise.ts';
import { noisyLevels } from './levels/noisy-levels.ts';
import { batteryOutlook } from './outlook/outlook.ts';
import { drainProblems } from './finding/problems.ts';
import { measurePulls } from './pulls/pulls.ts';
import { rangeParts } from './levels/range-parts.ts';
import { findRest } from './rest/rest.ts';
import { makeSegments, meanErrorA } from './levels/segments.ts';
import { MARK_SLACK_S } from './settings.ts';
import { sharedDrain, unexplainedCurrent } from './pulls/shares.ts';
import { wakePeriod } from './wake-ups/wake-period.ts';
import { readNight } from './wake-ups/wake-ups.ts';
import { drainVerdict } from './finding/words.ts';
import type { Readings, SleepTimeline } from './types.ts';

/**
 * Key-off drain test of a whole recording: did the vehicle sleep, when, what it draws asleep, what woke it and how often, which fuse
 * carries the rest. Linear in the samples; the rest works on at most 262,144 bins.
 */
export function analyseDrain(trace: Trace, marks: readonly Mark[], options: DrainOptions): DrainResult {
  const live = createLiveDrain(options);
  for (const gap of trace.gaps) live.gap(gap);
  for (const mark of marks) live.mark(mark);
  live.push(trace);
  return live.result();
}

/** The same, fed block by block: memory stays at about 10 MB however long the recording. */
export function createLiveDrain(options: DrainOptions): LiveAnalysis<DrainResult> {
  const table = new BinTable();
  const gaps: Gap[] = [];
  const marks: Mark[] = [];
  return {
    push: (block: SampleBlock) => table.push(block),
    gap: (gap: Gap) => void gaps.push(gap),
    mark: (mark: Mark) => void marks.push(mark),
    result: () => readDrain(table, gaps.toSorted((a, b) => a.startS - b.startS), marks.toSorted((a, b) => a.timeS - b.timeS), options),
  };
}

function readDrain(table: BinTable, gaps: readonly Gap[], marks: readonly Mark[], options: DrainOptions): DrainResult {
  const readings = makeReadings(table, options.ranges ?? []);
  const limitA = options.limitA ?? DEFAULT_DRAIN_LIMIT_A;
  const firstPull = marks.find((mark) => mark.kind === 'pull');
  const rest = findRest(readings, firstPull === undefined ? Infinity : Math.max(readings.firstS + 1, firstPull.timeS - MARK_SLACK_S));
  const fuses = measurePulls(readings, marks, rest?.atS ?? readings.firstS);
  const night: SleepTimeline = rest === null ? { wakeUps: [], rests: [] } : readNight(readings, rest.segment, rest.atS, fuses, marks);
  const pulledS = fuses.events.length === 0 ? Infinity : fuses.events[0].atS;
  const estimate = estimateLevel(readings, night.rests.filter((stretch) => stretch.endS <= pulledS + 0.01), options);
  const levelA = estimate?.levelA ?? NaN;
  const averageA = averageAsleep(readings, rest?.atS ?? readings.firstS, pulledS, night.wakeUps);
  const zeroDrifts = estimate !== null && (estimate.driftA !== 0 || (options.zeroDriftA ?? 0) !== 0);
  const zeroDoubtA = zeroDrifts ? (estimate.highA - estimate.lowA) / 2 : 0;
  const verdict = judge(readings, estimate === null ? null : rest, night, { levelA, averageA, limitA, zeroDoubtA, pulled: fuses.events.length > 0 });
  const asleep =
    verdict.slept && estimate !== null && rest !== null ? { at_s: rest.atS, level_a: levelA, low_a: estimate.lowA, high_a: estimate.highA } : null;
  const shownA = asleep === null ? averageAsleep(readings, readings.firstS, Infinity, []) : averageA;
  const overLimit = asleep === null ? null : overOrUnder(Math.max(averageA, levelA), (asleep.high_a - asleep.low_a) / 2, limitA);
  // what never slept cannot wake
  const wakeUps = asleep === null && verdict.finding !== 'waking' ? [] : night.wakeUps;
  const rhythm = wakePeriod(wakeUps);
  const startA = asleep?.level_a ?? fuses.stretches[0]?.levelA ?? null;
  const unexplainedA = unexplainedCurrent(startA, fuses.pulls);
  const sharing = sharedDrain(fuses.pulls, startA, limitA);
  const reserveLimitA = options.reserveCapacityMin === undefined ? null : reserveCapacityLimitA(options.reserveCapacityMin);
  const elapsedS = Math.max(0, readings.lastS - readings.firstS);
  const { segments } = readings;
  return {
    schema: RESULT_SCHEMA,
    test: 'drain',
    trace: {
      samples: table.samples,
      duration_s: elapsedS,
      rate_hz: sampleRateHz(table, gaps),
      gaps: gaps.map((gap) => ({ start_s: gap.startS, end_s: gap.endS })),
      voltage_at: null,
    },
    problems: drainProblems({ readings, table, gaps, marks, options, estimate, asleep, sharing, fuses, limitA, averageA: shownA }),
    verdict: drainVerdict({
      finding: verdict.finding,
      elapsedS,
      asleep,
      averageA: shownA,
      limitA,
      reserveLimitA,
      overLimit,
      wakeUps,
      rhythm,
      longestRestS: verdict.longestRestS,
      lastLevelA: segments.length === 0 ? 0 : segments[segments.length - 1].meanA,
      pulls: fuses.pulls,
      unexplainedA,
      sharing,
      waitS: verdict.waitS,
    }),
    levels: levelsOf(readings),
    asleep,
    wakeups: [...wakeUps],
    wake_period_s: rhythm !== null && rhythm.regular ? rhythm.period_s : null,
    average_a: shownA,
    charge_ah_per_day: shownA * 24,
    limit_a: limitA,
    over_limit: overLimit,
    pulls: [...fuses.pulls],
    unexplained_a: unexplainedA,
    battery: batteryOutlook(options, shownA),
    wake_rhythm: rhythm,
    reserve_limit_a: reserveLimitA,
    median_a: medianAsleep(readings, rest?.atS ?? readings.firstS, pulledS),
    wait_s: verdict.waitS,
  };
}

function makeReadings(table: BinTable, ranges: NonNullable<DrainOptions['ranges']>): Readings {
  const picked = table.pickedA.subarray(0, table.picked);
  const stepA = readingStepA(picked);
  const blocks = makeBlocks(table, stepA);
  const means = blocks.meanA.subarray(0, blocks.length);
  const samplesPerBlock = Math.max(1, table.samples / Math.max(1, blocks.length));
  const floorA2 = Math.max((stepA * stepA) / 12 / samplesPerBlock, 1e-10);
  const { levels, varianceA2 } = noisyLevels(means, blocks.widthS, rangeParts(blocks, ranges, floorA2), { stepA, samplesPerBlock });
  const segments = makeSegments(table, blocks, levels, varianceA2, table.firstS, table.lastS);
  return { bins: table, blocks, varianceA2, stepA, picked: { timeS: table.pickedS.subarray(0, table.picked), valueA: picked }, segments, firstS: table.firstS, lastS: table.lastS };
}

function levelsOf(readings: Readings): Level[] {
  return readings.segments.map((segment) => {
    const doubtA = 1.96 * meanErrorA(segment);
    return { start_s: segment.startS, end_s: segment.endS, mean_a: segment.meanA, low_a: segment.meanA - doubtA, high_a: segment.meanA + doubtA };
  });
}

/** Mean current over `[startS, endS)`, each block of time the same weight, a person's wake-ups left out. */
function averageAsleep(readings: Readings, startS: number, endS: number, wakeUps: readonly WakeUp[]): number {
  const { blocks } = readings;
  const byPerson = wakeUps.filter((wake) => wake.cause === 'person');
  let sumA = 0;
  let count = 0;
  let wake = 0;
  for (let i = 0; i < blocks.length; i++) {
    const atS = blocks.startS[i];
    if (atS < startS || atS + blocks.widthS > endS) continue;
    while (wake < byPerson.length && byPerson[wake].end_s <= atS) wake++;
    if (wake < byPerson.length && byPerson[wake].start_s < atS + blocks.widthS) continue;
    sumA += plainMean(readings, i);
    count++;
  }
  if (count > 0) return sumA / count;
  return blocks.length === 0 ? 0 : blocks.meanA[blocks.length - 1];
}

/** Block mean without winsorising: for charge every sample counts. */
function plainMean(readings: Readings, block: number): number {
  const { bins, blocks } = readings;
  let sumA = 0;
  for (let i = blocks.firstBin[block]; i < blocks.firstBin[block + 1]; i++) sumA += bins.sumA[i];
  return sumA / blocks.count[block];
}

function medianAsleep(readings: Readings, startS: number, endS: number): number | null {
  const { blocks } = readings;
  let from = 0;
  while (from < blocks.length && blocks.startS[from] < startS) from++;
  let to = from;
  while (to < blocks.length && blocks.startS[to] + blocks.widthS <= endS) to++;
  return to > from ? quantile(blocks.meanA.subarray(from, to), 0.5) : null;
}

function overOrUnder(valueA: number, doubtA: number, limitA: number): boolean | null {
  if (Math.abs(valueA - limitA) <= doubtA) return null;
  return valueA > limitA;
}

function sampleRateHz(table: BinTable, gaps: readonly Gap[]): number {
  let spanS = table.lastS - table.firstS;
  for (const gap of gaps) spanS -= gap.endS - gap.startS;
  return table.samples > 1 && spanS > 0 ? (table.samples - 1 - gaps.length) / spanS : 0;
}
