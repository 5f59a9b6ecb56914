import { reserveCapacityLimitA } from '../../reference/drain-limits.ts';
import { MS_PER_S } from '../../units.ts';
import type { Gap, Mark, SampleBlock } from '../../trace.ts';
import type { LiveAnalysis } from '../live.ts';
import { DEFAULT_DRAIN_LIMIT_A, type DrainOptions } from '../options.ts';
import { RESULT_SCHEMA, type DrainFinding, type DrainResult } from '../results.ts';
import { averageBetween, medianBetween } from './rest/average.ts';
import type { NightCheck, NightEvidence, NightProblem } from './finding/codes.ts';
import { becauseOf, nextOf } from './finding/evidence.ts';
import type { Judgement } from './finding/judge.ts';
import { nightProblems } from './finding/problems.ts';
import { findEnd, readingsUntil } from './key-off/end.ts';
import { findKeyOff, readingsFrom } from './key-off/key-off.ts';
import { belowZeroA, fedAllThrough, implausible } from './key-off/plausible.ts';
import { BinTable } from './levels/bins.ts';
import { makeReadings, readingSigma } from './levels/readings.ts';
import { readableLevels } from './levels/readable.ts';
import { withoutSpikes } from './levels/spikes.ts';
import { stuckReadings, withoutStuck } from './levels/stuck.ts';
import { VoltageTrack } from './levels/voltage-track.ts';
import { batteryOutlook, type BatteryReading } from './outlook/outlook.ts';
import { findPossiblePulls } from './pulls/possible-pulls.ts';
import { sharedDrain, unexplainedCurrent } from './pulls/shares.ts';
import { sensorHalfWidthA } from './rest/level-estimate.ts';
import { findRest } from './rest/rest.ts';
import { SURE_REST_S } from './settings.ts';
import { judgedStages, type Stages } from './stages.ts';
import { findPulses } from './wake-ups/pulses.ts';
import { wakePeriod } from './wake-ups/wake-period.ts';

/** What the key-off test says, with codes in place of sentences; `core/present/documents/document-night.ts` makes the public document of it. */
export interface NightReading extends Omit<DrainResult, 'problems' | 'verdict' | 'battery'> {
  readonly battery: BatteryReading | null;
  readonly problems: NightProblem[];
  readonly verdict: { readonly finding: DrainFinding; readonly because: NightEvidence[]; readonly next: NightCheck[] };
}

/**
 * Key-off test, fed block by block: did the vehicle sleep, when, what it draws asleep, what woke it and how often, which fuse carries
 * the rest. Linear in the samples; the rest works on at most 262,144 bins.
 */
export function createLiveNight(options: DrainOptions): LiveAnalysis<NightReading> {
  const table = new BinTable();
  const voltage = new VoltageTrack();
  const gaps: Gap[] = [];
  const marks: Mark[] = [];
  const ranges = [...(options.ranges ?? [])];
  return {
    push: (block: SampleBlock) => {
      table.push(block);
      voltage.push(block);
    },
    gap: (gap: Gap) => void gaps.push(gap),
    mark: (mark: Mark) => void marks.push(mark),
    range: ({ atS, fromA, toA }) => {
      if (ranges.length === 0) ranges.push({ atS: 0, resolutionA: fromA });
      ranges.push({ atS, resolutionA: toA });
    },
    result: () => readNight(table, voltage, gaps.toSorted((a, b) => a.startS - b.startS), marks.toSorted((a, b) => a.timeS - b.timeS), { ...options, ranges }),
  };
}

