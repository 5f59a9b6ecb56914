/** Samples `[startIndex, endIndex)` of a trace. */
export interface IndexRange {
  readonly startIndex: number;
  readonly endIndex: number;
}

/** What the motor did during one press. */
export interface Motion {
  readonly stalls: readonly StallRange[];
  /** settled and turning */
  readonly running: readonly IndexRange[];
  /** samples up to which the switch-on reaches; null when there was none to see */
  readonly inrushEnd: number | null;
  readonly turned: boolean;
  /** false: the trace does not tell whether the motor turned */
  readonly certain: boolean;
}

export interface StallRange extends IndexRange {
  /** sample from which the current climbed to it: no longer running, not yet standing */
  readonly approachIndex: number;
  readonly levelA: number;
  readonly at: 'start' | 'travel';
}
