import type { Problem } from '../../problems.ts';
import { significant } from '../../units.ts';
import type { ActuationResult } from '../results.ts';
import { actuationsOf } from './metrics.ts';
import { leadsDiffer, type SupplyScale } from './supply.ts';

/** A slower logger than this misses part of a start-up peak, Hz: the peak is over within some 10 ms (outside-numbers 3.1). */
const PEAK_RATE_HZ = 500;
/** Rates that differ by less change no figure. */
const SAME_RATE = 1.5;

/** Whether one logger was too slow to see the peak that the other one saw. */
export function peaksDiffer(before: ActuationResult, after: ActuationResult): boolean {
  const rates = [before.trace.rate_hz, after.trace.rate_hz];
  const slower = Math.min(...rates);
  return slower > 0 && slower < PEAK_RATE_HZ && Math.max(...rates) / slower > SAME_RATE;
}

/** What stands in the way of a comparison, and what can still be compared. */
export function actuationProblems(before: ActuationResult, after: ActuationResult, scale: SupplyScale | null): Problem[] {
  const problems: Problem[] = [];
  if (scale !== null) problems.push(supplyProblem(scale));
  if (leadsDiffer(before, after)) {
    const place = (result: ActuationResult): string => (result.trace.voltage_at === 'motor' ? "at the motor's feed" : 'at the battery');
    problems.push({
      code: 'different-lead',
      text: `The voltage lead sat ${place(before)} in the first trace and ${place(after)} in the second: feed resistance and supply are of different stretches of wire and are not judged. Currents and times are.`,
    });
  }
  if (peaksDiffer(before, after)) {
    const [slow, fast] = [before.trace.rate_hz, after.trace.rate_hz].sort((a, b) => a - b);
    problems.push({ code: 'different-rate', text: `One trace has ${significant(slow, 3)} readings a second, the other ${significant(fast, 3)}: the slower one misses part of the inrush peak, so that is not judged. The other figures are.` });
  }
  problems.push(...pairingProblems(before, after));
  return problems;
}

function supplyProblem({ beforeV, afterV }: SupplyScale): Problem {
  return {
    code: 'different-supply',
    text:
      `The supply under load was ${significant(beforeV, 3)} V before and ${significant(afterV, 3)} V after. Stall and inrush current, speed and ` +
      "travel time of the second trace are scaled to the first one's voltage by the motor's equations, under the same load. The running current is not: " +
      'its range allows for a load that grows with speed.',
  };
}

function pairingProblems(before: ActuationResult, after: ActuationResult): Problem[] {
  if (before.actuations.length === 0 || after.actuations.length === 0) {
    const which = before.actuations.length === 0 ? (after.actuations.length === 0 ? 'Neither trace has an' : 'The first trace has no') : 'The second trace has no';
    return [{ code: 'no-pairs', text: `${which} actuation, so only the findings can be set side by side. Record it again with the switch cycled.` }];
  }
  const problems: Problem[] = [];
  let common = 0;
  for (const direction of ['forward', 'reverse'] as const) {
    const counts = [actuationsOf(before, direction).length, actuationsOf(after, direction).length];
    if (counts[0] === 0 && counts[1] !== 0) problems.push({ code: 'no-pairs', text: `Only the second trace has ${direction} actuations; that direction is not compared.` });
    if (counts[1] === 0 && counts[0] !== 0) problems.push({ code: 'no-pairs', text: `Only the first trace has ${direction} actuations; that direction is not compared.` });
    if (Math.min(counts[0], counts[1]) > 0) common++;
    if (Math.min(counts[0], counts[1]) === 1) {
      problems.push({
        code: 'few-traces',
        text: `One ${direction} actuation stands for a side: how much such actuations differ by themselves is not known from it. Three or more a side make a firmer answer.`,
      });
    }
  }
  if (common === 0) problems.push({ code: 'no-pairs', text: 'The traces have no direction in common: only the findings can be set side by side. If the clamp was turned round between them, turn it back and record again.' });
  return problems;
}
