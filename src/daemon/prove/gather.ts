import { localMoment } from '../../core/present/local-time.ts';
import type { AnalysisResult, TestKind } from '../../core/analysis/results.ts';
import type { ReportTrace } from '../../core/report/input.ts';
import type { TraceRecord } from '../../core/tracefile/record.ts';
import type { TraceReader } from '../store/samples/reading/trace-reader.ts';
import { chargeStored } from '../store/samples/reading/charge.ts';

/** Columns of a report's pictures: 720 units wide on paper, twice that for a sharp print. */
const PICTURE_COLUMNS = 1440;

/** One opened trace with its analysis, as the comparison and the report take it. */
export interface Analysed {
  readonly reader: TraceReader;
  readonly result: AnalysisResult;
}

export async function reportTrace({ reader, result }: Analysed): Promise<ReportTrace> {
  const endS = reader.lastS > reader.firstS ? reader.lastS : reader.firstS + 1;
  const samples = await reader.window(reader.firstS, endS, PICTURE_COLUMNS);
  return { record: reader.record, result, problems: result.problems, marks: reader.marks, gaps: reader.gaps, samples, stretches: await stretchesOf(reader) };
}

/** Every named stretch with its figures, from every sample; one that lies outside the trace has none. */
async function stretchesOf(reader: TraceReader): Promise<NonNullable<ReportTrace['stretches']>> {
  const stretches = [];
  for (const mark of reader.marks) {
    if (mark.endS === undefined || mark.endS <= reader.firstS || mark.timeS >= reader.lastS) continue;
    stretches.push({ mark, view: await chargeStored(reader, mark.timeS, mark.endS) });
  }
  return stretches;
}

/** The test of a trace: the one asked for, else the one it was recorded for. Null when neither says. */
export function testOf(reader: TraceReader, asked: TestKind | undefined): TestKind | null {
  return asked ?? reader.record.test;
}

/** What people know a trace by: its title, else when it was begun on the workshop's clock; the name of its folder says that in another way. */
export function nameOf({ title, start, id }: TraceRecord): string {
  return title || (start === '' ? id : localMoment(start, Intl.DateTimeFormat().resolvedOptions().timeZone));
}

/** Names for several traces: by title, and by start where two share one. */
export function namesOf(records: readonly TraceRecord[]): string[] {
  const titles = records.map(nameOf);
  return records.map((record, i) => (titles.indexOf(titles[i]!) === titles.lastIndexOf(titles[i]!) ? titles[i]! : `${titles[i]!} (${record.start.slice(0, 10)} ${record.start.slice(11, 16)} UTC)`));
}
