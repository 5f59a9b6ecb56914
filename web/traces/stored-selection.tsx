import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { ChartState } from '../chart/chart-state.ts';
import type { ChargeAnswer } from '../net/api.ts';
import { chargeOfTrace } from '../net/api.ts';
import { MeasuredStretch } from '../reading/measured-stretch.tsx';
import { wordsOf } from '../state/stored.ts';
import type { OpenedTrace } from './opened-trace.ts';

/** A drag asks once it rests, ms. */
const REST_MS = 150;

/** Charge of the stretch selected on a stored trace: counted by the daemon from every reading, not from what is drawn. */
export function StoredSelection({ trace, state }: { trace: OpenedTrace; state: ChartState }) {
  const selected = state.selection.value;
  const answer = useSignal<ChargeAnswer | null>(null);
  const missing = useSignal('Counting.');
  useEffect(() => {
    answer.value = null;
    missing.value = 'Counting.';
    if (selected === null) return undefined;
    let current = true;
    const timer = setTimeout(() => {
      chargeOfTrace(trace.ref, selected.fromS, selected.toS).then(
        (counted) => current && (answer.value = counted),
        (error: unknown) => current && (missing.value = wordsOf(error)),
      );
    }, REST_MS);
    return () => {
      current = false;
      clearTimeout(timer);
    };
  }, [selected, trace]);
  if (selected === null) return null;
  const counted = answer.value;
  return (
    <MeasuredStretch
      fromS={selected.fromS} toS={selected.toS} missing={missing.value} close={() => (state.selection.value = null)}
      charge={counted === null ? null : { chargeC: counted.charge_c, meanA: counted.mean_a, gapS: counted.gap_s }}
    />
  );
}
