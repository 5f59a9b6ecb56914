import type { DrainResult } from '../../src/core/analysis/results.ts';
import { LONGEST_TIME_OUT_S } from '../../src/core/reference/time-outs.ts';
import { roughly } from './night-watch.ts';
import { formatDuration } from '../../src/core/units.ts';

/** What the clock of a drain test shows: what is being waited for, and since when. */
export interface Waiting {
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
  if (result === null) return { title: 'Waiting for the first reading', text: 'The clock starts with the recording.', sinceS: 0, share: null };
  const nowS = result.trace.duration_s;
  if (result.asleep !== null) {
    const last = result.wakeups[result.wakeups.length - 1];
    if (last !== undefined && nowS - last.end_s < 1 && last.end_s > result.asleep.at_s) return { title: 'Awake for a moment', text: 'It woke and should settle again.', sinceS: last.start_s, share: null };
    return { title: 'Asleep since', text: result.asleep.at_s < FROM_START_S ? 'It was at rest when the recording began.' : `It took ${formatDuration(result.asleep.at_s)} to settle.`, sinceS: result.asleep.at_s, share: null };
  }
  const waitS = result.wait_s ?? null;
  if (result.held != null && waitS !== null) {
    return { title: 'Settled since', text: `Over the limit, but a module may still time out: about ${formatDuration(roughly(waitS))} more to be sure.`, sinceS: result.held.since_s, share: Math.min(1, nowS / (nowS + waitS)) };
  }
  const wholeS = waitS === null || !Number.isFinite(waitS) ? LONGEST_TIME_OUT_S : nowS + waitS;
  return {
    title: 'Waiting for it to sleep',
    text: waitS !== null && Number.isFinite(waitS) ? `About ${formatDuration(roughly(waitS))} more to wait.` : 'Most modules sleep within 20 min; some need up to 75 min.',
    sinceS: 0,
    share: Math.min(1, nowS / Math.max(wholeS, 1)),
  };
}
