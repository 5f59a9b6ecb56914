import { row, type TableRow } from './row.ts';

type SignRow = `${string}:${'yes' | 'no'}`;

/** What a sign says once it was verified. A sign not checked says nothing, and has no row. */
export const SIGN_ROWS = {
  'moves-a-little:yes': row('practice', { against: 'fuse-or-feed switch motor-cut-out control-module', for: 'mechanism wiring ground' }),
  'moves-a-little:no': row('practice', {}),
  'one-way-only:yes': row('memory-seat', { against: 'fuse-or-feed wiring ground motor motor-cut-out broken-drive', for: 'switch control-module mechanism' }),
  'one-way-only:no': row('memory-seat', { against: 'switch' }),
  'one-side-only:yes': row('practice', { against: 'fuse-or-feed switch wiring ground motor motor-cut-out control-module', for: 'broken-drive mechanism' }),
  'one-side-only:no': row('practice', {}),
  'no-sound:yes': row('seat-inspection', { against: 'mechanism broken-drive', for: 'fuse-or-feed switch wiring ground motor-cut-out motor control-module' }),
  'no-sound:no': row('seat-inspection', { against: 'fuse-or-feed switch motor-cut-out control-module ground' }),
  'hums:yes': row('practice', { against: 'fuse-or-feed switch control-module broken-drive', out: 'motor-cut-out', for: 'mechanism motor' }, { 'motor-cut-out': 'physics' }),
  'hums:no': row('practice', {}),
  /** something else blows it: the fuse itself is not the fault */
  'blows-fuse:yes': row('seat-inspection', { against: 'fuse-or-feed switch ground broken-drive', for: 'wiring motor mechanism' }),
  'blows-fuse:no': row('practice', {}),
  'works-after-rest:yes': row('window-cut-out', { against: 'fuse-or-feed switch wiring ground motor control-module broken-drive', for: 'motor-cut-out mechanism' }),
  'works-after-rest:no': row('cut-out-time', { out: 'motor-cut-out' }),
  'same-fuse-dead:yes': row('memory-seat', { against: 'switch wiring motor motor-cut-out mechanism broken-drive control-module', for: 'fuse-or-feed' }),
  'same-fuse-dead:no': row('memory-seat', { against: 'fuse-or-feed' }),
  'other-side-works:yes': row('practice', { against: 'fuse-or-feed control-module' }),
  'other-side-works:no': row('practice', { against: 'motor motor-cut-out mechanism broken-drive', for: 'fuse-or-feed ground control-module' }),
  'worse-cold:yes': row('practice', { against: 'fuse-or-feed switch broken-drive', for: 'mechanism battery' }),
  'worse-cold:no': row('practice', {}),
  'fuse-good:yes': row('seat-inoperative', { against: 'fuse-or-feed' }),
  'fuse-good:no': row('seat-inspection', { against: 'switch ground motor-cut-out broken-drive', for: 'fuse-or-feed' }),
  'moves-by-hand:yes': row('seat-inspection', { out: 'mechanism' }),
  'moves-by-hand:no': row('seat-inspection', { against: 'broken-drive', for: 'mechanism' }),
  /** a motor that drags and a drive that is broken let it run, too */
  'runs-fed-directly:yes': row('fed-directly', { out: 'motor-cut-out', against: 'motor mechanism broken-drive', for: 'fuse-or-feed switch wiring ground control-module' }),
  'runs-fed-directly:no': row('fed-directly', { out: 'fuse-or-feed switch wiring ground control-module', for: 'motor motor-cut-out' }),
  'changes-when-wiggled:yes': row('practice', { against: 'fuse-or-feed switch motor motor-cut-out mechanism broken-drive control-module', for: 'wiring' }),
  'changes-when-wiggled:no': row('practice', { against: 'wiring' }),
  'starts-when-tapped:yes': row('practice', { out: 'fuse-or-feed switch control-module', against: 'wiring ground mechanism broken-drive', for: 'motor' }),
  'starts-when-tapped:no': row('practice', {}),
  'blows-unplugged:yes': row('seat-inspection', { out: 'motor motor-cut-out mechanism broken-drive ground', against: 'switch', for: 'wiring' }),
  'blows-unplugged:no': row('seat-inspection', { out: 'wiring ground switch', for: 'motor mechanism' }),
  'flat-after-standing:yes': row('practice', { against: 'charging', for: 'circuit-stays-on module-woken module-awake battery' }),
  'flat-after-standing:no': row('practice', { against: 'circuit-stays-on module-woken module-awake', for: 'charging battery' }),
  'new-accessory:yes': row('drain-parts', { for: 'circuit-stays-on module-woken' }),
  'new-accessory:no': row('practice', {}),
  'battery-tested-good:yes': row('drain-order', { out: 'battery' }),
  'battery-tested-good:no': row('drain-order', { for: 'battery' }),
  'sleeps-after-refit:yes': row('practice', { against: 'circuit-stays-on battery charging', for: 'module-awake' }),
  'sleeps-after-refit:no': row('practice', { against: 'module-awake' }),
} as const satisfies Readonly<Record<SignRow, TableRow>>;
