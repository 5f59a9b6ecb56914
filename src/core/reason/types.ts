import type { TestKind } from '../analysis/results.ts';

/** From the complaint to the cause: what was seen, what each of it says about each cause, what is left, and what to check next. */

export const MOTOR_CAUSES = ['fuse-or-feed', 'switch', 'wiring', 'ground', 'motor', 'motor-cut-out', 'mechanism', 'broken-drive', 'control-module'] as const;
export const DRAIN_CAUSES = ['circuit-stays-on', 'module-woken', 'module-awake', 'battery', 'charging'] as const;
export type Cause = (typeof MOTOR_CAUSES)[number] | (typeof DRAIN_CAUSES)[number];

export function causesOf(test: TestKind): readonly Cause[] {
  return test === 'actuation' ? MOTOR_CAUSES : DRAIN_CAUSES;
}

/** What was verified at the vehicle before or beside any trace. */
export const SIGNS = [
  'moves-a-little', 'one-way-only', 'one-side-only', 'no-sound', 'hums', 'blows-fuse', 'works-after-rest', 'same-fuse-dead', 'other-side-works', 'worse-cold', 'fuse-good',
  'flat-after-standing', 'new-accessory', 'battery-tested-good', 'moves-by-hand', 'runs-fed-directly', 'changes-when-wiggled', 'starts-when-tapped', 'blows-unplugged', 'sleeps-after-refit',
] as const;
export type Sign = (typeof SIGNS)[number];
/** Found by trying something, not by looking or asking. */
export const TRIED_SIGNS: ReadonlySet<Sign> = new Set(['moves-by-hand', 'runs-fed-directly', 'changes-when-wiggled', 'starts-when-tapped', 'blows-unplugged', 'battery-tested-good', 'sleeps-after-refit']);
export type Answer = 'yes' | 'no';
export type Signs = Readonly<Partial<Record<Sign, Answer>>>;

/** Where a meter was held, against the battery's negative post; in the order of the current. */
export const POINTS = ['battery', 'fuse-in', 'fuse-out', 'switch-in', 'switch-out', 'module-in', 'module-out', 'motor-plus', 'motor-minus', 'ground'] as const;
export type Point = (typeof POINTS)[number];
/** pressed: switch held, the load switched on · released: key on, switch open · parked: key off, rested · running: engine running */
export const MOMENTS = ['pressed', 'released', 'parked', 'running'] as const;
export type Moment = (typeof MOMENTS)[number];

export interface Reading {
  readonly point: Point;
  readonly v: number;
  readonly while: Moment;
}

/** One entry of the table: what an observation says about a cause. */
export type Effect = 'rules-out' | 'against' | 'nothing' | 'for';
