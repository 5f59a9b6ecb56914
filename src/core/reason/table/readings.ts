import { row, type TableRow } from './row.ts';

/** Parts of the feed as a set of causes in the order of the current; the observation that volts are lost within them. */
const AFTER_ALL = 'ground motor-cut-out broken-drive';

/**
 * Volts reached the first point and not the second: one of the parts between. An open ground takes no volts from the feed; nothing inside the motor
 * does either. Where the fuse is among the parts, motor or mechanism may have blown it.
 */
function lost(within: string, good: string, rest = 'motor mechanism'): TableRow {
  return row('seat-inoperative', { out: `${good} ${AFTER_ALL}`.trim(), against: rest, for: within }, { ground: 'physics', 'motor-cut-out': 'physics', 'broken-drive': 'physics' });
}

/**
 * What volts at a point say, all against the battery's negative post. A section that keeps its volts is not the fault; the last point with
 * volts lies before it. Where volts are lost without reading the points between, every part between is open.
 */
export const READING_ROWS = {
  'battery-low': row('feed-range', { for: 'fuse-or-feed' }),
  // volts reach the point while pressed: what lies before it is good
  'volts-at-fuse-out': row('seat-inoperative', { out: 'fuse-or-feed' }),
  'volts-at-switch-in': row('seat-inoperative', { out: 'fuse-or-feed' }),
  'volts-at-switch-out': row('seat-inoperative', { out: 'fuse-or-feed switch' }),
  'volts-at-module-in': row('seat-inoperative', { out: 'fuse-or-feed' }),
  'volts-at-module-out': row('memory-seat', { out: 'fuse-or-feed control-module switch' }),
  /** the ground side is also wiring: nothing is said of it */
  'volts-at-motor-plus': row('seat-inoperative', { out: 'fuse-or-feed switch control-module' }),
  /** before the open switch: a contact can still fail under load */
  'volts-unloaded': row('practice', { against: 'fuse-or-feed' }),
  'lost-in-fuse': lost('fuse-or-feed', 'switch control-module', ''),
  'lost-in-fuse-or-wiring': lost('fuse-or-feed wiring', 'switch control-module', ''),
  'lost-in-wiring': lost('wiring', 'fuse-or-feed'),
  'lost-in-switch': lost('switch', 'fuse-or-feed', 'motor mechanism wiring control-module'),
  'lost-in-switch-or-wiring': lost('switch wiring', 'fuse-or-feed', 'motor mechanism control-module'),
  'lost-before-switch-out': lost('fuse-or-feed switch wiring', '', 'control-module'),
  /** the module may also not have been asked: the switch stays open */
  'lost-in-module': lost('control-module', 'fuse-or-feed', 'motor mechanism wiring'),
  'lost-in-module-or-wiring': lost('control-module wiring', 'fuse-or-feed'),
  'lost-after-fuse': lost('switch control-module wiring', 'fuse-or-feed'),
  'lost-before-motor': lost('fuse-or-feed switch wiring control-module', '', ''),
  // the ground side
  'volts-on-motor-minus': row('drop-limit', { out: 'fuse-or-feed switch control-module motor-cut-out', against: 'motor mechanism broken-drive', for: 'ground wiring' }, { 'motor-cut-out': 'physics' }),
  'lost-motor-to-ground': row('drop-limit', { out: 'fuse-or-feed switch control-module motor-cut-out', against: 'motor mechanism broken-drive ground', for: 'wiring' }, { 'motor-cut-out': 'physics' }),
  'volts-on-ground': row('drop-limit', { out: 'fuse-or-feed switch control-module motor-cut-out', against: 'motor mechanism broken-drive wiring', for: 'ground' }, { 'motor-cut-out': 'physics' }),
  'way-back-good': row('drop-limit', { out: 'ground', against: 'wiring' }),
  // sections measured from end to end that lose nothing
  'switch-keeps-volts': row('drop-limit', { out: 'switch' }),
  'module-keeps-volts': row('drop-limit', { out: 'control-module' }),
  'feed-wiring-keeps-volts': row('drop-limit', { against: 'wiring' }),
  'all-wiring-keeps-volts': row('drop-limit', { out: 'wiring' }),
  // the parked and the running vehicle
  'rested-full': row('practice', { against: 'battery charging' }),
  'rested-low': row('practice', { for: 'battery charging circuit-stays-on module-awake module-woken' }),
  'charges': row('charge-volts', { out: 'charging' }),
  'charges-too-little': row('charge-volts', { for: 'charging' }),
  'charges-too-much': row('charge-volts', { for: 'charging battery' }),
} as const satisfies Readonly<Record<string, TableRow>>;
