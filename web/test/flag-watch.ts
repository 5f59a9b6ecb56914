import type { Samples } from '../../src/core/trace.ts';

/** A stretch of live reading past the limit, as it happens. */
export interface LiveFlag {
  readonly startS: number;
  endS: number;
  peakA: number;
}

/** A stretch ends when the reading stayed within the limit this long, so that ripple across the limit is one flag, s. */
const QUIET_S = 0.1;

/** A stretch past the limit as the analysis tells it, in its own time. */
interface FoundFlag {
  readonly start_s: number;
  readonly end_s: number;
  readonly peak_a: number;
}

/**
 * What the analysis has found in all readings since it began, and what this page has seen: both know parts that the other does not. A page opened in the middle
 * of a stretch has not seen its beginning, and the analysis is some tenths of a second behind. In order of time; those that overlap are one.
 */
export function joinedFlags(found: readonly FoundFlag[], offsetS: number, seen: readonly LiveFlag[]): LiveFlag[] {
  const all = [...found.map((flag) => ({ startS: flag.start_s + offsetS, endS: flag.end_s + offsetS, peakA: Math.abs(flag.peak_a) })), ...seen].sort((a, b) => a.startS - b.startS);
  const joined: { startS: number; endS: number; peakA: number }[] = [];
  for (const { startS, endS, peakA } of all) {
    const last = joined[joined.length - 1];
    if (last === undefined || startS > last.endS + QUIET_S) joined.push({ startS, endS, peakA });
    else Object.assign(last, { endS: Math.max(last.endS, endS), peakA: Math.max(last.peakA, peakA) });
  }
  return joined;
}

/** Flags kept for the list; older ones are in the recording. */
const KEPT = 100;

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
