import { row } from './row.ts';

/** What the finding of a motor's trace says. */
export const MOTOR_ROWS = {
  /** normal, judged by limits or known-good traces: it drives what it should drive */
  'ran-within-limits': row('practice', { against: 'fuse-or-feed switch wiring ground control-module motor motor-cut-out mechanism broken-drive' }),
  /** normal, judged by its own standing current: a usual load for this motor */
  'ran-with-a-usual-load': row('practice', { against: 'fuse-or-feed switch wiring ground control-module motor motor-cut-out mechanism broken-drive' }),
  /** normal, with nothing to judge the load by */
  'ran': row('practice', { against: 'fuse-or-feed switch wiring ground control-module motor motor-cut-out' }),
  'stalled': row('practice', { out: 'motor-cut-out', against: 'fuse-or-feed switch wiring ground control-module broken-drive', for: 'mechanism' }, { 'motor-cut-out': 'physics' }),
  /** stood, and then the current went while the volts stayed */
  'stalled-then-cut-out': row('window-cut-out', { out: 'fuse-or-feed switch control-module', against: 'wiring ground broken-drive', for: 'mechanism motor-cut-out' }),
  'locked': row('practice', { out: 'motor-cut-out broken-drive', against: 'fuse-or-feed switch wiring ground control-module', for: 'mechanism motor' }, { 'motor-cut-out': 'physics' }),
  /** never turned, with full volts at its feed */
  'locked-on-full-volts': row('physics', { out: 'motor-cut-out broken-drive fuse-or-feed switch control-module', against: 'wiring ground', for: 'mechanism motor' }, { 'broken-drive': 'practice' }),
  'heavy': row('practice', { out: 'motor-cut-out broken-drive', against: 'fuse-or-feed switch wiring ground control-module', for: 'mechanism motor' }, { 'motor-cut-out': 'physics' }),
  'light': row('practice', { out: 'motor-cut-out mechanism', against: 'fuse-or-feed switch wiring ground control-module motor', for: 'broken-drive' }, { 'motor-cut-out': 'physics' }),
  'intermittent': row('practice', { out: 'broken-drive', against: 'mechanism motor-cut-out', for: 'fuse-or-feed switch wiring ground motor control-module' }),
  /** ran and stopped; one commutation of each turn carries less */
  'low-commutation': row('practice', { out: 'motor-cut-out', against: 'fuse-or-feed switch wiring ground control-module mechanism broken-drive', for: 'motor' }),
  /** ran and stopped; hardly any load for its own standing current */
  'hardly-any-load': row('practice', { out: 'motor-cut-out', against: 'fuse-or-feed switch wiring ground control-module motor mechanism', for: 'broken-drive' }),
  /** ran and stopped; a load near its own standing current */
  'hard-work': row('practice', { out: 'motor-cut-out', against: 'fuse-or-feed switch wiring ground control-module broken-drive', for: 'mechanism motor' }),
  /** ran and stopped; its load comes and goes once a turn of shaft or gear */
  'tight-once-a-turn': row('practice', { out: 'motor-cut-out', against: 'fuse-or-feed switch wiring ground control-module', for: 'mechanism motor broken-drive' }),
  /** ran and stopped; one direction much harder than the other */
  'harder-one-way': row('practice', { out: 'motor-cut-out', against: 'fuse-or-feed wiring ground control-module motor', for: 'mechanism broken-drive' }),
  /** ran and stopped; something else in the trace speaks against it */
  'ran-suspect': row('practice', { against: 'fuse-or-feed switch wiring ground control-module motor-cut-out', for: 'motor mechanism broken-drive' }),
  'dead': row('seat-inoperative', { out: 'fuse-or-feed switch control-module mechanism broken-drive', for: 'motor motor-cut-out ground wiring' }, { mechanism: 'physics', 'broken-drive': 'physics' }),
  'unpowered': row('seat-inoperative', { out: 'motor-cut-out broken-drive', against: 'motor mechanism ground', for: 'fuse-or-feed switch wiring control-module' }, { 'motor-cut-out': 'physics', 'broken-drive': 'physics' }),
  'starved': row('drop-limit', { out: 'motor-cut-out', against: 'broken-drive control-module', for: 'fuse-or-feed switch wiring ground' }, { 'motor-cut-out': 'physics' }),
  /** the lead sits at the battery, and the battery itself sags */
  'starved-at-battery': row('practice', { out: 'motor-cut-out', against: 'switch wiring ground control-module broken-drive', for: 'fuse-or-feed' }, { 'motor-cut-out': 'physics' }),
  /** recorded with the mechanism uncoupled */
  'alone-runs': row('practice', { out: 'motor motor-cut-out', against: 'fuse-or-feed switch wiring ground control-module', for: 'mechanism' }),
  'alone-stands': row('practice', { out: 'mechanism broken-drive motor-cut-out', against: 'fuse-or-feed switch wiring ground control-module', for: 'motor' }, { 'motor-cut-out': 'physics' }),
  'alone-heavy': row('practice', { out: 'mechanism broken-drive motor-cut-out', for: 'motor' }),
  /** the +12/-12 check at a two-way motor */
  'reverses-well': row('seat-inoperative', { out: 'fuse-or-feed switch control-module', against: 'wiring ground' }),
  'feeds-one-way': row('seat-inoperative', { out: 'motor motor-cut-out mechanism broken-drive', against: 'fuse-or-feed ground', for: 'switch wiring control-module' }),
  'feeds-no-way': row('seat-inoperative', { out: 'motor-cut-out broken-drive', against: 'motor mechanism ground', for: 'fuse-or-feed switch wiring control-module' }),
  'volts-no-current': row('seat-inoperative', { out: 'fuse-or-feed switch control-module mechanism broken-drive', for: 'motor motor-cut-out ground wiring' }),
} as const;
