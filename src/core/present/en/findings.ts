import type { FindingTexts } from '../words.ts';

export const findings: FindingTexts = {
  normal: { title: 'Normal', sentence: 'It ran and stopped within its limits.' },
  suspect: { title: 'Suspect', sentence: 'It ran and stopped, but something in the trace looks wrong.' },
  stalled: { title: 'Stalled', sentence: 'It ran, then stood still under power.' },
  locked: { title: 'Locked', sentence: 'It had power and never turned.' },
  heavy: { title: 'Heavy', sentence: 'It runs, and draws more than usual.' },
  light: { title: 'Light', sentence: 'It runs, and draws less than usual: it may be driving nothing.' },
  intermittent: { title: 'Intermittent', sentence: 'The feed broke and came back while it ran.' },
  dead: { title: 'Dead', sentence: 'Voltage at the motor, no current.' },
  starved: { title: 'Starved', sentence: 'The supply sags too much to judge the motor.' },
  unpowered: { title: 'Unpowered', sentence: 'Neither voltage nor current reached it.' },
  unclear: { title: 'Cannot tell', sentence: 'Not enough recorded to tell.' },
  asleep: { title: 'Asleep', sentence: 'It settled below the limit.' },
  drain: { title: 'Drain', sentence: 'It settled above the limit: something stays on.' },
  awake: { title: 'Awake', sentence: 'It has not gone to sleep.' },
  waking: { title: 'Keeps waking', sentence: 'It goes to sleep and wakes again.' },
  'too-short': { title: 'Too short to tell', sentence: 'Modules can need up to 75 minutes to go to sleep.' },
};

export const unjudged: FindingTexts['normal'] = { title: 'Ran and stopped', sentence: 'Nothing here to judge it by.' };

export const judgedByItself: FindingTexts['normal'] = { title: 'Normal', sentence: 'It ran with a usual load for its own stall current, and stopped.' };

/** the same where nothing shows that the load is a motor */
export const judgedByItsFall: FindingTexts['normal'] = { title: 'Normal', sentence: 'It drew current as a motor with a usual load does, then stopped.' };
