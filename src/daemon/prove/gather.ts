import { compareActuation, type CompareOptions } from '../../core/analysis/compare/compare-actuation.ts';
import { alignEdges } from '../../core/analysis/compare/align.ts';
import { compareDrain } from '../../core/analysis/compare/compare-drain.ts';
import type { CompareResult } from '../../core/analysis/compare/results.ts';
import type { Actuation, ActuationResult, AnalysisResult, Direction, TestKind } from '../../core/analysis/results.ts';
import type { ReportInput, ReportTrace } from '../../core/report/input.ts';
import type { TraceReader } from '../store/trace-reader.ts';
import { StoreError } from '../store/store-error.ts';

/** Columns of a report's pictures: 720 units wide on paper, twice that for a sharp print. */
const PICTURE_COLUMNS = 1440;

/** One opened trace with its analysis, as the comparison and the report take it. */
export interface Analysed {
  readonly reader: TraceReader;
  readonly result: AnalysisResult;
}

/** Compares two analysed traces of one test. Throws StoreError when their tests differ: their figures have nothing in common. */
export function compareAnalysed(before: AnalysisResult, after: AnalysisResult, options: CompareOptions = {}): CompareResult {
  if (before.test === 'actuation' && after.test === 'actuation') return compareActuation(before, after, options);
  if (before.test === 'drain' && after.test === 'drain') return compareDrain(before, after, options);
  throw new StoreError('wrong-format', `One trace is a test of kind ${before.test}, the other of kind ${after.test}: their figures have nothing in common. Compare two traces of the same test.`);
}

export async function reportTrace({ reader, result }: Analysed): Promise<ReportTrace> {
  const endS = reader.lastS > reader.firstS ? reader.lastS : reader.firstS + 1;
  const samples = await reader.window(reader.firstS, endS, PICTURE_COLUMNS);
  return { record: reader.record, result, problems: result.problems, marks: reader.marks, gaps: reader.gaps, samples };
}

/** Seconds around an actuation that an overlay shows. */
const OVERLAY_BEFORE_S = 0.3;
const OVERLAY_AFTER_S = 0.5;

/** For each direction that both traces have: the first actuation of each, laid on the same switch edge. */
export async function overlaysOf(before: Analysed, after: Analysed): Promise<ReportInput['overlays']> {
  if (before.result.test !== 'actuation' || after.result.test !== 'actuation') return [];
  const overlays: ReportInput['overlays'][number][] = [];
  for (const direction of ['forward', 'reverse'] as const) {
    const first = firstOf(before.result, direction);
    const second = firstOf(after.result, direction);
    if (first === undefined || second === undefined) continue;
    const a = await edgeOf(before.reader, first);
    const b = await edgeOf(after.reader, second);
    const shiftS = alignEdges(a, first.start_s, b, second.start_s);
    overlays.push({
      direction,
      before: { timeS: a.timeS.map((atS) => atS - first.start_s), currentA: a.currentA },
      after: { timeS: b.timeS.map((atS) => atS + shiftS - first.start_s), currentA: b.currentA },
    });
  }
  return overlays;
}

function firstOf(result: ActuationResult, direction: Direction): Actuation | undefined {
  return result.actuations.find((actuation) => actuation.direction === direction);
}

/** The actuation's samples, magnitude. The window is short, so all of its samples are taken where they fit in 4 points a column. */
async function edgeOf(reader: TraceReader, actuation: Actuation): Promise<{ timeS: Float64Array; currentA: Float32Array }> {
  const fromS = actuation.start_s - OVERLAY_BEFORE_S;
  const toS = actuation.end_s + OVERLAY_AFTER_S;
  const { timeS, currentA } = await reader.window(fromS, toS, PICTURE_COLUMNS);
  const sign = actuation.direction === 'reverse' ? -1 : 1;
  // a window may hold a little more than was asked for; the next actuation is not to be in it
  let start = 0;
  while (start < timeS.length && timeS[start]! < fromS) start++;
  let end = timeS.length;
  while (end > start && timeS[end - 1]! >= toS) end--;
  return { timeS: timeS.slice(start, end), currentA: currentA.slice(start, end).map((value) => sign * value) };
}

/** The test of a trace: the one asked for, else the one it was recorded for. Null when neither says. */
export function testOf(reader: TraceReader, asked: TestKind | undefined): TestKind | null {
  return asked ?? reader.record.test;
}
