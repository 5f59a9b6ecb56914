import { DRAIN_METRICS } from './metrics/drain-metrics.ts';
import { ACTUATION_METRICS, FAULTY_SHARE } from './metrics/metrics.ts';

interface Described {
  readonly unit: string;
  readonly worse: 1 | -1 | 0;
  readonly decides: boolean;
}

const ALL: readonly (Described & { readonly name: string })[] = [...ACTUATION_METRICS, FAULTY_SHARE, ...DRAIN_METRICS];

/** Unit and meaning of a compared figure by its public name. A name that is not known decides nothing. */
export function describeMetric(name: string): Described {
  return ALL.find((metric) => metric.name === name) ?? { unit: '', worse: 0, decides: false };
}
