import type { LiveAnalysis } from '../../core/analysis/live.ts';
import type { ActuationOptions, DrainOptions } from '../../core/analysis/options.ts';
import { corrected } from '../../core/analysis/uncertainty/calibration.ts';
import { recordedUncertainty, traceCorrection } from '../../core/analysis/uncertainty/trace-correction.ts';
import type { AnalysisResult, TestKind } from '../../core/analysis/results.ts';
import type { TraceRecord } from '../../core/tracefile/record.ts';
import type { Mark } from '../../core/trace.ts';
import { checkCancelled } from '../store/files/store-error.ts';
import { TAKEN_IN } from '../store/samples/types.ts';
import type { TraceReader } from '../store/samples/reading/trace-reader.ts';

interface AnalyseRequest {
  readonly test: TestKind;
  /** instead of the marks that lie with the trace */
  readonly marks?: readonly Mark[];
  readonly fromS?: number;
  readonly toS?: number;
  /** what the technician typed in; what is absent is taken from the trace's own record */
  readonly actuation?: ActuationOptions;
  readonly drain?: DrainOptions;
  readonly progress?: (fraction: number) => void;
  readonly signal?: AbortSignal;
}

/**
 * Analyses an opened trace. It streams through in blocks, so a recording of any length needs no more memory than an hour. Problems of the reading (cut short, damaged, rows left out) are put before
 * the analysis's own. Throws StoreError `cancelled` when the signal is aborted.
 */
export async function analyseTrace(reader: TraceReader, request: AnalyseRequest): Promise<AnalysisResult> {
  const fromS = request.fromS ?? -Infinity;
  const toS = request.toS ?? Infinity;
  const result = await stream(reader, await (request.test === 'actuation' ? liveMotor(reader, request) : liveNight(reader, request)), request, fromS, toS);
  result.problems.unshift(...reader.problems);
  return result;
}

/** Each test is loaded when it is asked for: of a short call of the command line, loading is most of the time. */
async function liveMotor(reader: TraceReader, request: AnalyseRequest): Promise<LiveAnalysis<AnalysisResult>> {
  const { createLiveActuation } = await import('../../core/present/documents/document-motor.ts');
  const fullScaleA = fullScaleOf(reader);
  return createLiveActuation({ ...(fullScaleA === undefined ? {} : { fullScaleA }), ...recordedUncertainty(reader.record), ...reader.record.actuation_options, ...request.actuation });
}

async function liveNight(reader: TraceReader, request: AnalyseRequest): Promise<LiveAnalysis<AnalysisResult>> {
  const { createLiveDrain } = await import('../../core/present/documents/document-night.ts');
  const ranges = reader.record.ranges.map(({ at_s: atS, resolution }) => ({ atS, resolutionA: resolution }));
  return createLiveDrain({ ranges, ...startOf(reader.record), ...recordedUncertainty(reader.record), ...reader.record.drain_options, ...request.drain });
}

/** The clock at time 0. A virtual vehicle has none, and a file that was taken in began before it came here. */
function startOf({ start, simulated, logger }: TraceRecord): Pick<DrainOptions, 'startedAtMs'> {
  const startedAtMs = Date.parse(start);
  return simulated || logger.name === TAKEN_IN || Number.isNaN(startedAtMs) ? {} : { startedAtMs };
}

/** Longest stretch between two looks at the progress and the signal, in samples. */
const CHUNK_SAMPLES = 1 << 18;

async function stream(reader: TraceReader, live: LiveAnalysis<AnalysisResult>, request: AnalyseRequest, fromS: number, toS: number): Promise<AnalysisResult> {
  let gaps = reader.gaps;
  let faults = reader.problems.length;
  let nextGap = 0;
  let lastS = fromS;
  let seen = 0;
  let sinceLook = 0;
  for await (const block of reader.blocks(fromS, toS)) {
    // a block that proves damaged when it is read leaves a gap that was not known before
    if (reader.problems.length !== faults) {
      faults = reader.problems.length;
      gaps = reader.gaps;
      nextGap = 0;
    }
    const firstS = block.timeS[0]!;
    for (; nextGap < gaps.length && gaps[nextGap]!.endS <= firstS; nextGap++) if (gaps[nextGap]!.startS >= lastS) live.gap(gaps[nextGap]!);
    live.push(block);
    lastS = block.timeS[block.timeS.length - 1]!;
    seen += block.timeS.length;
    sinceLook += block.timeS.length;
    if (sinceLook < CHUNK_SAMPLES) continue;
    sinceLook = 0;
    checkCancelled(request.signal);
    request.progress?.(seen / Math.max(reader.samples, 1));
  }
  for (const mark of request.marks ?? reader.marks) live.mark(mark);
  checkCancelled(request.signal);
  const result = live.result();
  request.progress?.(1);
  return result;
}

/** Where the current channel clips, A, as its values are read. */
function fullScaleOf({ record }: TraceReader): number | undefined {
  const range = record.channels.find(({ name }) => name === 'current')?.range ?? null;
  if (range === null) return undefined;
  const found = traceCorrection(record, 'current');
  const ends = found === null || typeof found === 'string' ? range : range.map((end) => corrected(end, found));
  return Math.max(...ends.map((end) => Math.abs(end)));
}
