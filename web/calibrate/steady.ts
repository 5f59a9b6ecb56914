import { signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { CalibrationRecord } from '../../src/core/analysis/uncertainty/calibration.ts';
import type { SteadyReading, SteadyView } from '../../src/core/wire/calibration.ts';
import { isAbort } from '../net/api.ts';
import { freshness } from '../state/live.ts';
import { wordsOf } from '../state/stored.ts';
import { steadyNow } from './calls.ts';

/** How often the reading is asked for, ms: four to each of its windows of two seconds. */
const ASK_MS = 500;

export const steady = signal<SteadyView | null>(null);
export const steadyError = signal('');

/** Asks for the reading while the screen is open. */
export function useSteady(): void {
  useEffect(() => {
    const gone = new AbortController();
    let timer = 0;
    const ask = async (): Promise<void> => {
      try {
        steady.value = await steadyNow(gone.signal);
        steadyError.value = '';
      } catch (error) {
        if (isAbort(error)) return;
        steady.value = null;
        steadyError.value = wordsOf(error);
      }
      if (!gone.signal.aborted) timer = setTimeout(() => void ask(), ASK_MS);
    };
    void ask();
    return () => {
      gone.abort();
      clearTimeout(timer);
    };
  }, []);
}

/** The reading of a channel; null where there is none of now. */
export function readingOf(channel: CalibrationRecord['channel']): SteadyReading | null {
  return freshness.value.state === 'fresh' ? (steady.value?.[channel] ?? null) : null;
}
