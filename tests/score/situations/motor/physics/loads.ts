import type { Part } from './parts.ts';
import type { Timeline } from './timeline.ts';

/** ambient temperature, kelvin */
const AMBIENT_K = 293;

/**
 * A filament lamp: tungsten's resistance grows about as T^1.2 and it loses heat by radiation as T^4. Cold it draws ten to fifteen times
 * its running current (lamptech.co.uk, "Starting Characteristics").
 */
export class Lamp implements Part {
  heldA = 0;
  siemens = 0;
  private kelvin = AMBIENT_K;
  private readonly hotOhm: number;
  private readonly radiation: number;
  private readonly capacity: number;
  private readonly hotK: number;
  private readonly timeline: Timeline | null;

  /** `warmS`: the time in which it comes near its running current; `hotK`: filament at rated volts, 2500 to 2900 K */
  constructor(ratedV: number, ratedW: number, hotK: number, warmS: number, timeline: Timeline | null) {
    this.hotK = hotK;
    this.timeline = timeline;
    this.hotOhm = (ratedV * ratedV) / ratedW;
    this.radiation = ratedW / (hotK ** 4 - AMBIENT_K ** 4);
    // heating at a mean of about three times the rated power over the warm-up
    this.capacity = (ratedW * 3 * warmS) / (hotK - AMBIENT_K);
  }

  ohm(): number {
    return this.hotOhm * (this.kelvin / this.hotK) ** 1.2;
  }

  prepare(timeS: number): void {
    this.siemens = this.timeline === null || this.timeline.contact(timeS) === 'closed' ? 1 / this.ohm() : 0;
  }

  advance(nodeV: number, stepS: number): void {
    const power = nodeV * nodeV * this.siemens - this.radiation * (this.kelvin ** 4 - AMBIENT_K ** 4);
    this.kelvin += (power * stepS) / this.capacity;
  }

  /** a lamp that has long been lit */
  lit(): this {
    this.kelvin = this.hotK;
    return this;
  }
}

/** A heater: its resistance as a function of its own temperature rise, heated by what it takes and cooled by its surroundings. */
export class Heater implements Part {
  heldA = 0;
  siemens = 0;
  private rise = 0;

  /** `grow`: hot over cold resistance at full power; 1 = wire of constant resistance; `warmS`: time constant */
  private readonly coldOhm: number;
  private readonly grow: number;
  private readonly warmS: number;
  private readonly ratedV: number;
  private readonly timeline: Timeline | null;

  constructor(coldOhm: number, grow: number, warmS: number, ratedV: number, timeline: Timeline | null) {
    this.coldOhm = coldOhm;
    this.grow = grow;
    this.warmS = warmS;
    this.ratedV = ratedV;
    this.timeline = timeline;
  }

  private ohm(): number {
    return this.coldOhm * (1 + (this.grow - 1) * Math.min(1.5, this.rise));
  }

  prepare(timeS: number): void {
    this.siemens = this.timeline === null || this.timeline.contact(timeS) === 'closed' ? 1 / this.ohm() : 0;
  }

  advance(nodeV: number, stepS: number): void {
    const full = (this.ratedV * this.ratedV) / (this.coldOhm * this.grow);
    this.rise += ((nodeV * nodeV * this.siemens) / full - this.rise) * (stepS / this.warmS);
  }
}

/**
 * A solenoid: v = R i + d(L(x) i)/dt. The plunger starts when the magnetic pull i^2/2 dL/dx passes its spring; while it moves the
 * growing L takes volts, and the current dips (TI white paper SSIY001). A stuck plunger shows none.
 */
export interface SolenoidSpec {
  readonly ohm: number;
  /** inductance with the plunger out and home */
  readonly henryOut: number;
  readonly henryIn: number;
  /** share of the rated current at which the plunger starts to move */
  readonly pullA: number;
  readonly travelS: number;
  readonly stuck: boolean;
}

export class Solenoid implements Part {
  heldA = 0;
  siemens = 0;
  /** 0 = rest, 1 = home */
  place = 0;
  private speed = 0;
  private flux = 0;
  private readonly spec: SolenoidSpec;
  private readonly timeline: Timeline;

  constructor(spec: SolenoidSpec, timeline: Timeline) {
    this.spec = spec;
    this.timeline = timeline;
  }

  private henry(): number {
    return this.spec.henryOut + (this.spec.henryIn - this.spec.henryOut) * this.place * this.place;
  }

  prepare(timeS: number): void {
    this.heldA = this.timeline.contact(timeS) === 'closed' ? this.flux / this.henry() : 0;
  }

  advance(nodeV: number, stepS: number, timeS: number): void {
    const { spec } = this;
    const closed = this.timeline.contact(timeS) === 'closed';
    const current = this.flux / this.henry();
    // beside the coil a freewheel diode: after the switch opens the current circles in the coil
    this.flux = Math.max(0, this.flux + stepS * ((closed ? nodeV : -0.7) - spec.ohm * current));
    if (spec.stuck) return;
    // pull grows with the square of the current and as the gap closes; the spring pushes back
    const pull = (current / spec.pullA) ** 2 * (1 + 2 * this.place) - 1 - 0.3 * this.place;
    this.speed += ((6 * pull) / (spec.travelS * spec.travelS)) * stepS;
    this.speed *= Math.exp(-stepS / spec.travelS);
    this.place += this.speed * stepS;
    if (this.place > 0 && this.place < 1) return;
    this.place = Math.min(1, Math.max(0, this.place));
    this.speed = 0;
  }
}

/** Something else on the same feed that draws a steady current of its own all the time. */
export class Steady implements Part {
  siemens = 0;
  heldA: number;

  constructor(heldA: number) {
    this.heldA = heldA;
  }

  prepare(): void {}

  advance(): void {}
}
