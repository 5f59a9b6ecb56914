/**
 * Odd data is a result, not an exception: readers, decoders and analyses return what they could make of their input together with a
 * list of problems. Programs match `code` (a closed list, each explained in DEVELOPERS.md); people read `text`, which says what is
 * wrong, where, and what to do.
 */
export type ProblemCode =
  // reading files
  | 'bad-row'
  | 'skipped-rows'
  | 'time-not-rising'
  | 'no-samples'
  | 'no-current-column'
  | 'no-rate'
  | 'damaged-block'
  | 'cut-short'
  | 'wrong-format'
  | 'too-large'
  | 'index-rebuilt'
  | 'bad-mark'
  | 'calibration'
  // the recording as measured
  | 'gaps'
  | 'uneven-rate'
  | 'rate-too-low'
  | 'clipped'
  | 'slow-sensor'
  | 'offset'
  | 'offset-drift'
  | 'reversed-clamp'
  | 'implausible-unit'
  | 'implausible-voltage'
  | 'noise'
  | 'hum'
  | 'constant'
  | 'stuck'
  | 'spikes'
  | 'too-short'
  | 'starts-midway'
  | 'ends-midway'
  | 'aliasing'
  | 'ac-coupled'
  | 'clamp-off'
  | 'zeroed-under-current'
  | 'voltage-elsewhere'
  | 'chopped'
  | 'background'
  | 'peak-band'
  | 'negative-drain'
  | 'left-out'
  | 'zero-drift'
  | 'range-switched'
  | 'shared-drain'
  | 'mark-unmatched'
  // millivolts across fuses
  | 'fuse-unknown'
  | 'fuse-reckoned'
  | 'fuse-warm'
  | 'fuse-near-zero'
  | 'fuse-open'
  | 'fuse-sum'
  | 'fuse-twice'
  | 'fuse-not-in-sum'
  // comparing
  | 'different-test'
  | 'no-pairs'
  | 'few-traces'
  | 'different-rate'
  | 'different-sensor'
  | 'different-lead'
  | 'different-limit'
  | 'mixed-units'
  | 'different-supply';

export interface Problem {
  readonly code: ProblemCode;
  readonly text: string;
}
