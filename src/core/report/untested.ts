import type { AnalysisResult } from '../analysis/results.ts';
import type { ReportTrace } from './input.ts';

/** What a reader might think was tested and was not: said outright, so that nobody reads more into the trace than it holds. */
export function notTested(traces: readonly ReportTrace[]): string[] {
  const results = traces.flatMap(({ result }) => (result === null ? [] : [result]));
  const list: string[] = [];
  if (traces.some(({ record }) => !record.channels.some(({ name }) => name === 'voltage'))) {
    list.push('Voltage was not recorded, so the feed and the ground were not judged.');
  }
  if (traces.some(({ record }) => record.calibration.zero_a === null)) {
    list.push('Zero was not set: small steady currents may be off by the sensor\'s own offset.');
  }
  for (const result of results) for (const sentence of ofResult(result)) if (!list.includes(sentence)) list.push(sentence);
  list.push('Only what the trace shows was judged: wear, noise, play and water were not looked for.');
  return list;
}

function ofResult(result: AnalysisResult): string[] {
  const list: string[] = [];
  if (result.test === 'actuation') {
    const directions = new Set(result.actuations.map(({ direction }) => direction));
    if (directions.size === 1) list.push(`Only the ${[...directions].join()} direction was worked.`);
    if (result.actuations.length > 0 && result.actuations.every(({ ripple }) => ripple === null)) {
      list.push('The motor\'s speed could not be read from the ripple at this rate and noise.');
    }
    return list;
  }
  if (result.pulls.length === 0) list.push('No fuse was pulled, so no circuit was told apart from the others.');
  if (result.battery === null) list.push('The battery itself was not tested, and its capacity was not entered.');
  else list.push('The battery\'s capacity is the figure that was entered; the battery itself was not tested.');
  return list;
}
