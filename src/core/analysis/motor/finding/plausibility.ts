import type { MotorProblem } from '../codes.ts';
import type { Baseline } from '../sensor/baseline.ts';
import type { Presses } from '../presses/presses.ts';
import type { RippleReading } from '../ripple/ripple.ts';
import { HIGHEST_SHARE } from '../ripple/ripple-windows.ts';
import { USUAL_RIPPLE_HZ } from '../motor-model.ts';
import { LOAD, PRESS } from '../settings.ts';
import { CLEAR_PART, FEWEST } from '../signal/decision-levels.ts';
import { SWITCH_ON_S } from '../time-scales.ts';
import type { Sampling } from '../sensor/sampling.ts';
import type { Trace } from '../../../trace.ts';

/** What is odd about the recording itself. */
export function recordingProblems(trace: Trace, baseline: Baseline, presses: Presses, sampling: Sampling, aliasings: readonly RippleReading['aliasing'][]): MotorProblem[] {
  const problems: MotorProblem[] = [];
  const count = trace.timeS.length;
  if (count === 0) return [{ code: 'no-samples' }];
  const durationS = trace.timeS[count - 1] - trace.timeS[0];
  // a switch-on alone takes as long
  if (count < 2 * FEWEST || durationS < SWITCH_ON_S) problems.push({ code: 'too-short', samples: count, durationS });
  if (sampling.gaps.length > 0) problems.push({ code: 'gaps', count: sampling.gaps.length, firstS: sampling.gaps[0].startS });
  // moments of edges are then known no better than to a clear part of a period
  if (sampling.jitterShare > CLEAR_PART || !sampling.isSteady) problems.push({ code: 'uneven-rate' });
  // slower loggers take no reading within a switch-on peak of two time constants of the winding
  if (sampling.rateHz > 0 && 2 * LOAD.slowestWindingS * sampling.rateHz < 1) problems.push({ code: 'rate-too-low', rateHz: sampling.rateHz });
  if (isConstant(trace.currentA)) problems.push({ code: 'constant', levelA: trace.currentA[0] });
  const refused = aliasings.includes('refused');
  if (refused || aliasings.includes('open')) problems.push({ code: 'aliasing', rateHz: sampling.rateHz, refused, sureHz: USUAL_RIPPLE_HZ / HIGHEST_SHARE });
  problems.push(...levelProblems(baseline, presses, trace));
  return problems;
}

function levelProblems(baseline: Baseline, presses: Presses, trace: Trace): MotorProblem[] {
  const problems: MotorProblem[] = [];
  if (baseline.found && Math.abs(baseline.currentA) > 2 * PRESS.floorA) problems.push({ code: 'offset', levelA: baseline.currentA });
  if (baseline.found && baseline.driftA > 2 * PRESS.floorA) problems.push({ code: 'offset-drift', driftA: baseline.driftA });
  if (!baseline.found && trace.currentA.length > 0) problems.push({ code: 'offset', levelA: null });
  const peakA = highest(baseline.deviationA);
  if (peakA > 2 * LOAD.starterPeakA) problems.push({ code: 'implausible-unit', peakA });
  const { hum } = baseline;
  if (hum !== null && hum.amplitudeA > PRESS.floorA) problems.push({ code: 'hum', amplitudeA: hum.amplitudeA, frequencyHz: hum.frequencyHz });
  const first = presses.presses[0];
  const last = presses.presses.at(-1);
  if (first?.startsMidway === true) problems.push({ code: 'starts-midway' });
  if (last?.endsMidway === true) problems.push({ code: 'ends-midway' });
  return problems;
}

function highest(deviationA: Float32Array): number {
  let topA = 0;
  for (let i = 0; i < deviationA.length; i++) topA = Math.max(topA, Math.abs(deviationA[i]));
  return topA;
}

function isConstant(currentA: Float32Array): boolean {
  for (let i = 1; i < currentA.length; i++) if (currentA[i] !== currentA[0]) return false;
  return currentA.length > 1;
}
