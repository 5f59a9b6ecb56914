import type { Baseline } from './baseline.ts';
import type { Sampling } from './sampling.ts';

/** What the clamp read, net of its resting level, and how it was sampled. */
export interface Readings {
  readonly baseline: Baseline;
  readonly sampling: Sampling;
}
