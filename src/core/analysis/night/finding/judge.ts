import { LONGEST_TIME_OUT_S, runningTimeOuts, timeOutFor, type TimeOut } from '../../../reference/time-outs.ts';
import type { DrainFinding, WakeUp } from '../../results.ts';
import { NORMAL_95 } from '../../uncertainty/normal-95.ts';
import { meanOf } from '../levels/segments.ts';
import { FEWEST_WAKE_UPS, NEAR_S, REST_S, SAME_SHARE, SURE_REST_S, TRIFLE_SHARE } from '../settings.ts';
import type { Readings, Rest, SleepTimeline } from '../types.ts';
import { wakingAdds } from '../wake-ups/wake-rate.ts';

export interface Judgement {
  readonly finding: DrainFinding;
  /** true: what was found counts as rest, and `asleep` is given */
  readonly slept: boolean;
  /** how much longer to record, s; null when there is nothing to wait for */
  readonly waitS: number | null;
  /** the next time-out to end that may still be running */
  readonly timeOut: TimeOut | null;
  /** the one that is over when the wait is; null where the maker of this vehicle gives the wait, or none is running */
  readonly longestTimeOut: TimeOut | null;
  readonly longestRestS: number;
  /** what rose from the rest and may be the rest itself; null without such a level */
  readonly risen: Rise | null;
}

/** A level that rose from the rest and stays to the end, above the limit for longer than any time-out, within it for much longer than the rest was seen. */
export interface Rise {
  readonly atS: number;
  readonly levelA: number;
}

/** The figures that the judgement rests on. */
export interface Figures {
  readonly levelA: number;
  readonly averageA: number;
  readonly limitA: number;
  /** the wait that the maker of this vehicle gives, s; null: the published time-outs */
  readonly settlingS: number | null;
  /** since key-off, s */
  readonly elapsedS: number;
  /** the first fuse pulled at rest, s; Infinity without one */
  readonly pulledS: number;
  /** half-width of what the sensor alone may add, 95 %, A */
  readonly sensorA: number;
}

/**
 * What is said of a night, and when: the one place that decides it.
 *
 * - Rest must be earned. A level within the limit counts as rest after two minutes. Above the limit a time-out may still end it: the
 *   longest published one, 75 minutes, at a level that awake modules draw, the usual 30 minutes below that, or the wait that the maker
 *   of this vehicle gives. A mark of a pulled fuse proves nothing. Until then the finding is `too-short`, and `asleep` is null.
 * - `drain`: the level is above the limit and the time-outs are over. A lamp left on is one.
 * - `awake`: the same, but the level keeps moving, as of a module that works.
 * - `waking`: the level is within the limit, but the vehicle wakes by itself so often that the average is above it, or too close to it for
 *   the sensor, shown by three wake-ups, or above it by the lower bound of a rate from fewer; or it hardly rests.
 * - `unclear`: the sensor cannot decide it; or the level rose from the rest and stays for much longer, within the limit.
 * - `asleep`: level and average are within the limit, or the average is above it and too few wake-ups say how often they come.
 */