function readNight(table: BinTable, voltage: VoltageTrack, gaps: readonly Gap[], marks: readonly Mark[], options: DrainOptions): NightReading {
  const limitA = options.limitA ?? DEFAULT_DRAIN_LIMIT_A;
  const { recorded, stuck, spikes, keyOffS, begun, end, parked } = readParked(table, voltage, marks, options);
  const elapsedS = Math.max(0, parked.lastS - parked.firstS);
  const odd = implausible(parked) ?? (end?.by === 'fed' ? fedAllThrough(begun, end.atS) : null);
  const { stages, verdict: judged } = judgedStages(parked, odd === null ? findRest(parked, marks) : null, marks, options);
  const { rest, timeline, estimate, fuses, pulledS, settling, averageA } = stages;
  const levelA = estimate?.levelA ?? NaN;
  const verdict: Judgement = odd === null ? judged : { ...judged, finding: 'unclear', slept: false, waitS: null, timeOut: null, longestTimeOut: null, risen: null };
  const asleep = verdict.slept ? figuresOf(stages) : null;
  const held = verdict.finding === 'too-short' && rest !== null && parked.lastS - rest.atS >= 2 * SURE_REST_S && levelA > limitA ? heldOf(stages) : null;
  const shownA = asleep === null && held === null ? averageBetween(parked, parked.firstS, parked.lastS, [], false) : averageA;
  const overLimit = asleep === null ? null : overOrUnder(asleep, averageA, verdict.finding === 'waking', limitA);
  // what never slept cannot wake
  const wakeUps = asleep === null && verdict.finding !== 'waking' ? [] : timeline.wakeUps;
  const rhythm = wakePeriod(wakeUps, parked.spacingS);
  const unexplainedA = unexplainedCurrent(asleep?.level_a ?? null, fuses.pulls);
  const sharing = sharedDrain(fuses.pulls, asleep?.level_a ?? null, limitA);
  const possiblePulls = asleep === null || rest === null ? [] : findPossiblePulls(parked, rest.atS, marks, levelA);
  const pulses = findPulses(parked.bins, rest?.atS ?? parked.firstS, parked.lastS);
  const reserveLimitA = options.reserveCapacityMin === undefined ? null : reserveCapacityLimitA(options.reserveCapacityMin);
  const movedA = settling === null ? (estimate?.driftA ?? 0) : -settling.amplitudeA;
  const facts = {
    finding: verdict.finding, implausible: odd, keyOffS, elapsedS, asleep, held, risen: verdict.risen, firstS: parked.firstS, lastS: parked.lastS, averageA: shownA, limitA, reserveLimitA, overLimit, wakeUps, rhythm,
    longestRestS: verdict.longestRestS, lastLevelA: parked.segments[parked.segments.length - 1]?.meanA ?? 0, pulls: fuses.pulls, possiblePulls, pulses, unexplainedA, sharing,
    waitS: verdict.waitS, timeOut: verdict.timeOut, longestTimeOut: verdict.longestTimeOut, startedAtMs: options.startedAtMs ?? null, movedA: asleep === null ? 0 : movedA,
  };
  return {
    schema: RESULT_SCHEMA,
    test: 'drain',
    trace: { samples: table.samples, duration_s: Math.max(0, recorded.lastS - recorded.firstS), rate_hz: sampleRateHz(table, gaps), gaps: gaps.map((gap) => ({ start_s: gap.startS, end_s: gap.endS })), voltage_at: null },
    problems: nightProblems({ readings: parked, end, samples: table.samples, gaps, stuck, spikes, marks, options, implausible: odd, movedA: asleep === null ? 0 : movedA, asleep, sharing, fuses, limitA }),
    verdict: { finding: verdict.finding, because: becauseOf(facts), next: nextOf(facts) },
    levels: readableLevels(recorded, pulses?.pulse_a ?? 0, (rowA, atS) => sensorHalfWidthA(recorded, options, rowA, atS)),
    asleep,
    wakeups: [...wakeUps],
    wake_period_s: rhythm !== null && rhythm.regular ? rhythm.period_s : null,
    average_a: shownA, charge_ah_per_day: shownA * 24,
    limit_a: limitA,
    over_limit: overLimit,
    pulls: [...fuses.pulls],
    unexplained_a: unexplainedA,
    battery: batteryOutlook(options, shownA),
    key_off_s: keyOffS,
    possible_pulls: possiblePulls,
    held,
    time_out: verdict.timeOut === null ? null : { name: verdict.timeOut.name, length_s: verdict.timeOut.lengthS, until_s: parked.firstS + verdict.timeOut.lengthS },
    pulses,
    wake_rhythm: rhythm,
    reserve_limit_a: reserveLimitA,
    median_a: medianBetween(parked, rest?.atS ?? parked.firstS, Math.min(pulledS, parked.lastS)),
    wait_s: verdict.waitS,
    wait_until: verdict.waitS === null || options.startedAtMs === undefined ? null : new Date(options.startedAtMs + MS_PER_S * (parked.lastS + verdict.waitS)).toISOString(),
  };
}

/** The recording as levels, and the part of it that shows the parked vehicle. */
function readParked(table: BinTable, voltage: VoltageTrack, marks: readonly Mark[], options: DrainOptions) {
  const belowA = belowZeroA(options.zeroUncertaintyA, ((options.zeroDriftAPerHour ?? 0) * Math.max(0, table.lastS - table.firstS)) / 3600);
  const stuck = stuckReadings(table, belowA);
  const measured = withoutStuck(table, stuck);
  const { recorded: kept, spikes } = withoutSpikes(measured, belowA, readingSigma(measured.pickedA.subarray(0, measured.picked)));
  const recorded = makeReadings(kept, voltage.read(), options.ranges ?? [], belowA);
  const plausible = implausible(recorded) === null;
  const keyOffS = plausible ? findKeyOff(recorded) : null;
  const begun = keyOffS === null ? recorded : readingsFrom(recorded, keyOffS);
  const end = plausible ? findEnd(begun, marks) : null;
  const parked = readingsUntil(begun, end);
  return { recorded, stuck, spikes, keyOffS, begun, end, parked };
}

function figuresOf({ estimate, rest }: Stages): DrainResult['asleep'] {
  return estimate === null || rest === null ? null : { at_s: rest.atS, level_a: estimate.levelA, low_a: estimate.lowA, high_a: estimate.highA, uncertainty: [...estimate.parts] };
}

function heldOf({ estimate, rest }: Stages): DrainResult['held'] & object | null {
  return estimate === null || rest === null ? null : { since_s: rest.atS, level_a: estimate.levelA, low_a: estimate.lowA, high_a: estimate.highA, uncertainty: [...estimate.parts] };
}

/** Over when the level is, with its bounds, or the average of a vehicle that keeps waking; under when both are; null between. */
function overOrUnder({ level_a: levelA, low_a: lowA, high_a: highA }: NonNullable<DrainResult['asleep']>, averageA: number, keepsWaking: boolean, limitA: number): boolean | null {
  const surelyA = keepsWaking ? Math.max(levelA, averageA) : levelA;
  if (surelyA - (levelA - lowA) > limitA) return true;
  return Math.max(levelA, averageA) + (highA - levelA) <= limitA ? false : null;
}

function sampleRateHz(table: BinTable, gaps: readonly Gap[]): number {
  let spanS = table.lastS - table.firstS;
  for (const gap of gaps) spanS -= gap.endS - gap.startS;
  return table.samples > 1 && spanS > 0 ? (table.samples - 1 - gaps.length) / spanS : 0;
}
