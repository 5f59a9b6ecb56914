import { FEWEST_WAKE_UPS, HAND_BLIP_S, LAMP_A, NEAR_S } from '../settings.ts';
import { MS_PER_S } from '../../../units.ts';
import type { TimeOut } from '../../../reference/time-outs.ts';
import { halfWidthOf } from '../../uncertainty/parts.ts';
import type { Implausible } from '../key-off/plausible.ts';
import type { DrainFinding, DrainResult, PossiblePull, Pull, Pulses, WakeRhythm, WakeUp } from '../../results.ts';
import type { NightCheck, NightEvidence } from './codes.ts';
import type { Rise } from './judge.ts';

export interface Facts {
  readonly finding: DrainFinding;
  readonly implausible: Implausible | null;
  /** what rose from the rest and stays */
  readonly risen: Rise | null;
  readonly keyOffS: number | null;
  readonly elapsedS: number;
  readonly asleep: DrainResult['asleep'];
  readonly held: NonNullable<DrainResult['held']> | null;
  readonly firstS: number;
  readonly lastS: number;
  readonly averageA: number;
  readonly limitA: number;
  readonly reserveLimitA: number | null;
  readonly overLimit: boolean | null;
  readonly wakeUps: readonly WakeUp[];
  readonly rhythm: WakeRhythm | null;
  readonly longestRestS: number;
  readonly lastLevelA: number;
  readonly pulls: readonly Pull[];
  readonly possiblePulls: readonly PossiblePull[];
  readonly pulses: Pulses | null;
  readonly unexplainedA: number | null;
  readonly sharing: readonly string[];
  readonly waitS: number | null;
  /** the next to end */
  readonly timeOut: TimeOut | null;
  /** the one the wait is for */
  readonly longestTimeOut: TimeOut | null;
  /** the clock at time 0, ms since 1970; null where it is not known */
  readonly startedAtMs: number | null;
  /** change of the level that may be a drift of the zero or a load that dies away, A; 0 when there is none */
  readonly movedA: number;
}

/** Lamps bear the watts that they take at this. */
const LAMP_V = 12;

/** The figures that prove the finding, most telling first. */
export function becauseOf(facts: Facts): NightEvidence[] {
  const said: NightEvidence[] = [];
  const { asleep, held, implausible, rhythm } = facts;
  if (implausible !== null) {
    if (implausible.what === 'into-battery') return [{ code: 'into-battery', levelA: implausible.levelA, charging: implausible.charging }];
    if (implausible.what === 'no-current' || implausible.what === 'constant') return [{ code: implausible.what, levelA: implausible.levelA }];
    return [{ code: implausible.what, middleA: implausible.middleA }];
  }
  if (facts.keyOffS !== null) said.push({ code: 'key-off', atS: facts.keyOffS });
  if (asleep !== null) {
    said.push({ code: 'rest', atS: asleep.at_s, fromStart: asleep.at_s - facts.firstS < HAND_BLIP_S, levelA: asleep.level_a, lowA: asleep.low_a, highA: asleep.high_a });
    said.push({ code: 'average', averageA: facts.averageA, limitA: facts.limitA, overLimit: facts.overLimit });
    if (isLamp(facts)) said.push({ code: 'lamp', levelA: asleep.level_a, watts: asleep.level_a * LAMP_V });
  } else if (facts.finding === 'awake') said.push({ code: 'keeps-working', elapsedS: facts.elapsedS, levelA: facts.lastLevelA });
  else if (facts.finding === 'waking') said.push({ code: 'hardly-rests', count: facts.wakeUps.length, longestRestS: facts.longestRestS, averageA: facts.averageA });
  else if (facts.risen === null && held !== null) {
    said.push({ code: 'held', levelA: held.level_a, lowA: held.low_a, highA: held.high_a, sinceS: held.since_s - facts.firstS, limitA: facts.limitA, elapsedS: facts.elapsedS, timeOut: facts.timeOut });
  } else if (facts.risen === null) said.push({ code: 'fell-late', elapsedS: facts.elapsedS, levelA: facts.lastLevelA });
  if (facts.risen !== null) said.push({ code: 'rose-and-stays', afterS: facts.risen.atS - facts.firstS, levelA: facts.risen.levelA });
  if (facts.pulses !== null) said.push({ code: 'pulses', floorA: facts.pulses.floor_a, pulseA: facts.pulses.pulse_a, duty: facts.pulses.duty, periodS: facts.pulses.period_s, meanA: facts.pulses.mean_a });
  const unknownA = halfWidthOf(((asleep ?? held)?.uncertainty ?? []).filter(({ source }) => source === 'zero-unknown'));
  if (unknownA > 0) said.push({ code: 'zero-unknown', halfWidthA: unknownA });
  if (facts.movedA !== 0) said.push({ code: 'drift-or-decay', changeA: facts.movedA });
  if (facts.reserveLimitA !== null) said.push({ code: 'reserve', limitA: facts.reserveLimitA, over: asleep === null ? null : facts.averageA > facts.reserveLimitA });
  if (facts.wakeUps.length > 0 && asleep !== null) {
    const count = (cause: WakeUp['cause']): number => facts.wakeUps.filter((wake) => (wake.cause ?? null) === cause).length;
    const period = rhythm !== null && rhythm.regular ? { s: rhythm.period_s, lowS: rhythm.low_s, highS: rhythm.high_s } : null;
    said.push({ code: 'wake-ups', own: count(null), byPerson: count('person'), byFuse: count('fuse'), period });
  }
  // the largest last: the newest lines say most, and are read first
  for (const pull of carrying(facts).reverse()) said.push({ code: 'carries', label: pull.label, currentA: -pull.change_a, lowA: -pull.high_a, highA: -pull.low_a });
  const open = notMeasured(facts.pulls);
  if (open.length > 0) said.push({ code: 'not-measured', labels: open });
  for (const one of facts.possiblePulls) said.push({ code: 'possible-pull', fromS: one.from_s, toS: one.to_s, changeA: one.change_a });
  return said;
}

