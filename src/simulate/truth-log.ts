import type { ScenarioTruth } from './scenario.ts';

type TrueActuation = ScenarioTruth['actuations'][number];
type TrueStall = ScenarioTruth['stalls'][number];

/** shorter standstills under power (breaking loose, turning round) are not called stalls */
const SHORTEST_STALL_S = 0.12;
/** from this long after the standstill the current has reached its level */
const STALL_LEVEL_AFTER_S = 0.03;
/** fewer revolutions than this are slack and flex, not travel */
const TRAVEL_REVOLUTIONS = 3;
/** a live demonstration may run for weeks; older events are dropped */
const KEPT_EVENTS = 10_000;

/** a limit switch or cut-out that has held the current off for this long has ended the actuation */
const ENDED_AFTER_S = 0.25;

interface OpenActuation {
  startS: number;
  direction: 'forward' | 'reverse';
  revolutions: number;
  stalled: boolean;
  dropouts: number;
}

/** Writes down what really happens in a motor circuit, step by step. */
export class MotorTruthLog {
  readonly #actuations: TrueActuation[] = [];
  readonly stalls: TrueStall[] = [];
  readonly dropouts: { startS: number; endS: number }[] = [];
  readonly #runFinding: string;
  #open: OpenActuation | null = null;
  #stall: { startS: number; sumA: number; steps: number } | null = null;
  #lostS: number | null = null;

  /** `runFinding`: what a run without stall or dropout is called here (normal, heavy or light) */
  constructor(runFinding: string) {
    this.#runFinding = runFinding;
  }

  /** one step: is the feed path whole, does the shaft turn, how much current flows, how far it has turned since the last step */
  step(timeS: number, fed: boolean, direction: 'forward' | 'reverse', turning: boolean, currentA: number, revolutions: number): void {
    if (fed) {
      const open = (this.#open ??= { startS: timeS, direction, revolutions: 0, stalled: false, dropouts: 0 });
      if (this.#lostS !== null) this.#closeDropout(open, this.#lostS, timeS);
      open.revolutions += Math.abs(revolutions);
    } else if (this.#open !== null && this.#lostS === null) {
      this.#lostS = timeS;
    }
    if (fed && !turning) {
      this.#stall ??= { startS: timeS, sumA: 0, steps: 0 };
      if (timeS - this.#stall.startS >= STALL_LEVEL_AFTER_S) {
        this.#stall.sumA += Math.abs(currentA);
        this.#stall.steps += 1;
      }
    } else {
      this.#closeStall(timeS);
    }
  }

  /** the switch has been let go: the actuation ended when current last had a path */
  released(timeS: number): void {
    this.#closeStall(timeS);
    const open = this.#open;
    if (open === null) return;
    this.#open = null;
    const endS = this.#lostS ?? timeS;
    this.#lostS = null;
    this.#actuations.push({ startS: open.startS, endS, direction: open.direction, finding: this.#findingOf(open) });
    if (this.#actuations.length > KEPT_EVENTS) this.#actuations.shift();
  }

  /** all actuations until `nowS`: those let go, and one whose switch is still held where nothing has flowed for a while */
  actuations(nowS: number): TrueActuation[] {
    const open = this.#open;
    if (open === null || this.#lostS === null || nowS - this.#lostS < ENDED_AFTER_S) return this.#actuations.slice();
    return [...this.#actuations, { startS: open.startS, endS: this.#lostS, direction: open.direction, finding: this.#findingOf(open) }];
  }

  #findingOf(open: OpenActuation): string {
    if (open.stalled) return open.revolutions < TRAVEL_REVOLUTIONS ? 'locked' : 'stalled';
    return open.dropouts > 0 ? 'intermittent' : this.#runFinding;
  }

  #closeDropout(open: OpenActuation, lostS: number, timeS: number): void {
    // hops of a closing contact belong to the making of the switch
    if (lostS - open.startS > 0.02 && timeS - lostS > 0.002) {
      this.dropouts.push({ startS: lostS, endS: timeS });
      open.dropouts += 1;
      if (this.dropouts.length > KEPT_EVENTS) this.dropouts.shift();
    }
    this.#lostS = null;
  }

  #closeStall(timeS: number): void {
    const stall = this.#stall;
    this.#stall = null;
    if (stall === null || stall.steps === 0 || timeS - stall.startS < SHORTEST_STALL_S) return;
    this.stalls.push({ startS: stall.startS, endS: timeS, levelA: stall.sumA / stall.steps });
    if (this.stalls.length > KEPT_EVENTS) this.stalls.shift();
    if (this.#open !== null) this.#open.stalled = true;
  }
}
