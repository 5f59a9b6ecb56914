import type { Mark, SampleBlock, Trace } from '../core/trace.ts';
import type { TestKind } from '../core/analysis/results.ts';
import type { ChannelSpec } from './sensor.ts';

/** What really happened in the virtual vehicle, for tests and demonstrations: the simulator writes it, no analysis may read it. */
export interface ScenarioTruth {
  /** the finding that an ideal reader would give, in the words of the contract */
  readonly finding: string;
  readonly actuations: readonly { readonly startS: number; readonly endS: number; readonly direction: 'forward' | 'reverse'; readonly finding: string }[];
  readonly stalls: readonly { readonly startS: number; readonly endS: number; readonly levelA: number }[];
  /** the feed was lost and came back while the switch was held */
  readonly dropouts: readonly { readonly startS: number; readonly endS: number }[];
  readonly asleepAtS: number | null;
  readonly asleepLevelA: number | null;
  readonly wakeUps: readonly { readonly startS: number; readonly endS: number }[];
  /** fuse label to the current its circuit carries asleep, A */
  readonly fuseCurrentsA: Readonly<Record<string, number>>;
}

export type SwitchPosition = 'forward' | 'off' | 'reverse';

/**
 * A running virtual vehicle. Pure and seeded: the same scenario, seed and calls give the same samples. Time starts at 0.
 * The scenario's own script works the switch (and the fuses) until somebody calls `setSwitch` or `setFuse`; from then on that hand has it.
 */
export interface VirtualVehicle {
  readonly rateHz: number;
  /** the next `count` samples as the logger measures them */
  next(count: number): SampleBlock;
  /** in a drain scenario: anything but off opens a door */
  setSwitch(position: SwitchPosition): void;
  /** fitted = false pulls the fuse; unknown labels are ignored and return false */
  setFuse(label: string, fitted: boolean): boolean;
}

export interface Scenario {
  /** lower-case words with dashes, used in `sim:NAME` */
  readonly name: string;
  /** one line for `simulate --list`: the vehicle, the complaint */
  readonly title: string;
  readonly test: TestKind;
  readonly rateHz: number;
  /** how long the script runs, s */
  readonly durationS: number;
  /** labels of the fuses that can be pulled; empty for motor circuits */
  readonly fuses: readonly string[];
  /** what a technician would type in for this circuit */
  readonly runLimitsA: readonly [number, number] | null;
  /** what the logger would tell of its channels in the hello line; the current first */
  readonly channels: readonly ChannelSpec[];
  start(seed: number): VirtualVehicle;
}

/** A scenario run from start to end, with what happened and the marks a technician would have made. */
export interface SimulatedTrace {
  readonly trace: Trace;
  readonly marks: readonly Mark[];
  readonly truth: ScenarioTruth;
}
