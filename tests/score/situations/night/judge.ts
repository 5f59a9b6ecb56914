import { coverageOf, type Covered } from './coverage.ts';
import { figureFaults } from './judge-figures.ts';
import { pullFaults } from './judge-pulls.ts';
import { documentOf, type NightDocument } from './document.ts';
import type { Fault, NightLabel, Outcome } from './types.ts';

export interface Judgement {
  readonly outcome: Outcome;
  readonly faults: readonly Fault[];
  readonly covered: readonly Covered[];
}

const WORST_FIRST: readonly Outcome[] = ['false', 'missed', 'cannot-tell', 'right'];

/**
 * Judges one answer of `analyse --test drain --json` (CONTRACT 3.2) by the label of its night, as written in
 * tests/score/definitions.md. The outcome is that of the worst fault: `false` for any claim that is not true, `missed` for
 * something reported nowhere though it is there to be reported, `cannot-tell` for less than could be reported, else `right`.
 */
export function judge(answer: unknown, label: NightLabel): Judgement {
  const document = documentOf(answer);
  if (typeof document === 'string') return { outcome: 'false', faults: [{ outcome: 'false', reason: document }], covered: [] };
  const faults = [...findingFaults(document, label), ...figureFaults(document, label), ...pullFaults(document, label)];
  const outcome = WORST_FIRST.find((one) => faults.some((fault) => fault.outcome === one)) ?? 'right';
  return { outcome, faults, covered: coverageOf(document, label) };
}

function findingFaults(document: NightDocument, label: NightLabel): Fault[] {
  const said = document.finding;
  if (label.right.includes(said)) return [];
  const reason = `finding ${said}, not ${label.right.join(' or ')}`;
  return [{ outcome: label.honest.includes(said) ? 'cannot-tell' : 'false', reason }];
}
