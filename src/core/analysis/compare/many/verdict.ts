import { FINDINGS, type Finding } from '../../findings.ts';
import type { ManyEvidence } from '../codes.ts';
import type { ManyReading, PlacedActuation, PlacedTrace } from './result.ts';

/** At most so many are named; the table holds the rest. */
const MOST_NAMED = 4;
/** With fewer nothing is usual. */
const LEAST = 3;

/** What stands out among several traces: whole traces first, single actuations after them. */
export function manyVerdict(traces: readonly PlacedTrace[], actuations: readonly PlacedActuation[]): ManyReading['verdict'] {
  const oddTraces = traces.filter(({ outlier }) => outlier);
  const named = new Set(oddTraces.map(({ trace }) => trace));
  const nameOf = (trace: number): string => traces.find((one) => one.trace === trace)?.name ?? '';
  const because = [
    ...oddTraces.flatMap(({ name, because: reason }): ManyEvidence[] => (reason === null ? [] : [{ code: 'trace', name, reason }])),
    ...actuations.flatMap(({ outlier, trace, number, direction, start_s: startS, because: reason }): ManyEvidence[] =>
      outlier && !named.has(trace) && reason !== null ? [{ code: 'press', name: nameOf(trace), direction, number, startS, reason }] : [],
    ),
  ];
  if (because.length > 0) {
    const more: ManyEvidence[] = because.length > MOST_NAMED ? [{ code: 'more', count: because.length - MOST_NAMED }] : [];
    return { finding: 'one-stands-out', because: [...because.slice(0, MOST_NAMED), ...more], next: [{ code: 'look-at-odd' }] };
  }
  if (traces.length < LEAST && actuations.length < LEAST) return { finding: 'cannot-tell', because: [{ code: 'too-few' }], next: [{ code: 'more-traces' }] };
  if (findingsDiffer(traces) || (['forward', 'reverse'] as const).some((way) => findingsDiffer(actuations.filter(({ direction }) => direction === way)))) {
    return { finding: 'cannot-tell', because: [{ code: 'findings-differ' }], next: [{ code: 'each-by-itself' }] };
  }
  return { finding: 'alike', because: [{ code: 'alike' }], next: [{ code: 'alike-not-good' }] };
}

/** Figures that lie close together do not make alike what reads as two different things. A finding that says nothing of the circuit is none of them. */
function findingsDiffer(placed: readonly { readonly finding: string }[]): boolean {
  return new Set(placed.map(({ finding }) => finding).filter((finding) => FINDINGS[finding as Finding].severity !== null)).size > 1;
}
