import { corrected, type Correction } from '../../../../core/analysis/uncertainty/calibration.ts';
import { traceCorrection } from '../../../../core/analysis/uncertainty/trace-correction.ts';
import type { Problem } from '../../../../core/problems.ts';
import { language } from '../../../../core/present/language.ts';
import type { TraceRecord } from '../../../../core/tracefile/record.ts';
import type { Gap, Mark, SampleBlock, Trace } from '../../../../core/trace.ts';
import { loadBlocks } from '../blocks.ts';
import type { TraceReader, TraceWindow } from '../types.ts';

/** Applies the calibration that holds, once, as samples are read; what lies on the disk stays as recorded. The same reader where none holds. */
export function calibratedReader(reader: TraceReader): TraceReader {
  if (reader.record.calibrations.length === 0) return reader;
  const found = { current: traceCorrection(reader.record, 'current'), voltage: traceCorrection(reader.record, 'voltage') };
  const problems: Problem[] = [];
  const usable = (channel: 'current' | 'voltage'): Correction | null => {
    const one = found[channel];
    if (typeof one === 'string') problems.push({ code: 'calibration', text: language.calibration.unused(channel, language.calibration.faults[one]) });
    return typeof one === 'string' ? null : one;
  };
  const current = usable('current');
  const voltage = usable('voltage');
  return current === null && voltage === null && problems.length === 0 ? reader : new CorrectedTrace(reader, current, voltage, problems);
}

class CorrectedTrace implements TraceReader {
  readonly #reader: TraceReader;
  readonly #current: Correction | null;
  readonly #voltage: Correction | null;
  readonly #faults: readonly Problem[];

  constructor(reader: TraceReader, current: Correction | null, voltage: Correction | null, faults: readonly Problem[]) {
    this.#reader = reader;
    this.#current = current;
    this.#voltage = voltage;
    this.#faults = faults;
  }

  get path(): string {
    return this.#reader.path;
  }
  get record(): TraceRecord {
    return this.#reader.record;
  }
  get marks(): readonly Mark[] {
    return this.#reader.marks;
  }
  get gaps(): readonly Gap[] {
    return this.#reader.gaps;
  }
  get problems(): readonly Problem[] {
    return [...this.#faults, ...this.#reader.problems];
  }
  get samples(): number {
    return this.#reader.samples;
  }
  get firstS(): number {
    return this.#reader.firstS;
  }
  get lastS(): number {
    return this.#reader.lastS;
  }
  get hasVoltage(): boolean {
    return this.#reader.hasVoltage;
  }

  async *blocks(fromS?: number, toS?: number): AsyncGenerator<SampleBlock> {
    for await (const block of this.#reader.blocks(fromS, toS)) yield { ...block, ...this.#values(block) };
  }

  load(fromS = -Infinity, toS = Infinity): Promise<Trace> {
    return loadBlocks(this, fromS, toS);
  }

  /** A gain is above zero, so the lowest and highest of a column stay its lowest and highest. */
  async window(fromS: number, toS: number, columns: number): Promise<TraceWindow> {
    const window = await this.#reader.window(fromS, toS, columns);
    return { ...window, ...this.#values(window) };
  }

  follow(): Promise<boolean> {
    return this.#reader.follow();
  }

  close(): Promise<void> {
    return this.#reader.close();
  }

  #values({ currentA, voltageV }: SampleBlock): Pick<SampleBlock, 'currentA' | 'voltageV'> {
    return { currentA: apply(currentA, this.#current), voltageV: voltageV === null ? null : apply(voltageV, this.#voltage) };
  }
}

function apply(values: Float32Array, correction: Correction | null): Float32Array {
  return correction === null ? values : values.map((value) => corrected(value, correction));
}
