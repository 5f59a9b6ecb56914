import { computed, signal } from '@preact/signals';

/** Screens by the fragment of the address: `#/test`, `#/trace/JOB/TRACE`. Works from any static folder, and the back key works. */
export const STEPS = [
  { path: 'job', name: 'Job', hint: 'vehicle and complaint' },
  { path: 'setup', name: 'Set up', hint: 'sensor, zero, cautions' },
  { path: 'test', name: 'Test', hint: 'live reading' },
  { path: 'read', name: 'Read', hint: 'what the trace shows' },
  { path: 'compare', name: 'Compare', hint: 'before and after' },
  { path: 'prove', name: 'Prove', hint: 'a page to hand over' },
] as const;

export type ScreenName = (typeof STEPS)[number]['path'] | 'traces' | 'trace' | 'tablets' | 'calibrate';

export interface Route {
  readonly screen: ScreenName;
  readonly rest: readonly string[];
}

const hash = signal(location.hash);
addEventListener('hashchange', () => (hash.value = location.hash));

export const route = computed<Route>(() => parseRoute(hash.value));

/** Unknown addresses open the Test screen: that is where the reading is. */
export function parseRoute(fragment: string): Route {
  const [screen = '', ...rest] = fragment.replace(/^#\/?/, '').split('/').map(decodeSafely);
  const known: readonly string[] = [...STEPS.map((step) => step.path), 'traces', 'trace', 'tablets', 'calibrate'];
  return known.includes(screen) ? { screen: screen as ScreenName, rest } : { screen: 'test', rest: [] };
}

export function hrefOf(screen: ScreenName, ...rest: readonly string[]): string {
  return `#/${[screen, ...rest].map(encodeURIComponent).join('/')}`;
}

export function go(screen: ScreenName, ...rest: readonly string[]): void {
  location.hash = hrefOf(screen, ...rest);
}

/** After the token was taken out of the address without an event. */
export function refreshRoute(): void {
  hash.value = location.hash;
}

function decodeSafely(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return '';
  }
}
