import type { Random } from './random.ts';

/** A stage of going to sleep: this current until so long after the key was turned off (or after being woken). */
export interface LoadStage {
  readonly untilS: number;
  readonly currentA: number;
}

/** A module that wakes by itself, as telematics do to listen for a call. */
interface SelfWaking {
  readonly firstS: number;
  readonly everyS: number;
  readonly jitterS: number;
  readonly forS: number;
  /** on top of the sleeping current */
  readonly addedA: number;
}

/** What hangs on one fuse of the parked vehicle. */
export interface LoadParameters {
  readonly fuse: string;
  readonly what: string;
  readonly asleepA: number;
  readonly afterKeyOff: readonly LoadStage[];
  /** after a door was opened or the fuse refitted; times count from the door closing or the fuse making contact */
  readonly afterWake: readonly LoadStage[];
  readonly wokenByDoor: boolean;
  readonly selfWaking: SelfWaking | null;
}

/** a fuse scratches in its clips for about this long when a hand works it: common practice, no published source */
const LONGEST_SCRATCH_S = 0.6;

/** One fused load: asked in order of time for its current. */
export class Load {
  readonly parameters: LoadParameters;
  readonly #random: Random;
  #stages: readonly LoadStage[];
  #sinceS = 0;
  #connected = true;
  #contacts: { atS: number; connected: boolean }[] = [];
  #wakeStartS: number;

  constructor(parameters: LoadParameters, random: Random) {
    this.parameters = parameters;
    this.#random = random;
    this.#stages = parameters.afterKeyOff;
    this.#wakeStartS = parameters.selfWaking === null ? Infinity : parameters.selfWaking.firstS;
  }

  /** pulls or refits the fuse, with the scratching of a hand before the contacts are settled */
  setFuse(fitted: boolean, atS: number): void {
    this.#contacts = [];
    const endS = atS + this.#random.between(0.1, LONGEST_SCRATCH_S);
    let whenS = atS;
    let connected = fitted;
    while (whenS < endS) {
      this.#contacts.push({ atS: whenS, connected });
      connected = !connected;
      whenS += this.#random.between(0.03, 0.15);
    }
    this.#contacts.push({ atS: endS, connected: fitted });
  }

  wake(atS: number): void {
    if (this.parameters.afterWake.length === 0) return;
    this.#stages = this.parameters.afterWake;
    this.#sinceS = atS;
  }

  get connected(): boolean {
    return this.#connected;
  }

  currentA(timeS: number): number {
    this.#settleContacts(timeS);
    const added = this.#selfWakeA(timeS);
    if (!this.#connected) return 0;
    for (const stage of this.#stages) if (timeS - this.#sinceS < stage.untilS) return stage.currentA + added;
    return this.parameters.asleepA + added;
  }

  #settleContacts(timeS: number): void {
    while (this.#contacts.length > 0 && this.#contacts[0].atS <= timeS) {
      const change = this.#contacts.shift();
      if (change === undefined) return;
      if (change.connected && !this.#connected) this.wake(change.atS);
      this.#connected = change.connected;
    }
  }

  #selfWakeA(timeS: number): number {
    const waking = this.parameters.selfWaking;
    if (waking === null || timeS < this.#wakeStartS) return 0;
    if (timeS < this.#wakeStartS + waking.forS) return waking.addedA;
    this.#wakeStartS += waking.everyS + waking.jitterS * this.#random.between(-1, 1);
    return 0;
  }
}
