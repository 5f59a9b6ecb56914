import { useSignal } from '@preact/signals';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.setUp.fields;

interface NumberProps {
  readonly name: string;
  readonly unit: string;
  readonly value: number | null;
  readonly set: (value: number | null) => void;
  readonly min?: number;
  readonly max?: number;
  readonly placeholder?: string;
  readonly required?: boolean;
  readonly help?: string;
}

/** A number with its unit; empty means unknown. Takes a decimal comma as well, as people write it. */
export function NumberField({ name, unit, value, set, min, max, placeholder, required = false, help }: NumberProps) {
  // what is being typed stays, whatever else on the page changes meanwhile
  const draft = useSignal<string | null>(null);
  const wrong = useSignal('');
  return (
    <label class="field">
      <span class="field-name">{name}</span>
      <span class="with-unit">
        <input
          type="text" inputMode="decimal" aria-invalid={wrong.value !== ''} value={draft.value ?? value ?? ''} placeholder={placeholder ?? ''} required={required} autocomplete="off"
          onInput={(event) => (draft.value = event.currentTarget.value)}
          onChange={(event) => {
            const input = event.currentTarget;
            const next = readNumber(input.value);
            const fits = next === null || (!Number.isNaN(next) && next >= (min ?? -Infinity) && next <= (max ?? Infinity));
            const error = fits ? '' : Number.isNaN(next) ? words.notANumber : words.fromTo(min ?? '…', max ?? '…', unit);
            wrong.value = error;
            // a form does not go off with it
            input.setCustomValidity(error);
            if (fits) {
              set(next);
              draft.value = null;
            }
          }}
        />
        <span class="unit">{unit}</span>
      </span>
      {wrong.value !== '' && <span class="error" role="alert">{wrong.value}{value === null ? '' : words.whatCountsIsStill(value, unit)}</span>}
      {help !== undefined && <span class="fine">{help}</span>}
    </label>
  );
}

/** null for an empty field, NaN for something that is no number. */
export function readNumber(text: string): number | null {
  const plain = text.trim().replace(',', '.').replace('−', '-');
  if (plain === '') return null;
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : NaN;
}

interface TextProps {
  readonly name: string;
  readonly value: string;
  readonly set: (value: string) => void;
  readonly long?: boolean;
  readonly placeholder?: string;
  readonly maxLength?: number;
}

export function TextField({ name, value, set, long = false, placeholder = '', maxLength = long ? 2000 : 200 }: TextProps) {
  return (
    <label class={`field ${long ? 'field-wide' : ''}`}>
      <span class="field-name">{name}</span>
      {long ? (
        <textarea rows={3} value={value} maxLength={maxLength} placeholder={placeholder} onInput={(event) => set(event.currentTarget.value)} />
      ) : (
        <input type="text" value={value} maxLength={maxLength} placeholder={placeholder} autocomplete="off" onInput={(event) => set(event.currentTarget.value)} />
      )}
    </label>
  );
}
