/** What every brushed motor has. */
export interface Winding {
  readonly ohm: number;
  readonly henry: number;
  /** volt seconds per radian, and newton metre per ampere, at the usual current */
  readonly kVs: number;
  /** rotor and everything geared to it, seen at the shaft, kg m2 */
  readonly inertia: number;
  readonly poles: number;
  readonly segments: number;
}

/**
 * A permanent-magnet brushed motor, from the textbook equations: v = R i + L di/dt + k w and J dw/dt = k i - T. The commutator shows
 * as an angle-dependent k (felt by voltage and torque alike, so energy is kept) and an angle-dependent R.
 */
export interface MotorSpec extends Winding {
  /** relative swing of k at the commutation frequency, at twice it and once a turn */
  readonly rippleDepth: number;
  readonly rippleSecond: number;
  readonly turnDepth: number;
  /** relative swing of R as the brushes bridge segments */
  readonly brushSwing: number;
  /** rough contact: relative swing of R from one commutation to the next, without a pattern */
  readonly brushRough: number;
  /** volts lost at the two brush contacts while current flows */
  readonly brushDropV: number;
  /** torque swing of the slots, N m, so many to a turn */
  readonly coggingNm: number;
  /** dry friction of bearings and brushes, N m */
  readonly frictionNm: number;
  /** a burnt or lifted segment: this much more resistance while a brush is on it (null: none) */
  readonly badSegmentOhm: number | null;
  /** copper: kelvin per joule; 0 = the winding stays cold */
  readonly kelvinPerJoule: number;
}

/** Ripples a turn: the least common multiple of brushes and segments (as many brushes as poles). */
export function ripplesPerTurn(brushes: number, segments: number): number {
  let a = brushes;
  let b = segments;
  while (b !== 0) [a, b] = [b, a % b];
  return (brushes * segments) / a;
}

/** What the mechanism does to the shaft, filled in by `Mechanism.load`: a torque of its own, and friction that only ever opposes. */
export interface ShaftLoad {
  activeNm: number;
  frictionNm: number;
  /** friction at rest */
  stickNm: number;
}

export interface Mechanism {
  load(angle: number, speed: number, timeS: number, out: ShaftLoad): void;
}

/** temperature coefficient of copper, 1/K (IEC 60228 factors imply it) */
const COPPER_PER_KELVIN = 0.004;

export class Motor {
  currentA = 0;
  speed = 0;
  angle = 0;
  heatK = 0;
  readonly ripples: number;
  private readonly shaft: ShaftLoad = { activeNm: 0, frictionNm: 0, stickNm: 0 };

  readonly spec: MotorSpec;
  readonly mechanism: Mechanism;

  constructor(spec: MotorSpec, mechanism: Mechanism) {
    this.spec = spec;
    this.mechanism = mechanism;
    this.ripples = ripplesPerTurn(spec.poles, spec.segments);
  }

  /** the back-EMF with the commutator's swing */
  factor(): number {
    const { spec, angle } = this;
    const commutation = this.ripples * angle;
    return spec.kVs * (1 + spec.rippleDepth * Math.cos(commutation) + spec.rippleSecond * Math.cos(2 * commutation + 1) + spec.turnDepth * Math.cos(angle + 2));
  }

  private windingOhm(): number {
    const { spec } = this;
    let ohm = spec.ohm * (1 + COPPER_PER_KELVIN * this.heatK) * (1 + spec.brushSwing * Math.cos(this.ripples * this.angle + 0.7));
    if (spec.brushRough !== 0) ohm *= 1 + spec.brushRough * scatter(Math.floor((this.ripples * this.angle) / (2 * Math.PI)));
    if (spec.badSegmentOhm !== null) {
      // the segment passes one brush after another: so many times a turn as there are brushes
      const turn = (this.angle * spec.poles) / (2 * Math.PI) + 0.5;
      if (turn - Math.floor(turn) < spec.poles / spec.segments) ohm += spec.badSegmentOhm;
    }
    return ohm;
  }

  /** One step with `volts` behind `seriesOhm`; implicit in the current, so a small L does not blow it up. */
  advance(volts: number, seriesOhm: number, stepS: number, timeS: number): void {
    const { spec } = this;
    const k = this.factor();
    const ohm = this.windingOhm();
    const pull = volts - k * this.speed - spec.brushDropV * Math.tanh(this.currentA * 20);
    this.currentA = (this.currentA + (stepS / spec.henry) * pull) / (1 + (stepS / spec.henry) * (ohm + seriesOhm));
    this.heatK += spec.kelvinPerJoule * this.currentA * this.currentA * ohm * stepS;
    this.turn(k, stepS, timeS);
  }

  /** No current path: the shaft coasts. */
  coast(stepS: number, timeS: number): void {
    this.currentA = 0;
    this.turn(0, stepS, timeS);
  }

  private turn(k: number, stepS: number, timeS: number): void {
    const { spec, shaft } = this;
    this.mechanism.load(this.angle, this.speed, timeS, shaft);
    const cogging = spec.coggingNm === 0 ? 0 : spec.coggingNm * Math.sin(spec.segments * this.angle);
    const drive = k * this.currentA - shaft.activeNm - cogging;
    const friction = spec.frictionNm + shaft.frictionNm;
    if (this.speed === 0) {
      const stick = Math.max(friction, spec.frictionNm + shaft.stickNm);
      if (Math.abs(drive) <= stick) return;
      this.speed = ((drive - Math.sign(drive) * friction) / spec.inertia) * stepS;
    } else {
      const before = this.speed;
      this.speed += ((drive - Math.sign(before) * friction) / spec.inertia) * stepS;
      if (before * this.speed < 0) this.speed = 0;
    }
    this.angle += this.speed * stepS;
  }
}

/** a number in [-1, 1) that looks random and is fixed for each whole number */
function scatter(index: number): number {
  let mixed = Math.imul(index ^ 0x5bd1e995, 0x27d4eb2d);
  mixed = Math.imul(mixed ^ (mixed >>> 15), 0x2c1b3c6d);
  return ((mixed ^ (mixed >>> 12)) >>> 0) / 2_147_483_648 - 1;
}
