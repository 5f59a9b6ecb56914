/** The label of one recording: what the motor, the mechanism and the feed did, and which answers follow from that. See tests/score/definitions.md. */
export type Finding = 'normal' | 'stalled' | 'locked' | 'heavy' | 'light' | 'intermittent' | 'suspect' | 'dead' | 'starved' | 'unpowered' | 'unclear';
export type LoadKind = 'motor' | 'heater' | 'lamp' | 'solenoid' | 'latch' | 'starter' | 'unknown';
export type EventCode = 'reversal' | 'slip' | 'cut-out' | 'plunger' | 'step' | 'spike';
export type Cut = 'start' | 'end' | 'both';
/** problem codes that the judge looks at; others are not judged here */
export type JudgedProblem = 'ac-coupled' | 'clamp-off' | 'chopped' | 'background' | 'peak-band' | 'clipped';

export interface Span {
  readonly startS: number;
  readonly endS: number;
}

export interface StallTruth extends Span {
  readonly at: 'start' | 'travel';
  /** mean current of the standing stretch */
  readonly levelA: number;
}

/** `sure`: it is plain in the record, and to say nothing of it is `missed`. */
export interface EventTruth {
  readonly code: EventCode;
  readonly atS: number;
  readonly sure: boolean;
}

export interface StepTruth {
  readonly atS: number;
  readonly changeA: number;
  readonly sure: boolean;
}

export interface PressTruth extends Span {
  /** sign of the current as the clamp shows it */
  readonly sign: 1 | -1;
  readonly cut: Cut | null;
  /** no current flowed under the clamp: nobody need tell it */
  readonly optional: boolean;
  /** findings that are right, and those that are honest though they say less; every other one is false */
  readonly right: readonly Finding[];
  readonly honest: readonly Finding[];
  /** still for long enough to be one; and stretches of which either may be said */
  readonly stalls: readonly StallTruth[];
  readonly greyStalls: readonly Span[];
  readonly breaks: readonly Span[];
  readonly greyBreaks: readonly Span[];
  /** greatest current of the start-up, before the sensor; null where no start-up is in the recording */
  readonly peakA: number | null;
  readonly run: Span | null;
  /** mean of the run, before the sensor */
  readonly runA: number | null;
  /** what this motor would draw if it stood still now */
  readonly standingA: number | null;
  readonly events: readonly EventTruth[];
  readonly steps: readonly StepTruth[];
  readonly beat: { readonly periodS: number; readonly depthA: number; readonly sure: boolean } | null;
  readonly chopped: { readonly hz: number | null; readonly duty: number; readonly meanA: number; readonly sure: boolean } | null;
}

export interface Truth {
  readonly verdictRight: readonly Finding[];
  readonly verdictHonest: readonly Finding[];
  /** kinds that may be reported; 'unknown' is never false */
  readonly kinds: readonly LoadKind[];
  readonly problemsSure: readonly JudgedProblem[];
  readonly problemsAllowed: readonly JudgedProblem[];
  /** level before and after the presses as the clamp shows it, and how far a reported figure may be off; null: not judged */
  readonly backgroundA: number | null;
  readonly backgroundToleranceA: number;
  readonly sourceOhm: { readonly low: number; readonly high: number } | null;
  /** the battery's open volts, or the highest reading if that is more: open volts reported beyond it were never there */
  readonly highestV: number | null;
  readonly presses: readonly PressTruth[];
  /** more presses than these may be reported (the feed was open too long to be distinguished from a release) */
  readonly splitAllowed: boolean;
  /** bounds of levels are judged: the recording shows zero, and the sensor is not asked for what it cannot give */
  readonly levelsJudged: boolean;
  /** perfect readings: mean since the reading before, without what is always there; one speed column a motor */
  readonly timeS: Float64Array;
  readonly wireA: Float64Array;
  readonly commutationHz: readonly Float64Array[];
  /** may a speed be read at all: the line is clear of the noise and below half the rate */
  readonly rippleVisible: boolean;
  readonly ripplesPerTurn: number;
}

/** What the technician typed in beside the recording. */
export interface Options {
  readonly runLimitsA?: readonly [number, number];
  readonly commutations?: number;
  /** the sensor's standard uncertainties (--zero-doubt, --gain-doubt, --drift-per-hour) */
  readonly zeroUncertaintyA?: number;
  readonly gainUncertaintyPercent?: number;
  readonly driftPerHourA?: number;
}

export interface Columns {
  readonly timeS: Float64Array;
  readonly currentA: Float32Array;
  readonly voltageV: Float32Array | null;
  readonly gaps: readonly Span[];
}

export interface Situation {
  readonly name: string;
  readonly seed: number;
  readonly columns: Columns;
  readonly options: Options;
  readonly truth: Truth;
}
