import type { Mark, SampleBlock } from '../core/trace.ts';
import type { InstrumentedVehicle } from './instrumented.ts';
import { Mechanism, type MechanismParameters } from './mechanism.ts';
import { longestStepS, type MotorDrive, type MotorParameters, type MotorState, stepBroken, stepMotor } from './motor.ts';
import { Random } from './random.ts';
import type { ScenarioTruth, SwitchPosition } from './scenario.ts';
import { ScriptedHand, type SwitchScript } from './script.ts';
import { Sensor, type SensorParameters } from './sensor.ts';
import { SwitchContact, type WornContact } from './switch-contact.ts';
import { MotorTruthLog } from './truth-log.ts';

/** Battery and wiring up to the motor. */
export interface FeedParameters {
  /** open-circuit voltage; 0 = nothing arrives */
  readonly batteryV: number;
  readonly batteryOhm: number;
  /** wiring, fuse and contacts, both ways */
  readonly wiringOhm: number;
  /** loop through the rest contacts of the switch that brakes the motor; null = the leads are left open */
  readonly brakingOhm: number | null;
  /** bimetal in the motor lead: opens when heated long enough above `holdA`; null = none */
  readonly thermal: { readonly holdA: number; readonly timeConstantS: number; readonly closesAt: number } | null;
  readonly worn: WornContact | null;
  /** the motor's own circuit is open: brushes hung up, lead off */
  readonly motorOpen: boolean;
}

export interface MotorCircuit {
  readonly motor: MotorParameters;
  readonly mechanism: MechanismParameters;
  readonly feed: FeedParameters;
  readonly script: SwitchScript;
  readonly rateHz: number;
  readonly current: SensorParameters;
  readonly voltage: (SensorParameters & { readonly at: 'motor' | 'battery' }) | null;
  /** what the whole test shows */
  readonly finding: string;
  /** what a run without stall or dropout is called */
  readonly runFinding: string;
}

/** arc of a small switch breaking 12 or 24 V of motor current: order of magnitude from handbooks of contacts, from memory */
const ARC_V = 35;
/** what is left of a braking current when it is called gone, far below any converter step */
const RESTING_A = 1e-6;

/** One motor circuit, worked by its script until a hand takes the switch. */
export class MotorVehicle implements InstrumentedVehicle {
  readonly rateHz: number;
  readonly #circuit: MotorCircuit;
  readonly #mechanism: Mechanism;
  readonly #contact: SwitchContact;
  readonly #currentSensor: Sensor;
  readonly #voltageSensor: Sensor | null;
  readonly #log: MotorTruthLog;
  readonly #state: MotorState = { currentA: 0, speedRadPerS: 0, angleRad: 0 };
  readonly #drive: MotorDrive = { emfV: 0, loopOhm: 0, loadNm: 0, breakawayNm: 0 };
  readonly #steps: number;
  readonly #stepS: number;
  #hand: ScriptedHand | null;
  #index = 0;
  #heat = 0;
  #thermalOpen = false;
  #fed = false;

  constructor(circuit: MotorCircuit, seed: number) {
    this.rateHz = circuit.rateHz;
    this.#circuit = circuit;
    this.#mechanism = new Mechanism(circuit.mechanism, new Random(seed, 1));
    this.#contact = new SwitchContact(new Random(seed, 2), circuit.feed.worn);
    this.#hand = new ScriptedHand(circuit.script, new Random(seed, 3));
    this.#currentSensor = new Sensor('current', circuit.current, circuit.rateHz, new Random(seed, 4));
    this.#voltageSensor = circuit.voltage === null ? null : new Sensor('voltage', circuit.voltage, circuit.rateHz, new Random(seed, 5));
    this.#log = new MotorTruthLog(circuit.runFinding);
    const { feed, motor } = circuit;
    const longestS = longestStepS(motor, Math.max(feed.batteryOhm + feed.wiringOhm, feed.brakingOhm ?? 0) + motor.badSegmentOhm);
    this.#steps = Math.ceil(1 / (circuit.rateHz * longestS));
    this.#stepS = 1 / (circuit.rateHz * this.#steps);
  }

