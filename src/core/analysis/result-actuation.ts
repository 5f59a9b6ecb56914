import type { ActuationFinding, ActuationVerdictFinding } from './findings.ts';
import type { GapFields, ResultCommon, Verdict } from './result-common.ts';
import type { UncertaintyPart } from './uncertainty/parts.ts';

export type Direction = 'forward' | 'reverse';

/**
 * The switch-on as a brushed motor by its equations: resistance and inductance of the whole loop (source, wire and motor), rotor with what
 * it drives, a constant load. Bounds by the fit's covariance with the residuals' autocorrelation counted, and never narrower than what the
 * equations leave out; on generated motors with strong ripple they hold the true value in nine of ten.
 */
export interface InrushFit {
  /** with which the current falls from peak to run */
  tau_mechanical_s: number;
  low_mechanical_s: number;
  high_mechanical_s: number;
  /** L/R; null when the rate or the clamp does not show the rise */
  tau_electrical_s: number | null;
  low_electrical_s: number | null;
  high_electrical_s: number | null;
  /** what would flow if the motor stalled: above the peak, which is never the stall current */
  standstill_a: number;
  low_standstill_a: number;
  high_standstill_a: number;
}

export interface Inrush {
  peak_a: number;
  at_s: number;
  /** from the switch-on until the current stays near the running level */
  settle_s: number;
  charge_c: number;
  i2t_a2s: number;
  /** bounds of the two, for the stretch `[at switch-on, settle_s)` as it is here */
  low_charge_c?: number;
  high_charge_c?: number;
  low_i2t_a2s?: number;
  high_i2t_a2s?: number;
  /** parts of the uncertainty of `peak_a`, whose 95 % bounds they make where no band is beside it, and of the other two */
  uncertainty?: UncertaintyPart[];
  charge_uncertainty?: UncertaintyPart[];
  i2t_uncertainty?: UncertaintyPart[];
  /** the readings were at the end of the sensor's range: peak, charge and I²t are at least these */
  peak_at_least?: true;
  /** only where the peak read is not the peak that flowed (clipped, or a clamp too slow to follow it); high null: no upper bound is in the trace */
  low_peak_a?: number;
  high_peak_a?: number | null;
  /** the band is there because the peak is narrow against the time between readings */
  narrow_peak?: true;
  /** null: not enough recorded to tell, and `no_fit` says why */
  fit?: InrushFit | null;
  no_fit?: string;
}

export interface Run {
  start_s: number;
  end_s: number;
  median_a: number;
  low_a: number;
  high_a: number;
  spread_a: number;
  slope_a_per_s: number;
  uncertainty?: UncertaintyPart[];
  /** the readings were at the end of the sensor's range: the level is at least this */
  at_least?: true;
}

export interface Stall {
  start_s: number;
  end_s: number;
  level_a: number;
  at: 'start' | 'travel';
  low_a?: number;
  high_a?: number;
  uncertainty?: UncertaintyPart[];
  /** the current went while volts stayed at the motor: its own cut-out opened, not the switch */
  cut_out?: true;
  /** the readings were at the end of the sensor's range: the level is at least this */
  at_least?: true;
}

export interface Ripple {
  frequency_hz: number;
  low_hz: number;
  high_hz: number;
  /** null unless the ripples per revolution are known */
  revolutions_per_s: number | null;
  /** ripples counted over the run */
  count: number;
}

export interface Supply {
  open_v: number;
  run_v: number;
  source_ohm: number;
  low_ohm: number;
  high_ohm: number;
  /** of `source_ohm` */
  uncertainty?: UncertaintyPart[];
}

/**
 * How far the motor turned under power, counted in ripples: the coasting after the switch opened draws no current and is not in it.
 * Bounds 95 %: the ripple's own uncertainty, and the stretches in which the motor turned but no ripple was followed (getting up to speed).
 */
export interface Travel {
  ripples: number;
  low_ripples: number;
  high_ripples: number;
  /** null unless the ripples per revolution are known */
  revolutions: number | null;
  low_revolutions: number | null;
  high_revolutions: number | null;
}

/** One commutation per revolution that carries less than the others, found by folding the run at the revolution rate. */
export interface Commutation {
  revolutions_per_s: number;
  /** ripples in a revolution: typed in, or read from the comb of lines; null where a lost coil shows the turns but not the ripples */
  ripples_per_revolution: number | null;
  /** how far the low commutation lies below its neighbours, A */
  depth_a: number;
  low_a: number;
  high_a: number;
  /** depth over the running level */
  share: number;
  /** revolutions averaged */
  revolutions: number;
}

/** What the press asked of its blade fuse: a band of the fuse's opening table, never a promise that it opens or holds. */
export interface FuseLoad {
  rating_a: number;
  /** the highest lasting level (run or stall) over the rating */
  share: number;
  lasted_s: number;
  i2t_a2s: number;
  /** the fuse holds at least this long at that level; null where the table does not say */
  holds_s: number | null;
  /** and has opened at the latest after this; null where it need not open */
  opens_s: number | null;
}

