import { isMotorKind, type ActuationVerdictFinding, type VerdictBasis } from '../../results.ts';
import type { MotorEvidence, PressReading } from '../codes.ts';
import { absoluteVolts } from './absolute-volts.ts';
import { fuseEvidence, warmingEvidence, wireEvidence } from './feed-evidence.ts';
import { cutOutEvidence, estimateEvidence, hiddenByRange, loadEvidence, lockedEvidence, lostContactEvidence, segmentEvidence, stallEvidence, suspicionEvidence, windingEvidence } from './press-evidence.ts';
import { isStarved, starvedEvidence } from './starved.ts';
import { whyUnjudged, type Suspicion } from './suspicion.ts';
import { asymmetryEvidence, placeEvidence, travelEvidence } from './travel-evidence.ts';
import type { VerdictFacts } from './types.ts';

/** presses that are reported one by one: a card holds no more, and the table lists all */
const MOST_PRESSES = 3;

/** What the finding rests on: its own figures first, then what else the presses, the feed and the fuse show. */
export function evidenceOf(finding: ActuationVerdictFinding, basis: VerdictBasis, facts: VerdictFacts, suspicions: readonly Suspicion[]): MotorEvidence[] {
  const { actuations } = facts;
  return [
    ...ownEvidence(finding, basis, facts, suspicions),
    // of a suspect motor these are among what speaks against it
    ...(finding === 'suspect' ? [] : [...segmentEvidence(actuations), ...asymmetryEvidence(facts.asymmetry)]),
    ...(finding === 'starved' ? [] : absoluteVolts(facts)),
    ...warmingEvidence(actuations),
    ...travelEvidence(actuations),
    ...wireEvidence(actuations, facts.options.wire, facts.place),
    ...fuseEvidence(actuations),
  ];
}

function ownEvidence(finding: ActuationVerdictFinding, basis: VerdictBasis, facts: VerdictFacts, suspicions: readonly Suspicion[]): MotorEvidence[] {
  const { actuations, place } = facts;
  const such = actuations.filter((actuation) => actuation.finding === finding).slice(0, MOST_PRESSES);
  switch (finding) {
    case 'dead':
      return [{ code: 'dead', presses: facts.deadPresses, topV: facts.topV }];
    case 'unpowered':
      return [{ code: 'unpowered' }];
    case 'unclear':
      return [whyUnclear(facts)];
    case 'starved':
      return actuations.filter((actuation) => isStarved(actuation, facts.topV)).slice(0, MOST_PRESSES - 1).flatMap((actuation) => starvedEvidence(actuation, place));
    case 'stalled':
      return [...actuations.filter(({ stalls }) => stalls.length > 0).slice(0, MOST_PRESSES).flatMap(stallEvidence), ...placeEvidence(actuations), ...cutOutEvidence(actuations), ...estimateEvidence(actuations)];
    case 'locked':
      return [...such.map(lockedEvidence), ...(place === 'motor' ? windingEvidence(actuations.filter((actuation) => actuation.finding === finding)) : [])];
    case 'intermittent':
      return such.map(lostContactEvidence);
    case 'heavy':
    case 'light':
      return such.map((actuation) => offLimits(actuation, facts));
    case 'suspect':
      return [ranEvidence(facts), ...suspicions.flatMap((suspicion) => suspicionEvidence(suspicion, facts.asymmetry, isMotorKind(facts.kind)))];
    case 'normal':
      return [ranEvidence(facts), ...(basis === 'itself' ? loadEvidence(actuations, isMotorKind(facts.kind)) : basis === 'none' ? [unjudged(actuations)] : [])];
  }
}

function unjudged(actuations: readonly PressReading[]): MotorEvidence {
  return { code: 'unjudged', ...(whyUnjudged(actuations) ?? { reason: 'no-stall-current' }) };
}

function whyUnclear({ actuations, problems, hasVoltage, topV, kind, sharpEdge, isUnusable, unseenLoads }: VerdictFacts): MotorEvidence {
  const short = problems.find(({ code }) => code === 'too-short' || code === 'no-samples');
  const sensor = problems.find(({ code }) => code === 'ac-coupled' || code === 'zeroed-under-current' || code === 'clamp-off');
  if (sensor !== undefined && (isUnusable || unseenLoads > 0)) return { code: 'problem', problem: sensor };
  if (actuations.length === 0) return short === undefined ? { code: 'no-current', topV: hasVoltage ? topV : null } : { code: 'problem', problem: short };
  if (actuations.every(hiddenByRange)) return { code: 'hidden-by-range', levelA: actuations[0].run?.median_a ?? 0 };
  if (sharpEdge) return { code: 'sharp-edge' };
  const ran = kind === 'motor' ? actuations.find(({ finding, run }) => finding === 'unclear' && run !== null) : undefined;
  return ran === undefined ? { code: 'one-level' } : { code: 'stands-or-turns', atS: ran.start_s };
}

function offLimits({ start_s: atS, run }: PressReading, { options }: VerdictFacts): MotorEvidence {
  return { code: 'off-limits', atS, levelA: run?.median_a ?? 0, atLeast: run?.at_least === true, limitsA: options.runLimitsA ?? [0, 0] };
}

/** A load that is no motor, or does not show that it is one, neither starts nor turns. */
function ranEvidence({ actuations, options, kind }: VerdictFacts): MotorEvidence {
  const runs = actuations.flatMap(({ run }) => (run === null ? [] : [run.median_a]));
  const isMotor = isMotorKind(kind);
  if (runs.length === 0) return { code: 'started', presses: actuations.length, isMotor };
  return { code: 'ran', presses: actuations.length, lowA: Math.min(...runs), highA: Math.max(...runs), limitsA: options.runLimitsA ?? null, isMotor };
}
