import { useSignal } from '@preact/signals';
import { language } from '../../src/core/present/language.ts';
import { NumberField } from './fields.tsx';

const words = language.screens.setUp.runRange;

/** Low and high of the usual running current: kept apart until both are there, and set lower one first; null once both are empty. */
export function RunRange({ range, set }: { range: readonly [number, number] | null; set: (range: readonly [number, number] | null) => void }) {
  const low = useSignal(range?.[0] ?? null);
  const high = useSignal(range?.[1] ?? null);
  const apply = (): void => {
    const [one, other] = [low.value, high.value];
    // one bound alone says nothing yet: it waits in the field of the other
    if (one !== null && other !== null) set([Math.min(one, other), Math.max(one, other)]);
    else if (one === null && other === null) set(null);
  };
  return (
    <div class="form-grid">
      <NumberField name={words.usuallyRunsFrom} unit="A" value={low.value} set={(value) => { low.value = value; apply(); }} min={0} max={10000} help={words.withoutItNothingIs} />
      <NumberField name={words.upTo} unit="A" value={high.value} set={(value) => { high.value = value; apply(); }} min={0} max={10000} />
    </div>
  );
}
