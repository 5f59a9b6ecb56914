import type { Contact, Timeline } from './timeline.ts';
import type { Motor } from './motor.ts';

/**
 * Something that hangs between the feed's end and ground. Before a step it tells what it draws, either as a current that it holds (an
 * inductance) or as a conductance; then it is moved on with the volts that follow from all of them together.
 */
export interface Part {
  /** current drawn from the node whatever its volts are during this step */
  heldA: number;
  /** conductance to ground, 1/ohm */
  siemens: number;
  prepare(timeS: number): void;
  advance(nodeV: number, stepS: number, timeS: number): void;
}

/** How the motor's volts are made from the node's: straight through, an averaged duty, or true chopping with a freewheel path. */
export interface Controller {
  readonly chopHz: number | null;
  duty(sinceS: number, currentA: number, speed: number, stepS: number): number;
}

/** volts across a small arc as a contact opens under current (common practice, no published source) */
const ARC_V = 14;
/** volts across a freewheel diode */
const DIODE_V = 0.7;

/** A motor behind its switch (or bridge), with an optional controller and an optional cut-out in series. */
export class MotorPart implements Part {
  heldA = 0;
  siemens = 0;
  /** volts across the motor's terminals */
  terminalV = 0;
  duty = 1;
  private contact: Contact = 'open';
  private on = true;
  /** the bridge stays as it was while an arc burns */
  private polarity: 1 | -1 = 1;

  readonly motor: Motor;
  readonly timeline: Timeline;
  private readonly contactOhm: number;
  private readonly controller: Controller | null;
  private readonly cutout: CutOut | null;

  constructor(motor: Motor, timeline: Timeline, contactOhm: number, controller: Controller | null = null, cutout: CutOut | null = null) {
    this.motor = motor;
    this.timeline = timeline;
    this.contactOhm = contactOhm;
    this.controller = controller;
    this.cutout = cutout;
  }

  /** current in the motor's own wire, signed */
  get wireA(): number {
    return this.motor.currentA;
  }

  prepare(timeS: number): void {
    this.contact = this.timeline.contact(timeS);
    if (this.cutout?.open === true && this.contact === 'closed') this.contact = 'open';
    const { motor, controller } = this;
    if (this.contact === 'closed') this.polarity = this.timeline.polarity;
    if (this.contact === 'brake') {
      this.heldA = 0;
      return;
    }
    if (this.contact === 'open') {
      this.heldA = this.polarity * motor.currentA;
      return;
    }
    this.on = true;
    if (controller !== null && controller.chopHz !== null) {
      const phase = this.timeline.sinceS * controller.chopHz;
      this.on = phase - Math.floor(phase) < this.duty;
      this.heldA = this.on ? this.polarity * motor.currentA : 0;
    } else this.heldA = this.polarity * motor.currentA * (controller === null ? 1 : this.duty);
  }

  advance(nodeV: number, stepS: number, timeS: number): void {
    const { motor, controller, cutout } = this;
    const before = motor.currentA;
    if (this.contact === 'closed') {
      if (controller !== null) this.duty = controller.duty(this.timeline.sinceS, Math.abs(before), Math.abs(motor.speed), stepS);
      const applied = controller === null ? nodeV : controller.chopHz === null ? nodeV * this.duty : this.on ? nodeV : -DIODE_V * Math.tanh(this.polarity * before * 50);
      motor.advance(this.polarity * applied, this.contactOhm + (cutout?.ohm ?? 0), stepS, timeS);
      // the freewheel diode lets nothing flow back
      if (controller !== null && (!this.on || controller.chopHz === null) && motor.currentA * this.polarity < 0) motor.currentA = 0;
      this.terminalV = this.polarity * applied - motor.currentA * (this.contactOhm + (cutout?.ohm ?? 0));
    } else if (this.contact === 'brake') {
      motor.advance(0, this.contactOhm, stepS, timeS);
      this.terminalV = -motor.currentA * this.contactOhm;
    } else if (before !== 0) {
      // the arc drives the current down; it is out when the current passes zero
      motor.advance(this.polarity * nodeV - Math.sign(before) * (ARC_V + Math.abs(nodeV)), this.contactOhm, stepS, timeS);
      if (motor.currentA * before <= 0) motor.currentA = 0;
      this.terminalV = motor.factor() * motor.speed;
    } else {
      motor.coast(stepS, timeS);
      this.terminalV = motor.factor() * motor.speed;
    }
    cutout?.advance(motor.currentA, stepS);
  }
}

export interface CutOutSpec {
  readonly kind: 'bimetal' | 'ptc';
  /** carried for ever */
  readonly holdA: number;
  /** until it acts, at three times that current */
  readonly tripS: number;
  /** until a bimetal closes again */
  readonly resetS: number;
  readonly coldOhm: number;
  readonly hotOhm: number;
}

/** A protector in the motor: a bimetal that snaps open and closes again when it has cooled, or a PTC element that chokes the current. */
export class CutOut {
  open = false;
  ohm = 0;
  private heat = 0;

  private readonly spec: CutOutSpec;

  constructor(spec: CutOutSpec) {
    this.spec = spec;
    this.ohm = spec.coldOhm;
  }

  advance(currentA: number, stepS: number): void {
    const { spec } = this;
    const load = currentA / spec.holdA;
    if (spec.kind === 'bimetal') {
      if (this.open) {
        this.heat -= stepS / spec.resetS;
        if (this.heat <= 0) this.open = false;
      } else {
        this.heat = Math.max(0, this.heat + (stepS / spec.tripS) * (load * load - 1) * 0.125);
        if (this.heat >= 1) this.open = true;
      }
      return;
    }
    // heat 1 = the PTC's knee; above it the resistance grows a hundredfold and holds itself there
    const power = (load * load * this.ohm) / spec.coldOhm;
    this.heat += (stepS / spec.tripS) * 0.125 * (power - Math.max(0, this.heat));
    this.heat = Math.min(this.heat, 1.6);
    this.ohm = spec.coldOhm + (spec.hotOhm - spec.coldOhm) / (1 + Math.exp((1.15 - this.heat) * 40));
  }
}
