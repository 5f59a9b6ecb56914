import { isMeasured } from '../pulls/pulls.ts';
import type { DrainFinding, Pull, Verdict, WakeRhythm, WakeUp } from '../../results.ts';
import { formatCurrent, formatCurrentBounds, formatDuration } from '../../../units.ts';

export interface Facts {
  readonly finding: DrainFinding;
  readonly elapsedS: number;
  readonly asleep: { readonly at_s: number; readonly level_a: number; readonly low_a: number; readonly high_a: number } | null;
  readonly averageA: number;
  readonly limitA: number;
  readonly reserveLimitA: number | null;
  readonly overLimit: boolean | null;
  readonly wakeUps: readonly WakeUp[];
  readonly rhythm: WakeRhythm | null;
  readonly longestRestS: number;
  readonly lastLevelA: number;
  readonly pulls: readonly Pull[];
  readonly unexplainedA: number | null;
  readonly sharing: readonly string[];
  readonly waitS: number | null;
}

/** Evidence and next checks in words: one sentence each, easy before hard. */
export function drainVerdict(facts: Facts): Verdict<DrainFinding> {
  return { finding: facts.finding, because: because(facts), next: next(facts) };
}

function because(facts: Facts): string[] {
  const lines: string[] = [];
  const { asleep } = facts;
  if (asleep !== null && facts.finding === 'too-short' && asleep.level_a <= facts.limitA) {
    lines.push(`It rests at ${formatCurrentBounds(asleep.level_a, asleep.low_a, asleep.high_a)}, within the limit of ${formatCurrent(facts.limitA)}; one wake-up lifts the average to ${formatCurrent(facts.averageA)}, and how often it wakes has not been seen yet.`);
  } else if (asleep !== null && facts.finding === 'too-short') {
    lines.push(`It has held ${formatCurrentBounds(asleep.level_a, asleep.low_a, asleep.high_a)} ${asleep.at_s < 5 ? 'from the start of the recording' : `since ${formatDuration(asleep.at_s)} into the recording`}: over the limit of ${formatCurrent(facts.limitA)}, but the recording is only ${formatDuration(facts.elapsedS)} long and a module may still be waiting for its time-out.`);
  } else if (asleep !== null) {
    const when = asleep.at_s < 5 ? 'It was at rest from the start of the recording' : `It came to rest ${formatDuration(asleep.at_s)} into the recording`;
    lines.push(`${when}, at ${formatCurrentBounds(asleep.level_a, asleep.low_a, asleep.high_a)}.`);
    const side = facts.overLimit === null ? 'too close to call against' : facts.overLimit ? 'over' : 'under';
    lines.push(`The average since it came to rest, wake-ups included, is ${formatCurrent(facts.averageA)}: ${side} the limit of ${formatCurrent(facts.limitA)}.`);
  } else if (facts.finding === 'awake') {
    lines.push(`After ${formatDuration(facts.elapsedS)} it still draws ${formatCurrent(facts.lastLevelA)}, as modules do that are awake.`);
  } else if (facts.finding === 'waking') {
    lines.push(`It woke ${times(facts.wakeUps.length)} and never rested longer than ${formatDuration(facts.longestRestS)}; the average is ${formatCurrent(facts.averageA)}.`);
  } else {
    lines.push(`The recording is ${formatDuration(facts.elapsedS)} long and ends at ${formatCurrent(facts.lastLevelA)}: a module may still be waiting for its time-out.`);
  }
  if (facts.reserveLimitA !== null) {
    const side = asleep === null ? '' : facts.averageA > facts.reserveLimitA ? ': the average is over it' : ': the average is under it';
    lines.push(`Reserve capacity over four allows ${formatCurrent(facts.reserveLimitA)} (one maker's rule)${side}.`);
  }
  if (facts.wakeUps.length > 0 && (facts.finding !== 'waking' || asleep !== null)) lines.push(wakeLine(facts));
  for (const pull of facts.pulls) {
    if (pull.carries) lines.push(`Fuse ${pull.label} carries ${formatCurrentBounds(-pull.change_a, -pull.high_a, -pull.low_a)}.`);
  }
  return lines;
}