  next(count: number): SampleBlock {
    const timeS = new Float64Array(count);
    const currentA = new Float32Array(count);
    const voltageV = this.#voltageSensor === null ? null : new Float32Array(count);
    for (let i = 0; i < count; i++) {
      const nowS = this.#index / this.rateHz;
      timeS[i] = nowS;
      currentA[i] = this.#currentSensor.measure(this.#state.currentA, nowS);
      if (voltageV !== null && this.#voltageSensor !== null) voltageV[i] = this.#voltageSensor.measure(this.#trueVoltageV(), nowS);
      if (this.#resting((this.#index + 1) / this.rateHz)) this.#cool(1 / this.rateHz);
      else for (let step = 0; step < this.#steps; step++) this.#advance(nowS + step * this.#stepS);
      this.#index += 1;
    }
    return { timeS, currentA, voltageV };
  }

  setSwitch(position: SwitchPosition): void {
    this.#hand = null;
    this.#work(position, this.#index / this.rateHz);
  }

  /** a motor circuit has no fuse to pull here */
  setFuse(): boolean {
    return false;
  }

  marks(): readonly Mark[] {
    return [];
  }

  truth(): ScenarioTruth {
    return {
      finding: this.#circuit.finding,
      actuations: this.#log.actuations(this.#index / this.rateHz),
      stalls: this.#log.stalls.slice(),
      dropouts: this.#log.dropouts.slice(),
      asleepAtS: null,
      asleepLevelA: null,
      wakeUps: [],
      fuseCurrentsA: {},
    };
  }

  #work(position: SwitchPosition, atS: number): void {
    if (position === this.#contact.position) return;
    if (this.#contact.position !== 'off') this.#log.released(atS);
    this.#contact.move(position, atS);
  }

  /** nothing moves, flows or is asked for before `untilS`, so the steps may be left out */
  #resting(untilS: number): boolean {
    const { currentA, speedRadPerS } = this.#state;
    return this.#contact.settledOff && Math.abs(currentA) < RESTING_A && speedRadPerS === 0 && (this.#hand === null || this.#hand.dueS > untilS);
  }

  #advance(nowS: number): void {
    while (this.#hand !== null && this.#hand.dueS <= nowS) this.#work(this.#hand.take(), nowS);
    this.#contact.advance(nowS);
    const { feed, motor } = this.#circuit;
    const state = this.#state;
    const drive = this.#drive;
    const mechanism = this.#mechanism;
    const asked = this.#contact.position === 'forward' ? 1 : this.#contact.position === 'reverse' ? -1 : 0;
    const motion = state.speedRadPerS !== 0 ? Math.sign(state.speedRadPerS) : asked === 0 ? 1 : asked;
    drive.loadNm = mechanism.frictionNm(motion);
    drive.breakawayNm = mechanism.breakawayNm(motion);
    this.#warm();
    const angleRad = state.angleRad;
    const limitOpen = mechanism.limitOpen(asked);
    this.#fed = this.#contact.state === 'feed' && !feed.motorOpen && feed.batteryV > 0 && !this.#thermalOpen && !limitOpen;
    if (this.#fed) {
      drive.emfV = asked * feed.batteryV;
      drive.loopOhm = feed.batteryOhm + feed.wiringOhm;
      stepMotor(state, motor, drive, this.#stepS);
    } else if (this.#shorted(limitOpen)) {
      drive.emfV = 0;
      drive.loopOhm = feed.brakingOhm ?? 0;
      stepMotor(state, motor, drive, this.#stepS);
    } else {
      stepBroken(state, motor, drive, ARC_V, this.#stepS);
    }
    const revolutions = (state.angleRad - angleRad) / (2 * Math.PI);
    mechanism.moveBy(revolutions);
    if (asked !== 0) this.#log.step(nowS, this.#fed, asked > 0 ? 'forward' : 'reverse', state.speedRadPerS !== 0, state.currentA, revolutions);
  }

  /** do the rest contacts, or a limit switch that has changed over, short the motor leads? */
  #shorted(limitOpen: boolean): boolean {
    const { feed, mechanism } = this.#circuit;
    if (feed.brakingOhm === null || feed.motorOpen || this.#thermalOpen) return false;
    return this.#contact.state === 'rest' || (this.#contact.state === 'feed' && limitOpen && mechanism.limitsBrake);
  }

  #cool(durationS: number): void {
    this.#state.currentA = 0;
    const { thermal } = this.#circuit.feed;
    if (thermal === null) return;
    this.#heat *= Math.exp(-durationS / thermal.timeConstantS);
    if (this.#heat < thermal.closesAt) this.#thermalOpen = false;
  }

  #warm(): void {
    const { thermal } = this.#circuit.feed;
    if (thermal === null) return;
    const share = this.#state.currentA / thermal.holdA;
    this.#heat += ((share * share - this.#heat) * this.#stepS) / thermal.timeConstantS;
    if (this.#heat > 1) this.#thermalOpen = true;
    else if (this.#heat < thermal.closesAt) this.#thermalOpen = false;
  }

  /** across the motor leads, or at the battery posts */
  #trueVoltageV(): number {
    const { feed, motor, voltage } = this.#circuit;
    const { currentA, speedRadPerS } = this.#state;
    if (voltage?.at === 'battery') return feed.batteryV - (this.#fed ? Math.abs(currentA) * feed.batteryOhm : 0);
    const asked = this.#contact.position === 'forward' ? 1 : this.#contact.position === 'reverse' ? -1 : 0;
    if (this.#fed) return asked * feed.batteryV - currentA * (feed.batteryOhm + feed.wiringOhm);
    // hung brushes or an open bimetal lie beyond the leads: the feed is there and no current takes any of it
    if (feed.motorOpen || this.#thermalOpen) return this.#contact.state === 'feed' ? asked * feed.batteryV : 0;
    if (this.#shorted(this.#mechanism.limitOpen(asked))) return -currentA * (feed.brakingOhm ?? 0);
    return motor.torqueConstantNmPerA * speedRadPerS;
  }
}
