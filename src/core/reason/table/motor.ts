import { traceRow, type TraceRow } from './row.ts';

/** What the finding of a motor's trace says. */
export const MOTOR_ROWS = {
  /** normal, judged by limits or known-good traces: it drives what it should drive */
  'ran-within-limits': traceRow({ works: 'good', flows: true }, 'practice', { against: 'fuse-or-feed switch wiring ground control-module motor motor-cut-out mechanism broken-drive' }),
  /** normal, judged by its own stall current: a usual load for this motor */
  'ran-with-a-usual-load': traceRow({ works: 'good', flows: true }, 'practice', { against: 'fuse-or-feed switch wiring ground control-module motor motor-cut-out mechanism broken-drive' }),
  /** normal, with nothing to judge the load by */
  'ran': traceRow({ works: 'runs', flows: true }, 'practice', { against: 'fuse-or-feed switch wiring ground control-module motor motor-cut-out' }),
  'stalled': traceRow({ works: 'failed', flows: true }, 'practice', { out: 'motor-cut-out', against: 'fuse-or-feed switch wiring ground control-module broken-drive', for: 'mechanism' }, { 'motor-cut-out': 'physics' }),
  /** stalled, and then the current stopped while the voltage stayed on */
  'stalled-then-cut-out': traceRow({ works: 'failed', flows: true }, 'window-cut-out', { out: 'fuse-or-feed switch control-module', against: 'wiring ground broken-drive', for: 'mechanism motor-cut-out' }),
  'locked': traceRow({ works: 'failed', flows: true }, 'practice', { out: 'motor-cut-out broken-drive', against: 'fuse-or-feed switch wiring ground control-module', for: 'mechanism motor' }, { 'motor-cut-out': 'physics' }),
  /** never turned, with full volts at its feed */
  'locked-on-full-volts': traceRow({ works: 'failed', flows: true }, 'physics', { out: 'motor-cut-out broken-drive fuse-or-feed switch control-module', against: 'wiring ground', for: 'mechanism motor' }, { 'broken-drive': 'practice' }),
  'heavy': traceRow({ works: 'fault', flows: true }, 'practice', { out: 'motor-cut-out broken-drive', against: 'fuse-or-feed switch wiring ground control-module', for: 'mechanism motor' }, { 'motor-cut-out': 'physics' }),
  'light': traceRow({ works: 'fault', flows: true }, 'practice', { out: 'motor-cut-out mechanism', against: 'fuse-or-feed switch wiring ground control-module motor', for: 'broken-drive' }, { 'motor-cut-out': 'physics' }),
  'intermittent': traceRow({ works: 'failed', flows: true }, 'practice', { out: 'broken-drive', against: 'mechanism motor-cut-out', for: 'fuse-or-feed switch wiring ground motor control-module' }),
  /** ran and stopped; one commutation of each turn carries less */
  'low-commutation': traceRow({ works: 'fault', flows: true }, 'practice', { out: 'motor-cut-out', against: 'fuse-or-feed switch wiring ground control-module mechanism broken-drive', for: 'motor' }),
  /** ran and stopped; hardly any load for its own standing current */
  'hardly-any-load': traceRow({ works: 'fault', flows: true }, 'practice', { out: 'motor-cut-out', against: 'fuse-or-feed switch wiring ground control-module motor mechanism', for: 'broken-drive' }),
  /** ran and stopped; a load near its own standing current */
  'hard-work': traceRow({ works: 'fault', flows: true }, 'practice', { out: 'motor-cut-out', against: 'fuse-or-feed switch wiring ground control-module broken-drive', for: 'mechanism motor' }),
  /** ran and stopped; its load comes and goes once a turn of shaft or gear */
  'tight-once-a-turn': traceRow({ works: 'fault', flows: true }, 'practice', { out: 'motor-cut-out', against: 'fuse-or-feed switch wiring ground control-module', for: 'mechanism motor broken-drive' }),
  /** ran and stopped; one direction much harder than the other */
  'harder-one-way': traceRow({ works: 'fault', flows: true }, 'practice', { out: 'motor-cut-out', against: 'fuse-or-feed wiring ground control-module motor', for: 'mechanism broken-drive' }),
  /** ran and stopped; something else in the trace speaks against it */
  'ran-suspect': traceRow({ works: 'fault', flows: true }, 'practice', { against: 'fuse-or-feed switch wiring ground control-module motor-cut-out', for: 'motor mechanism broken-drive' }),
  'dead': traceRow({ works: 'failed', flows: false }, 'seat-inoperative', { out: 'fuse-or-feed switch control-module mechanism broken-drive', for: 'motor motor-cut-out ground wiring' }, { mechanism: 'physics', 'broken-drive': 'physics' }),
  'unpowered': traceRow({ works: 'failed', flows: false }, 'seat-inoperative', { out: 'motor-cut-out broken-drive', against: 'motor mechanism ground', for: 'fuse-or-feed switch wiring control-module' }, { 'motor-cut-out': 'physics', 'broken-drive': 'physics' }),
  'starved': traceRow({ works: 'failed', flows: true }, 'drop-limit', { out: 'motor-cut-out', against: 'broken-drive control-module', for: 'fuse-or-feed switch wiring ground' }, { 'motor-cut-out': 'physics' }),
  /** the lead sits at the battery, and the battery itself sags */
  'starved-at-battery': traceRow({ works: 'failed', flows: false }, 'practice', { out: 'motor-cut-out', against: 'switch wiring ground control-module broken-drive', for: 'fuse-or-feed' }, { 'motor-cut-out': 'physics' }),
  /** recorded with the mechanism uncoupled */
  'alone-runs': traceRow({ works: 'runs', flows: false }, 'practice', { out: 'motor motor-cut-out', against: 'fuse-or-feed switch wiring ground control-module', for: 'mechanism' }),
  'alone-stands': traceRow({ works: 'fault', flows: false }, 'practice', { out: 'mechanism broken-drive motor-cut-out', against: 'fuse-or-feed switch wiring ground control-module', for: 'motor' }, { 'motor-cut-out': 'physics' }),
  'alone-heavy': traceRow({ works: 'fault', flows: false }, 'practice', { out: 'mechanism broken-drive motor-cut-out', for: 'motor' }),
  /** the +12/-12 check at a two-way motor */
  'reverses-well': traceRow({ works: 'good', flows: false }, 'seat-inoperative', { out: 'fuse-or-feed switch control-module', against: 'wiring ground' }),
  'feeds-one-way': traceRow({ works: 'failed', flows: false }, 'seat-inoperative', { out: 'motor motor-cut-out mechanism broken-drive', against: 'fuse-or-feed ground', for: 'switch wiring control-module' }),
  'feeds-no-way': traceRow({ works: 'failed', flows: false }, 'seat-inoperative', { out: 'motor-cut-out broken-drive', against: 'motor mechanism ground', for: 'fuse-or-feed switch wiring control-module' }),
  'volts-no-current': traceRow({ works: 'failed', flows: false }, 'seat-inoperative', { out: 'fuse-or-feed switch control-module mechanism broken-drive', for: 'motor motor-cut-out ground wiring' }),
} as const satisfies Readonly<Record<string, TraceRow>>;
