import { traceRow, type TraceRow } from './row.ts';

/** What a key-off recording says. */
export const DRAIN_ROWS = {
  /** at rest under the limit, average included */
  'asleep': traceRow({ works: 'good', flows: false }, 'practice', { out: 'circuit-stays-on module-awake', against: 'module-woken', for: 'battery charging' }),
  'asleep-but-wakes': traceRow({ works: 'fault', flows: false }, 'practice', { out: 'circuit-stays-on module-awake', for: 'module-woken' }),
  /** at rest above the limit, no wake-ups */
  'steady-drain': traceRow({ works: 'fault', flows: false }, 'drain-parts', { against: 'module-woken battery', for: 'circuit-stays-on module-awake' }),
  /** the level asleep is within the limit, the wake-ups make the average */
  'drain-by-waking': traceRow({ works: 'fault', flows: false }, 'practice', { out: 'circuit-stays-on module-awake', against: 'battery charging', for: 'module-woken' }),
  'keeps-waking': traceRow({ works: 'fault', flows: false }, 'practice', { out: 'module-awake', against: 'circuit-stays-on battery charging', for: 'module-woken' }),
  'still-awake': traceRow({ works: 'fault', flows: false }, 'practice', { against: 'battery charging', for: 'module-awake circuit-stays-on' }),
  'fuse-carries': traceRow({ works: 'fault', flows: false }, 'fuse-by-fuse', { against: 'battery charging', for: 'circuit-stays-on module-awake' }),
  'no-fuse-carries': traceRow({ works: 'fault', flows: false }, 'fuse-by-fuse', { against: 'circuit-stays-on module-awake module-woken battery', for: 'charging' }),
} as const satisfies Readonly<Record<string, TraceRow>>;
