import { useSignal } from '@preact/signals';
import type { Mark, MarkKind } from '../../src/core/trace.ts';
import type { ChartState } from '../chart/chart-state.ts';
import { formatMoment } from '../reading/format.ts';
import type { OpenedTrace } from './opened-trace.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.traces.markAdder;

/** Stretches have a list of their own. */
type MomentKind = Exclude<MarkKind, 'stretch'>;
type Moment = Mark & { readonly kind: MomentKind };

const KINDS: Readonly<Record<MomentKind, string>> = { note: 'note', pull: words.fusePulled, refit: words.fusePutBack, switch: words.switchWorked, wake: words.wokenByAPerson };

/** Marks of a stored trace: made afterwards at the chart's cursor or at a typed moment; one that was a slip of the hand is moved, renamed or removed. */
export function MarkAdder({ trace, state }: { trace: OpenedTrace; state: ChartState }) {
  const kind = useSignal<MomentKind>('note');
  const label = useSignal('');
  const at = useSignal<number | null>(null);
  const chosen = useSignal<Moment | null>(null);
  const cursor = state.heldS.value ?? state.cursorS.value;
  const marks = trace.marks.value.filter(isMoment);
  const needsLabel = kind.value === 'pull' || kind.value === 'refit';
  const leave = (): void => {
    chosen.value = null;
    label.value = '';
    at.value = null;
  };
  const choose = (mark: Moment): void => {
    const span = Math.min(state.view.value.toS - state.view.value.fromS, 60);
    state.show(mark.timeS - span / 2, mark.timeS + span / 2);
    chosen.value = mark;
    kind.value = mark.kind;
    label.value = mark.label;
    at.value = shortened(mark.timeS);
  };
  return (
    <section class="plate marks" aria-label={words.marks}>
      <h2>{words.marks} <span class="count">{marks.length}</span></h2>
      {marks.length > 0 && (
        <ol class="mark-list">
          {marks.map((mark) => (
            <li key={`${mark.timeS} ${mark.label}`}>
              <button type="button" class="chip" aria-pressed={chosen.value === mark} onClick={() => (chosen.value === mark ? leave() : choose(mark))}>{formatMoment(mark.timeS, 30)} <b>{mark.label || KINDS[mark.kind]}</b>{mark.kind === 'pull' ? words.pulled : mark.kind === 'refit' ? words.putBack : ''}</button>
            </li>
          ))}
        </ol>
      )}
      <form
        class="form-row"
        onSubmit={(event) => {
          event.preventDefault();
          const before = chosen.value;
          // a moment that was not touched stays what it was to the last digit
          const timeS = before !== null && at.value === shortened(before.timeS) ? before.timeS : (at.value ?? cursor);
          if (timeS === null) return;
          if (before === null) void trace.mark({ timeS, kind: kind.value, label: label.value.trim() });
          else void trace.changeMark(before, { timeS, kind: kind.value, label: label.value.trim() });
          leave();
        }}
      >
        <label class="field"><span class="field-name">{words.what}</span>
          <select value={kind} onChange={(event) => (kind.value = event.currentTarget.value as MomentKind)}>
            {(Object.keys(KINDS) as MomentKind[]).map((one) => <option value={one} key={one}>{KINDS[one]}</option>)}
          </select>
        </label>
        <label class="field"><span class="field-name">{needsLabel ? words.fuse : words.words}</span>
          <input type="text" maxLength={60} required={needsLabel} autocomplete="off" value={label} onInput={(event) => (label.value = event.currentTarget.value)} />
        </label>
        <label class="field field-short"><span class="field-name">{words.atSeconds}</span>
          <input
            type="number" step="any" min={0} required placeholder={words.chartCursor} value={at.value ?? ''} onFocus={() => at.value ??= cursor === null ? null : shortened(cursor)}
            onInput={(event) => (at.value = event.currentTarget.value === '' ? null : event.currentTarget.valueAsNumber)}
          />
        </label>
        {chosen.value === null ? <button type="submit" class="button button-quiet">{words.addMark}</button> : (
          <>
            <button type="submit" class="button button-quiet">{words.changeMark}</button>
            <button type="button" class="button button-quiet" onClick={() => {
              void trace.changeMark(chosen.value!, null);
              leave();
            }}>{words.removeMark}</button>
            <button type="button" class="tool" onClick={leave}>{words.cancel}</button>
          </>
        )}
      </form>
    </section>
  );
}

function isMoment(mark: Mark): mark is Moment {
  return mark.kind !== 'stretch';
}

/** A moment to a tenth of a millisecond, for a field that a person reads. */
function shortened(atS: number): number {
  return Number(atS.toFixed(4));
}
