import { median } from '../../../stats.ts';
import type { PressView } from './press-view.ts';
import type { StepSeen } from './steps.ts';
import type { IndexRange, Motion } from '../types.ts';
import { CONTACT_S, MAINS_PERIOD_S } from '../time-scales.ts';

/** What the motors of one wire did, once a step shows that one of them jammed: it stands from there until its stretch of the run ends, and the run is what lies before. */
export function jammedMotion(motion: Motion, { envelope }: PressView, { cell }: StepSeen): Motion {
  const at = envelope.startIndex + cell * envelope.step;
  const run = motion.running.find(({ startIndex, endIndex }) => startIndex < at && at < endIndex);
  if (run === undefined) return motion;
  // the level is smoothed over a mains period: so long before it climbs already
  const edge = Math.ceil((MAINS_PERIOD_S + CONTACT_S) / envelope.stepS);
  const approachIndex = Math.max(run.startIndex, at - edge * envelope.step);
  const levelA = median(envelope.levelA.subarray(cell + edge, Math.floor((run.endIndex - envelope.startIndex) / envelope.step)));
  const ran: IndexRange = { startIndex: run.startIndex, endIndex: approachIndex };
  return {
    ...motion,
    stalls: [...motion.stalls, { startIndex: at, approachIndex, endIndex: run.endIndex, levelA, at: 'travel' as const }].toSorted((a, b) => a.startIndex - b.startIndex),
    running: motion.running.map((range) => (range === run ? ran : range)),
  };
}