function wakeLine(facts: Facts): string {
  const own = facts.wakeUps.filter((wake) => wake.cause === null || wake.cause === undefined).length;
  const byPerson = facts.wakeUps.filter((wake) => wake.cause === 'person').length;
  const byFuse = facts.wakeUps.length - own - byPerson;
  const parts: string[] = [];
  if (own > 0) {
    const beat = facts.rhythm !== null && facts.rhythm.regular ? `every ${formatDuration(facts.rhythm.period_s)}, ` : '';
    parts.push(beat !== '' ? `by itself ${beat}${own} times seen` : `${times(own)} by itself${own > 2 ? ', without a beat' : ''}`);
  }
  if (byPerson > 0) parts.push(`${times(byPerson)} beside a mark that says a person woke it`);
  if (byFuse > 0) parts.push(`${times(byFuse)} because of a fuse pulled or put back`);
  return `It woke ${parts.join('; ')}.`;
}

function times(count: number): string {
  return count === 1 ? 'once' : `${count} times`;
}

function minutes(waitS: number): string {
  const whole = Math.max(1, Math.ceil((waitS - 2) / 60));
  return whole === 1 ? 'minute' : `${whole} minutes`;
}

function next(facts: Facts): string[] {
  const wait = facts.waitS === null ? '' : minutes(facts.waitS);
  switch (facts.finding) {
    case 'too-short':
      if (facts.asleep !== null && facts.asleep.level_a <= facts.limitA) return [`Keep recording for another ${wait} to see how often it wakes. Keep doors shut and the key out of range.`];
      return [`Keep recording for another ${wait}: modules can need up to 30 minutes to time out, at some makers 75. Keep doors shut and the key out of range.`];
    case 'awake':
      return [
        'Look for what keeps it awake: a door, boot or bonnet latch not shut, a key within range, a lamp, a plugged-in accessory or diagnostic tool.',
        wait === '' ? 'If all is shut, pull fuses one by one and mark each pull.' : `If all is shut, record another ${wait}: some makers allow 75 minutes to settle.`,
      ];
    case 'waking':
      return [
        'Find what wakes it: key out of range, latches shut, accessories unplugged, no phone paired nearby; then record at least another 30 minutes.',
        'If it goes on, pull the fuses of the modules that listen (telematics, entry, alarm) one by one, mark each pull, and see when the waking stops.',
      ];
    case 'asleep':
      return facts.overLimit === null ? ['Zero the sensor again and repeat the reading: the level is within its doubt of the limit.'] : ['No drain to look for at this limit. If the battery still goes flat, test battery and charging.'];
    case 'unclear':
      return ['Check that charger and solar panel are off and that the arrow on the clamp points the way the current flows, then record again.'];
    case 'drain':
      return nextForDrain(facts);
  }
}

function nextForDrain(facts: Facts): string[] {
  const carrying = facts.pulls.filter((pull) => pull.carries).sort((a, b) => a.change_a - b.change_a);
  if (facts.pulls.length === 0) {
    const waking = facts.asleep !== null && facts.asleep.level_a <= facts.limitA;
    const first = waking ? 'The level asleep is within the limit; the wake-ups make the drain. Find the module that wakes.' : 'Unplug accessories (a phone charger adds 300 to 400 mA while charging) and look again.';
    return [first, 'Then pull fuses one by one, mark each pull, or read the millivolts across each fuse without pulling it.'];
  }
  if (facts.sharing.length > 1) return [`Fuses ${facts.sharing.join(' and ')} share the drain: pull them together, then look for what both circuits have in common.`, 'Check each of these circuits for itself.'];
  const again = facts.pulls.filter((pull) => !isMeasured(pull)).map((pull) => pull.label);
  const repeat = again.length === 0 ? [] : [`Pull ${again.length === 1 ? 'fuse' : 'fuses'} ${again.join(', ')} again: nothing at rest was recorded beside ${again.length === 1 ? 'that pull' : 'those pulls'}, so what ${again.length === 1 ? 'it carries' : 'they carry'} is not known.`];
  if (carrying.length === 0) return [...repeat, 'No pulled fuse carries the drain: go on with the fuses not yet pulled, then what is wired to the battery without a fuse there (starter, alternator).', 'If two fuses feed one module, neither pull alone shows it: pull them together.'];
  const worst = carrying[0];
  const lines = [...repeat, `Go on with the circuit of fuse ${worst.label}: unplug its modules one by one and watch for the same step.`];
  if (facts.unexplainedA !== null && facts.unexplainedA > facts.limitA) lines.push(`${formatCurrent(facts.unexplainedA)} are not explained by the fuses pulled: pull the others too.`);
  return lines;
}
