import type { Problem } from '../../../problems.ts';
import { formatCurrent, significant } from '../../../units.ts';
import type { Baseline } from './baseline.ts';
import type { Presses } from '../presses/presses.ts';
import { SURE_LOGGER_HZ, type RippleReading } from '../ripple/ripple.ts';
import type { Sampling } from './sampling.ts';
import type { Trace } from '../../../trace.ts';

/** What is odd about the recording itself, in words that say what to do. */
export function recordingProblems(trace: Trace, baseline: Baseline, presses: Presses, sampling: Sampling, foldings: readonly RippleReading['folding'][]): Problem[] {
  const problems: Problem[] = [];
  const count = trace.timeS.length;
  if (count === 0) return [{ code: 'no-samples', text: 'The trace holds no samples.' }];
  const durationS = trace.timeS[count - 1] - trace.timeS[0];
  if (count < 10 || durationS < 0.1) problems.push({ code: 'too-short', text: `The trace holds ${count} samples in ${significant(durationS, 2)} s: too little to judge.` });
  if (sampling.gaps.length > 0) problems.push({ code: 'gaps', text: `Time is missing in ${sampling.gaps.length} places, first at ${sampling.gaps[0].startS.toFixed(2)} s; what happened there is not judged.` });
  if (sampling.jitterShare > 0.3) problems.push({ code: 'uneven-rate', text: 'Samples come at uneven times: times of edges are less sure, and ripple is not.' });
  if (sampling.rateHz > 0 && sampling.rateHz < 150) problems.push({ code: 'rate-too-low', text: `${significant(sampling.rateHz, 3)} samples a second miss the switch-on peak; record at 1000 or more.` });
  if (isConstant(trace.currentA)) problems.push({ code: 'constant', text: `The current reads ${formatCurrent(trace.currentA[0])} throughout, without any noise: check that the sensor is connected and switched on.` });
  const rate = significant(sampling.rateHz, 3);
  if (foldings.includes('refused')) problems.push({ code: 'aliasing', text: `A ripple was seen that ${rate} samples a second may have folded down from a faster one; no frequency is given. Record faster.` });
  else if (foldings.includes('open')) problems.push({ code: 'aliasing', text: `At ${rate} samples a second a faster ripple could show at the frequency that is given, and the current changed too little to rule it out. Record at ${SURE_LOGGER_HZ} or more to be sure.` });
  problems.push(...levelProblems(baseline, presses, trace));
  return problems;
}

/** A; an offset above this is worth zeroing the clamp for: half of what a bad clamp shows (0.15 A, common practice) */
const OFFSET_A = 0.08;
/** A; hum of a clamp's usual noise is not worth a remark. Common practice */
const HUM_A = 0.05;

function levelProblems(baseline: Baseline, presses: Presses, trace: Trace): Problem[] {
  const problems: Problem[] = [];
  if (baseline.found && Math.abs(baseline.currentA) > OFFSET_A) problems.push({ code: 'offset', text: `With nothing flowing the clamp reads ${formatCurrent(baseline.currentA)}; this was subtracted. Zero the clamp with the wire out of it.` });
  if (baseline.found && baseline.driftA > OFFSET_A) problems.push({ code: 'offset-drift', text: `The clamp's zero wandered by ${formatCurrent(baseline.driftA)}; it was followed. Let the clamp warm up and do not move it.` });
  if (!baseline.found && trace.currentA.length > 0) problems.push({ code: 'offset', text: 'The trace holds no moment without current, so the clamp\'s zero could not be checked; zero was assumed.' });
  const peakA = highest(baseline.deviationA);
  if (peakA > 300) problems.push({ code: 'implausible-unit', text: `Readings reach ${significant(peakA, 3)} A: these may be milliamps. Say so with the unit of the current column.` });
  const { hum } = baseline;
  if (hum !== null && hum.amplitudeA > HUM_A) problems.push({ code: 'hum', text: `Mains hum of ${formatCurrent(hum.amplitudeA)} at ${significant(hum.frequencyHz, 3)} Hz was taken out. Keep the clamp and its leads away from lamps, chargers and extension leads.` });
  const first = presses.presses[0];
  const last = presses.presses.at(-1);
  if (first?.startsMidway === true) problems.push({ code: 'starts-midway', text: 'The trace begins with the current already flowing: the switch-on of the first press is not in it.' });
  if (last?.endsMidway === true) problems.push({ code: 'ends-midway', text: 'The trace ends with the current still flowing: the last press is not complete.' });
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
