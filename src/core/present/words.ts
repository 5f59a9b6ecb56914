import type { ActuationVerdictFinding, DrainFinding } from '../analysis/results.ts';

export type Finding = ActuationVerdictFinding | DrainFinding;

export interface FindingWords {
  readonly title: string;
  readonly sentence: string;
  /** good: nothing to mend seen · fault: something to mend seen · open: not told yet */
  readonly tone: 'good' | 'fault' | 'open';
}

const WORDS: Readonly<Record<Finding, FindingWords>> = {
  normal: { title: 'Normal', sentence: 'It ran and stopped within its limits.', tone: 'good' },
  stalled: { title: 'Stalled', sentence: 'It ran, then stood still under power.', tone: 'fault' },
  locked: { title: 'Locked', sentence: 'It had power and never turned.', tone: 'fault' },
  heavy: { title: 'Heavy', sentence: 'It runs, and draws more than usual.', tone: 'fault' },
  light: { title: 'Light', sentence: 'It runs, and draws less than usual: nothing may be driven.', tone: 'fault' },
  intermittent: { title: 'Intermittent', sentence: 'The feed broke and came back while it ran.', tone: 'fault' },
  dead: { title: 'Dead', sentence: 'Voltage was there, no current flowed.', tone: 'fault' },
  starved: { title: 'Starved', sentence: 'The supply sags too much to judge the motor.', tone: 'fault' },
  unpowered: { title: 'Unpowered', sentence: 'Neither voltage nor current arrived.', tone: 'fault' },
  unclear: { title: 'Cannot tell yet', sentence: 'The trace does not carry the answer so far.', tone: 'open' },
  asleep: { title: 'Asleep', sentence: 'It settled below the limit.', tone: 'good' },
  drain: { title: 'Drain', sentence: 'It settled above the limit: something stays on.', tone: 'fault' },
  awake: { title: 'Awake', sentence: 'It has not gone to sleep.', tone: 'open' },
  waking: { title: 'Keeps waking', sentence: 'It goes to sleep and wakes again.', tone: 'fault' },
  'too-short': { title: 'Too short to tell', sentence: 'Modules can need up to 75 minutes to go to sleep.', tone: 'open' },
};

/** Words for a finding; a finding this page does not know is shown as it came. */
export function findingWords(finding: string): FindingWords {
  return WORDS[finding as Finding] ?? { title: finding, sentence: '', tone: 'open' };
}
