import { useSignal } from '@preact/signals';
import type { DeviceMade, DeviceView } from '../../src/core/wire/api.ts';
import { language } from '../../src/core/present/language.ts';
import { addDevice } from '../net/api.ts';
import { wordsOf } from '../state/stored.ts';

const words = language.together.tablets;
const ACCESS: readonly DeviceView['access'][] = ['view', 'operate'];

/** A name and what it may do: the two things a tablet is let in with. */
export function NewTablet({ done }: { done: (made: DeviceMade) => void }) {
  const name = useSignal('');
  const access = useSignal<DeviceView['access']>('view');
  const error = useSignal('');
  const add = async (): Promise<void> => {
    try {
      done(await addDevice(name.value.trim(), access.value));
    } catch (failure) {
      error.value = wordsOf(failure);
    }
  };
  return (
    <form
      class="plate form" aria-label={words.add}
      onSubmit={(event) => {
        event.preventDefault();
        void add();
      }}
    >
      <h2>{words.add}</h2>
      <label class="field">
        <span class="field-name">{words.nameField}</span>
        <input type="text" required maxLength={60} autocomplete="off" placeholder={words.nameExample} value={name} onInput={(event) => (name.value = event.currentTarget.value)} />
      </label>
      <fieldset class="tablet-may">
        {ACCESS.map((one) => (
          <label class="check" key={one}><input type="radio" name="access" checked={access.value === one} onChange={() => (access.value = one)} />{words.may[one].long}</label>
        ))}
      </fieldset>
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
      <div class="form-end"><button type="submit" class="button">{words.letIn}</button></div>
    </form>
  );
}
