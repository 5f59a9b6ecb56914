import type { Part } from '../physics/parts.ts';

/** A brushed motor by its winding, its commutator and its bearings. */
export interface DriveSpec {
  readonly ohm: number;
  readonly henry: number;
  /** volt seconds per radian at the running current */
  readonly kVs: number;
  readonly inertia: number;
  readonly polePairs: number;
  readonly segments: number;
  /** the coils differ by these shares: no winding is even */
  readonly coilShares: readonly number[];
  readonly standingA: number;
  /** field winding in series: the current at which its iron is half-way to saturation (null: magnets) */
  readonly kneeA: number | null;
  readonly brushV: number;
  readonly bearingNm: number;
  /** one bar of the commutator makes no contact: resistance over the usual one while a brush is on it (1: a sound commutator) */
  readonly deadBar: number;
}

/** What the driven machine asks of the shaft: a torque that pulls by itself, and one that only resists, moving and at rest. */
export type Machine = (angle: number, speed: number, timeS: number) => { readonly pullNm: number; readonly dragNm: number; readonly stickNm: number };

/** What lies between the feed and the motor just now. `unplugged`: the feed is there, the motor's leads hang in the air. */
export interface Hook {
  readonly state: 'on' | 'open' | 'shorted' | 'unplugged';
  readonly way: 1 | -1;
  /** share of the volts that a filtered controller lets through */
  readonly share: number;
  readonly ohm: number;
}

export const ON: Hook = { state: 'on', way: 1, share: 1, ohm: 0 };
export const OFF: Hook = { ...ON, state: 'open' };
export const SHORTED: Hook = { ...ON, state: 'shorted' };

/** copper grows by this a kelvin (IEC 60028: 0.00393) */
const COPPER_PER_K = 0.00393;
/** winding held standing warms so fast, K/s: 50 to 60 K in ten seconds (common practice, no published source) */
const STANDING_K_PER_S = 5.5;
/** an opening contact's arc takes the current down at so many volts above the feed's (common practice, no published source) */
const ARC_V = 18;
/** points of the table of one turn */
const TABLE = 4096;

/**
 * The coils between the brushes, added up one by one as their sides pass the poles: e = sum |sin(p angle + 2 pi p n / S)|. The greatest
 * common part is the back-EMF, the rest its ripple: lcm(2p, S) a turn, and lines once a turn where coils differ.
 */
function coilsOverTurn(spec: DriveSpec): Float64Array {
  const table = new Float64Array(TABLE + 1);
  for (let point = 0; point < TABLE; point++) {
    const electrical = (2 * Math.PI * spec.polePairs * point) / TABLE;
    for (let coil = 0; coil < spec.segments; coil++) table[point]! += (1 + spec.coilShares[coil]!) * Math.abs(Math.sin(electrical + (2 * Math.PI * spec.polePairs * coil) / spec.segments));
  }
  const mean = table.reduce((sum, value) => sum + value, 0) / TABLE;
  table[TABLE] = table[0]!;
  return table.map((value) => value / mean);
}

export class Drive implements Part {
  heldA = 0;
  siemens = 0;
  terminalV = 0;
  speed = 0;
  angle = 0;
  currentA = 0;
  private kelvin = 0;
  private hook: Hook = OFF;
  readonly ripples: number;
  readonly spec: DriveSpec;
  private readonly machine: Machine;
  private readonly hooks: (timeS: number, drive: Drive) => Hook;
  private readonly switchOhm: number;
  private readonly coils: Float64Array;

  constructor(spec: DriveSpec, machine: Machine, hooks: (timeS: number, drive: Drive) => Hook, switchOhm: number) {
    this.spec = spec;
    this.machine = machine;
    this.hooks = hooks;
    this.switchOhm = switchOhm;
    this.coils = coilsOverTurn(spec);
    const brushes = 2 * spec.polePairs;
    this.ripples = (brushes * spec.segments) / divisor(brushes, spec.segments);
  }

  get motor(): this {
    return this;
  }

  get wireA(): number {
    return this.currentA;
  }

  prepare(timeS: number): void {
    this.hook = this.hooks(timeS, this);
    const { state, way, share } = this.hook;
    this.heldA = state === 'shorted' ? 0 : way * this.currentA * (state === 'on' ? share : 1);
  }

  advance(nodeV: number, stepS: number, timeS: number): void {
    const { spec, hook } = this;
    const turns = this.angle / (2 * Math.PI);
    const place = (turns - Math.floor(turns)) * TABLE;
    const point = Math.floor(place);
    const shape = this.coils[point]! + (place - point) * (this.coils[point + 1]! - this.coils[point]!);
    const k = spec.kVs * this.field() * shape;
    const back = k * this.speed;
    const ohm = spec.ohm * this.contact(turns) * (1 + COPPER_PER_K * this.kelvin);
    if (hook.state === 'open' || hook.state === 'unplugged') {
      const fall = ((ARC_V + Math.abs(nodeV)) / spec.henry) * stepS;
      this.currentA = Math.abs(this.currentA) <= fall ? 0 : this.currentA - Math.sign(this.currentA) * fall;
      this.terminalV = hook.state === 'unplugged' ? hook.way * nodeV : back;
    } else {
      const applied = hook.state === 'shorted' ? 0 : hook.way * nodeV * hook.share;
      const outside = this.switchOhm + hook.ohm;
      const drop = (spec.brushV * this.currentA) / (Math.abs(this.currentA) + 0.02 * spec.standingA);
      const perHenry = stepS / spec.henry;
      this.currentA = (this.currentA + perHenry * (applied - back - drop)) / (1 + perHenry * (ohm + outside));
      this.terminalV = applied - this.currentA * outside;
    }
    this.kelvin += STANDING_K_PER_S * (this.currentA / spec.standingA) ** 2 * stepS;
    this.turn(k * this.currentA, stepS, timeS);
  }

  /** magnets lose a little to the armature's own field; iron round a series winding saturates */
  private field(): number {
    const { kneeA, standingA } = this.spec;
    const size = Math.abs(this.currentA);
    return kneeA === null ? 1 - 0.05 * (size / standingA) ** 2 : (0.03 + Math.tanh((0.9 * size) / kneeA)) / (0.03 + Math.tanh(0.9));
  }

  /** resistance over the usual one: less while a brush bridges two bars, more while it lies on a dead one */
  private contact(turns: number): number {
    const { spec } = this;
    const bridged = 0.25 + 0.25 * Math.cos(2 * Math.PI * this.ripples * turns);
    const pass = turns * 2 * spec.polePairs;
    const dead = spec.deadBar !== 1 && pass - Math.floor(pass) < (2 * spec.polePairs) / spec.segments;
    return (1 - bridged / spec.segments) * (dead ? spec.deadBar : 1);
  }

  private turn(driveNm: number, stepS: number, timeS: number): void {
    const { inertia, bearingNm } = this.spec;
    const { pullNm, dragNm, stickNm } = this.machine(this.angle, this.speed, timeS);
    const free = driveNm - pullNm;
    if (this.speed === 0 && Math.abs(free) <= bearingNm + stickNm) return;
    const way = this.speed === 0 ? Math.sign(free) : Math.sign(this.speed);
    const next = this.speed + ((free - way * (bearingNm + dragNm)) * stepS) / inertia;
    this.speed = this.speed * next < 0 ? 0 : next;
    this.angle += this.speed * stepS;
  }
}

function divisor(left: number, right: number): number {
  return right === 0 ? left : divisor(right, left % right);
}
