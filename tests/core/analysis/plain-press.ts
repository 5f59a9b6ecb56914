import type { Actuation } from '../../../src/core/analysis/results.ts';

/** A press of three seconds that ran and stopped, and shows nothing else. */
export const PLAIN_PRESS: Pick<Actuation, 'start_s' | 'end_s' | 'direction' | 'stalls' | 'dropouts' | 'ripple' | 'supply' | 'finding'> = {
  start_s: 1, end_s: 4, direction: 'forward', stalls: [], dropouts: [], ripple: null, supply: null, finding: 'normal',
};
