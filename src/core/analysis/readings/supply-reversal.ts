import { LEAST_SUPPLY_V, systemOf } from './limits.ts';

/** Volts of both leads of a two-way motor against the battery's negative post, while one direction is pressed. */
export interface LeadVolts {
  readonly aV: number;
  readonly bV: number;
  /** by a clamp meanwhile, either sign; null when not measured */
  readonly currentA: number | null;
}

export interface ReversalReadings {
  readonly forward: LeadVolts;
  readonly reverse: LeadVolts;
}

/** fed: the full supply across the motor · weak: something, not enough · open-return: both leads at the supply, the other lead is not grounded · none */
export type WayState = 'fed' | 'weak' | 'open-return' | 'none';

export interface Reversal {
  /** both-ways: feed good · one-way: switch (or its wiring) · no-way: up the circuit · no-return: both leads live both ways, the way back is open · volts-no-current: motor, its cut-out or connector · cannot-tell: weak */
  readonly outcome: 'both-ways' | 'one-way' | 'no-way' | 'no-return' | 'volts-no-current' | 'cannot-tell';
  readonly forward: WayState;
  readonly reverse: WayState;
  /** volts across the motor, signed: A less B */
  readonly forwardV: number;
  readonly reverseV: number;
}

/** Less than this is nothing: leads float to a few hundred millivolts (common practice, no published source). */
const NOTHING_V = 1;
/** A motor that runs or stalls draws amperes; less is a clamp's zero (common practice, no published source). */
const NO_CURRENT_A = 0.1;

/**
 * The +12/-12 check: pressed one way the motor sees the supply, pressed the other way the supply turned round. Good both ways clears everything
 * up to the motor; one way only points at the switch; none, up the circuit; full volts without current, at the motor.
 */
export function supplyReversal({ forward, reverse }: ReversalReadings): Reversal {
  const fedV = LEAST_SUPPLY_V[systemOf([forward, reverse].flatMap(({ aV, bV }) => [aV, bV]))];
  const ways = { forward: stateOf(forward, fedV), reverse: stateOf(reverse, fedV), forwardV: forward.aV - forward.bV, reverseV: reverse.aV - reverse.bV };
  const fed = [ways.forward, ways.reverse].filter((state) => state === 'fed').length;
  if (fed === 2) {
    // the same lead live both ways is one contact stuck, not a reversal
    if (ways.forwardV * ways.reverseV > 0) return { outcome: 'one-way', ...ways };
    const idle = [forward, reverse].every(({ currentA }) => currentA !== null && Math.abs(currentA) < NO_CURRENT_A);
    return { outcome: idle ? 'volts-no-current' : 'both-ways', ...ways };
  }
  if (ways.forward === 'weak' || ways.reverse === 'weak') return { outcome: 'cannot-tell', ...ways };
  if (ways.forward === 'open-return' && ways.reverse === 'open-return') return { outcome: 'no-return', ...ways };
  // both leads live one way and nothing the other way: the supply is there, so the fault is not up the circuit
  const reached = [ways.forward, ways.reverse].some((state) => state === 'fed' || state === 'open-return');
  return { outcome: reached ? 'one-way' : 'no-way', ...ways };
}

function stateOf({ aV, bV }: LeadVolts, fedV: number): WayState {
  const acrossV = Math.abs(aV - bV);
  if (acrossV >= fedV) return 'fed';
  if (acrossV >= NOTHING_V) return 'weak';
  return Math.min(aV, bV) >= fedV ? 'open-return' : 'none';
}
