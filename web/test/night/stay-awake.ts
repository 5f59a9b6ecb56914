import { computed, effect, signal } from '@preact/signals';
import { recording } from '../../state/live.ts';

/** The browser keeps the screen on. */
export const screenKept = signal(false);

/**
 * Asks the browser to keep the screen on while something is recorded, whatever screen of the page is looked at (Screen Wake Lock, W3C): a computer that goes to
 * sleep records nothing. The browser may refuse, and gives it up when the page is hidden; it is asked again when the page comes back.
 */
export function startStayAwake(): void {
  const records = computed(() => recording.value !== null);
  effect(() => (records.value ? keepAwake() : undefined));
}

function keepAwake(): () => void {
  if (!('wakeLock' in navigator)) return () => undefined;
  let lock: WakeLockSentinel | null = null;
  let over = false;
  const ask = async (): Promise<void> => {
    if (over || lock !== null || document.visibilityState !== 'visible') return;
    try {
      const given = await navigator.wakeLock.request('screen');
      if (over) return void given.release();
      lock = given;
      screenKept.value = true;
      given.addEventListener('release', () => {
        lock = null;
        screenKept.value = false;
      });
    } catch {
      screenKept.value = false; // the browser says no, for example on a low battery: the note says what to set by hand
    }
  };
  const again = (): void => void ask();
  document.addEventListener('visibilitychange', again);
  again();
  return () => {
    over = true;
    document.removeEventListener('visibilitychange', again);
    void lock?.release();
    screenKept.value = false;
  };
}