/** Labels of the fuses whose pull says nothing, each once. */
export function notMeasured(pulls: readonly Pull[]): string[] {
  const known = new Set(pulls.filter((pull) => pull.carries !== null).map((pull) => pull.label));
  return [...new Set(pulls.filter((pull) => !known.has(pull.label)).map((pull) => pull.label))];
}

function carrying({ pulls }: Facts): Pull[] {
  return pulls.filter((pull) => pull.carries === true).sort((a, b) => a.change_a - b.change_a);
}

function isLamp({ finding, asleep, pulses }: Facts): boolean {
  return finding === 'drain' && asleep !== null && asleep.level_a >= LAMP_A && pulses === null;
}

/** What to check where the readings are of no parked vehicle; where a level rose from the rest and stays, it is the sensor. */
const CHECK_OF = { 'into-battery': 'charger-or-clamp', 'no-current': 'check-sensor', 'constant': 'check-sensor', 'milliamps-as-amps': 'check-unit', 'amps-as-milliamps': 'check-unit' } as const;

/** What to check next, easy before hard. */
export function nextOf(facts: Facts): NightCheck[] {
  const named: NightCheck[] = facts.possiblePulls.map((one) => ({ code: 'name-possible-pull', fromS: one.from_s, toS: one.to_s, changeA: one.change_a }));
  const wait: NightCheck[] = facts.waitS === null ? [] : [waitFor(facts, facts.waitS)];
  const again: NightCheck[] = notMeasured(facts.pulls).length === 0 ? [] : [{ code: 'pull-again', labels: notMeasured(facts.pulls) }];
  switch (facts.finding) {
    case 'unclear':
      if (facts.asleep !== null) return [{ code: 'zero-again' }, ...again, ...named];
      return [{ code: facts.implausible === null ? 'check-sensor' : CHECK_OF[facts.implausible.what] }];
    case 'too-short':
      return [...wait, ...again, ...named];
    case 'awake':
      return [{ code: 'what-keeps-awake' }, { code: 'pull-one-by-one' }, ...named];
    case 'waking':
      return [...(facts.overLimit === null && facts.averageA <= facts.limitA ? [{ code: 'zero-again' } as const] : []), { code: 'what-wakes' }, { code: 'pull-listeners' }, ...named];
    case 'asleep':
      if (facts.overLimit === null) return [facts.averageA > facts.limitA && facts.wakeUps.length > 0 ? { code: 'watch-wake-ups', waitS: FEWEST_WAKE_UPS * NEAR_S } : { code: 'zero-again' }, ...again, ...named];
      return [{ code: 'no-drain' }, ...again, ...named];
    case 'drain':
      return [...nextForDrain(facts, again), ...named];
  }
}

/** The wait with the time-out it is for, and the next one on the way. */
function waitFor({ startedAtMs, firstS, lastS, timeOut, longestTimeOut }: Facts, waitS: number): NightCheck {
  const clockMs = (atS: number): number | null => (startedAtMs === null ? null : startedAtMs + MS_PER_S * atS);
  const untilS = lastS + waitS;
  const firstEndsS = firstS + (timeOut?.lengthS ?? 0);
  const first = timeOut === null || timeOut === longestTimeOut || firstEndsS >= untilS ? null : { timeOut, inS: firstEndsS - lastS, atMs: clockMs(firstEndsS) };
  return { code: 'wait', waitS, untilMs: clockMs(untilS), timeOut: longestTimeOut, first };
}

function nextForDrain(facts: Facts, again: readonly NightCheck[]): NightCheck[] {
  const found = carrying(facts);
  if (facts.pulls.length === 0) {
    const waking = facts.asleep !== null && facts.asleep.level_a <= facts.limitA;
    return [...(isLamp(facts) ? [{ code: 'lamps' } as const] : []), waking ? { code: 'waking-module' } : { code: 'accessories' }, { code: 'pull-one-by-one' }];
  }
  if (facts.sharing.length > 1) return [{ code: 'shared', labels: facts.sharing }, { code: 'each-circuit' }];
  // what was not measured may carry it
  if (found.length === 0 && again.length > 0) return [...again];
  if (found.length === 0) return [ { code: 'other-fuses' }, { code: 'two-feeds' }];
  // the largest share first: what no pulled fuse explains may be the drain
  const circuit: NightCheck = { code: 'follow-circuit', label: found[0].label, currentA: -found[0].change_a };
  const unexplainedA = facts.unexplainedA ?? 0;
  const unexplained: NightCheck[] = unexplainedA > facts.limitA ? [{ code: 'follow-unexplained', currentA: unexplainedA }] : [];
  return unexplainedA > -found[0].change_a ? [...again, ...unexplained, circuit] : [...again, circuit, ...unexplained];
}
