import type { Random } from './random.ts';

/**
 * What the motor drives: a slide, a step, a door or a rope drum, as torque felt at the motor shaft over its travel. All of it is
 * friction (a worm gear does not push the motor back), so it opposes motion and holds at rest.
 */
export interface MechanismParameters {
  /** motor revolutions from one end to the other */
  readonly travelRevolutions: number;
  readonly startAtRevolutions: number;
  readonly forwardNm: number;
  readonly reverseNm: number;
  /** change of friction along the travel, share of the friction: alignment, grease, seals */
  readonly unevenness: number;
  /** torque to break loose at rest, as a multiple of the friction */
  readonly stiction: number;
  /** how the stop yields: torque per revolution past the end */
  readonly stopNmPerRevolution: number;
  /** limit switches cut the feed at the ends; without them the motor stalls against the stop until the switch is let go */
  readonly limitSwitches: boolean;
  /** the limit switches change over and short the motor, so that it stops short, as wiper park switches do */
  readonly limitsBrake: boolean;
  /** grit: nothing passes this point when going forward; null = clean */
  readonly jamAtRevolutions: number | null;
  /** seized: nothing moves in either direction */
  readonly seized: boolean;
  /** drive gear broken: the motor turns alone and the mechanism stays where it is */
  readonly gearBroken: boolean;
  /** an added friction where the slide drags, `[fromRevolution, toRevolution)` */
  readonly drag: { readonly fromRevolutions: number; readonly toRevolutions: number; readonly torqueNm: number } | null;
}

export class Mechanism {
  readonly #parameters: MechanismParameters;
  readonly #phases: readonly number[];
  /** motor revolutions from the retracted end */
  positionRevolutions: number;
  #waveAt = Number.NaN;
  #wave = 0;

  constructor(parameters: MechanismParameters, random: Random) {
    this.#parameters = parameters;
    this.positionRevolutions = parameters.startAtRevolutions;
    this.#phases = [random.between(0, 1), random.between(0, 1), random.between(0, 1)];
  }

  /** the motor has turned so far since the last call */
  moveBy(revolutions: number): void {
    if (!this.#parameters.gearBroken) this.positionRevolutions += revolutions;
  }

  /** the limit switch of this direction is open */
  limitOpen(direction: number): boolean {
    const { limitSwitches, travelRevolutions } = this.#parameters;
    if (!limitSwitches) return false;
    return direction > 0 ? this.positionRevolutions >= travelRevolutions : this.positionRevolutions <= 0;
  }

  /** friction torque against motion in this direction, Nm at the motor shaft */
  frictionNm(direction: number): number {
    const p = this.#parameters;
    if (p.gearBroken) return 0;
    const at = this.positionRevolutions;
    let torqueNm = (direction > 0 ? p.forwardNm : p.reverseNm) * (1 + p.unevenness * this.#unevennessAt(at));
    if (p.drag !== null && at >= p.drag.fromRevolutions && at < p.drag.toRevolutions) torqueNm += p.drag.torqueNm;
    return torqueNm + p.stopNmPerRevolution * this.#pressedRevolutions(direction);
  }

  breakawayNm(direction: number): number {
    return this.#parameters.stiction * this.frictionNm(direction);
  }

  /** three slow waves along the travel stand for uneven guides; worked out anew each fiftieth of a revolution */
  #unevennessAt(revolutions: number): number {
    if (!(Math.abs(revolutions - this.#waveAt) < 0.02)) {
      const share = revolutions / this.#parameters.travelRevolutions;
      const [a, b, c] = this.#phases;
      this.#waveAt = revolutions;
      this.#wave =
        0.5 * Math.sin(2 * Math.PI * (1.3 * share + a)) + 0.3 * Math.sin(2 * Math.PI * (3.1 * share + b)) + 0.2 * Math.sin(2 * Math.PI * (7.7 * share + c));
    }
    return this.#wave;
  }

  /** how far the parts are pressed into a stop, the grit or a seized joint in this direction */
  #pressedRevolutions(direction: number): number {
    const p = this.#parameters;
    const at = this.positionRevolutions;
    if (p.seized) return Math.max(0, direction > 0 ? at - p.startAtRevolutions : p.startAtRevolutions - at);
    if (direction < 0) return Math.max(0, -at);
    const end = p.jamAtRevolutions ?? p.travelRevolutions;
    return Math.max(0, at - end);
  }
}
