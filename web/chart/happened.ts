import type { AnalysisResult } from '../../src/core/analysis/results.ts';
import type { Mark } from '../../src/core/trace.ts';
import type { Happened } from './reach.ts';

/** What a reading knows to have happened; `offsetS` is added to its times. A vehicle that was parked from the first moment has no key-off in its recording. */
export function happenedIn(result: AnalysisResult | null, offsetS: number, recordingS: number | null): Happened {
  return {
    presses: result?.test === 'actuation' ? result.actuations.map((one) => ({ fromS: one.start_s + offsetS, toS: one.end_s + offsetS })) : [],
    keyOffS: result?.test === 'drain' && result.key_off_s !== null ? result.key_off_s + offsetS : null,
    recordingS,
  };
}

/** Moments that get a line through the chart: a stretch is shown in the ribbon alone. */
export function momentsOf(marks: readonly Mark[]): number[] {
  return marks.filter((mark) => mark.kind !== 'stretch').map((mark) => mark.timeS);
}
