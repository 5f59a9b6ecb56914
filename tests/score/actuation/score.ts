import { analyseActuation } from '../../analyse.ts';
import type { Actuation, ActuationResult } from '../../../src/core/analysis/results.ts';
import type { LabelledTrace, TruePress } from './labels.ts';

/** Counts and relative errors over many labelled traces. */
export interface Tally {
  traces: number;
  pressHit: number;
  pressMissed: number;
  pressExtra: number;
  stallHit: number;
  stallMissed: number;
  stallExtra: number;
  findingHit: number;
  findingReported: number;
  pressFindingHit: number;
  pressFindingReported: number;
  readonly peakErrors: number[];
  readonly runErrors: number[];
  readonly runCovered: boolean[];
  readonly stallErrors: number[];
  readonly rippleErrors: number[];
  rippleFalse: number;
  rippleUnseen: number;
  readonly sourceErrors: number[];
  readonly sourceCovered: boolean[];
  leadHit: number;
  leadReported: number;
  dropoutHit: number;
  dropoutReported: number;
}

export function emptyTally(): Tally {
  return {
    traces: 0, pressHit: 0, pressMissed: 0, pressExtra: 0, stallHit: 0, stallMissed: 0, stallExtra: 0, findingHit: 0, findingReported: 0, pressFindingHit: 0,
    pressFindingReported: 0, peakErrors: [], runErrors: [], runCovered: [], stallErrors: [], rippleErrors: [], rippleFalse: 0, rippleUnseen: 0, sourceErrors: [], sourceCovered: [], leadHit: 0, leadReported: 0, dropoutHit: 0, dropoutReported: 0,
  };
}

/** Analyses one trace and adds how it did; returns in words what went wrong. */
export function scoreTrace(labelled: LabelledTrace, tally: Tally, analyse: (labelled: LabelledTrace) => ActuationResult = (item) => analyseActuation(item.trace, item.options)): string[] {
  const result = analyse(labelled);
  const wrong: string[] = [];
  tally.traces++;
  if (labelled.finding !== null) tally.findingReported++;
  if (result.verdict.finding === labelled.finding) tally.findingHit++;
  else if (labelled.finding !== null) wrong.push(`verdict ${result.verdict.finding}, true ${labelled.finding}`);
  if (labelled.voltageAt !== null) {
    tally.leadReported++;
    if (result.trace.voltage_at === labelled.voltageAt) tally.leadHit++;
    else wrong.push(`lead ${result.trace.voltage_at}, true ${labelled.voltageAt}`);
  }
  const toleranceS = Math.max(0.02, 3 / result.trace.rate_hz);
  const free = new Set(result.actuations);
  for (const truth of labelled.presses) {
    let match: Actuation | null = null;
    for (const actuation of free) if (Math.abs(actuation.start_s - truth.startS) <= toleranceS && actuation.direction === truth.direction) match = actuation;
    if (match === null) {
      tally.pressMissed++;
      wrong.push(`press at ${truth.startS.toFixed(3)} missed`);
      tally.stallMissed += truth.stalls.length;
      continue;
    }
    free.delete(match);
    tally.pressHit++;
    wrong.push(...scorePress(truth, match, labelled, tally));
  }
  for (const extra of free) {
    tally.pressExtra++;
    tally.stallExtra += extra.stalls.length;
    wrong.push(`press at ${extra.start_s.toFixed(3)} to ${extra.end_s.toFixed(3)} is not one`);
  }
  return wrong;
}

function scorePress(truth: TruePress, found: Actuation, labelled: LabelledTrace, tally: Tally): string[] {
  const wrong: string[] = [];
  const where = `press at ${truth.startS.toFixed(3)}: `;
  if (truth.finding !== null) tally.pressFindingReported++;
  if (truth.finding === found.finding) tally.pressFindingHit++;
  else if (truth.finding !== null) wrong.push(`${where}finding ${found.finding}, true ${truth.finding}`);
  scoreStalls(truth, found, tally, wrong, where);
  if (truth.peakA !== null) {
    const error = found.inrush === null ? 1 : found.inrush.peak_a / truth.peakA - 1;
    tally.peakErrors.push(Math.abs(error));
    if (Math.abs(error) > 0.05) wrong.push(`${where}peak off by ${(error * 100).toFixed(1)} %`);
  }
  if (truth.runA !== null) {
    const error = found.run === null ? 1 : found.run.median_a / truth.runA - 1;
    tally.runErrors.push(Math.abs(error));
    tally.runCovered.push(found.run !== null && found.run.low_a <= truth.runA && found.run.high_a >= truth.runA);
    if (Math.abs(error) > 0.02) wrong.push(`${where}run off by ${(error * 100).toFixed(1)} %`);
  }
  if (typeof truth.rippleHz === 'number') {
    const error = found.ripple === null ? 1 : found.ripple.frequency_hz / truth.rippleHz - 1;
    tally.rippleErrors.push(Math.abs(error));
    if (Math.abs(error) > 0.01) wrong.push(`${where}ripple ${found.ripple?.frequency_hz.toFixed(2) ?? 'none'}, true ${truth.rippleHz.toFixed(2)}`);
  } else if (truth.rippleHz === null && truth.commutationHz !== null) {
    tally.rippleUnseen++;
    // a faint ripple that was seen after all is no false report
    if (found.ripple !== null && Math.abs(found.ripple.frequency_hz / truth.commutationHz - 1) > 0.02) {
      tally.rippleFalse++;
      wrong.push(`${where}ripple ${found.ripple.frequency_hz.toFixed(2)} where ${truth.commutationHz.toFixed(2)} cannot be seen`);
    }
  }
  if (labelled.sourceOhm !== null && found.supply !== null) {
    tally.sourceErrors.push(Math.abs(found.supply.source_ohm / labelled.sourceOhm - 1));
    tally.sourceCovered.push(found.supply.low_ohm <= labelled.sourceOhm && labelled.sourceOhm <= found.supply.high_ohm);
  }
  if (labelled.sourceOhm !== null && found.supply === null && truth.peakA !== null) {
    tally.sourceErrors.push(1);
    wrong.push(`${where}source not reported`);
  } else if (labelled.sourceOhm !== null && found.supply !== null && Math.abs(found.supply.source_ohm / labelled.sourceOhm - 1) > 0.15) {
    wrong.push(`${where}source ${found.supply.source_ohm.toFixed(4)}, true ${labelled.sourceOhm.toFixed(4)}`);
  }
  if (truth.finding === 'intermittent') {
    for (const range of truth.dropouts) {
      tally.dropoutReported++;
      if (found.dropouts.some((seen) => seen.start_s < range.endS + 0.01 && seen.end_s > range.startS - 0.01)) tally.dropoutHit++;
    }
  }
  return wrong;
}

