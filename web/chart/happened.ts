import type { AnalysisResult } from '../../src/core/analysis/results.ts';
import type { Happened } from './reach.ts';

/** What a reading knows to have happened; `offsetS` is added to its times. A vehicle that was parked from the first moment has no key-off in its recording. */
export function happenedIn(result: AnalysisResult | null, offsetS: number, recordingS: number | null): Happened {
  return {
    presses: result?.test === 'actuation' ? result.actuations.map((one) => ({ fromS: one.start_s + offsetS, toS: one.end_s + offsetS })) : [],
    keyOffS: result?.test === 'drain' && result.key_off_s !== null ? result.key_off_s + offsetS : null,
    recordingS,
  };
}
