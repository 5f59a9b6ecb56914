import type { MotorProblem } from '../codes.ts';
import type { Baseline } from '../sensor/baseline.ts';
import type { Presses } from '../presses/presses.ts';
import { SURE_LOGGER_HZ, type RippleReading } from '../ripple/ripple.ts';
import type { Sampling } from '../sensor/sampling.ts';
import type { Trace } from '../../../trace.ts';

/** From where on a recording is worth a remark. */
const ODD = {
  /** readings, and s, below which nothing can be judged: a switch-on alone takes as long (common practice, no published source) */
  fewestReadings: 10,
  shortestS: 0.1,
  /** of the period; moments of edges are then known no better than to a third of it (common practice, no published source) */
  mostJitter: 0.3,
  /** Hz; slower loggers take no reading within the switch-on peak, some electrical time constants wide (motor datasheets: 0.14 to 3 ms) */
  lowestRateHz: 150,
  /** A; half of what a bad clamp shows (0.15 A, common practice): worth zeroing it */
  offsetA: 0.08,
  /** A; hum within a clamp's usual noise is not worth a remark (common practice) */
  humA: 0.05,
  /** A; no motor of a body circuit draws more, so these may be milliamps (common practice, no published source) */
  highestA: 300,
} as const;

/** What is odd about the recording itself. */
export function recordingProblems(trace: Trace, baseline: Baseline, presses: Presses, sampling: Sampling, aliasings: readonly RippleReading['aliasing'][]): MotorProblem[] {
  const problems: MotorProblem[] = [];
  const count = trace.timeS.length;
  if (count === 0) return [{ code: 'no-samples' }];
  const durationS = trace.timeS[count - 1] - trace.timeS[0];
  if (count < ODD.fewestReadings || durationS < ODD.shortestS) problems.push({ code: 'too-short', samples: count, durationS });
  if (sampling.gaps.length > 0) problems.push({ code: 'gaps', count: sampling.gaps.length, firstS: sampling.gaps[0].startS });
  if (sampling.jitterShare > ODD.mostJitter) problems.push({ code: 'uneven-rate' });
  if (sampling.rateHz > 0 && sampling.rateHz < ODD.lowestRateHz) problems.push({ code: 'rate-too-low', rateHz: sampling.rateHz });
  if (isConstant(trace.currentA)) problems.push({ code: 'constant', levelA: trace.currentA[0] });
  const refused = aliasings.includes('refused');
  if (refused || aliasings.includes('open')) problems.push({ code: 'aliasing', rateHz: sampling.rateHz, refused, sureHz: SURE_LOGGER_HZ });
  problems.push(...levelProblems(baseline, presses, trace));
  return problems;
}

function levelProblems(baseline: Baseline, presses: Presses, trace: Trace): MotorProblem[] {
  const problems: MotorProblem[] = [];
  if (baseline.found && Math.abs(baseline.currentA) > ODD.offsetA) problems.push({ code: 'offset', levelA: baseline.currentA });
  if (baseline.found && baseline.driftA > ODD.offsetA) problems.push({ code: 'offset-drift', driftA: baseline.driftA });
  if (!baseline.found && trace.currentA.length > 0) problems.push({ code: 'offset', levelA: null });
  const peakA = highest(baseline.deviationA);
  if (peakA > ODD.highestA) problems.push({ code: 'implausible-unit', peakA });
  const { hum } = baseline;
  if (hum !== null && hum.amplitudeA > ODD.humA) problems.push({ code: 'hum', amplitudeA: hum.amplitudeA, frequencyHz: hum.frequencyHz });
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
