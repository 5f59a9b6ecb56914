import type { ChartState } from '../chart/chart-state.ts';
import { language } from '../../src/core/present/language.ts';
import { chargeOfLive } from '../net/api.ts';
import { MeasuredStretch } from '../reading/measured-stretch.tsx';
import { send } from '../state/actions.ts';
import { marks, originS, recording } from '../state/live.ts';

/** The stretch selected on the live chart, counted by the daemon from every reading. Kept, it is a mark of the running recording. */
export function LiveSelection({ state }: { state: ChartState }) {
  const selected = state.selection.value;
  if (selected === null) return null;
  const { fromS, toS } = selected;
  const kept = marks.value.find((mark) => mark.timeS === fromS && mark.endS === toS);
  const keep = (label: string): void => {
    send({ type: 'mark', kind: 'stretch', label, atS: fromS, endS: toS });
  };
  return (
    <MeasuredStretch
      key={kept === undefined ? 'new' : `${fromS} ${toS}`} fromS={fromS} toS={toS} originS={originS.value} ask={chargeOfLive} kept={kept?.label ?? null} keep={kept === undefined ? keep : null} remove={null}
      note={recording.value === null ? language.pages.stretch.notRecorded : ''} close={() => (state.selection.value = null)}
    />
  );
}
