import { go, route } from './route.ts';

/** Goes to where the logger is chosen, and its port, speed and lines are: on a phone a long way down. */
export function showLogger(): void {
  if (route.peek().screen !== 'setup') go('setup');
  // once the screen is there
  requestAnimationFrame(() => requestAnimationFrame(() => (document.getElementById('lines-of-the-logger') ?? document.getElementById('choice-of-logger'))?.scrollIntoView()));
}