export function judge(readings: Readings, rest: Rest | null, timeline: SleepTimeline, figures: Figures): Judgement {
  const { levelA, averageA, limitA, elapsedS } = figures;
  const longestRestS = longestRest(timeline);
  const wait = (levelNowA: number): Judgement => ({ finding: 'too-short', slept: false, ...remaining(elapsedS, levelNowA, figures.settlingS), longestRestS, risen: null });
  const found = (finding: DrainFinding, slept: boolean): Judgement => ({ finding, slept, waitS: null, timeOut: null, longestTimeOut: null, longestRestS, risen: null });
  const lastA = readings.segments.length === 0 ? 0 : readings.segments[readings.segments.length - 1].meanA;
  // without a rest there is no level of it
  if (rest === null) return wait(lastA);
  if (elapsedS < REST_S) return wait(Math.max(levelA, lastA));
  const restedS = readings.lastS - rest.atS;
  const own = timeline.wakeUps.filter((wake) => wake.cause === null || wake.cause === undefined);
  const last = own.at(-1);
  const stayedS = last !== undefined && last.end_s >= readings.lastS - 1 ? last.end_s - last.start_s : 0;
  // what did not come back in ten minutes is no wake-up
  if (last !== undefined && stayedS >= NEAR_S) {
    const stayA = meanOfWake(last);
    const stillS = Math.ceil(requiredS(stayA, figures.settlingS) - stayedS);
    const risen = { atS: last.start_s, levelA: stayA };
    if (stayA > limitA) return stillS <= 0 ? { ...found('drain', false), risen } : { ...wait(stayA), waitS: stillS, timeOut: null, longestTimeOut: null };
    if (stayedS > 2 * (last.start_s - rest.atS)) return { ...found('unclear', false), risen };
  }
  const share = awakeShare(own, restedS);
  const timedOut = elapsedS >= requiredS(levelA, figures.settlingS);
  const works = floorScatterA(readings, timeline, figures.pulledS) > Math.max(limitA, SAME_SHARE * levelA);
  const seenS = timeline.rests.reduce((sum, one) => sum + one.endS - one.startS, 0);
  const unsettled = longestRestS < REST_S || seenS < Math.min(figures.pulledS - rest.atS, restedS) / 2;
  if ((works || unsettled) && levelA > limitA) return timedOut && elapsedS >= LONGEST_TIME_OUT_S ? found('awake', false) : wait(levelA);
  if (own.length >= FEWEST_WAKE_UPS && longestRestS < SURE_REST_S && share > SAME_SHARE && levelA <= limitA) return found('waking', longestRestS >= 2 * REST_S);
  // the sensor itself cannot decide it, however long the recording
  const open = figures.sensorA > TRIFLE_SHARE * limitA && Math.abs(levelA - limitA) < figures.sensorA;
  if (levelA > limitA) return timedOut ? found(open ? 'unclear' : 'drain', true) : wait(levelA);
  if (longestRestS < REST_S || seenS < SURE_REST_S) return { ...wait(lastA), waitS: Math.ceil(SURE_REST_S - seenS + REST_S), timeOut: null, longestTimeOut: null };
  // an average that by the standard uncertainty of a sensor fit for this limit may be over it is not called sleep
  const nearA = figures.sensorA < SAME_SHARE * limitA ? figures.sensorA / NORMAL_95 : 0;
  if (own.length >= FEWEST_WAKE_UPS && averageA > limitA - nearA) return found('waking', true);
  if (averageA > limitA && levelA + wakingAdds(own, levelA, restedS) > limitA) return found('waking', true);
  return found(open ? 'unclear' : 'asleep', true);
}

function requiredS(levelA: number, settlingS: number | null): number {
  return settlingS ?? timeOutFor(levelA).lengthS;
}

/** How long the level must still hold, and the next time-out that may end it. */
function remaining(elapsedS: number, levelA: number, settlingS: number | null): Pick<Judgement, 'waitS' | 'timeOut' | 'longestTimeOut'> {
  const waitS = Math.max(60, Math.ceil(requiredS(levelA, settlingS) - elapsedS));
  return { waitS, timeOut: settlingS === null ? (runningTimeOuts(elapsedS, levelA)[0] ?? null) : null, longestTimeOut: settlingS === null ? timeOutFor(levelA) : null };
}

/** Standard deviation of the floor between wake-ups, over groups of blocks, A. */
function floorScatterA(readings: Readings, timeline: SleepTimeline, untilS: number): number {
  const { meanA, widthS } = readings.blocks;
  const perGroup = Math.max(1, Math.round(REST_S / widthS));
  let count = 0;
  let mean = 0;
  let squares = 0;
  for (const { startBlock, endBlock, startS } of timeline.rests) {
    if (startS >= untilS) break;
    for (let i = startBlock; i + perGroup <= endBlock; i += perGroup) {
      const groupA = meanOf(meanA, i, i + perGroup);
      count++;
      const apart = groupA - mean;
      mean += apart / count;
      squares += apart * (groupA - mean);
    }
  }
  return count < 2 ? 0 : Math.sqrt(squares / (count - 1));
}

function longestRest({ rests }: SleepTimeline): number {
  let longestS = 0;
  let startS = NaN;
  let endS = NaN;
  for (const rest of rests) {
    if (!(rest.startS - endS < 1)) startS = rest.startS;
    endS = rest.endS;
    longestS = Math.max(longestS, endS - startS);
  }
  return longestS;
}

function meanOfWake(wake: WakeUp): number {
  return wake.charge_c / Math.max(1, wake.end_s - wake.start_s);
}

function awakeShare(wakeUps: readonly WakeUp[], spanS: number): number {
  let awakeS = 0;
  for (const wake of wakeUps) awakeS += wake.end_s - wake.start_s;
  return spanS > 0 ? awakeS / spanS : 0;
}
