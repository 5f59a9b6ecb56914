import { useSignalEffect } from '@preact/signals';
import { useRef } from 'preact/hooks';
import { changeSettings } from '../state/actions.ts';
import { controls, hello, recording, settings, source } from '../state/live.ts';

/**
 * Opening the page with the virtual vehicle goes straight to the test that its complaint calls for. Done once for each virtual vehicle
 * this page meets; after that the choice of test is the person's.
 */
export function useFollowScenario(): void {
  const met = useRef('');
  useSignalEffect(() => {
    const scenario = source.value?.logger?.controls?.scenario;
    const now = settings.value;
    // who works the logger is known last; a page that only watches follows nobody
    if (scenario === undefined || now === null || hello.value === null || controls.value === null || scenario === met.current) return;
    met.current = scenario;
    const test = hello.value.scenarios.find((one) => one.name === scenario)?.test;
    if (test !== undefined && test !== now.test && recording.peek() === null && controls.value.mine) changeSettings({ test }, true);
  });
}
