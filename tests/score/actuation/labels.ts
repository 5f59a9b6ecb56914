import type { Trace } from '../../../src/core/trace.ts';
import type { ActuationOptions } from '../../../src/core/analysis/options.ts';

/** What really happened in a generated press. Levels are what a sensor of the same bandwidth without noise, offset or steps would read. */
export interface TruePress {
  readonly startS: number;
  readonly endS: number;
  readonly direction: 'forward' | 'reverse';
  /** null where more than one would be right */
  readonly finding: string | null;
  /** null where there is no switch-on peak to read (locked, or not in the trace) */
  readonly peakA: number | null;
  readonly runA: number | null;
  readonly stalls: readonly { readonly startS: number; readonly endS: number; readonly levelA: number }[];
  readonly dropouts: readonly { readonly startS: number; readonly endS: number }[];
  /** usual frequency over the run; null when the logger cannot see it; 'borderline' asks for nothing */
  readonly rippleHz: number | null | 'borderline';
  /** rate of the commutations, seen or not; null without a run */
  readonly commutationHz: number | null;
}

export interface LabelledTrace {
  readonly name: string;
  /** machine and sensor in words */
  readonly about?: string;
  readonly seed: number;
  readonly trace: Trace;
  readonly options: ActuationOptions;
  /** null where more than one would be right */
  readonly finding: string | null;
  readonly presses: readonly TruePress[];
  readonly voltageAt: 'motor' | 'battery' | null;
  /** of the feed up to the voltage lead, ohm; null when no press spreads the current enough to tell */
  readonly sourceOhm: number | null;
}
