import { useMemo } from 'preact/hooks';
import { chargeBetween } from '../../src/core/analysis/charge.ts';
import type { ChartState } from '../chart/chart-state.ts';
import { MeasuredStretch } from '../reading/measured-stretch.tsx';
import { frameCount, gaps, liveBuffer } from '../state/live.ts';

/** Charge of the stretch selected on the live chart, from the samples this page holds. */
export function LiveSelection({ state }: { state: ChartState }) {
  const selected = state.selection.value;
  // a stretch whose end lies ahead of the newest sample fills as samples arrive; a past one is counted once
  const open = selected !== null && selected.toS > liveBuffer.endS;
  const beat = open ? frameCount.value : 0;
  const held = selected !== null && selected.fromS >= liveBuffer.startS;
  const charge = useMemo(
    () => (selected === null || !held ? null : chargeBetween({ ...liveBuffer.samples(), gaps: gaps.peek() }, selected.fromS, selected.toS)),
    [selected, held, beat],
  );
  if (selected === null) return null;
  return (
    <MeasuredStretch
      fromS={selected.fromS} toS={selected.toS} close={() => (state.selection.value = null)}
      charge={charge === null ? null : { chargeC: charge.chargeC, meanA: charge.meanA, gapS: selected.toS - selected.fromS - charge.measuredS }}
      missing="This stretch is older than what the page holds: record, and measure it in the recording."
    />
  );
}
