import { placeAgainst, type KnownGood } from '../../core/analysis/compare/known-good/known-good.ts';
import { learnKnownGood, compareMany } from '../../core/present/documents/document-compare.ts';
import type { ActuationResult, AnalysisResult, TestKind } from '../../core/analysis/results.ts';
import { reportJson, type ReportAudience } from '../../core/report/input.ts';
import { renderReport } from '../../core/report/report.ts';
import { KnownResults } from './known-results.ts';
import { compareAnalysed } from '../prove/compare-analysed.ts';
import type { Analysed } from '../prove/gather.ts';
import { sensorsOf } from '../prove/sensor-facts.ts';
import { linesOf, nightsOf, overlaysOf } from '../prove/overlays.ts';
import { gatherReport } from '../prove/report.ts';
import type { Progress } from '../store/files/progress.ts';
import { giveWay } from './give-way.ts';
import { serveOrders } from './protocol.ts';
import { chargeStored } from '../store/samples/reading/charge.ts';
import { StoreError } from '../store/files/store-error.ts';
import { openTrace, type TraceReader } from '../store/samples/reading/trace-reader.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.running.longWorker;

/** One piece of long work on stored traces, in a thread that does such pieces one after the other; ending the thread cancels the piece. */
export type LongOrder =
  | { readonly do: 'analyse'; readonly path: string; readonly test: TestKind }
  | { readonly do: 'charge'; readonly path: string; readonly fromS: number; readonly toS: number }
  | { readonly do: 'convert'; readonly from: string; readonly to: string }
  | { readonly do: 'compare'; readonly before: string; readonly after: string; readonly test: TestKind; readonly tolerance?: number }
  | { readonly do: 'compare-many'; readonly paths: readonly string[]; readonly names: readonly string[]; readonly test: TestKind }
  | { readonly do: 'learn'; readonly paths: readonly string[]; readonly circuit: string }
  | { readonly do: 'place'; readonly path: string; readonly known: KnownGood; readonly runLimitsA: readonly [number, number] | null }
  | { readonly do: 'report'; readonly paths: readonly string[]; readonly audience: ReportAudience; readonly madeAt: string; readonly asJson: boolean; readonly tolerance?: number; readonly timeZone?: string };

const results = new KnownResults();

async function doWork(order: LongOrder, progress: Progress): Promise<unknown> {
  switch (order.do) {
    case 'analyse':
      return withTraces([order.path], async ([reader]) => results.of(order.path, reader!, { test: order.test, progress }));
    case 'charge':
      return withTraces([order.path], async ([reader]) => chargeStored(reader!, order.fromS, order.toS));
    case 'convert': {
      // loads the writers of the export formats only when one is wanted
      const { convertTrace } = await import('../store/exchange/convert.ts');
      return convertTrace(order.from, order.to, {}, progress);
    }
    case 'compare':
      return withTraces([order.before, order.after], async (readers) => {
        const [before, after] = await analyseAll([order.before, order.after], readers, progress, () => order.test);
        return { result: compareAnalysed(before!.result, after!.result, { sensors: sensorsOf(before!, after!), ...(order.tolerance === undefined ? {} : { tolerance: order.tolerance }) }), overlays: await overlaysOf(before!, after!), nights: await nightsOf(before!, after!) };
      });
    case 'compare-many':
      return withTraces(order.paths, async (readers) => {
        const analysed = await analyseAll(order.paths, readers, progress, () => order.test);
        const result = compareMany(analysed.map((one, i) => ({ name: order.names[i]!, result: one.result })));
        return { result, lines: await linesOf(result, analysed) };
      });
    case 'learn':
      return withTraces(order.paths, async (readers) => learnKnownGood(order.circuit, (await analyseAll(order.paths, readers, progress, () => 'actuation')).map(motorResult)));
    case 'place':
      return withTraces([order.path], async ([reader]) => {
        const options = order.runLimitsA === null ? {} : { actuation: { runLimitsA: order.runLimitsA } };
        const result = motorResult({ reader: reader!, result: await results.of(order.path, reader!, { test: 'actuation', ...options }) });
        return { finding: result.verdict.finding, placements: placeAgainst(order.known, result) };
      });
    case 'report':
      return withTraces(order.paths, async (readers) => {
        const analysed = await analyseAll(order.paths, readers, progress, testOfRecord);
        const input = await gatherReport(analysed, order.audience, order.madeAt, { timeZone: order.timeZone, ...(order.tolerance === undefined ? {} : { tolerance: order.tolerance }) });
        return order.asJson ? reportJson(input) : renderReport(input);
      });
  }
}

async function withTraces<T>(paths: readonly string[], work: (readers: readonly TraceReader[]) => Promise<T>): Promise<T> {
  const readers: TraceReader[] = [];
  try {
    for (const path of paths) readers.push(await openTrace(path));
    return await work(readers);
  } finally {
    for (const reader of readers) await reader.close();
  }
}

async function analyseAll(paths: readonly string[], readers: readonly TraceReader[], progress: Progress, testOf: (reader: TraceReader) => TestKind): Promise<Analysed[]> {
  const analysed: Analysed[] = [];
  for (const [i, reader] of readers.entries()) {
    const result: AnalysisResult = await results.of(paths[i]!, reader, { test: testOf(reader) });
    analysed.push({ reader, result });
    progress(analysed.length / (readers.length + 1));
  }
  return analysed;
}

/** Throws for a trace from which nothing can be learnt, by name. */
function motorResult({ reader, result }: Analysed): ActuationResult {
  if (result.test === 'actuation' && result.actuations.length > 0) return result;
  throw new StoreError('wrong-format', words.theTraceHoldsNo(reader.record.title || reader.record.id));
}

function testOfRecord({ record }: TraceReader): TestKind {
  if (record.test !== null) return record.test;
  throw new StoreError('wrong-format', words.itIsNotKnown(record.title || record.id));
}

giveWay();
serveOrders(doWork);
