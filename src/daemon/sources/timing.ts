/** The clock and the timers of the sources; tests pass their own and let time pass by hand. */
export interface Timing {
  /** monotonic, ms */
  nowMs(): number;
  /** calls `action` every `periodMs` until the returned function is called */
  every(periodMs: number, action: () => void): () => void;
  /** calls `action` once after `delayMs` unless the returned function is called before */
  after(delayMs: number, action: () => void): () => void;
}

export const SYSTEM_TIMING: Timing = {
  nowMs: () => performance.now(),
  every(periodMs, action) {
    const timer = setInterval(action, periodMs);
    return () => clearInterval(timer);
  },
  after(delayMs, action) {
    const timer = setTimeout(action, delayMs);
    return () => clearTimeout(timer);
  },
};
