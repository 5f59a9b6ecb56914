import type { Commutation, Ripple } from '../results.ts';
import type { Baseline } from './baseline.ts';
import type { IndexRange, Press } from './presses.ts';
import type { Sampling } from './sampling.ts';

export function badCommutation(_press: Press, _running: readonly IndexRange[], _ripple: Ripple, _baseline: Baseline, _sampling: Sampling, _perRevolution: number | undefined): Commutation | null {
  return null;
}
