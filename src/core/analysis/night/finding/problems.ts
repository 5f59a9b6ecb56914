import type { Gap, Mark } from '../../../trace.ts';
import type { DrainOptions } from '../../options.ts';
import type { DrainResult } from '../../results.ts';
import type { ParkedEnd } from '../key-off/end.ts';
import type { Implausible } from '../key-off/plausible.ts';
import type { Spikes } from '../levels/spikes.ts';
import type { Stuck } from '../levels/stuck.ts';
import type { FuseTest, Readings } from '../types.ts';
import { NOTABLE_A, REST_S, TRIFLE_A } from '../settings.ts';
import type { NightProblem } from './codes.ts';

interface Findings {
  readonly readings: Readings;
  /** where the recording stops showing the parked vehicle */
  readonly end: ParkedEnd | null;
  readonly samples: number;
  readonly gaps: readonly Gap[];
  /** where the logger hung */
  readonly stuck: readonly Stuck[];
  /** readings left out because current seemed to flow into the battery for a moment */
  readonly spikes: Spikes | null;
  readonly marks: readonly Mark[];
  readonly options: DrainOptions;
  readonly implausible: Implausible | null;
  /** of the level at rest, without a step, A; 0 when it holds still */
  readonly movedA: number;
  readonly asleep: DrainResult['asleep'];
  readonly sharing: readonly string[];
  readonly fuses: FuseTest;
  readonly limitA: number;
}

/** What the reader must know about the recording before trusting the figures. */
export function nightProblems(found: Findings): NightProblem[] {
  const problems: NightProblem[] = [];
  const { readings, gaps, options, asleep, limitA, implausible, movedA } = found;
  if (found.samples === 0) return [{ code: 'no-samples' }];
  if (gaps.length > 0) problems.push({ code: 'gaps', count: gaps.length, lostS: gaps.reduce((sum, gap) => sum + gap.endS - gap.startS, 0) });
  const [hung] = found.stuck;
  if (hung !== undefined) problems.push({ code: 'stuck', atS: hung.startS, lostS: found.stuck.reduce((sum, one) => sum + one.endS - one.startS, 0), levelA: hung.levelA, times: found.stuck.length });
  if (found.spikes !== null) problems.push({ code: 'spikes', count: found.spikes.count, atS: found.spikes.firstS, lowestA: found.spikes.lowestA });
  if (found.end !== null) problems.push({ code: 'left-out', atS: found.end.atS, by: found.end.by });
  const ranges = options.ranges ?? [];
  if (ranges.length > 1) problems.push({ code: 'range-switched', times: ranges.length - 1, resolutionA: ranges[ranges.length - 1].resolutionA });
  if (implausible !== null) {
    problems.push(implausibleProblem(implausible));
  }
  const driftA = options.zeroDriftA ?? 0;
  if (Math.abs(driftA) >= TRIFLE_A) problems.push({ code: 'zero-drift', changeA: driftA, measured: true });
  else if (movedA !== 0) problems.push({ code: 'zero-drift', changeA: movedA, measured: false });
  if (asleep !== null && driftA === 0 && movedA === 0 && (asleep.high_a - asleep.low_a) / 2 > limitA / 2) {
    problems.push({ code: 'noise', halfWidthA: (asleep.high_a - asleep.low_a) / 2, stepA: null, limitA });
  }
  if (readings.stepA > NOTABLE_A) problems.push({ code: 'noise', halfWidthA: null, stepA: readings.stepA, limitA });
  if (found.sharing.length > 1) problems.push({ code: 'shared-drain', labels: found.sharing });
  problems.push(...markProblems(found));
  return problems;
}

function implausibleProblem(implausible: Implausible): NightProblem {
  switch (implausible.what) {
    case 'into-battery':
      return { code: 'negative-drain', levelA: implausible.levelA };
    case 'no-current':
      return { code: 'clamp-off', levelA: implausible.levelA };
    case 'constant':
      return { code: 'constant', levelA: implausible.levelA };
    default:
      return { code: 'implausible-unit', middleA: implausible.middleA, factor: implausible.what };
  }
}

function markProblems({ fuses, marks, readings }: Findings): NightProblem[] {
  const problems: NightProblem[] = [];
  for (const { kind, label, atS } of fuses.events) {
    const pulled = fuses.events.some((other) => other.kind === 'pull' && other.label === label && other.atS < atS);
    if (kind === 'refit' && !pulled) problems.push({ code: 'mark-unmatched', label, atS, outside: false });
  }
  for (const mark of marks) {
    if (mark.timeS >= readings.recordedFromS - REST_S && mark.timeS <= readings.lastS + REST_S) continue;
    problems.push({ code: 'mark-unmatched', label: mark.label, atS: mark.timeS, outside: true });
  }
  return problems;
}
