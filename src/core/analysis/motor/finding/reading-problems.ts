import { median } from '../../../stats.ts';
import type { MotorProblem, PressReading } from '../codes.ts';
import { bandwidthOf } from '../presses/clamp-speed.ts';
import type { PressContext } from './press-details.ts';
import type { LeadPlace } from '../sensor/feed-voltage.ts';
import type { Press } from '../presses/presses.ts';
import { SUPPLY } from '../settings.ts';
import { SMALL_PART } from '../signal/decision-levels.ts';

/** What shows only once the presses were read: that the sensor was too small, too slow or turned round, or the voltage not a vehicle's. */
export function readingProblems(actuations: readonly PressReading[], presses: readonly Press[], place: LeadPlace, topV: number, context: PressContext): MotorProblem[] {
  const problems: MotorProblem[] = [];
  const add = (problem: MotorProblem | null): void => {
    if (problem !== null) problems.push(problem);
  };
  add(clipped(actuations, context.clipA, place));
  add(slow(actuations, context));
  add(reversed(presses, place, context));
  // at the motor the feed shows itself only under load: what it would be without counts
  if (context.trace.voltageV !== null && actuations.length > 0) add(oddVoltage(actuations.reduce((most, { supply }) => Math.max(most, supply?.open_v ?? 0), topV)));
  add(noisy(actuations, context));
  return problems;
}

function clipped(actuations: readonly PressReading[], clipA: number | null, place: LeadPlace): MotorProblem | null {
  if (clipA === null) return null;
  const count = (test: (actuation: PressReading) => boolean): number => actuations.filter(test).length;
  const peak = ({ inrush }: PressReading): boolean => inrush?.peak_at_least === true;
  const stall = ({ stalls }: PressReading): boolean => stalls.some((one) => one.at_least === true);
  const hidesFeed = place !== null && actuations.some((actuation) => actuation.supply === null && (peak(actuation) || stall(actuation)));
  return { code: 'clipped', clipA, peaks: count(peak), runs: count(({ run }) => run?.at_least === true), stalls: count(stall), hidesFeed };
}

function slow(actuations: readonly PressReading[], { clamp }: PressContext): MotorProblem | null {
  const first = actuations.find(({ inrush }) => inrush?.low_peak_a !== undefined && inrush.narrow_peak !== true && inrush.peak_at_least !== true)?.inrush ?? null;
  if (first === null) return null;
  return { code: 'slow-sensor', followS: clamp.followS, bandwidthHz: bandwidthOf(clamp), known: clamp.known, lowPeakA: first.low_peak_a ?? 0, highPeakA: first.high_peak_a ?? null };
}

/** Across the motor, volts and amps have the same sign; against each other in every press, clamp or lead is turned round. */
function reversed(presses: readonly Press[], place: LeadPlace, { trace }: PressContext): MotorProblem | null {
  if (place !== 'motor' || trace.voltageV === null || presses.length === 0) return null;
  for (const press of presses) {
    const volts = median(trace.voltageV.subarray(press.startIndex, press.endIndex)) * press.sign;
    if (volts > -SUPPLY.deadV) return null;
  }
  return { code: 'reversed-clamp' };
}

function oddVoltage(topV: number): MotorProblem | null {
  if (topV > SUPPLY.highestV) return { code: 'implausible-voltage', topV, tooHigh: true };
  if (topV < SUPPLY.runningV) return { code: 'implausible-voltage', topV, tooHigh: false };
  return null;
}

/** Noise that is more than a small part of the running level: ripple and small changes are lost in it. */
function noisy(actuations: readonly PressReading[], { baseline }: PressContext): MotorProblem | null {
  const runs = actuations.flatMap(({ run }) => (run === null ? [] : [run.median_a]));
  if (runs.length === 0) return null;
  const share = baseline.noiseA / median(runs);
  return share > SMALL_PART ? { code: 'noise', share } : null;
}
