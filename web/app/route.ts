import { computed, signal } from '@preact/signals';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.app.route;

/** Screens by the fragment of the address: `#/test`, `#/trace/JOB/TRACE`. Works from any static folder, and the back key works. */
export const STEPS = [
  { path: 'job', name: words.job, hint: words.vehicleAndComplaint },
  { path: 'setup', name: words.setUp, hint: words.sensorZeroCautions },
  { path: 'test', name: words.test, hint: words.liveReading },
  { path: 'read', name: words.read, hint: words.whatTheTraceShows },
  { path: 'compare', name: words.compare, hint: words.beforeAndAfter },
  { path: 'prove', name: words.prove, hint: words.aPageToHandOver },
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
function parseRoute(fragment: string): Route {
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
