import type { Actuation, ActuationResult, ActuationVerdictFinding, VerdictBasis } from '../../results.ts';
import { formatCurrent, significant } from '../../../units.ts';
import {
  at, brokenSentence, commutationSentence, cutOutSentence, hiddenByRange, least, loadSentence, lockedSentence, stallSentence, standstillSentence, starvedSentence, suspicionSentence, windingSentence,
} from './evidence.ts';
import { fuseSentence, wireSentence } from '../quantities/feed-extras.ts';
import { SUPPLY } from '../settings.ts';
import { nextChecks } from './next-checks.ts';
import type { VerdictFacts } from './types.ts';
import { judgesItself, suspicionsOf, type Suspicion } from './suspicion.ts';
import { asymmetrySentences, placeSentence, travelSentence } from '../quantities/travel-evidence.ts';

/** The finding for the whole test with its evidence in figures and the next check. */
export function verdictOf(recorded: VerdictFacts): ActuationResult['verdict'] {
  // a press that the recording cuts is shown and is no evidence
  const whole = recorded.actuations.filter(({ cut }) => cut === undefined);
  const facts = { ...recorded, actuations: whole };
  const suspicions = suspicionsOf(whole, facts.asymmetry, facts.options.runLimitsA !== undefined);
  const chosen = whole.length === 0 && recorded.actuations.length > 0 ? 'unclear' : chooseFinding(facts);
  const finding = chosen === 'normal' && suspicions.length > 0 ? 'suspect' : chosen;
  const basis = basisOf(finding, facts);
  const cut = recorded.actuations.filter((actuation) => actuation.cut !== undefined);
  const because = cut.length > 0 && whole.length === 0 ? [] : evidence(finding, basis, facts, suspicions);
  if (cut.length > 0) because.push(cutSentence(cut, whole.length === 0));
  return { finding, basis, because, next: nextChecks(finding, basis, facts) };
}

/** What the finding rests on. */
function basisOf(finding: ActuationVerdictFinding, { actuations, options }: VerdictFacts): VerdictBasis {
  if (finding === 'unclear') return 'none';
  const judged = options.runLimitsA !== undefined && actuations.some(({ run }) => run !== null);
  if (finding === 'heavy' || finding === 'light' || (finding === 'normal' && judged)) return options.runLimitsFrom ?? 'limits';
  return finding !== 'normal' || judgesItself(actuations) ? 'itself' : 'none';
}

function cutSentence(cut: readonly Actuation[], all: boolean): string {
  if (all) return `${cut.length === 1 ? 'The only press' : 'Every press'} is cut by the start or the end of the recording, so what came before or after it is not known.`;
  const first = cut[0]?.cut === 'start' ? 'start' : 'end';
  return cut.length > 1 ? 'The first and the last press are cut by the recording and do not count.' : `The press at ${at(cut[0]?.start_s ?? 0)} is cut by the ${first} of the recording and does not count.`;
}

function chooseFinding(facts: VerdictFacts): ActuationVerdictFinding {
  const { actuations } = facts;
  if (facts.acCoupled || (facts.unseenLoads > 0 && facts.unseenLoads >= actuations.length)) return 'unclear';
  if (facts.deadPresses > 0 && facts.deadPresses >= actuations.length) return 'dead';
  if (actuations.length === 0) {
    if (facts.hasVoltage && facts.topV < SUPPLY.deadV) return 'unpowered';
    return 'unclear';
  }
  if (actuations.some((actuation) => isStarved(actuation, facts.topV))) return 'starved';
  if (actuations.every(hiddenByRange)) return 'unclear';
  if (actuations.every(({ finding }) => finding === 'unclear')) return 'unclear';
  const has = (word: ActuationVerdictFinding): boolean => actuations.some((actuation) => actuation.finding === word);
  if (has('intermittent')) return 'intermittent';
  if (has('locked') && !onlyAgainstTheStop(actuations)) return facts.certain || has('stalled') ? 'locked' : 'unclear';
  if (has('stalled') || has('locked')) return 'stalled';
  if (has('heavy')) return 'heavy';
  if (has('light')) return 'light';
  return facts.certain ? 'normal' : 'unclear';
}

/** Pressing on in the direction in which the motor has just stalled shows a standing motor, not a locked one. */
function onlyAgainstTheStop(actuations: readonly Actuation[]): boolean {
  let stalledIn: string | null = null;
  for (const actuation of actuations) {
    if (actuation.finding === 'locked') {
      if (stalledIn !== actuation.direction) return false;
    } else {
      stalledIn = actuation.finding === 'stalled' && reachedTheEnd(actuation) ? actuation.direction : null;
    }
  }
  return true;
}

function reachedTheEnd(actuation: Actuation): boolean {
  const last = actuation.stalls.at(-1);
  return last !== undefined && actuation.end_s - last.end_s < 0.1;
}

