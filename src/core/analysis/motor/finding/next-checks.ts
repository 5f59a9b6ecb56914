import type { ActuationVerdictFinding, VerdictBasis } from '../../results.ts';
import type { MotorCheckCode, MotorProblem } from '../codes.ts';
import { hiddenByRange } from './press-evidence.ts';
import type { VerdictFacts } from './types.ts';

/**
 * What to check next, in the trade's order: easy before hard, cheap before dear, and no part bought on one clue. Volts present at the
 * motor and no movement point at the motor, no volts point up the circuit to the switch (common practice, no published source).
 */
export function nextChecks(finding: ActuationVerdictFinding, basis: VerdictBasis, facts: VerdictFacts): MotorCheckCode[] {
  return [...unitChecks(facts), ...commutatorChecks(finding, facts), ...findingChecks(finding, basis, facts)];
}

/** Figures in the wrong unit make every other check idle. */
function unitChecks({ problems }: VerdictFacts): MotorCheckCode[] {
  const has = (code: MotorProblem['code']): boolean => problems.some((problem) => problem.code === code);
  return [...(has('implausible-unit') ? ['check-unit' as const] : []), ...(has('implausible-voltage') ? ['check-voltage-channel' as const] : [])];
}

/** A bad segment is worth a look at the brushes while the motor still runs; a standing motor or a bad feed comes first. */
function commutatorChecks(finding: ActuationVerdictFinding, { actuations }: VerdictFacts): MotorCheckCode[] {
  const runs = finding === 'suspect' || finding === 'heavy' || finding === 'light';
  return runs && actuations.some((actuation) => actuation.bad_commutation !== undefined) ? ['work-commutator', 'look-at-brushes'] : [];
}

function findingChecks(finding: ActuationVerdictFinding, basis: VerdictBasis, facts: VerdictFacts): MotorCheckCode[] {
  const voltage: MotorCheckCode[] = facts.place === 'motor' ? [] : ['lead-to-motor'];
  switch (finding) {
    case 'normal':
      return normalChecks(basis, facts);
    case 'suspect':
      return ['compare-other-side', 'motor-alone'];
    case 'stalled':
      return ['where-it-stood', ...(facts.actuations.some(({ stalls }) => stalls.some((stall) => stall.cut_out === true)) ? ['wait-for-cut-out' as const] : []), 'clear-the-way', 'other-way'];
    case 'locked':
      return ['move-by-hand', 'motor-alone-runs', ...voltage];
    case 'heavy':
      return ['clean-and-lubricate', 'compare-directions', 'motor-alone-heavy'];
    case 'light':
      return ['watch-mechanism', 'clamp-on-one-wire'];
    case 'intermittent':
      return ['move-harness', 'drop-switch-and-ground', ...(facts.place === 'motor' ? ['volts-in-breaks' as const] : voltage)];
    case 'dead':
      return ['motor-ground', 'motor-connector', 'motor-resistance'];
    case 'starved':
      return ['battery-first', 'drop-by-section', 'feed-before-motor'];
    case 'unpowered':
      return ['fuse-and-ignition', 'up-the-circuit'];
    case 'unclear':
      return unclearChecks(facts, voltage);
  }
}

/**
 * From here on a faster logger is no advice: the switch-on of small motors takes tens of milliseconds (motor-model.ts), which then holds tens of readings. The 1000 of
 * the advice, less the 0.5 % that the ceramic resonator of a board may be off (common practice, no published source).
 */
const FAST_ENOUGH_HZ = 995;

function normalChecks(basis: VerdictBasis, { actuations, rateHz }: VerdictFacts): MotorCheckCode[] {
  if (actuations.every(({ run }) => run === null)) return ['hold-longer'];
  if (basis === 'none') return ['type-in-limits', ...(rateHz < FAST_ENOUGH_HZ ? ['record-faster' as const] : [])];
  return [basis === 'itself' ? 'no-bad-part-by-itself' : 'no-bad-part'];
}

function unclearChecks({ actuations, problems }: VerdictFacts, voltage: readonly MotorCheckCode[]): MotorCheckCode[] {
  if (actuations.length === 0) return problems.some(({ code }) => code === 'too-short' || code === 'no-samples') ? ['record-whole-press'] : ['clamp-and-range', 'lead-and-press'];
  return [actuations.every(hiddenByRange) ? 'larger-range' : 'record-switch-on', ...voltage];
}
