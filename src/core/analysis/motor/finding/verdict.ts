import type { ActuationFinding, ActuationVerdictFinding, VerdictBasis } from '../../results.ts';
import type { MotorCheckCode, MotorEvidence, PressReading } from '../codes.ts';
import { SUPPLY } from '../settings.ts';
import { evidenceOf } from './evidence.ts';
import { nextChecks } from './next-checks.ts';
import { hiddenByRange } from './press-evidence.ts';
import { isStarved } from './starved.ts';
import { suspicionsOf, whyUnjudged } from './suspicion.ts';
import type { VerdictFacts } from './types.ts';

/** What one press makes of the whole test, the worst first. The type asks for every finding of a press that speaks against the circuit. */
const ranked: Readonly<Record<Exclude<ActuationFinding, 'normal' | 'suspect' | 'unclear'>, true>> = { intermittent: true, locked: true, stalled: true, heavy: true, light: true };

export interface MotorVerdict {
  readonly finding: ActuationVerdictFinding;
  readonly basis: VerdictBasis;
  readonly because: MotorEvidence[];
  readonly next: MotorCheckCode[];
}

/** The finding for the whole test with its evidence in figures and the next check. */
export function verdictOf(recorded: VerdictFacts): MotorVerdict {
  // a press that the recording cuts is shown and is no evidence
  const whole = recorded.actuations.filter(({ cut }) => cut === undefined);
  const facts = { ...recorded, actuations: whole };
  const suspicions = suspicionsOf(whole, facts.asymmetry, facts.options.runLimitsA !== undefined);
  const chosen = whole.length === 0 && recorded.actuations.length > 0 ? 'unclear' : chooseFinding(facts);
  const finding = chosen === 'normal' && suspicions.length > 0 ? 'suspect' : chosen;
  const basis = basisOf(finding, facts);
  const cut = recorded.actuations.filter((actuation) => actuation.cut !== undefined);
  const onlyCut = cut.length > 0 && whole.length === 0;
  const because = [...(onlyCut ? [] : evidenceOf(finding, basis, facts, suspicions)), ...cutEvidence(cut, onlyCut)];
  return { finding, basis, because, next: nextChecks(finding, basis, facts) };
}

/** What the finding rests on. */
function basisOf(finding: ActuationVerdictFinding, { actuations, options }: VerdictFacts): VerdictBasis {
  if (finding === 'unclear') return 'none';
  const judged = options.runLimitsA !== undefined && actuations.some(({ run }) => run !== null);
  if (finding === 'heavy' || finding === 'light' || (finding === 'normal' && judged)) return options.runLimitsFrom ?? 'limits';
  return finding !== 'normal' || whyUnjudged(actuations) === null ? 'itself' : 'none';
}

function cutEvidence(cut: readonly PressReading[], all: boolean): MotorEvidence[] {
  if (cut.length === 0) return [];
  if (all) return [{ code: 'all-cut', presses: cut.length }];
  return [{ code: 'some-cut', presses: cut.length, atS: cut[0].start_s, end: cut[0].cut === 'start' ? 'start' : 'end' }];
}

function chooseFinding(facts: VerdictFacts): ActuationVerdictFinding {
  const { actuations } = facts;
  if (facts.isUnusable || (facts.unseenLoads > 0 && facts.unseenLoads >= actuations.length)) return 'unclear';
  // one dead press is not healed by others that worked; behind a cut-out that has opened it is how the motor saves itself
  if (facts.deadPresses > facts.unseenLoads && !actuations.some(({ stalls }) => stalls.some((stall) => stall.cut_out === true))) return 'dead';
  if (actuations.length === 0) {
    if (facts.hasVoltage && facts.topV < SUPPLY.deadV) return 'unpowered';
    return 'unclear';
  }
  if (actuations.some((actuation) => isStarved(actuation, facts.topV))) return 'starved';
  if (actuations.every(hiddenByRange)) return 'unclear';
  if (actuations.every(({ finding }) => finding === 'unclear')) return 'unclear';
  const has = (word: ActuationVerdictFinding): boolean => actuations.some((actuation) => actuation.finding === word);
  const worst = (Object.keys(ranked) as (keyof typeof ranked)[]).find((word) => has(word) && !(word === 'locked' && stalledThereToo(actuations)));
  if (worst === 'locked' && !facts.certain && !has('stalled')) return 'unclear';
  if (worst !== undefined) return worst;
  return facts.certain ? 'normal' : 'unclear';
}

/** A motor that ran and stalled in another press of the same direction is not locked: those that never turned began against what stopped it there. */
function stalledThereToo(actuations: readonly PressReading[]): boolean {
  const stalledWays = new Set(actuations.flatMap(({ finding, direction }) => (finding === 'stalled' ? [direction] : [])));
  return actuations.every(({ finding, direction }) => finding !== 'locked' || stalledWays.has(direction));
}
