import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { Charge } from '../../src/core/analysis/charge.ts';
import { chargeBetween } from '../../src/core/analysis/charge.ts';
import type { ChartState } from '../chart/chart-state.ts';
import { getWindow, isAbort } from '../net/api.ts';
import { MeasuredStretch } from '../reading/measured-stretch.tsx';
import { gaps } from '../state/live.ts';
import { wordsOf } from '../state/stored.ts';

/** A drag asks once it rests, ms. */
const REST_MS = 150;
/** The most columns a window may have: up to four times as many readings come as they were measured. */
const COLUMNS = 16_384;

/** Charge of the stretch selected on the live chart, counted from every reading of it that the daemon still holds. */
export function LiveSelection({ state }: { state: ChartState }) {
  const selected = state.selection.value;
  const charge = useSignal<Charge | null>(null);
  const missing = useSignal('');
  useEffect(() => {
    charge.value = null;
    missing.value = 'Counting.';
    if (selected === null || selected.toS <= selected.fromS) return undefined;
    const stopper = new AbortController();
    const timer = setTimeout(() => {
      // one reading either side, so that the stretch is whole to its edges
      const pad = 0.05 * (selected.toS - selected.fromS);
      getWindow('/api/live', selected.fromS - pad, selected.toS + pad, COLUMNS, stopper.signal).then(
        (frame) => {
          if (frame.reduced) missing.value = 'Too long to count live: record, and measure it in the recording.';
          else charge.value = chargeBetween({ ...frame, gaps: gaps.peek() }, selected.fromS, selected.toS);
        },
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
  const counted = charge.value;
  return (
    <MeasuredStretch
      fromS={selected.fromS} toS={selected.toS} missing={missing.value} close={() => (state.selection.value = null)}
      charge={counted === null ? null : { chargeC: counted.chargeC, meanA: counted.meanA, gapS: selected.toS - selected.fromS - counted.measuredS }}
    />
  );
}
