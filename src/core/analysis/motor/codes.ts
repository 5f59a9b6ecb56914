import type { ProblemCode } from '../../problems.ts';
import type { Direction, EventCode, Inrush, Actuation } from '../results.ts';
import type { LeadPlace } from './sensor/feed-voltage.ts';

/** A level with its bounds, A. */
interface Bounds {
  readonly lowA: number;
  readonly highA: number;
}

/** What the finding rests on, as codes with figures; `core/present` has the sentences. Moments are seconds of the trace. */
export type MotorEvidence =
  | { readonly code: 'all-cut'; readonly presses: number }
  | { readonly code: 'some-cut'; readonly presses: number; readonly atS: number; readonly end: 'start' | 'end' }
  | { readonly code: 'dead'; readonly presses: number; readonly topV: number }
  | { readonly code: 'unpowered' }
  /** a problem of the recording that leaves nothing to judge */
  | { readonly code: 'problem'; readonly problem: MotorProblem }
  | { readonly code: 'no-current'; readonly topV: number | null }
  | { readonly code: 'hidden-by-range'; readonly levelA: number }
  | { readonly code: 'sharp-edge' }
  | { readonly code: 'one-level' }
  | { readonly code: 'stands-or-turns'; readonly atS: number }
  | { readonly code: 'low-feed'; readonly atS: number; readonly feedV: number; readonly place: LeadPlace; readonly ran: boolean }
  | { readonly code: 'sagging-feed'; readonly atS: number; readonly place: LeadPlace; readonly openV: number; readonly loadV: number; readonly startV: number | null; readonly sourceOhm: number; readonly lowOhm: number; readonly highOhm: number }
  | { readonly code: 'flat-battery'; readonly restV: number; readonly fromV: number }
  | { readonly code: 'low-run-volts'; readonly atS: number; readonly feedV: number; readonly fromV: number }
  | { readonly code: 'feed-warms'; readonly atS: number; readonly fromOhm: number; readonly toOhm: number }
  | { readonly code: 'stall'; readonly fromS: number; readonly levelA: number; readonly atLeast: boolean; readonly lastedS: number; readonly run: { readonly levelA: number; readonly atLeast: boolean } | null; readonly stalls: number }
  | { readonly code: 'cut-out'; readonly atS: number; readonly times: number; readonly shortestS: number; readonly longestS: number }
  | ({ readonly code: 'stall-against-estimate'; readonly atS: number; readonly estimateA: number; readonly stallA: number; readonly stallIs: 'as-estimated' | 'more' | 'less' } & Bounds)
  | { readonly code: 'load'; readonly share: number; readonly loadIs: 'hardly-any' | 'usual' | 'hard'; readonly isMotor: boolean }
  | { readonly code: 'jam'; readonly atS: number; readonly changeA: number }
  | { readonly code: 'lost-load'; readonly atS: number; readonly leftA: number }
  | ({ readonly code: 'beat'; readonly periodS: number; readonly depthA: number } & Bounds)
  | { readonly code: 'winding'; readonly volts: number; readonly levelA: number; readonly ohm: number }
  | { readonly code: 'locked'; readonly atS: number; readonly levelA: number; readonly atLeast: boolean; readonly lastedS: number }
  | { readonly code: 'lost-contact'; readonly atS: number; readonly times: number; readonly longestS: number }
  | ({ readonly code: 'bad-segment'; readonly revolutions: number; readonly depthA: number; readonly share: number; readonly presses: number } & Bounds)
  | { readonly code: 'off-limits'; readonly atS: number; readonly levelA: number; readonly atLeast: boolean; readonly limitsA: readonly [number, number] }
  | { readonly code: 'ran'; readonly presses: number; readonly lowA: number; readonly highA: number; readonly limitsA: readonly [number, number] | null; readonly isMotor: boolean }
  | { readonly code: 'started'; readonly presses: number; readonly isMotor: boolean }
  | ({ readonly code: 'unjudged' } & Unjudged)
  | { readonly code: 'one-way-harder'; readonly harder: Direction; readonly ratio: number }
  | { readonly code: 'one-way-farther'; readonly farther: Direction; readonly ratio: number; readonly low: number; readonly high: number }
  | { readonly code: 'travel'; readonly ways: readonly { readonly direction: Direction; readonly turns: number; readonly low: number; readonly high: number }[] }
  | { readonly code: 'stop-places'; readonly ways: readonly StopPlaces[] }
  | { readonly code: 'wire-behind-lead' }
  | { readonly code: 'wire'; readonly lengthM: number; readonly areaMm2: number; readonly temperatureC: number; readonly share: NonNullable<Actuation['wire']>; readonly sourceOhm: number; readonly exceeds: boolean; readonly restV: number | null }
  | { readonly code: 'fuse'; readonly atLeast: boolean; readonly fuse: NonNullable<Actuation['fuse']> };

