import type { Samples } from '../../src/core/trace.ts';

/** A stretch of live reading past the limit, as it happens. */
export interface LiveFlag {
  readonly startS: number;
  endS: number;
  peakA: number;
}

/** Flags kept for the list; older ones are in the recording. */
const KEPT = 100;
/** A stretch ends when the reading stayed within the limit this long, so that ripple across the limit is one flag, s. */
const QUIET_S = 0.1;

/** Follows the samples and lists where their size passes `limitA`. O(1) a sample, bounded memory. */
export class FlagWatch {
  readonly flags: LiveFlag[] = [];
  private readonly limitA: number;

  constructor(limitA: number) {
    this.limitA = limitA;
  }

  /** Returns true when a new stretch began in this block. */
  push({ timeS, currentA }: Samples): boolean {
    let began = false;
    let open = this.flags[this.flags.length - 1];
    for (let i = 0; i < timeS.length; i++) {
      const sizeA = Math.abs(currentA[i]!);
      if (sizeA <= this.limitA) continue;
      if (open === undefined || timeS[i]! - open.endS > QUIET_S) {
        open = { startS: timeS[i]!, endS: timeS[i]!, peakA: sizeA };
        this.flags.push(open);
        if (this.flags.length > KEPT) this.flags.shift();
        began = true;
      }
      open.endS = timeS[i]!;
      if (sizeA > open.peakA) open.peakA = sizeA;
    }
    return began;
  }
}
