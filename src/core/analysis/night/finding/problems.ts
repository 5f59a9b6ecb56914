import type { Problem } from '../../../problems.ts';
import type { Gap, Mark } from '../../../trace.ts';
import { formatCurrent, formatDuration } from '../../../units.ts';
import type { DrainOptions } from '../../options.ts';
import type { BinTable } from '../levels/bins.ts';
import type { LevelEstimate } from '../rest/level-estimate.ts';
import type { Readings, FuseTest } from '../types.ts';

interface Findings {
  readonly readings: Readings;
  readonly table: BinTable;
  readonly gaps: readonly Gap[];
  readonly marks: readonly Mark[];
  readonly options: DrainOptions;
  readonly estimate: LevelEstimate | null;
  readonly asleep: { readonly at_s: number; readonly level_a: number; readonly low_a: number; readonly high_a: number } | null;
  readonly sharing: readonly string[];
  readonly fuses: FuseTest;
  readonly limitA: number;
  /** over the whole recording when nothing slept */
  readonly averageA: number;
}

/** Less than this on average is no zero that is a little off. */
const BACKWARDS_A = -0.05;

/** What the reader must know about the recording before trusting the figures. */
export function drainProblems(found: Findings): Problem[] {
  const problems: Problem[] = [];
  const { readings, table, gaps, options, estimate, asleep, limitA } = found;
  if (table.samples === 0) return [{ code: 'no-samples', text: 'The recording holds no samples.' }];
  if (gaps.length > 0) {
    const lostS = gaps.reduce((sum, gap) => sum + gap.endS - gap.startS, 0);
    problems.push({ code: 'gaps', text: `${gaps.length} gaps, ${formatDuration(lostS)} in all, hold no samples: a wake-up in them is not seen.` });
  }
  const ranges = options.ranges ?? [];
  if (ranges.length > 1) {
    const last = ranges[ranges.length - 1];
    const fine = last.resolutionA === null ? '' : ` At the end one step is ${formatCurrent(last.resolutionA)}.`;
    problems.push({ code: 'range-switched', text: `The logger switched its range ${ranges.length === 2 ? 'once' : `${ranges.length - 1} times`}.${fine}` });
  }
  if (asleep !== null && asleep.high_a < -0.001) {
    problems.push({ code: 'negative-drain', text: `The level asleep is ${formatCurrent(asleep.level_a)}: a charger is connected, or the clamp or shunt is the wrong way round.` });
  }
  if (asleep === null && found.averageA < BACKWARDS_A) {
    problems.push({ code: 'negative-drain', text: `The current runs backwards, ${formatCurrent(found.averageA)} on average: a charger is connected, or the clamp or shunt is the wrong way round.` });
  }
  const driftA = options.zeroDriftA ?? 0;
  if (Math.abs(driftA) >= 0.002) {
    problems.push({ code: 'zero-drift', text: `The zero moved by ${formatCurrent(driftA)} during the test; the bounds are widened by it.${clampWords(Math.abs(driftA))}` });
  } else if (estimate !== null && estimate.driftA !== 0) {
    problems.push({
      code: 'zero-drift',
      text: `The level at rest wanders by ${formatCurrent(Math.abs(estimate.driftA))} without a step: the sensor's zero drifts. The bounds are widened by it.${clampWords(Math.abs(estimate.driftA))}`,
    });
  }
  if (asleep !== null && driftA === 0 && (estimate === null || estimate.driftA === 0) && (asleep.high_a - asleep.low_a) / 2 > limitA / 2) {
    problems.push({ code: 'noise', text: `The level is only known to within ${formatCurrent((asleep.high_a - asleep.low_a) / 2)}: too coarse for a limit of ${formatCurrent(limitA)}.` });
  }
  if (readings.stepA > 0.01) problems.push({ code: 'noise', text: `One step of the reading is ${formatCurrent(readings.stepA)}: small drains are averages over few steps.` });
  if (found.sharing.length > 1) {
    problems.push({ code: 'shared-drain', text: `Fuses ${found.sharing.join(' and ')} share the drain: pulling one alone does not bring it under the limit. Pull them together and mark both.` });
  }
  for (const { kind, label, atS } of found.fuses.events) {
    if (kind === 'refit' && !found.fuses.events.some((other) => other.kind === 'pull' && other.label === label && other.atS < atS)) {
      problems.push({ code: 'mark-unmatched', text: `Fuse ${label} was put back at ${formatDuration(atS)}, but no mark says that it was pulled.` });
    }
  }
  for (const mark of found.marks) {
    if (mark.timeS >= table.firstS - 30 && mark.timeS <= table.lastS + 30) continue;
    problems.push({ code: 'mark-unmatched', text: `The mark "${mark.label}" at ${formatDuration(mark.timeS)} lies outside the recording.` });
  }
  return problems;
}

function clampWords(driftA: number): string {
  return driftA >= 0.01 ? ' A clamp cannot prove a 25 mA drain this way: use a shunt, or zero it again right before reading.' : '';
}
