import type { TraceRecord } from '../../core/tracefile/record.ts';
import { lowerBound, type Gap, type Mark, type SampleBlock } from '../../core/trace.ts';
import { pace } from './pacer.ts';
import type { ChannelInfo, ControlAnswer, Source, SourceSink } from './source.ts';
import type { Timing } from './timing.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.sources.replaySource;

/** What a replay needs of a recorded trace. */
export interface ReplayTrace {
  readonly record: TraceRecord;
  readonly gaps: readonly Gap[];
  readonly marks: readonly Mark[];
  readonly firstS: number;
  readonly hasVoltage: boolean;
  blocks(): AsyncIterable<SampleBlock>;
  close(): Promise<void>;
}

interface ReplayOptions {
  readonly spec: string;
  readonly path: string;
  readonly speed: number;
}

/** A recorded trace played again at its own pace (or `speed` times it): same samples, same gaps, times from its first sample. */
export class ReplaySource implements Source {
  readonly spec: string;
  readonly #options: ReplayOptions;
  readonly #open: (path: string) => Promise<ReplayTrace>;
  readonly #timing: Timing;
  #stopped = false;
  #wake: () => void = () => undefined;
  #playing: Promise<void> = Promise.resolve();

  constructor(options: ReplayOptions, open: (path: string) => Promise<ReplayTrace>, timing: Timing) {
    this.spec = options.spec;
    this.#options = options;
    this.#open = open;
    this.#timing = timing;
  }

  start(sink: SourceSink): void {
    this.#playing = this.#play(sink).catch((error: unknown) => {
      sink.state({ state: 'failed', text: error instanceof Error ? error.message : String(error) });
    });
  }

  async stop(): Promise<void> {
    this.#stopped = true;
    this.#wake();
    await this.#playing;
  }

  control(): ControlAnswer {
    return { ok: false, text: words.aRecordedTraceHas };
  }

  async #play(sink: SourceSink): Promise<void> {
    const { path, speed } = this.#options;
    sink.state({ state: 'connecting', text: words.openingTheTrace(path) });
    const trace = await this.#open(path);
    let reachedS = trace.firstS;
    const endPace = pace(this.#timing, speed, (stepS) => {
      reachedS += stepS;
      this.#wake();
    });
    try {
      sink.logger({ kind: 'replay', name: trace.record.title || path, serial: trace.record.logger.serial, firmware: trace.record.logger.firmware, rateHz: trace.record.rate_hz, channels: channelsOf(trace), simulated: trace.record.simulated });
      sink.state({ state: 'live', text: words.playing(path, speed === 1 ? '' : words.atTimesItsPace(speed)) });
      let lastS = -Infinity;
      for await (const block of trace.blocks()) {
        const { timeS } = block;
        for (let startIndex = 0; startIndex < timeS.length; ) {
          if (this.#stopped) return;
          const endIndex = lowerBound(timeS, reachedS, startIndex);
          if (endIndex === startIndex) {
            await this.#nextStep();
            continue;
          }
          const fromS = timeS[startIndex]!;
          if (startIndex === 0 && trace.gaps.some((gap) => gap.startS >= lastS && gap.endS <= fromS && lastS !== -Infinity)) {
            sink.gap({ startS: lastS - trace.firstS, endS: fromS - trace.firstS });
          }
          sink.samples(cut(block, startIndex, endIndex, trace.firstS));
          lastS = timeS[endIndex - 1]!;
          startIndex = endIndex;
        }
      }
      sink.state({ state: 'ended', text: words.theTraceHasBeen(path) });
    } finally {
      endPace();
      await trace.close();
    }
  }

  #nextStep(): Promise<void> {
    return new Promise((resolve) => {
      this.#wake = resolve;
      if (this.#stopped) resolve();
    });
  }
}

function cut(block: SampleBlock, startIndex: number, endIndex: number, originS: number): SampleBlock {
  return {
    timeS: block.timeS.slice(startIndex, endIndex).map((atS) => atS - originS),
    currentA: block.currentA.slice(startIndex, endIndex),
    voltageV: block.voltageV === null ? null : block.voltageV.slice(startIndex, endIndex),
  };
}

function channelsOf(trace: ReplayTrace): ChannelInfo[] {
  const recorded = trace.record.channels.filter((channel) => channel.name === 'current' || trace.hasVoltage);
  return recorded.map(({ name, unit, range, resolution }) => ({ name, unit, scale: resolution ?? 1, zero: 0, range: range ?? [-Infinity, Infinity] }));
}
