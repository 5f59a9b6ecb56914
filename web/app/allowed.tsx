import { mayChange, mayWork } from '../state/live.ts';

/**
 * What is inside can be used where this page may use it, and is switched off as a whole otherwise: `work` changes the running test and
 * needs the controls, `change` writes jobs and traces and needs a key that may. Links and figures stay as they are.
 */
export function Allowed({ to, children }: { to: 'work' | 'change'; children: preact.ComponentChildren }) {
  const may = to === 'work' ? mayWork.value : mayChange.value;
  return <fieldset class="allowed" role="presentation" disabled={!may}>{children}</fieldset>;
}
