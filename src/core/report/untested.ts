import type { AnalysisResult } from '../analysis/results.ts';
import type { ReportTrace } from './input.ts';
import { language } from '../present/language.ts';

const words = language.report.untested;

/** What a reader might think was tested and was not: said outright, so that nobody reads more into the trace than it holds. */
export function notTested(traces: readonly ReportTrace[]): string[] {
  const results = traces.flatMap(({ result }) => (result === null ? [] : [result]));
  const list: string[] = [];
  if (traces.some(({ record }) => !record.channels.some(({ name }) => name === 'voltage'))) {
    list.push(words.voltageWasNotRecorded);
  }
  if (traces.some(({ record }) => record.calibration.zero_a === null)) {
    list.push(words.zeroWasNotSet);
  }
  for (const result of results) for (const sentence of ofResult(result)) if (!list.includes(sentence)) list.push(sentence);
  list.push(words.onlyWhatTheTrace);
  return list;
}

function ofResult(result: AnalysisResult): string[] {
  const list: string[] = [];
  if (result.test === 'actuation') {
    const directions = new Set(result.actuations.map(({ direction }) => direction));
    if (directions.size === 1) list.push(words.onlyTheDirectionWasWorked([...directions].join()));
    if (result.actuations.length > 0 && result.actuations.every(({ ripple }) => ripple === null)) {
      list.push(words.theMotorsSpeedCould);
    }
    return list;
  }
  if (result.pulls.length === 0) list.push(words.noFuseWasPulled);
  if (result.battery === null) list.push(words.theBatteryItselfWas);
  else list.push(words.theBatterysCapacityIs);
  return list;
}
