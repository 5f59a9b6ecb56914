import type { Random } from './random.ts';
import type { SwitchPosition } from './scenario.ts';

/** Contacts of the switch at a moment: feeding, resting (which may short the motor), or neither. */
type ContactState = 'feed' | 'rest' | 'open';

/** A contact that loses its connection now and then while the switch is held. */
export interface WornContact {
  /** typical time between losses */
  readonly everyS: number;
  readonly shortestS: number;
  readonly longestS: number;
}

/** the blade needs this long from one contact to the other; common practice, no published source */
const TRANSIT_S = 0.004;
/** how long a closing contact may bounce, and how long each hop is: common practice, no published source */
const BOUNCE = { longestS: 0.0012, mostHops: 4 } as const;

/** The switch of a motor circuit: takes positions, gives contact states, with bounce when it makes and losses while it holds. */
export class SwitchContact {
  position: SwitchPosition = 'off';
  state: ContactState = 'rest';
  readonly #random: Random;
  readonly #worn: WornContact | null;
  #queue: { atS: number; state: ContactState }[] = [];

  constructor(random: Random, worn: WornContact | null) {
    this.#random = random;
    this.#worn = worn;
  }

  /** the blade lies on its rest contact and nothing is under way */
  get settledOff(): boolean {
    return this.position === 'off' && this.state === 'rest' && this.#queue.length === 0;
  }

  move(position: SwitchPosition, atS: number): void {
    if (position === this.position) return;
    this.position = position;
    this.#queue = [{ atS, state: 'open' }];
    let whenS = atS + TRANSIT_S;
    if (position === 'off') {
      this.#queue.push({ atS: whenS, state: 'rest' });
      return;
    }
    const hops = Math.floor(this.#random.between(0, BOUNCE.mostHops + 1));
    for (let hop = hops; hop > 0; hop--) {
      this.#queue.push({ atS: whenS, state: 'feed' });
      whenS += this.#random.between(0.1, 1) * (BOUNCE.longestS / (hops - hop + 1));
      this.#queue.push({ atS: whenS, state: 'open' });
      whenS += this.#random.between(0.2, 1) * (BOUNCE.longestS / (hops - hop + 1));
    }
    this.#queue.push({ atS: whenS, state: 'feed' });
    if (this.#worn !== null) this.#planLoss(whenS, this.#worn.everyS * 0.5);
  }

  /** brings the contacts to this moment */
  advance(timeS: number): void {
    while (this.#queue.length > 0 && this.#queue[0].atS <= timeS) {
      const due = this.#queue.shift();
      if (due === undefined) break;
      this.state = due.state;
      if (this.#worn !== null && this.#queue.length === 0 && due.state === 'feed') this.#planLoss(due.atS, this.#worn.everyS);
    }
  }

  #planLoss(fromS: number, typicalS: number): void {
    if (this.#worn === null || (this.#queue.length > 0 && this.#queue[this.#queue.length - 1].state === 'open')) return;
    const atS = fromS + typicalS * this.#random.between(0.5, 1.5);
    this.#queue.push({ atS, state: 'open' }, { atS: atS + this.#random.between(this.#worn.shortestS, this.#worn.longestS), state: 'feed' });
  }
}
