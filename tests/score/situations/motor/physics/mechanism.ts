import type { Mechanism, ShaftLoad } from './motor.ts';

/** What hangs on the shaft. All figures are seen at the motor's shaft; angles in radian of the motor. */
export interface MechanismSpec {
  /** dry friction while it moves, N m */
  readonly dryNm: number;
  /** friction at rest over friction in motion */
  readonly stickRatio: number;
  /** Stribeck: what friction at rest has more than in motion fades over this speed, rad/s (0: at once) */
  readonly stribeckRad: number;
  /** N m per rad/s */
  readonly viscous: number;
  /** N m per (rad/s)^2: pumps, fans */
  readonly square: number;
  /** a torque of its own: weight lifted (+) or let down (-) by forward turning */
  readonly weightNm: number;
  /** slow unevenness along the travel: relative swing and its length in radian */
  readonly uneven: number;
  readonly unevenLength: number;
  /** cold grease: dry friction is this many times higher at first, and works itself free over this many radian */
  readonly greaseRatio: number;
  readonly greaseLength: number;
  /** where the travel ends, each way; the stop is a spring, N m per radian */
  readonly stopAt: number;
  readonly stopBack: number;
  readonly stopSpring: number;
  /** a spot once every so many radian, relative extra friction, share of the turn */
  readonly spotEvery: number;
  readonly spotExtra: number;
  readonly spotShare: number;
  /** the clutch slips at this torque and clicks over a tooth every so many radian (Infinity: none) */
  readonly clutchNm: number;
  readonly clutchTooth: number;
  /** beyond this angle nothing is driven any more (a broken gear; Infinity: none) */
  readonly freeFrom: number;
}

export const PLAIN: MechanismSpec = {
  dryNm: 0, stickRatio: 1.1, stribeckRad: 0, viscous: 0, square: 0, weightNm: 0, uneven: 0, unevenLength: 1, greaseRatio: 1, greaseLength: 1,
  stopAt: Infinity, stopBack: -Infinity, stopSpring: 0, spotEvery: 0, spotExtra: 0, spotShare: 0, clutchNm: Infinity, clutchTooth: 1, freeFrom: Infinity,
};

/** friction of what is wound up at a stop, as a share of its spring's force */
const STOP_LOSS = 0.45;

/** share of the clutch's torque that is left just after it has clicked over */
const CLUTCH_AFTER_CLICK = 0.55;

export class Geared implements Mechanism {
  private readonly spec: MechanismSpec;

  constructor(spec: MechanismSpec) {
    this.spec = spec;
  }

  load(angle: number, speed: number, _timeS: number, out: ShaftLoad): void {
    const { spec } = this;
    if (angle > spec.freeFrom) {
      out.activeNm = 0;
      out.frictionNm = 0;
      out.stickNm = 0;
      return;
    }
    let dry = spec.dryNm;
    if (spec.uneven !== 0) dry *= 1 + spec.uneven * Math.sin((2 * Math.PI * angle) / spec.unevenLength);
    if (spec.greaseRatio !== 1) dry *= 1 + (spec.greaseRatio - 1) * Math.exp(-Math.abs(angle) / spec.greaseLength);
    if (spec.spotEvery > 0) dry *= 1 + spec.spotExtra * bump(angle / spec.spotEvery, spec.spotShare);
    const fading = spec.stribeckRad === 0 ? 0 : (spec.stickRatio - 1) * Math.exp(-Math.abs(speed) / spec.stribeckRad);
    out.frictionNm = dry * (1 + fading) + spec.viscous * Math.abs(speed) + spec.square * speed * speed;
    out.stickNm = dry * spec.stickRatio;
    out.activeNm = spec.weightNm;
    const over = angle > spec.stopAt ? angle - spec.stopAt : angle < spec.stopBack ? angle - spec.stopBack : 0;
    if (over === 0) return;
    if (Math.abs(over) * spec.stopSpring < spec.clutchNm) {
      out.activeNm += over * spec.stopSpring;
      // rubber, cable and teeth give back only a part of what they took
      out.frictionNm += STOP_LOSS * Math.abs(over) * spec.stopSpring;
      out.stickNm += STOP_LOSS * Math.abs(over) * spec.stopSpring;
      return;
    }
    // the driven end is held: the clutch gives way, tooth after tooth, and only ever holds back
    const tooth = Math.abs(over) / spec.clutchTooth;
    out.frictionNm += spec.clutchNm * (CLUTCH_AFTER_CLICK + (1 - CLUTCH_AFTER_CLICK) * (tooth - Math.floor(tooth)));
  }
}

/** a rounded bump over `share` of each whole turn, 0 elsewhere */
export function bump(turns: number, share: number): number {
  const within = turns - Math.floor(turns);
  return within < share ? 0.5 - 0.5 * Math.cos((2 * Math.PI * within) / share) : 0;
}

/** A starter's load: an engine turned over, one compression after another; `weak` cylinders give only a part of the hump. */
export class Engine implements Mechanism {
  private readonly dragNm: number;
  private readonly humpNm: number;
  private readonly gear: number;
  private readonly cylinders: readonly number[];
  private readonly breakawayRatio: number;

  constructor(dragNm: number, humpNm: number, gear: number, cylinders: readonly number[], breakawayRatio: number) {
    this.dragNm = dragNm;
    this.humpNm = humpNm;
    this.gear = gear;
    this.cylinders = cylinders;
    this.breakawayRatio = breakawayRatio;
  }

  load(angle: number, speed: number, _timeS: number, out: ShaftLoad): void {
    // a four-stroke engine: all its cylinders pass compression in two turns
    const place = ((angle / this.gear / (4 * Math.PI)) % 1) * this.cylinders.length;
    const cylinder = ((Math.floor(place) % this.cylinders.length) + this.cylinders.length) % this.cylinders.length;
    const within = place - Math.floor(place);
    out.frictionNm = this.dragNm + 0.001 * this.dragNm * Math.abs(speed);
    out.stickNm = this.dragNm * this.breakawayRatio;
    // pressed before top dead centre, pushed along after it, a part of the work lost
    const shape = Math.sin(2 * Math.PI * within);
    out.activeNm = this.humpNm * this.cylinders[cylinder]! * (shape > 0 ? shape : 0.6 * shape);
  }
}
