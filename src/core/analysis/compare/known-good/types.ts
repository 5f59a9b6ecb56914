/** From … up to …, A. */
export type UsualRange = readonly [lowA: number, highA: number];

/**
 * What a circuit usually draws, as a person knows it: typed in from a data sheet, a service manual or a good vehicle, and kept beside the sets
 * that are learnt from traces. null: not known.
 */
export interface UsualCurrents {
  readonly run_a: UsualRange | null;
  readonly stall_a: UsualRange | null;
  readonly inrush_peak_a: UsualRange | null;
  /** of the parked vehicle, or of this circuit in it; the upper end is the limit of a key-off test */
  readonly asleep_a: UsualRange | null;
}