function scoreStalls(truth: TruePress, found: Actuation, tally: Tally, wrong: string[], where: string): void {
  const free = new Set(found.stalls);
  for (const stall of truth.stalls) {
    let best = null;
    let bestOverlap = 0;
    for (const seen of free) {
      const shared = Math.min(seen.end_s, stall.endS) - Math.max(seen.start_s, stall.startS);
      const union = Math.max(seen.end_s, stall.endS) - Math.min(seen.start_s, stall.startS);
      if (shared / union > bestOverlap) {
        best = seen;
        bestOverlap = shared / union;
      }
    }
    if (best === null || bestOverlap <= 0.7) {
      tally.stallMissed++;
      wrong.push(`${where}stall ${stall.startS.toFixed(3)} to ${stall.endS.toFixed(3)} at ${stall.levelA.toFixed(2)} A missed (overlap ${bestOverlap.toFixed(2)}${best === null ? '' : `: ${best.start_s.toFixed(3)} to ${best.end_s.toFixed(3)}`})`);
      continue;
    }
    free.delete(best);
    tally.stallHit++;
    tally.stallErrors.push(Math.abs(best.level_a / stall.levelA - 1));
  }
  for (const extra of free) {
    tally.stallExtra++;
    wrong.push(`${where}stall ${extra.start_s.toFixed(3)} to ${extra.end_s.toFixed(3)} at ${extra.level_a.toFixed(2)} A is none`);
  }
}

export interface Figure {
  readonly name: string;
  readonly value: number;
  readonly goal: string;
  readonly met: boolean;
}

export function figures(tally: Tally): Figure[] {
  const atLeast = (name: string, value: number, goal: number): Figure => ({ name, value, goal: `>= ${goal}`, met: value >= goal });
  const atMost = (name: string, value: number, goal: number): Figure => ({ name, value, goal: `<= ${goal}`, met: value <= goal });
  const f1 = (hit: number, missed: number, extra: number): number => (hit === 0 ? 0 : (2 * hit) / (2 * hit + missed + extra));
  return [
    atLeast('actuations F1', f1(tally.pressHit, tally.pressMissed, tally.pressExtra), 0.99),
    atLeast('stalls F1', f1(tally.stallHit, tally.stallMissed, tally.stallExtra), 0.97),
    atLeast('verdict right', tally.findingHit / tally.findingReported, 0.95),
    atLeast('finding of a press right', tally.pressFindingHit / tally.pressFindingReported, 0.95),
    atMost('inrush peak error, 90th percentile', percentile(tally.peakErrors, 0.9), 0.05),
    atMost('running level error, 90th percentile', percentile(tally.runErrors, 0.9), 0.02),
    atMost('stall level error, 90th percentile', percentile(tally.stallErrors, 0.9), 0.02),
    atLeast('ripple within 1 %, of those visible', share(tally.rippleErrors, 0.01), 0.9),
    atLeast('source resistance within 15 %', share(tally.sourceErrors, 0.15), 0.9),
    atLeast('place of the voltage lead right', tally.leadHit / tally.leadReported, 0.95),
    atLeast('lost contacts found', tally.dropoutHit / tally.dropoutReported, 0.95),
    atLeast('running level inside its 95 % bounds', tally.runCovered.filter(Boolean).length / tally.runCovered.length, 0.93),
    atLeast('source resistance inside its bounds', tally.sourceCovered.filter(Boolean).length / tally.sourceCovered.length, 0.93),
  ];
}

export function percentile(values: readonly number[], p: number): number {
  if (values.length === 0) return NaN;
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(p * sorted.length))] as number;
}

function share(errors: readonly number[], within: number): number {
  return errors.filter((error) => error <= within).length / errors.length;
}
