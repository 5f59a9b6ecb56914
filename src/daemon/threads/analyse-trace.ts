import type { LiveAnalysis } from '../../core/analysis/live.ts';
import { createLiveActuation } from '../../core/analysis/motor/analyse.ts';
import { createLiveDrain } from '../../core/present/document-night.ts';
import type { ActuationOptions, DrainOptions, SensorUncertainty } from '../../core/analysis/options.ts';
import type { AnalysisResult, TestKind } from '../../core/analysis/results.ts';
import type { Mark } from '../../core/trace.ts';
import { checkCancelled } from '../store/store-error.ts';
import type { TraceReader } from '../store/trace-reader.ts';

export interface AnalyseRequest {
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
  const result = await stream(reader, request.test === 'actuation' ? liveMotor(reader, request) : liveNight(reader, request), request, fromS, toS);
  result.problems.unshift(...reader.problems);
  return result;
}

function liveMotor(reader: TraceReader, request: AnalyseRequest): LiveAnalysis<AnalysisResult> {
  const current = reader.record.channels.find(({ name }) => name === 'current');
  const fullScaleA = current?.range == null ? undefined : Math.max(Math.abs(current.range[0]), Math.abs(current.range[1]));
  return createLiveActuation({ ...(fullScaleA === undefined ? {} : { fullScaleA }), ...sensorUncertainty(reader), ...reader.record.actuation_options, ...request.actuation });
}

function liveNight(reader: TraceReader, request: AnalyseRequest): LiveAnalysis<AnalysisResult> {
  const ranges = reader.record.ranges.map(({ at_s: atS, resolution }) => ({ atS, resolutionA: resolution }));
  return createLiveDrain({ ranges, ...sensorUncertainty(reader), ...reader.record.drain_options, ...request.drain });
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

/** Half-width of a 95 % interval in standard deviations, as trace.json's figures were made. */
const Z95 = 1.96;

/** The sensor's uncertainty as trace.json keeps it, 95 % half-widths there and k = 1 here. */
function sensorUncertainty({ record }: TraceReader): SensorUncertainty {
  const { offset_doubt_a: offsetA, gain_doubt_percent: gainPercent } = record.calibration;
  return {
    ...(offsetA === null ? {} : { zeroUncertaintyA: offsetA / Z95 }),
    ...(gainPercent === null ? {} : { gainUncertaintyPercent: gainPercent / Z95 }),
  };
}