/** The feed loses so much under this motor's current that what the motor does says nothing about the motor. */
function isStarved(actuation: Actuation, topV: number): boolean {
  const { supply, feed_v: feedV, run } = actuation;
  const standing = run === null;
  if (feedV !== undefined) {
    const nominal = topV > SUPPLY.nominal24FromV ? 2 : 1;
    const collapses = supply !== null && actuation.inrush !== null && supply.low_ohm * actuation.inrush.peak_a > SUPPLY.collapse * supply.open_v;
    if (!standing && feedV > nominal * SUPPLY.enoughV) return collapses;
    if (feedV < nominal * (standing ? SUPPLY.standingV : SUPPLY.runningV)) return true;
  }
  if (supply === null || !(supply.open_v > 0)) return false;
  if (1 - supply.run_v / supply.open_v > (standing ? SUPPLY.starvedStall : SUPPLY.starvedRun)) return true;
  // at the instant of switch-on every motor stands
  return actuation.inrush !== null && supply.low_ohm * actuation.inrush.peak_a > SUPPLY.starvedStall * supply.open_v;
}

function evidence(finding: ActuationVerdictFinding, basis: VerdictBasis, facts: VerdictFacts, suspicions: readonly Suspicion[]): string[] {
  const { actuations } = facts;
  const because: string[] = [];
  const push = (sentence: string | null): void => {
    if (sentence !== null) because.push(sentence);
  };
  const count = actuations.length;
  const matching = actuations.filter((actuation) => actuation.finding === finding);
  switch (finding) {
    case 'dead':
      because.push(`In ${times(facts.deadPresses)} the feed came up to ${significant(facts.topV, 3)} V and no current flowed.`);
      break;
    case 'unpowered':
      because.push('Neither voltage nor current was seen: the feed never came up.');
      break;
    case 'unclear': {
      const short = facts.problems.find(({ code }) => code === 'too-short' || code === 'no-samples');
      const sensor = facts.problems.find(({ code }) => code === 'ac-coupled' || code === 'clamp-off');
      if (sensor !== undefined && (facts.acCoupled || facts.unseenLoads > 0)) because.push(sensor.text);
      else if (count === 0 && short !== undefined) because.push(short.text);
      else if (count === 0) because.push(facts.hasVoltage ? `No current flowed; the voltage stood at ${significant(facts.topV, 3)} V, but the lead does not show whether the switch was made.` : 'No current flowed, and without a voltage channel the trace does not show whether the switch was made.');
      else if (actuations.every(hiddenByRange)) because.push(`Every press stands at the end of the sensor's range (${formatCurrent(actuations[0].run?.median_a ?? 0)}) from end to end, so a running motor cannot be told from a standing one.`);
      else if (facts.sharpEdge) because.push('The current is there at once and stays at one level: a motor that stands looks like that to a logger of this rate, and so does a heater.');
      else because.push('The trace holds no switch-on and no second level, so a running motor cannot be told from a standing one.');
      break;
    }
    case 'starved':
      for (const actuation of actuations.filter((actuation) => isStarved(actuation, facts.topV)).slice(0, 2)) because.push(starvedSentence(actuation, facts.place));
      break;
    case 'stalled':
      for (const actuation of actuations.filter((item) => item.stalls.length > 0).slice(0, 3)) because.push(stallSentence(actuation));
      push(placeSentence(actuations));
      push(cutOutSentence(actuations));
      push(standstillSentence(actuations));
      break;
    case 'locked':
      for (const actuation of matching.slice(0, 3)) because.push(lockedSentence(actuation));
      if (facts.place === 'motor') push(windingSentence(matching));
      break;
    case 'intermittent':
      for (const actuation of matching.slice(0, 3)) because.push(brokenSentence(actuation));
      break;
    case 'heavy':
    case 'light': {
      const limits = facts.options.runLimitsA ?? [0, 0];
      for (const actuation of matching.slice(0, 3)) because.push(`At ${at(actuation.start_s)} the motor ran at ${least(actuation.run ?? undefined)}${formatCurrent(actuation.run?.median_a ?? 0)}; usual here is ${limits[0]} to ${limits[1]} A.`);
      break;
    }
    case 'suspect':
      because.push(ranSentence(facts));
      for (const suspicion of suspicions) push(suspicionSentence(suspicion, facts.asymmetry));
      break;
    case 'normal':
      because.push(ranSentence(facts));
      if (basis === 'itself') push(loadSentence(actuations));
      else if (basis === 'none') because.push('Nothing here to judge it by: no usual running current was typed in, and the switch-on does not show the motor\'s stall current.');
      break;
  }
  if (finding !== 'suspect') {
    push(commutationSentence(actuations));
    because.push(...asymmetrySentences(facts.asymmetry));
  }
  push(travelSentence(actuations));
  push(wireSentence(actuations, facts.options.wire, facts.place));
  push(fuseSentence(actuations));
  return because;
}

function ranSentence(facts: VerdictFacts): string {
  const runs = facts.actuations.flatMap((actuation) => (actuation.run === null ? [] : [actuation.run.median_a]));
  if (runs.length === 0) return `The motor started in ${times(facts.actuations.length)}, but no press lasted long enough to read its running current.`;
  const low = Math.min(...runs);
  const high = Math.max(...runs);
  const level = high - low < 0.05 * high ? formatCurrent(high) : `${formatCurrent(low)} to ${formatCurrent(high)}`;
  const limits = facts.options.runLimitsA === undefined ? '' : ` (usual ${facts.options.runLimitsA[0]} to ${facts.options.runLimitsA[1]} A)`;
  return `In ${times(facts.actuations.length)} the motor started, ran at ${level}${limits} and was switched off while turning.`;
}

function times(count: number): string {
  return count === 1 ? '1 press' : `${count} presses`;
}