/** Why nothing in a trace speaks for a motor that ran and stopped: no switch-on shows its stall current, its run scatters by so much of its level, or it runs at an unusual share of its stall current. */
export type Unjudged = { readonly reason: 'no-stall-current' } | { readonly reason: 'unsteady' | 'load'; readonly share: number };

/** Where it stood still in the presses of one direction, counted from the start of each press. */
export interface StopPlaces {
  readonly direction: Direction;
  readonly presses: number;
  readonly placeIs: 'same' | 'different';
  readonly unit: 'turns' | 'ripples';
  readonly mean: number;
  readonly low: number;
  readonly high: number;
}

/** What to check next. */
export type MotorCheckCode =
  | 'check-unit' | 'check-voltage-channel'
  | 'work-commutator' | 'look-at-brushes'
  | 'lead-to-motor' | 'hold-longer' | 'type-in-limits' | 'record-faster' | 'no-bad-part' | 'no-bad-part-by-itself'
  | 'compare-other-side' | 'motor-alone'
  | 'where-it-stood' | 'wait-for-cut-out' | 'clear-the-way' | 'other-way'
  | 'move-by-hand' | 'motor-alone-runs'
  | 'clean-and-lubricate' | 'compare-directions' | 'motor-alone-heavy'
  | 'watch-mechanism' | 'clamp-on-one-wire'
  | 'move-harness' | 'drop-switch-and-ground' | 'volts-in-breaks'
  | 'motor-ground' | 'motor-connector' | 'motor-resistance'
  | 'battery-first' | 'drop-by-section' | 'feed-before-motor'
  | 'fuse-and-ignition' | 'up-the-circuit'
  | 'record-whole-press' | 'larger-range' | 'clamp-and-range' | 'lead-and-press' | 'record-switch-on';

/** What a reader must know of the recording before trusting the figures. */
export type MotorProblem = { readonly code: ProblemCode } & (
  | { readonly code: 'no-samples' }
  | { readonly code: 'too-short'; readonly samples: number; readonly durationS: number }
  | { readonly code: 'gaps'; readonly count: number; readonly firstS: number }
  | { readonly code: 'uneven-rate' }
  | { readonly code: 'rate-too-low'; readonly rateHz: number }
  | { readonly code: 'constant'; readonly levelA: number }
  | { readonly code: 'aliasing'; readonly rateHz: number; readonly refused: boolean; readonly sureHz: number }
  | { readonly code: 'offset'; readonly levelA: number | null }
  | { readonly code: 'offset-drift'; readonly driftA: number }
  | { readonly code: 'implausible-unit'; readonly peakA: number }
  | { readonly code: 'hum'; readonly amplitudeA: number; readonly frequencyHz: number }
  | { readonly code: 'starts-midway' }
  | { readonly code: 'ends-midway' }
  | { readonly code: 'clipped'; readonly clipA: number; readonly peaks: number; readonly runs: number; readonly stalls: number; readonly hidesFeed: boolean }
  | { readonly code: 'slow-sensor'; readonly followS: number; readonly bandwidthHz: number; readonly known: boolean; readonly lowPeakA: number; readonly highPeakA: number | null }
  | { readonly code: 'reversed-clamp' }
  | { readonly code: 'implausible-voltage'; readonly topV: number; readonly tooHigh: boolean }
  | { readonly code: 'noise'; readonly share: number }
  | { readonly code: 'ac-coupled'; readonly timeConstantS: number }
  | { readonly code: 'clamp-off'; readonly times: number }
  | { readonly code: 'zeroed-under-current'; readonly restsAtA: number | null }
  | { readonly code: 'voltage-elsewhere'; readonly times: number }
  | { readonly code: 'background'; readonly levelA: number }
  | { readonly code: 'chopped'; readonly frequencyHz: number | null }
  | { readonly code: 'peak-band'; readonly rateHz: number; readonly lowPeakA: number; readonly highPeakA: number }
);

/** Why a switch-on was not fitted. */
export type NoFit =
  | { readonly code: 'no-motor' }
  | { readonly code: 'beyond-range' }
  | { readonly code: 'still-turning' }
  | { readonly code: 'too-short' }
  | { readonly code: 'samples-missing' }
  | { readonly code: 'small-fall' }
  | { readonly code: 'few-samples'; readonly samples: number }
  | { readonly code: 'other-shape' }
  | { readonly code: 'above-other-presses' };

/** Something that happened in a press, with the figure that belongs to it. */
export interface MotorEvent {
  readonly code: EventCode;
  readonly atS: number;
  /** reversal: the current that led to it; cut-out: the stall's; step: the change; spike: how high the reading was, A */
  readonly sizeA: number | null;
}

/** The switch-on of a press, with a code where the document has a sentence. */
export type InrushReading = Omit<Inrush, 'no_fit'> & { no_fit?: NoFit };

/** One press as it was read: the fields of the public document, with codes where that has sentences. */
export type PressReading = Omit<Actuation, 'inrush' | 'events'> & { inrush: InrushReading | null; events?: MotorEvent[] };