export interface WireShare {
  wire_ohm: number;
  /** what the wire loses at the running current (standing, where it never ran), V, and what the whole feed loses there */
  drop_v: number;
  sag_v: number;
  /** of the feed's resistance that this wire explains; above 1 the lead sits before part of the wire, or the wire is shorter than typed in */
  share: number;
  low_share: number;
  high_share: number | null;
}

/** A supply that is switched on and off at a steady rate (a control module's output), seen in the current or in the volts. */
export interface Chopped {
  /** null where the logger is too slow to show it: folded down, or only seen as volts that are either full or none */
  frequency_hz: number | null;
  /** share of the time it is on */
  duty: number;
  mean_a: number;
}

/** A change of level within one press that came at once: something on this wire was switched, stopped or joined in. */
export interface LevelStep {
  at_s: number;
  /** after less before; bounds 95 % by the scatter of both sides */
  change_a: number;
  low_a: number;
  high_a: number;
}

export type EventCode = 'reversal' | 'slip' | 'cut-out' | 'plunger' | 'step' | 'spike';

/** Something that happened in a press at one moment. */
interface PressEvent {
  at_s: number;
  code: EventCode;
  text: string;
}

/** A load that comes and goes at a steady period, slower than the commutator: a tight spot once a turn of the shaft or the gear. */
export interface Beat {
  period_s: number;
  /** from the lowest to the highest of the averaged period; bounds 95 % by the scatter from one period to the next */
  depth_a: number;
  low_a: number;
  high_a: number;
}

/** Magnitudes are positive for either direction: the sign is given once, by `direction`. */
export interface Actuation {
  start_s: number;
  end_s: number;
  direction: Direction;
  inrush: Inrush | null;
  run: Run | null;
  stalls: Stall[];
  dropouts: GapFields[];
  ripple: Ripple | null;
  supply: Supply | null;
  /** only where the feed's resistance grew while current flowed: in the first and the last third of the run */
  feed_warmed?: { from_ohm: number; to_ohm: number };
  /** null when no ripple was found, or its count has holes (contact lost) */
  travel?: Travel | null;
  /** only when one commutation of the revolution stands out as low */
  bad_commutation?: Commutation;
  /** only when the circuit's fuse was typed in */
  fuse?: FuseLoad;
  /** only when the feed's wire was typed in and a voltage channel shows the feed */
  wire?: WireShare;
  /** each only where it was found */
  chopped?: Chopped;
  steps?: LevelStep[];
  events?: PressEvent[];
  beat?: Beat;
  /** the recording began or ended inside this press: shown, never used as evidence */
  cut?: 'start' | 'end' | 'both';
  /** usual volts where they are measured while it ran (while it stood, where it never ran), V; only with a voltage channel */
  feed_v?: number;
  finding: ActuationFinding;
}

/** What the current flows through, as the trace shows it. */
export type LoadKind = 'motor' | 'heater' | 'lamp' | 'solenoid' | 'latch' | 'starter' | 'unknown';

/** Whether the trace shows that something turns. */
export function isMotorKind(kind: LoadKind): boolean {
  return kind === 'motor' || kind === 'starter' || kind === 'latch';
}

export interface Load {
  kind: LoadKind;
  because: string;
}

/**
 * What `normal` was judged by: typed limits, limits learnt from known-good traces, the trace itself (nothing in it speaks against the
 * circuit, and it carries enough to say so), or nothing. Beside any other finding: what that finding rests on.
 */
export type VerdictBasis = 'limits' | 'known-good' | 'itself' | 'none';

export interface LimitCrossing {
  limit_a: number;
  start_s: number;
  end_s: number;
  peak_a: number;
}

export interface Asymmetry {
  /** forward over reverse */
  run_ratio: number;
  low_run_ratio?: number;
  high_run_ratio?: number;
  /** of `run_ratio`: what one sensor does alike to both directions cancels and is not in it */
  uncertainty?: UncertaintyPart[];
  duration_ratio: number;
  /** travel, in ripples; null when not counted in both directions */
  travel_ratio?: number | null;
  low_travel_ratio?: number | null;
  high_travel_ratio?: number | null;
}

export interface ActuationResult extends ResultCommon<'actuation', ActuationVerdictFinding> {
  verdict: Verdict<ActuationVerdictFinding> & { basis: VerdictBasis };
  load: Load;
  /** a level that is there before and after every press (another load on this wire), A; it was subtracted. 0 where there is none */
  background_a: number;
  baseline: { current_a: number; noise_a: number };
  actuations: Actuation[];
  /** presses before those, of a live test so long that only the newest are listed; the stored trace holds all */
  earlier_actuations?: number;
  flags: LimitCrossing[];
  asymmetry: Asymmetry | null;
}
