import { useSignal, type Signal } from '@preact/signals';
import { refreshStored, wordsOf } from '../../state/stored.ts';

/** One change of the story at a time: what it says is asked for again afterwards, and what went wrong is said. */
export function useKeep(): { readonly error: Signal<string>; readonly keep: (change: () => Promise<unknown>) => Promise<boolean> } {
  const error = useSignal('');
  const keep = async (change: () => Promise<unknown>): Promise<boolean> => {
    error.value = '';
    try {
      await change();
      await refreshStored();
      return true;
    } catch (failure) {
      error.value = wordsOf(failure);
      return false;
    }
  };
  return { error, keep };
}
