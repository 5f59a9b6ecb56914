import { median } from '../../../stats.ts';
import type { Asymmetry } from '../../results.ts';
import type { PressReading, Unjudged } from '../codes.ts';
import { SUSPECT } from '../settings.ts';
import { CLEAR_PART, NEARLY_ALL } from '../signal/decision-levels.ts';
import { SWITCH_ON_S } from '../time-scales.ts';

/** What in a trace speaks against a motor that ran and stopped. */
type SuspicionCode = 'jam' | 'lost-load' | 'bad-segment' | 'hard-work' | 'hardly-any-load' | 'one-way' | 'beat';

export interface Suspicion {
  readonly code: SuspicionCode;
  /** the presses that show it */
  readonly presses: readonly PressReading[];
}

/** Running current as a share of this motor's estimated stall current, with its bounds; null where the switch-on does not show it. */
export function loadShare({ run, inrush, stalls }: PressReading): { share: number; low: number; high: number } | null {
  if (run === null || run.at_least === true || inrush?.fit == null || inrush.peak_at_least === true || stalls.length > 0) return null;
  const { standstill_a: standingA, low_standstill_a: lowA, high_standstill_a: highA } = inrush.fit;
  return { share: run.median_a / standingA, low: run.low_a / highA, high: lowA > 0 ? run.high_a / lowA : Infinity };
}

/** What one press shows by itself. A range that was typed in or learnt judges the load better than the motor's own standing current. */
export function pressSuspicions(actuation: PressReading, hasLimits: boolean): SuspicionCode[] {
  const found: SuspicionCode[] = [];
  if (actuation.cut !== undefined) return found;
  if (actuation.finding === 'suspect') found.push('jam');
  if (actuation.events?.some(({ code }) => code === 'slip') === true) found.push('lost-load');
  if (actuation.bad_commutation !== undefined) found.push('bad-segment');
  if (actuation.beat !== undefined && actuation.run !== null && actuation.beat.depth_a > CLEAR_PART * actuation.run.median_a) found.push('beat');
  const load = hasLimits ? null : loadShare(actuation);
  if (load !== null && load.share > SUSPECT.hardShare && load.low > SUSPECT.hardShare * NEARLY_ALL && !mayBeFan(actuation)) found.push('hard-work');
  if (load !== null && load.share < SUSPECT.freeShare && load.high < SUSPECT.freeShare / NEARLY_ALL) found.push('hardly-any-load');
  return found;
}

/**
 * A motor that works that hard is up to its speed within the switch-on (three time constants). What may gain speed for longer, by the bounds of its time constant, is a fan, and none asks for so much of its
 * motor: another load flows beside it, and the peak is not the motor's alone.
 */
function mayBeFan({ inrush }: PressReading): boolean {
  return inrush?.fit != null && 3 * inrush.fit.high_mechanical_s > SWITCH_ON_S;
}

/** Everything that speaks against the headline, by what it is. */
export function suspicionsOf(actuations: readonly PressReading[], asymmetry: Asymmetry | null, hasLimits: boolean): Suspicion[] {
  const byCode = new Map<SuspicionCode, PressReading[]>();
  for (const actuation of actuations) {
    for (const code of pressSuspicions(actuation, hasLimits)) byCode.set(code, [...(byCode.get(code) ?? []), actuation]);
  }
  const found: Suspicion[] = [...byCode].map(([code, presses]) => ({ code, presses }));
  const harder = hasLimits ? null : harderWay(asymmetry);
  if (harder !== null) found.push({ code: 'one-way', presses: actuations.filter(({ direction, run, cut }) => direction === harder && run !== null && cut === undefined) });
  return found.filter(({ code, presses }) => code === 'bad-segment' || code === 'jam' || code === 'lost-load' || code === 'one-way' || isUsual(presses, actuations));
}

/** One press of several may have met something by chance; what most presses of a direction show is the motor's. */
function isUsual(showing: readonly PressReading[], actuations: readonly PressReading[]): boolean {
  return (['forward', 'reverse'] as const).some((direction) => {
    const ran = actuations.filter((actuation) => actuation.direction === direction && actuation.cut === undefined && actuation.run !== null);
    return ran.length > 0 && showing.filter((actuation) => ran.includes(actuation)).length * 2 > ran.length;
  });
}

/** The direction that is much harder than the other, beyond what weight and springs explain; null where neither is. */
function harderWay(asymmetry: Asymmetry | null): PressReading['direction'] | null {
  if (asymmetry === null) return null;
  const { run_ratio: ratio, low_run_ratio: low = ratio, high_run_ratio: high = ratio } = asymmetry;
  if (ratio > SUSPECT.oneWay && low > SUSPECT.oneWay * NEARLY_ALL) return 'forward';
  return ratio < 1 / SUSPECT.oneWay && high < 1 / (SUSPECT.oneWay * NEARLY_ALL) ? 'reverse' : null;
}

/** Why `normal` cannot be said of a trace by itself, which takes a load that is known as a usual share of the standing current; null where it can. */
export function whyUnjudged(actuations: readonly PressReading[]): Unjudged | null {
  const shares = actuations.flatMap((actuation) => (actuation.cut === undefined ? (loadShare(actuation)?.share ?? []) : []));
  if (shares.length === 0) return { reason: 'no-stall-current' };
  const scatter = actuations.reduce((most, { run }) => (run === null ? most : Math.max(most, run.spread_a / run.median_a)), 0);
  if (scatter > SUSPECT.calmShare) return { reason: 'unsteady', share: scatter };
  const share = median(shares);
  return share >= SUSPECT.freeShare && share <= SUSPECT.usualShare ? null : { reason: 'load', share };
}
