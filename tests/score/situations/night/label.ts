import type { Mark } from '../../../../src/core/trace.ts';
import { evenTimes, read, withGaps, type Sensor } from './sensor.ts';
import { LONGEST_TIMEOUT_S } from './stock.ts';
import type { Finding, Level, NightCase, NightLabel, NightOptions, Span } from './types.ts';
import type { ParkedNight, Rest } from './vehicle.ts';

/** The limit where none is given, as the contract states it. */
const CONTRACT_LIMIT_A = 0.05;
/** Three wake-ups make `waking` (definitions.md). */
const WAKEUPS_FOR_WAKING = 3;
/** Rest that nobody can call rest yet, and rest that everybody must (definitions.md). */
const SHORT_REST_S = 120;
const PLAIN_REST_S = 600;
/** The shortest wait that several makers ask for before measuring (Chevrolet Optra 2009: 20 min). */
const USUAL_WAIT_S = 20 * 60;

export function levelOf(night: ParkedNight): Level {
  return { meanA: night.floorA + night.pollMeanA, floorA: night.floorA };
}

/** What may be said of a night at rest, from what is true and from how long it could be seen (definitions.md, "asleep" and "drain"). */
export function restFindings(level: Level, limitA: number, restSeenS: number, sinceKeyOffS: number): { right: Finding[]; honest: Finding[] } {
  if (level.meanA <= limitA) {
    if (restSeenS < SHORT_REST_S || sinceKeyOffS < USUAL_WAIT_S) return { right: ['asleep', 'too-short'], honest: ['unclear'] };
    return { right: ['asleep'], honest: ['too-short', 'unclear'] };
  }
  if (restSeenS >= PLAIN_REST_S && sinceKeyOffS >= LONGEST_TIMEOUT_S + PLAIN_REST_S) return { right: ['drain'], honest: ['too-short', 'unclear'] };
  return { right: ['drain', 'too-short'], honest: ['unclear'] };
}

/** The label of a night as it follows from its parts; a situation overrides what is special about it. */
export function labelOf(night: ParkedNight, options: NightOptions, over: Partial<NightLabel> = {}): NightLabel {
  const limitA = options.limitA ?? CONTRACT_LIMIT_A;
  const level = levelOf(night);
  const rests = night.rests();
  const longestS = Math.max(0, ...rests.map((rest) => rest.endS - rest.beginS));
  const averageA = rests.length > 0 && night.stirred.length === 0 ? night.wave.meanA(rests[0]!.beginS, night.durationS) : level.meanA;
  const found = rests.length > 0 ? restFindings(level, limitA, longestS, night.durationS - night.keyOffS) : { right: ['too-short'] as Finding[], honest: ['unclear'] as Finding[] };
  if (night.wakeups.length >= WAKEUPS_FOR_WAKING && rests.length > 0) {
    if (averageA > limitA || level.meanA > limitA) found.right = ['waking', 'drain'];
    else found.right = ['waking', ...found.right];
  }
  const label: NightLabel = {
    right: found.right,
    honest: found.honest,
    asleep: rests.length === 0 ? null : { begins: rests.map(beginOf), level, must: longestS >= PLAIN_REST_S },
    overLimit: rests.length === 0 ? [null] : overLimitOf(level, averageA, limitA),
    wakeups: night.wakeups,
    stirred: night.stirred,
    period: null,
    pulls: [],
    possiblePulls: [],
    dips: [],
    unexplained: null,
    keyOff: null,
    averageA: rests.length === 0 || night.stirred.length > 0 ? null : averageA,
    daysToEmpty: options.batteryAh === undefined || rests.length === 0 ? null : options.batteryAh / averageA / 24,
    mostLevels: null,
    zeroA: 0,
    tags: [],
    ...over,
  };
  return { ...label, honest: label.honest.filter((finding) => !label.right.includes(finding)) };
}

function beginOf(rest: Rest): Span {
  return { fromS: rest.earliestS, toS: rest.beginS };
}

function overLimitOf(level: Level, averageA: number, limitA: number): (boolean | null)[] {
  if (level.meanA > limitA) return [true];
  if (averageA <= limitA) return [false];
  return [true, false, null];
}

export interface Recording {
  readonly sensor: Sensor;
  readonly options?: NightOptions;
  readonly marks?: readonly Mark[];
  readonly missing?: readonly Span[];
  readonly voltageV?: Float32Array | null;
  readonly label?: Partial<NightLabel>;
}

/** Nearer to the limit than four standard uncertainties of the sensor: not to decide is right as well (definitions.md). */
function open(label: NightLabel): NightLabel {
  return { ...label, right: [...new Set<Finding>([...label.right, 'unclear'])], honest: label.honest.filter((finding) => finding !== 'unclear'), overLimit: [...new Set([...label.overLimit, null])] };
}

/** Records a finished night with a sensor and puts its label beside it. */
export function recorded(night: ParkedNight, how: Recording): NightCase {
  const options = how.options ?? {};
  const columns = { timeS: evenTimes(night.wave), currentA: read(night.chance, night.wave, how.sensor), voltageV: how.voltageV ?? null };
  const label = labelOf(night, options, { zeroA: how.sensor.zeroA, ...how.label });
  const undecided = options.zeroUncertaintyA === undefined && label.asleep !== null && Math.abs(label.asleep.level.meanA - (options.limitA ?? CONTRACT_LIMIT_A)) < 4 * how.sensor.zeroSigmaA;
  return { trace: withGaps(columns, how.missing ?? []), marks: how.marks ?? [], options, label: undecided ? open(label) : label };
}
