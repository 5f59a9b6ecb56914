import type { Dice } from './dice.ts';

/** What the switch and the feed do, on the true clock. `side` 0 is released. */
export interface Press {
  readonly startS: number;
  readonly endS: number;
  readonly side: 1 | -1;
}

export interface Span {
  readonly startS: number;
  readonly endS: number;
}

export interface Feed {
  /** resistance of battery and of the wire to the motor, ohm */
  readonly batteryOhm: number;
  readonly wireOhm: number;
  /** the released motor is shorted (braked) or left open */
  readonly braked: boolean;
  /** no path through the motor at all (open brush), or none through the switch */
  readonly openMotor: boolean;
  readonly deadSwitch: boolean;
  readonly protector: Protector | null;
  /** contact lost while held */
  readonly losses: readonly Span[];
}

/**
 * Protection inside the motor. `heat` 1 is the trip point, reached after `tripS` at the stall current.
 * A polymer part rises in resistance and holds itself hot; a bimetal opens and stays open until voltage is removed
 * (both behaviours: carmakers' texts, SOURCES.md).
 */
export interface Protector {
  readonly kind: 'polymer' | 'bimetal';
  readonly ohm: number;
  readonly tripS: number;
}

/** Makes and breaks of one press: bounce of a few strokes at the make (common practice: 0.2 to 3 ms). Ordered edges [timeS, closed]. */
export function contactEdges(press: Press, bounce: readonly number[]): readonly (readonly [number, boolean])[] {
  const edges: (readonly [number, boolean])[] = [[press.startS, true]];
  let atS = press.startS;
  let closed = true;
  for (const strokeS of bounce) {
    atS += strokeS;
    closed = !closed;
    if (atS < press.endS) edges.push([atS, closed]);
  }
  edges.push([press.endS, false]);
  return edges;
}

export function bounceOf(dice: Dice): number[] {
  if (dice.chance(0.5)) return [];
  const strokes = 2 * dice.whole(1, 3);
  return Array.from({ length: strokes }, () => dice.scale(0.0002, 0.0015));
}
