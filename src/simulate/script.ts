import type { Random } from './random.ts';
import type { SwitchPosition } from './scenario.ts';

/** One movement of the hand: at this moment of the cycle the switch goes to this position. */
interface SwitchMove {
  readonly atS: number;
  readonly position: SwitchPosition;
}

/** A hand that works the switch the same way over and over, never at exactly the same moments. */
export interface SwitchScript {
  readonly moves: readonly SwitchMove[];
  readonly cycleS: number;
  /** each move comes up to this much early or late */
  readonly jitterS: number;
}

/** Plays a script; asked in order of time. */
export class ScriptedHand {
  readonly #script: SwitchScript;
  readonly #random: Random;
  #cycle = 0;
  #next = 0;
  /** when the next move comes */
  dueS = 0;

  constructor(script: SwitchScript, random: Random) {
    this.#script = script;
    this.#random = random;
    this.#plan();
  }

  /** the position to go to now; call when `dueS` has come */
  take(): SwitchPosition {
    const { moves } = this.#script;
    const { position } = moves[this.#next];
    this.#next += 1;
    if (this.#next === moves.length) {
      this.#next = 0;
      this.#cycle += 1;
    }
    this.#plan();
    return position;
  }

  #plan(): void {
    const { moves, cycleS, jitterS } = this.#script;
    this.dueS = moves.length === 0 ? Infinity : this.#cycle * cycleS + moves[this.#next].atS + this.#random.between(-jitterS, jitterS);
  }
}
