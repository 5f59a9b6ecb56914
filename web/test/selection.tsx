import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { ChartState } from '../chart/chart-state.ts';
import type { ChargeAnswer } from '../net/api.ts';
import { chargeOfLive, isAbort } from '../net/api.ts';
import { MeasuredStretch } from '../reading/measured-stretch.tsx';
import { wordsOf } from '../state/stored.ts';

/** A drag asks once it rests, ms. */
const REST_MS = 150;

/** Charge of the stretch selected on the live chart, counted by the daemon from every reading: of the recording where one runs, else of the last hour. */
export function LiveSelection({ state }: { state: ChartState }) {
  const selected = state.selection.value;
  const answer = useSignal<ChargeAnswer | null>(null);
  const missing = useSignal('');
  useEffect(() => {
    answer.value = null;
    missing.value = 'Counting.';
    if (selected === null || selected.toS <= selected.fromS) return undefined;
    const stopper = new AbortController();
    const timer = setTimeout(() => {
      chargeOfLive(selected.fromS, selected.toS, stopper.signal).then(
        (counted) => (answer.value = counted),
        (error: unknown) => {
          if (!isAbort(error)) missing.value = wordsOf(error);
        },
      );
    }, REST_MS);
    return () => {
      clearTimeout(timer);
      stopper.abort();
    };
  }, [selected]);
  if (selected === null) return null;
  const counted = answer.value;
  return (
    <MeasuredStretch
      fromS={selected.fromS} toS={selected.toS} missing={missing.value} close={() => (state.selection.value = null)}
      charge={counted === null ? null : { chargeC: counted.charge_c, meanA: counted.mean_a, gapS: counted.gap_s }}
    />
  );
}
