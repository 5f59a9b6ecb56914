import type { Scenario, VirtualVehicle } from '../../simulate/scenario.ts';
import { pace } from './pacer.ts';
import type { ControlAnswer, Source, SourceCommand, SourceSink } from './source.ts';
import type { Timing } from './timing.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.sources.simSource;

/** At a hundred times the pace of a 10 kS/s vehicle a step holds many samples; handed on in blocks of at most this many. */
const MAX_BLOCK = 4096;
/** Samples made in one step: beyond it the computer would do nothing else, and the vehicle runs as fast as it can. */
const MAX_STEP_SAMPLES = 20_000;

interface SimOptions {
  readonly spec: string;
  readonly speed: number;
  readonly seed: number;
  /** said before the scenario's title while it runs */
  readonly because?: string;
}

/** The virtual vehicle as a source, paced by the clock. Its switch and fuses can be worked from the page. */
export class SimSource implements Source {
  readonly spec: string;
  readonly #scenario: Scenario;
  readonly #options: SimOptions;
  readonly #timing: Timing;
  #vehicle: VirtualVehicle | null = null;
  #end: () => void = () => undefined;

  constructor(scenario: Scenario, options: SimOptions, timing: Timing) {
    this.spec = options.spec;
    this.#scenario = scenario;
    this.#options = options;
    this.#timing = timing;
  }

  start(sink: SourceSink): void {
    const { name, title, fuses, test } = this.#scenario;
    const { speed, seed, because = '' } = this.#options;
    const vehicle = this.#scenario.start(seed);
    this.#vehicle = vehicle;
    let owed = 0;
    let isFirst = true;
    const step = (durationS: number): void => {
      owed = Math.min(MAX_STEP_SAMPLES, owed + durationS * vehicle.rateHz);
      while (owed >= 1) {
        const count = Math.min(MAX_BLOCK, Math.floor(owed));
        owed -= count;
        const block = vehicle.next(count);
        if (isFirst) {
          isFirst = false;
          sink.logger({
            kind: 'virtual',
            name: 'virtual vehicle',
            serial: null,
            firmware: null,
            rateHz: vehicle.rateHz,
            channels: this.#scenario.channels,
            controls: { hasSwitch: test === 'actuation', fuses, scenario: name, title },
          });
          sink.state({ state: 'live', text: words.virtualVehicle(because, title, speed === 1 ? '' : words.timesAsFastAs(speed)) });
        }
        sink.samples(block);
      }
    };
    this.#end = pace(this.#timing, speed, step);
  }

  async stop(): Promise<void> {
    this.#end();
    this.#vehicle = null;
  }

  control(command: SourceCommand): ControlAnswer {
    const vehicle = this.#vehicle;
    if (vehicle === null) return { ok: false, text: words.theVirtualVehicleIs };
    if (command.do === 'switch') {
      if (this.#scenario.test !== 'actuation') return { ok: false, text: words.thisVirtualVehicleIs };
      vehicle.setSwitch(command.position);
      return { ok: true };
    }
    return vehicle.setFuse(command.label, command.fitted) ? { ok: true } : { ok: false, text: words.thisVirtualVehicleHas(command.label.slice(0, 20)) };
  }
}
