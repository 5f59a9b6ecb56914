import type { Samples } from '../../src/core/trace.ts';

/** A stretch of live reading past the limit, as it happens. */
interface LiveFlag {
  readonly startS: number;
  endS: number;
  peakA: number;
}

/** Flags kept for the list; older ones are in the recording. */
const KEPT = 100;
/** A stretch ends when the reading stayed within the limit this long, so that ripple across the limit is one flag, s. */
const QUIET_S = 0.1;

/** Follows the samples and lists where their size stays past `limitA`. O(1) a sample, bounded memory. */
export class FlagWatch {
  readonly flags: LiveFlag[] = [];
  private readonly limitA: number;
  private readonly holdS: number;
  /** past the limit since its start; among the flags once it has lasted */
  private open: LiveFlag | null = null;
  private listed = false;

  constructor(limitA: number, holdS = 0) {
    this.limitA = limitA;
    this.holdS = holdS;
  }

  /** Returns true when a stretch became a flag in this block: at once, or when it has stayed past the limit for longer than the hold-off. */
  push({ timeS, currentA }: Samples): boolean {
    let began = false;
    for (let i = 0; i < timeS.length; i++) {
      const sizeA = Math.abs(currentA[i]!);
      if (sizeA <= this.limitA) continue;
      if (this.open === null || timeS[i]! - this.open.endS > QUIET_S) {
        this.open = { startS: timeS[i]!, endS: timeS[i]!, peakA: sizeA };
        this.listed = false;
      }
      this.open.endS = timeS[i]!;
      if (sizeA > this.open.peakA) this.open.peakA = sizeA;
      if (this.listed || (this.holdS > 0 && this.open.endS - this.open.startS <= this.holdS)) continue;
      this.flags.push(this.open);
      if (this.flags.length > KEPT) this.flags.shift();
      this.listed = true;
      began = true;
    }
    return began;
  }
}
