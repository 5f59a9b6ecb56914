import { analyseActuation, createLiveActuation } from '../core/analysis/actuation/analyse.ts';
import { chargeBetween } from '../core/analysis/charge.ts';
import { analyseDrain, createLiveDrain } from '../core/analysis/drain/analyse.ts';
import type { ActuationOptions, DrainOptions } from '../core/analysis/options.ts';
import type { AnalysisResult, TestKind } from '../core/analysis/results.ts';
import type { ChargeView } from '../core/wire/api.ts';
import { RequestError } from './errors.ts';
import type { TraceReader } from './store/trace-reader.ts';

/** Up to here a trace is loaded and analysed as one (80 MB with voltage); longer ones go through the same code block by block. */
const WHOLE_SAMPLES = 5_000_000;

export interface StoredTest {
  readonly test: TestKind;
  readonly actuation: ActuationOptions;
  readonly drain: DrainOptions;
}

export type ReportProgress = (fraction: number) => void;

/** Analyses a stored trace of any length in bounded memory. Rejects when `signal` aborts. */
export async function analyseStored(reader: TraceReader, { test, actuation, drain }: StoredTest, progress: ReportProgress, signal?: AbortSignal): Promise<AnalysisResult> {
  if (reader.samples <= WHOLE_SAMPLES) {
    const trace = await reader.load();
    signal?.throwIfAborted();
    return test === 'actuation' ? analyseActuation(trace, actuation) : analyseDrain(trace, reader.marks, drain);
  }
  const analysis = test === 'actuation' ? createLiveActuation(actuation) : createLiveDrain(drain);
  for (const gap of reader.gaps) analysis.gap(gap);
  for (const mark of reader.marks) analysis.mark(mark);
  let done = 0;
  for await (const block of reader.blocks()) {
    signal?.throwIfAborted();
    analysis.push(block);
    done += block.timeS.length;
    progress(done / reader.samples);
  }
  return analysis.result();
}

/** Charge between two moments of a stored trace, by the trapezoid rule; missing time counts nothing and is told. */
export async function chargeStored(reader: TraceReader, fromS: number, toS: number, signal?: AbortSignal): Promise<ChargeView> {
  const startS = Math.max(fromS, reader.firstS);
  const endS = Math.min(toS, reader.lastS);
  if (!(endS > startS)) throw new RequestError(400, 'bad-request', `The selection holds no samples: the trace runs from ${reader.firstS} s to ${reader.lastS} s.`);
  let chargeC = 0;
  let measuredS = 0;
  // the trapezoid between the last sample of one block and the first of the next belongs to neither, so that sample is carried along
  let lastTimeS = Number.NaN;
  let lastA = 0;
  for await (const block of reader.blocks(startS, Infinity)) {
    signal?.throwIfAborted();
    const count = block.timeS.length;
    if (count === 0) continue;
    const joint = reader.gaps.some((gap) => gap.startS < block.timeS[0]! && gap.endS > lastTimeS);
    const head = Number.isNaN(lastTimeS) || joint ? 0 : 1;
    const timeS = new Float64Array(count + head);
    const currentA = new Float32Array(count + head);
    if (head === 1) {
      timeS[0] = lastTimeS;
      currentA[0] = lastA;
    }
    timeS.set(block.timeS, head);
    currentA.set(block.currentA, head);
    const part = chargeBetween({ timeS, currentA, voltageV: null, gaps: [] }, startS, endS);
    chargeC += part.chargeC;
    measuredS += part.measuredS;
    lastTimeS = block.timeS[count - 1]!;
    lastA = block.currentA[count - 1]!;
    if (lastTimeS >= endS) break;
  }
  return { charge_c: chargeC, charge_ah: chargeC / 3600, mean_a: measuredS > 0 ? chargeC / measuredS : 0, duration_s: endS - startS, gap_s: Math.max(0, endS - startS - measuredS) };
}
