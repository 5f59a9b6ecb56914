import type { Mark, SampleBlock } from '../core/trace.ts';
import { Load, type LoadParameters } from './drain-loads.ts';
import { DrainTruthLog } from './drain-truth.ts';
import type { InstrumentedVehicle } from './instrumented.ts';
import { Random } from './random.ts';
import type { ScenarioTruth, SwitchPosition } from './scenario.ts';
import { Sensor, type SensorParameters } from './sensor.ts';

/** What somebody does to the parked vehicle, in order of time. */
export type DrainMove =
  | { readonly atS: number; readonly do: 'pull' | 'refit'; readonly fuse: string }
  | { readonly atS: number; readonly do: 'open-door' | 'close-door' };

export interface ParkedVehicle {
  readonly loads: readonly LoadParameters[];
  readonly moves: readonly DrainMove[];
  /** rested voltage, and what a freshly charged surface adds at first */
  readonly battery: { readonly restV: number; readonly surfaceV: number; readonly relaxS: number; readonly ohm: number };
  readonly rateHz: number;
  readonly current: SensorParameters;
  readonly voltage: SensorParameters | null;
  /** how early or late a person taps a mark */
  readonly markErrorS: number;
  readonly finding: string;
}

/** A parked vehicle whose modules fall asleep, worked by its script until a hand takes over. */
export class DrainVehicle implements InstrumentedVehicle {
  readonly rateHz: number;
  readonly #vehicle: ParkedVehicle;
  readonly #loads: readonly Load[];
  readonly #currentSensor: Sensor;
  readonly #voltageSensor: Sensor | null;
  readonly #log = new DrainTruthLog();
  readonly #marks: Mark[] = [];
  readonly #hand: Random;
  #nextMove = 0;
  #scripted = true;
  #doorOpen = false;
  #index = 0;

  constructor(vehicle: ParkedVehicle, seed: number) {
    this.rateHz = vehicle.rateHz;
    this.#vehicle = vehicle;
    this.#loads = vehicle.loads.map((load, index) => new Load(load, new Random(seed, 10 + index)));
    this.#currentSensor = new Sensor('current', vehicle.current, vehicle.rateHz, new Random(seed, 4));
    this.#voltageSensor = vehicle.voltage === null ? null : new Sensor('voltage', vehicle.voltage, vehicle.rateHz, new Random(seed, 5));
    this.#hand = new Random(seed, 3);
  }

  next(count: number): SampleBlock {
    const timeS = new Float64Array(count);
    const currentA = new Float32Array(count);
    const voltageV = this.#voltageSensor === null ? null : new Float32Array(count);
    const { battery } = this.#vehicle;
    for (let i = 0; i < count; i++) {
      const nowS = this.#index / this.rateHz;
      const trueA = this.#trueCurrentA(nowS);
      timeS[i] = nowS;
      currentA[i] = this.#currentSensor.measure(trueA, nowS);
      if (voltageV !== null && this.#voltageSensor !== null) {
        const trueV = battery.restV + battery.surfaceV * Math.exp(-nowS / battery.relaxS) - trueA * battery.ohm;
        voltageV[i] = this.#voltageSensor.measure(trueV, nowS);
      }
      this.#index += 1;
    }
    return { timeS, currentA, voltageV };
  }

  setSwitch(position: SwitchPosition): void {
    this.#scripted = false;
    this.#setDoor(position !== 'off', this.#index / this.rateHz);
  }

  setFuse(label: string, fitted: boolean): boolean {
    const load = this.#loads.find((each) => each.parameters.fuse === label);
    if (load === undefined) return false;
    this.#scripted = false;
    load.setFuse(fitted, this.#index / this.rateHz);
    return true;
  }

  marks(): readonly Mark[] {
    return this.#marks.toSorted((a, b) => a.timeS - b.timeS);
  }

  truth(): ScenarioTruth {
    const fuseCurrentsA: Record<string, number> = {};
    let asleepA = 0;
    for (const { parameters } of this.#loads) {
      fuseCurrentsA[parameters.fuse] = (fuseCurrentsA[parameters.fuse] ?? 0) + parameters.asleepA;
      asleepA += parameters.asleepA;
    }
    return this.#log.result(this.#vehicle.finding, asleepA, fuseCurrentsA);
  }

  #trueCurrentA(nowS: number): number {
    this.#playScript(nowS);
    let totalA = 0;
    let asleepA = 0;
    for (const load of this.#loads) {
      if (this.#doorOpen && load.parameters.wokenByDoor) load.wake(nowS);
      totalA += load.currentA(nowS);
      if (load.connected) asleepA += load.parameters.asleepA;
    }
    this.#log.step(nowS, totalA - asleepA);
    return totalA;
  }

  #playScript(nowS: number): void {
    const { moves, markErrorS } = this.#vehicle;
    while (this.#scripted && this.#nextMove < moves.length && moves[this.#nextMove].atS <= nowS) {
      const move = moves[this.#nextMove];
      this.#nextMove += 1;
      const markS = Math.max(0, nowS + this.#hand.between(-markErrorS, markErrorS));
      if (move.do === 'pull' || move.do === 'refit') {
        this.#loads.find((load) => load.parameters.fuse === move.fuse)?.setFuse(move.do === 'refit', nowS);
        this.#marks.push({ timeS: markS, kind: move.do, label: move.fuse });
      } else {
        this.#setDoor(move.do === 'open-door', nowS);
        this.#marks.push({ timeS: markS, kind: 'wake', label: move.do === 'open-door' ? 'door opened' : 'door closed' });
      }
    }
  }

  #setDoor(open: boolean, nowS: number): void {
    if (open === this.#doorOpen) return;
    this.#doorOpen = open;
    for (const load of this.#loads) if (load.parameters.wokenByDoor) load.wake(nowS);
  }
}
