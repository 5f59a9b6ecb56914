import { median } from '../../../stats.ts';
import type { PressView } from './press-view.ts';
import { INRUSH, STALL } from '../settings.ts';

/** What the presses of one trace say of their motor together; null where they do not tell. */
export interface MotorParameters {
  /** running level, A */
  readonly runA: number | null;
  /** the lowest of them */
  readonly lowestRunA: number | null;
  /** the level at which the motor stalls, by presses that show it running as well */
  readonly standsA: number | null;
  /** V/R by the switch-ons from rest */
  readonly standing: Standing | null;
  /** charge beyond the run that a start from rest takes (J w/k), A s */
  readonly startAs: number | null;
  /** ripple variance (signal/envelope.ts) of the idle clamp, A²: what its noise makes of it */
  readonly idleRippleVarianceA2: number;
}

export interface Standing {
  readonly currentA: number;
  /** standard deviation of its logarithm */
  readonly spread: number;
}

interface Start {
  readonly leastA: number;
  readonly mostA: number;
  readonly chargeAs: number;
}

/** Levels that the presses of a trace have in common: a press that shows too little is judged by its neighbours. */
export function motorParameters(views: readonly PressView[], idleRippleVarianceA2: number): MotorParameters {
  const runs: number[] = [];
  const stands: number[] = [];
  const starts: Start[] = [];
  for (const view of views) {
    const top = view.plateaus.top[0];
    if (top !== undefined && view.runA !== null && top.levelA > STALL.overRun * view.runA) stands.push(top.levelA);
    const start = startOf(view);
    if (start !== null) starts.push(start);
    if (top !== undefined && (start !== null || view.runA !== null)) runs.push(lowestOf(view));
  }
  return {
    runA: medianOf(runs), lowestRunA: runs.length > 0 ? Math.min(...runs) : null, standsA: medianOf(stands),
    standing: standingOf(starts), startAs: medianOf(starts.map(({ chargeAs }) => chargeAs)), idleRippleVarianceA2,
  };
}

/**
 * A rotor that gains speed takes its current from V/R down to its run as exp(-t/tau), and the highest reading comes some L/R, or a slow clamp's lag, after the switch: V/R
 * lies between it and the fall followed back to the switch. Null where the rotor was turning, or its current does not fall.
 */
function startOf(view: PressView): Start | null {
  const { press, peak, envelope, halfCells, settled } = view;
  const runA = lowestOf(view);
  if (press.startsMidway || !press.fromRest || halfCells === 0 || !(peak.peakA > INRUSH.overRun * runA)) return null;
  const halves = (peak.index - press.startIndex) / envelope.step / halfCells;
  let chargeAs = 0;
  for (let k = 0; k < Math.min(settled, envelope.cells); k++) chargeAs += Math.max(0, envelope.levelA[k] - runA) * envelope.stepS;
  return { leastA: peak.peakA, mostA: runA + (peak.peakA - runA) * 2 ** halves, chargeAs };
}

/** The middle of the two bounds; either is one deviation off, since a clamp that lags lowers both. */
function standingOf(starts: readonly Start[]): Standing | null {
  if (starts.length === 0) return null;
  return { currentA: median(starts.map(({ leastA, mostA }) => (leastA + mostA) / 2)), spread: median(starts.map(({ leastA, mostA }) => Math.log(mostA / leastA) / 2)) };
}

function medianOf(values: readonly number[]): number | null {
  return values.length > 0 ? median(values) : null;
}

function lowestOf(view: PressView): number {
  const topA = view.plateaus.top[0]?.levelA ?? Infinity;
  return view.runA === null ? topA : Math.min(topA, view.runA);
}
