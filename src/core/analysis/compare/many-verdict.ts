import type { ManyActuation, ManyResult, ManyTrace } from './many-result.ts';

/** At most so many are named; the table holds the rest. */
const MOST_NAMED = 4;

/** What stands out among several traces, in words: whole traces first, single actuations after them. */
export function manyVerdict(traces: readonly ManyTrace[], actuations: readonly ManyActuation[]): ManyResult['verdict'] {
  const oddTraces = traces.filter(({ outlier }) => outlier);
  const named = new Set(oddTraces.map(({ trace }) => trace));
  const nameOf = (trace: number): string => traces.find((one) => one.trace === trace)?.name ?? '';
  const odd = actuations.filter(({ outlier, trace }) => outlier && !named.has(trace));
  const because = [
    ...oddTraces.map(({ name, because: reason }) => `${name}: ${reason}.`),
    ...odd.map(({ trace, number, direction, start_s: startS, because: reason }) => `${nameOf(trace)}, ${direction} ${number} at ${startS.toFixed(1)} s: ${reason}.`),
  ];
  if (because.length > 0) {
    const shown = because.slice(0, MOST_NAMED);
    if (because.length > MOST_NAMED) shown.push(`${because.length - MOST_NAMED} more stand out; the list has them.`);
    return { finding: 'one-stands-out', because: shown, next: ['Look at the one that stands out against any other in the overlay, then read it by itself and follow its next check.'] };
  }
  if (traces.length < 3 && actuations.length < 3) {
    return { finding: 'cannot-tell', because: ['There are too few to say what is usual.'], next: ['Record at least three actuations each way, or add a third trace.'] };
  }
  return { finding: 'alike', because: ['None stands further from the others than they scatter among themselves.'], next: ['If all of them could share one fault, compare with a known-good vehicle: alike is not the same as good.'] };
}
