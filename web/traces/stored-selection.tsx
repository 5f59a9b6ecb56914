import type { ChartState } from '../chart/chart-state.ts';
import { MeasuredStretch } from '../reading/measured-stretch.tsx';
import type { OpenedTrace } from './opened-trace.ts';

/** The stretch selected on a stored trace: counted by the daemon from every reading, not from what is drawn. Kept, it lies with the trace like a mark. */
export function StoredSelection({ trace, state }: { trace: OpenedTrace; state: ChartState }) {
  const selected = state.selection.value;
  if (selected === null) return null;
  const { fromS, toS } = selected;
  const kept = trace.marks.value.find((mark) => mark.timeS === fromS && mark.endS === toS);
  const keep = (label: string): void => {
    const named = { timeS: fromS, kind: 'stretch', label, endS: toS } as const;
    void (kept === undefined ? trace.mark(named) : trace.changeMark(kept, named));
  };
  const leave = (): void => {
    state.selection.value = null;
  };
  const remove = (): void => {
    if (kept !== undefined) void trace.changeMark(kept, null);
    leave();
  };
  return (
    <MeasuredStretch
      key={kept === undefined ? 'new' : `${fromS} ${toS} ${kept.label}`} fromS={fromS} toS={toS} ask={trace.ask} kept={kept?.label ?? null} keep={keep} remove={kept === undefined ? null : remove}
      note="" close={leave}
    />
  );
}
