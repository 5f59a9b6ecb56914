import type { Asymmetry, LoadKind } from '../../results.ts';
import type { MotorProblem, PressReading } from '../codes.ts';
import type { ActuationOptions } from '../../options.ts';
import type { LeadPlace } from '../sensor/feed-voltage.ts';

/** What the verdict is drawn from, besides the presses themselves. */
export interface VerdictFacts {
  /** `verdictOf` is given all, with those that the recording cuts; what it asks is given the whole ones */
  readonly actuations: readonly PressReading[];
  readonly asymmetry: Asymmetry | null;
  readonly hasVoltage: boolean;
  /** readings a second of the longest section */
  readonly rateHz: number;
  readonly place: LeadPlace;
  /** highest voltage seen, V; 0 without a channel */
  readonly topV: number;
  /** presses the voltage shows without any current */
  readonly deadPresses: number;
  /** false: for some press the trace does not tell whether the motor turned */
  readonly certain: boolean;
  readonly kind: LoadKind;
  /** one level, there at once: a heater's or a standing motor's */
  readonly sharpEdge: boolean;
  /** stretches in which the volts show a load that the clamp does not */
  readonly unseenLoads: number;
  /** the clamp passes no direct current, or was zeroed with current flowing: levels say nothing */
  readonly isUnusable: boolean;
  readonly options: ActuationOptions;
  /** what is odd about the recording */
  readonly problems: readonly MotorProblem[];
}
