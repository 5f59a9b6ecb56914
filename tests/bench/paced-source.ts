import { findScenario } from '../../src/simulate/scenarios.ts';
import type { Source, SourceSink } from '../../src/daemon/sources/source.ts';

/** Hands on samples as a serial port would: what has come, every 10 ms. */
export class Paced implements Source {
  readonly spec = 'hand:1';
  readonly #rateHz: number;
  #timer: NodeJS.Timeout | null = null;

  constructor(rateHz: number) {
    this.#rateHz = rateHz;
  }

  start(sink: SourceSink): void {
    sink.logger({ kind: 'logger', name: 'hand', serial: 'H1', firmware: '1', rateHz: this.#rateHz, channels: [{ name: 'current', unit: 'A', scale: 0.001, zero: 0, range: [-60, 60] }, { name: 'voltage', unit: 'V', scale: 0.001, zero: 0, range: [0, 32] }] });
    sink.state({ state: 'live', text: 'Sending.' });
    // one trace of presses, played again and again
    const vehicle = findScenario('side-step-jam')!.start(1).next(20_000);
    const startMs = performance.now();
    let sent = 0;
    this.#timer = setInterval(() => {
      const due = Math.floor(((performance.now() - startMs) / 1000) * this.#rateHz);
      const count = due - sent;
      if (count <= 0) return;
      const timeS = new Float64Array(count);
      const currentA = new Float32Array(count);
      const voltageV = new Float32Array(count);
      for (let i = 0; i < count; i++) {
        const at = Math.floor(((sent + i) / this.#rateHz) * 1000) % vehicle.timeS.length;
        timeS[i] = (sent + i) / this.#rateHz;
        currentA[i] = vehicle.currentA[at]!;
        voltageV[i] = vehicle.voltageV?.[at] ?? 12.5;
      }
      sent = due;
      sink.samples({ timeS, currentA, voltageV });
    }, 10);
  }

  async stop(): Promise<void> {
    if (this.#timer !== null) clearInterval(this.#timer);
  }

  control(): { ok: false; text: string } {
    return { ok: false, text: 'no' };
  }
}
