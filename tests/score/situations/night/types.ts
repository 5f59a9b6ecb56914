import type { Mark, Trace } from '../../../../src/core/trace.ts';
import type { Chance } from './chance.ts';

/** The words of the key-off test (CONTRACT 3.2). What each means is written in tests/score/definitions.md. */
export type Finding = 'asleep' | 'drain' | 'awake' | 'waking' | 'too-short' | 'unclear';

/** What a technician may tell the analysis; each is the option of the same name on the command line. */
export interface NightOptions {
  /** --limit, A */
  readonly limitA?: number;
  /** --battery-ah, Ah */
  readonly batteryAh?: number;
  /** --zero-doubt, A, k = 1 */
  readonly zeroUncertaintyA?: number;
  /** --gain-doubt, percent, k = 1 */
  readonly gainUncertaintyPercent?: number;
  /** --drift-per-hour, A/h, k = 1 */
  readonly driftPerHourA?: number;
}

/** A stretch `[fromS, toS)`. */
export interface Span {
  readonly fromS: number;
  readonly toS: number;
}

/** A current that may be stated in two ways: with the polls of modules averaged in, or as the floor between them. */
export interface Level {
  readonly meanA: number;
  readonly floorA: number;
}

export interface TrueWakeup extends Span {
  readonly peakA: number;
}

export interface TruePull {
  readonly label: string;
  /** the change at the battery, after minus before, once everything has come to rest */
  readonly change: Level;
  /** what `carries` may say; null alone where it was not at rest on both sides */
  readonly right: readonly (boolean | null)[];
}

/** What is true of one recording, and what may be said of it. */
export interface NightLabel {
  /** findings that are right; the rest that is not honest is false */
  readonly right: readonly Finding[];
  /** findings that say less than the recording holds, but nothing wrong */
  readonly honest: readonly Finding[];
  /**
   * The rest: moments at which it may be said to begin, and its level. `must` when it has to be reported. null when there is none, so
   * that telling one is false.
   */
  readonly asleep: { readonly begins: readonly Span[]; readonly level: Level; readonly must: boolean } | null;
  readonly overLimit: readonly (boolean | null)[];
  readonly wakeups: readonly TrueWakeup[];
  /** stretches in which a wake-up may be listed without being one: doors, pulls, the clamp being handled */
  readonly stirred: readonly Span[];
  readonly period: { readonly meanS: number; readonly must: boolean } | null;
  readonly pulls: readonly TruePull[];
  readonly possiblePulls: readonly (Span & { readonly change: Level })[];
  /** where an offered pull would be no mistake, since the current does step down and up there */
  readonly dips: readonly Span[];
  readonly unexplained: { readonly level: Level; readonly must: boolean } | null;
  readonly keyOff: (Span & { readonly must: boolean }) | null;
  /** the mean of the true current from the beginning of rest, wake-ups included; null where the definition leaves it open */
  readonly averageA: number | null;
  /** at the true average, from the battery's whole capacity; null where no capacity was given */
  readonly daysToEmpty: number | null;
  /** a reader can follow so many rows of `levels`; null where it does not matter */
  readonly mostLevels: number | null;
  /** what the sensor reads where nothing flows, A; what its zero moves by later is no part of it */
  readonly zeroA: number;
  /** the situations in whose tallies the bounds are counted */
  readonly tags: readonly string[];
}

export interface NightCase {
  readonly trace: Trace;
  readonly marks: readonly Mark[];
  readonly options: NightOptions;
  readonly label: NightLabel;
}

export interface NightSituation {
  readonly name: string;
  /** one line: what happens in the yard */
  readonly line: string;
  readonly make: (chance: Chance) => NightCase;
}

export type Outcome = 'right' | 'cannot-tell' | 'missed' | 'false';

/** One thing that is wrong with an answer, and how bad it is. */
export interface Fault {
  readonly outcome: Exclude<Outcome, 'right'>;
  readonly reason: string;
}
