import type { Timing } from './timing.ts';

/** How often a paced source hands on samples: as often as a page can show them. */
const STEP_MS = 20;
/** A computer that was asleep or busy makes up at most this much at once, s of its clock; the rest of the pause never happened. */
const MAX_CATCH_UP_S = 0.5;

/**
 * Turns the passing of the clock into steps of source time: `step(s)` is called with how far the source may go on, `speed` times as
 * fast as the clock. Returns the function that ends it.
 */
export function pace(timing: Timing, speed: number, step: (durationS: number) => void): () => void {
  let lastMs = timing.nowMs();
  return timing.every(STEP_MS, () => {
    const nowMs = timing.nowMs();
    const passedS = Math.min(MAX_CATCH_UP_S, Math.max(0, (nowMs - lastMs) / 1000));
    lastMs = nowMs;
    step(passedS * speed);
  });
}
