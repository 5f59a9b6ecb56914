import type { ScenarioTruth } from './scenario.ts';

/** more than this above the sleeping level is awake */
const AWAKE_ABOVE_A = 0.01;
/** shorter rises are the scratching of a fuse, not a wake-up */
const SHORTEST_WAKE_S = 1;
/** shorter dips inside a wake-up do not divide it */
const SHORTEST_SLEEP_S = 1;
/** a live demonstration may run for weeks; older events are dropped */
const KEPT_EVENTS = 10_000;

/** Writes down when the parked vehicle really slept and what woke it. */
export class DrainTruthLog {
  asleepAtS: number | null = null;
  readonly wakeUps: { startS: number; endS: number }[] = [];
  #riseS: number | null = null;
  #lastAwakeS = 0;

  /** one sample: `excessA` is the current above the sleeping level of all that is connected */
  step(timeS: number, excessA: number): void {
    const awake = excessA > AWAKE_ABOVE_A;
    if (this.asleepAtS === null) {
      if (!awake) this.asleepAtS = timeS;
      return;
    }
    if (awake) {
      this.#riseS ??= timeS;
      this.#lastAwakeS = timeS;
    } else if (this.#riseS !== null && timeS - this.#lastAwakeS >= SHORTEST_SLEEP_S) {
      if (this.#lastAwakeS - this.#riseS >= SHORTEST_WAKE_S) this.wakeUps.push({ startS: this.#riseS, endS: this.#lastAwakeS });
      if (this.wakeUps.length > KEPT_EVENTS) this.wakeUps.shift();
      this.#riseS = null;
    }
  }

  result(finding: string, asleepLevelA: number, fuseCurrentsA: Readonly<Record<string, number>>): ScenarioTruth {
    return {
      finding,
      actuations: [],
      stalls: [],
      dropouts: [],
      asleepAtS: this.asleepAtS,
      asleepLevelA: this.asleepAtS === null ? null : asleepLevelA,
      wakeUps: this.wakeUps.slice(),
      fuseCurrentsA,
    };
  }
}
