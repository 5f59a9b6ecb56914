import type { Mark } from '../../../src/core/trace.ts';
import { marks, result } from '../../state/live.ts';
import { offeredFuses } from '../marking.tsx';
import { isPulled, workFuse } from '../virtual-vehicle.tsx';
import { language } from '../../../src/core/present/language.ts';

const words = language.screens.test.nextFuse;

/** Which fuse the hand goes to: the one that is out (to put it back), else the first that was not yet pulled; null when all were. */
export function nextFuse(fuses: readonly string[], made: readonly Mark[]): { label: string; pull: boolean } | null {
  const state = new Map<string, boolean>();
  for (const mark of made) {
    if (mark.kind === 'pull') state.set(mark.label, true);
    else if (mark.kind === 'refit') state.set(mark.label, false);
  }
  const out = fuses.find((label) => state.get(label) === true);
  if (out !== undefined) return { label: out, pull: false };
  const fresh = fuses.find((label) => !state.has(label));
  return fresh === undefined ? null : { label: fresh, pull: true };
}

/** Before it rests a pulled fuse proves nothing, and wakes what was on its way to sleep: the button then marks, as at any test. */
function isAtRest(): boolean {
  const now = result.value?.result;
  return now?.test === 'drain' && (now.asleep !== null || now.verdict.finding === 'awake');
}

/** The guide's next step for the big button and the space key. */
export function nextFuseAction(): { name: string; act: () => void } | null {
  const next = nextFuse(offeredFuses(), marks.value);
  if (next === null || (next.pull && !isAtRest())) return null;
  return { name: `${next.label} ${next.pull ? 'pulled' : words.putBack}`, act: () => workFuse(next.label, !isPulled(next.label)) };
}
