import type { TestKind } from '../results.ts';
import type { ComparedMetric, CompareFinding } from './results.ts';

/** What to do after a comparison, cheap before dear. `sound`: neither trace showed a fault by itself. */
export function nextSteps(test: TestKind, finding: CompareFinding, pairs: readonly ComparedMetric[], sound: boolean): string[] {
  if (sound && finding === 'unchanged') return ['Neither trace shows a fault: if the complaint stays, record while it happens.'];
  return test === 'drain' ? drainSteps(finding) : actuationSteps(finding, pairs);
}

function actuationSteps(finding: CompareFinding, pairs: readonly ComparedMetric[]): string[] {
  const few = pairs.some(({ metric, before_count: before, after_count: after }) => metric === 'duration_s' && Math.min(before, after) < 3);
  const again = few ? ['Record at least three actuations each way after the repair, with the same lead and the same sensor, so that chance is ruled out.'] : [];
  switch (finding) {
    case 'repaired':
      return [...again, 'Watch the mechanism move over its whole travel, both ways, and under its usual load, before the vehicle goes back.'];
    case 'better':
      return [...again, 'A fault or a doubt is left: read the second trace by itself and follow its next check.'];
    case 'worse':
      return ['Go back over what was touched last: connectors, ground, alignment of the mechanism. Then record again.', ...again];
    case 'unchanged':
      return [...again, 'What was done did not reach the cause: follow the next check of the first trace.'];
  }
}

function drainSteps(finding: CompareFinding): string[] {
  switch (finding) {
    case 'repaired':
      return ['Leave it recording over a second night: a module that wakes seldom does not show in one.'];
    case 'better':
      return ['A drain is left: go on pulling fuses in the second trace, largest circuit first.'];
    case 'worse':
      return ['Check first what is different by itself: doors, key nearby, accessories, battery charger. Then record again.'];
    case 'unchanged':
      return ['What was done did not touch the drain: go on with the circuit whose fuse carried the current.'];
  }
}
