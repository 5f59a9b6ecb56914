import type { DrainResult } from '../../../src/core/analysis/results.ts';
import { LONGEST_TIME_OUT_S } from '../../../src/core/reference/time-outs.ts';
import { roughly } from './night-watch.ts';
import { formatDuration, language } from '../../../src/core/present/language.ts';

const words = language.screens.test.waiting;

/** What the clock of a drain test shows: what is being waited for, and since when. */
interface Waiting {
  readonly title: string;
  readonly text: string;
  /** seconds of the result's own time from which the clock counts */
  readonly sinceS: number;
  /** share of the wait that is over, when its length is known */
  readonly share: number | null;
}

/** Rest found this early began before the recording. */
const FROM_START_S = 5;

export function waitingFor(result: DrainResult | null): Waiting {
  if (result === null) return { title: words.waitingForTheFirstReading, text: words.theClockStartsWith, sinceS: 0, share: null };
  const nowS = result.trace.duration_s;
  if (result.asleep !== null) {
    const last = result.wakeups[result.wakeups.length - 1];
    if (last !== undefined && nowS - last.end_s < 1 && last.end_s > result.asleep.at_s) return { title: words.awakeForAMoment, text: words.itWokeAndShould, sinceS: last.start_s, share: null };
    // at rest over the limit is the drain itself, and no sleep
    if (result.over_limit === true) return { title: words.settledSince, text: words.overTheLimit, sinceS: result.asleep.at_s, share: null };
    return { title: words.asleepSince, text: result.asleep.at_s < FROM_START_S ? words.itWasAtRest : words.itTookToSettle(formatDuration(result.asleep.at_s)), sinceS: result.asleep.at_s, share: null };
  }
  const waitS = result.wait_s ?? null;
  if (result.held != null && waitS !== null) {
    return { title: words.settledSince, text: words.overTheLimitBut(formatDuration(roughly(waitS))), sinceS: result.held.since_s, share: Math.min(1, nowS / (nowS + waitS)) };
  }
  const wholeS = waitS === null || !Number.isFinite(waitS) ? LONGEST_TIME_OUT_S : nowS + waitS;
  return {
    title: words.waitingForItToSleep,
    text: waitS !== null && Number.isFinite(waitS) ? words.aboutMoreToWait(formatDuration(roughly(waitS))) : words.mostModulesSleepWithin,
    sinceS: 0,
    share: Math.min(1, nowS / Math.max(wholeS, 1)),
  };
}
