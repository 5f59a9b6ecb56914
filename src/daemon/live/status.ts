import type { ToPage } from '../../core/wire/messages.ts';
import type { Recorder } from '../recording/recorder.ts';
import type { Feed } from './feed.ts';

/** Sent once a second whatever happens: a page that hears nothing for longer knows that the daemon itself has stopped. */
const EVERY_MS = 1000;
/** Without a reading for this long there is none of now, s: a slow sketch prints one a second. Lines that came meanwhile are shown as they are. */
export const NO_READING_S = 3;
/** and so many of them: enough to see their columns */
const ODD_LINES = 5;

export type Status = Extract<ToPage, { type: 'status' }>;

/** How old what the page shows is, and whether anything is recorded, so that a page can say so itself when nothing comes any more. */
export class StatusBeat {
  #timer: NodeJS.Timeout | null = null;

  start(now: () => Status, send: (status: Status) => void): void {
    this.#timer = setInterval(() => send(now()), EVERY_MS);
    this.#timer.unref();
  }

  stop(): void {
    if (this.#timer !== null) clearInterval(this.#timer);
    this.#timer = null;
  }
}

/** The age of the newest reading and of the last line, and whether anything is recorded. */
export function statusOf(feed: Feed, recorder: Recorder, readingAgeS: number | null): Status {
  const line = feed.line();
  const lineAgeS = line?.ageS ?? null;
  const noneIsAReading = lineAgeS !== null && lineAgeS < NO_READING_S && (readingAgeS === null || readingAgeS > NO_READING_S);
  const { logger, clock } = feed;
  return {
    type: 'status',
    state: feed.state.state,
    readingAgeS,
    lineAgeS,
    recording: recorder.view !== null,
    armed: recorder.isArmed,
    simulated: logger === null ? null : logger.kind === 'virtual' || logger.simulated === true,
    ...(line !== null && noneIsAReading ? { lines: line.heard.slice(-ODD_LINES).map(({ text }) => text) } : {}),
    ...(line === null || lineAgeS === null ? {} : { heard: line.heard }),
    ...(line === null || line.overload === null ? {} : { overload: line.overload }),
    ...(line === null || line.share === null ? {} : { share: line.share }),
    ...(clock === null ? {} : { clock }),
  };
}
