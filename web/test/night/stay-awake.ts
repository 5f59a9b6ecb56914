import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';

/**
 * Asks the browser to keep the screen on while `wanted` (Screen Wake Lock, W3C): a computer that goes to sleep records nothing. The
 * browser may refuse, and gives it up when the page is hidden; it is asked again when the page comes back.
 */
export function useStayAwake(wanted: boolean): 'kept' | 'not-kept' {
  const state = useSignal<'kept' | 'not-kept'>('not-kept');
  useEffect(() => {
    if (!wanted || !('wakeLock' in navigator)) return undefined;
    let lock: WakeLockSentinel | null = null;
    let over = false;
    const ask = async (): Promise<void> => {
      if (over || lock !== null || document.visibilityState !== 'visible') return;
      try {
        const given = await navigator.wakeLock.request('screen');
        if (over) return void given.release();
        lock = given;
        state.value = 'kept';
        given.addEventListener('release', () => {
          lock = null;
          state.value = 'not-kept';
        });
      } catch {
        state.value = 'not-kept'; // the browser says no, for example on a low battery: the note says what to set by hand
      }
    };
    const again = (): void => void ask();
    document.addEventListener('visibilitychange', again);
    again();
    return () => {
      over = true;
      document.removeEventListener('visibilitychange', again);
      void lock?.release();
      state.value = 'not-kept';
    };
  }, [wanted]);
  return state.value;
}
