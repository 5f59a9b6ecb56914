/**
 * The daemon's two clocks. Trace time never comes from the wall clock, which people and networks set; it only dates the start of a
 * recording. Tests pass their own.
 */
export interface Clock {
  /** monotonic, ms */
  nowMs(): number;
  /** wall clock */
  date(): Date;
}

export const SYSTEM_CLOCK: Clock = {
  nowMs: () => performance.now(),
  date: () => new Date(),
};
