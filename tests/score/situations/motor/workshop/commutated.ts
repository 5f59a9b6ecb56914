import type { Winding } from '../physics/motor.ts';
import type { Part } from '../physics/parts.ts';

/**
 * A brushed motor whose back-EMF is that of the coils between the brushes, taken over from one to the next: within each commutation a
 * piece of a cosine's top (textbook: a rectified star of coils), with the bridged coil's resistance left out while a brush is on two
 * segments. Its field is a magnet's, weakened a little by the armature, or a winding in series that saturates.
 */
export interface CommutatedSpec extends Winding {
  /** share of k that the armature's own field takes at the standing current (magnets) */
  readonly armatureShare: number;
  readonly standingA: number;
  /** a winding in series: the current at which half of the field is there (null: magnets) */
  readonly fieldHalfA: number | null;
  readonly brushDropV: number;
  /** brushes and bearings, N m */
  readonly frictionNm: number;
}

/** What hangs on the shaft at this moment: a torque of its own, friction in motion and at rest. */
export type ShaftLoad = (angle: number, speed: number, timeS: number) => { readonly activeNm: number; readonly movingNm: number; readonly restNm: number };

/** What the switch, relay or controller does with the leads. */
export interface Lead {
  readonly contact: 'open' | 'closed' | 'brake';
  readonly polarity: 1 | -1;
  /** share of the feed's volts that a fast, filtered controller passes on */
  readonly duty: number;
  /** more resistance than the motor's and the contact's own */
  readonly extraOhm: number;
  /** the greatest current that the supply or controller lets pass */
  readonly mostA: number;
  /** k falls to this share (a third brush) */
  readonly fieldShare: number;
}

export const SHUT: Lead = { contact: 'closed', polarity: 1, duty: 1, extraOhm: 0, mostA: Infinity, fieldShare: 1 };
export const OPENED: Lead = { ...SHUT, contact: 'open' };
export const BRAKED: Lead = { ...SHUT, contact: 'brake' };

/** an opening contact's arc is out after some tenths of a millisecond */
const ARC_S = 0.0003;
/** a bridged coil is gone from the winding for this part of each commutation */
const BRIDGED_SHARE = 0.4;

export class CommutatedMotor implements Part {
  heldA = 0;
  siemens = 0;
  terminalV = 0;
  speed = 0;
  angle = 0;
  currentA = 0;
  readonly ripples: number;
  private lead: Lead = OPENED;

  readonly spec: CommutatedSpec;
  private readonly load: ShaftLoad;
  private readonly leads: (timeS: number, motor: CommutatedMotor) => Lead;
  private readonly contactOhm: number;

  constructor(spec: CommutatedSpec, load: ShaftLoad, leads: (timeS: number, motor: CommutatedMotor) => Lead, contactOhm: number) {
    this.spec = spec;
    this.load = load;
    this.leads = leads;
    this.contactOhm = contactOhm;
    this.ripples = spec.segments % 2 === 1 && spec.poles === 2 ? 2 * spec.segments : lowestCommonMultiple(spec.poles, spec.segments);
  }

  /** the motor as the bench records it */
  get motor(): this {
    return this;
  }

  get wireA(): number {
    return this.currentA;
  }

  /** volt seconds per radian here and now, without the commutation's swing */
  private field(): number {
    const { spec, lead } = this;
    const size = Math.abs(this.currentA);
    const strength = spec.fieldHalfA === null ? 1 - (spec.armatureShare * size) / spec.standingA : (2 * (size + 0.02 * spec.fieldHalfA)) / (size + spec.fieldHalfA);
    return spec.kVs * Math.max(0.02, strength) * lead.fieldShare;
  }

  prepare(timeS: number): void {
    this.lead = this.leads(timeS, this);
    const { contact, polarity, duty } = this.lead;
    this.heldA = contact === 'brake' ? 0 : polarity * this.currentA * (contact === 'closed' ? duty : 1);
  }

  advance(nodeV: number, stepS: number, timeS: number): void {
    const { spec, lead } = this;
    const pitch = (this.angle * this.ripples) / (2 * Math.PI);
    const within = pitch - Math.floor(pitch) - 0.5;
    const half = (Math.PI * spec.poles) / 2 / this.ripples;
    const shape = Math.cos(2 * half * within) / (Math.sin(half) / half);
    const k = this.field() * shape;
    const ohm = spec.ohm * (Math.abs(within) > 0.5 - BRIDGED_SHARE / 2 ? 1 - 0.5 / spec.segments : 1);
    const back = k * this.speed;
    if (lead.contact === 'open') {
      this.currentA *= Math.exp(-stepS / ARC_S);
      this.terminalV = back;
    } else {
      const applied = lead.contact === 'brake' ? 0 : lead.polarity * nodeV * lead.duty;
      const seriesOhm = this.contactOhm + lead.extraOhm;
      const pull = applied - back - spec.brushDropV * Math.tanh(this.currentA * 20);
      let next = (this.currentA + (stepS / spec.henry) * pull) / (1 + (stepS / spec.henry) * (ohm + seriesOhm));
      if (Math.abs(next) > lead.mostA) next = Math.sign(next) * lead.mostA;
      // what a supply at its limit has left for the motor
      this.terminalV = Math.abs(next) === lead.mostA ? back + next * ohm : applied - next * seriesOhm;
      this.currentA = next;
    }
    this.turn(k, stepS, timeS);
  }

  private turn(k: number, stepS: number, timeS: number): void {
    const { spec } = this;
    const { activeNm, movingNm, restNm } = this.load(this.angle, this.speed, timeS);
    const drive = k * this.currentA - activeNm;
    if (this.speed === 0 && Math.abs(drive) <= spec.frictionNm + restNm) return;
    const way = this.speed === 0 ? Math.sign(drive) : Math.sign(this.speed);
    const next = this.speed + ((drive - way * (spec.frictionNm + movingNm)) / spec.inertia) * stepS;
    this.speed = this.speed !== 0 && next * this.speed < 0 ? 0 : next;
    this.angle += this.speed * stepS;
  }
}

function lowestCommonMultiple(left: number, right: number): number {
  let multiple = left;
  while (multiple % right !== 0) multiple += left;
  return multiple;
}
