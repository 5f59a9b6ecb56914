import type { Asymmetry, Stall } from '../../results.ts';
import { median } from '../../../stats.ts';
import { standingOhm } from '../../../reference/motor.ts';
import type { MotorEvidence, PressReading } from '../codes.ts';
import { SUSPECT } from '../settings.ts';
import { MOST_OF, SMALL_PART } from '../signal/decision-levels.ts';
import { loadShare, type Suspicion } from './suspicion.ts';
import { asymmetryEvidence } from './travel-evidence.ts';

/** What single presses show, with the figures that carry it. None where the presses do not show it. */

const lengthS = ({ start_s: startS, end_s: endS }: { readonly start_s: number; readonly end_s: number }): number => endS - startS;
const most = <Item>(items: readonly Item[], size: (item: Item) => number): Item | undefined => items.toSorted((a, b) => size(b) - size(a))[0];

export function stallEvidence({ stalls, run }: PressReading): MotorEvidence[] {
  const longest = most(stalls, lengthS);
  if (longest === undefined) return [];
  return [{
    code: 'stall',
    fromS: longest.start_s,
    levelA: longest.level_a,
    atLeast: longest.at_least === true,
    lastedS: lengthS(longest),
    run: run === null ? null : { levelA: run.median_a, atLeast: run.at_least === true },
    stalls: stalls.length,
  }];
}

/** A cut-out that opened protects the motor; the trace shows it where the lead is at the motor. */
export function cutOutEvidence(actuations: readonly PressReading[]): MotorEvidence[] {
  const opened = actuations.flatMap(({ stalls }) => stalls.filter((stall) => stall.cut_out === true));
  if (opened.length === 0) return [];
  const lengths = opened.map(lengthS);
  return [{ code: 'cut-out', atS: opened[0].end_s, times: opened.length, shortestS: Math.min(...lengths), longestS: Math.max(...lengths) }];
}

/** The switch-on shows what the motor would draw standing: a stall that agrees is a standing rotor, one far off is something else. A winding warms by some 50 K in a few stalls (-20 %), a battery recovers by some percent. */
export function estimateEvidence(actuations: readonly PressReading[]): MotorEvidence[] {
  for (const { inrush, stalls, start_s: atS } of actuations) {
    const fit = inrush?.fit ?? null;
    const stall: Stall | undefined = stalls.find((item) => item.at === 'travel' && item.at_least !== true);
    if (fit === null || stall === undefined) continue;
    const share = stall.level_a / fit.standstill_a;
    const stallIs = share > 1 + SMALL_PART ? 'more' : share < MOST_OF ? 'less' : 'as-estimated';
    return [{ code: 'stall-against-estimate', atS, estimateA: fit.standstill_a, lowA: fit.low_standstill_a, highA: fit.high_standstill_a, stallA: stall.level_a, stallIs }];
  }
  return [];
}

/** Without the usual running current the switch-on still shows how hard the motor works, as a share of its stall current; where the load does not show that it is one, how hard a motor would. */
export function loadEvidence(actuations: readonly PressReading[], isMotor: boolean): MotorEvidence[] {
  const shares = actuations.flatMap((actuation) => loadShare(actuation)?.share ?? []);
  if (shares.length === 0) return [];
  const share = median(shares);
  return [{ code: 'load', share, loadIs: share < SUSPECT.freeShare ? 'hardly-any' : share > SUSPECT.hardShare ? 'hard' : 'usual', isMotor }];
}

/** What speaks against a motor that ran and stopped. */
export function suspicionEvidence({ code, presses }: Suspicion, asymmetry: Asymmetry | null, isMotor: boolean): MotorEvidence[] {
  switch (code) {
    case 'jam': {
      const step = most(presses[0]?.steps ?? [], ({ change_a: changeA }) => changeA);
      return step === undefined ? [] : [{ code: 'jam', atS: step.at_s, changeA: step.change_a }];
    }
    case 'lost-load': {
      const slip = presses.flatMap(({ events }) => events ?? []).find((event) => event.code === 'slip');
      return slip === undefined ? [] : [{ code: 'lost-load', atS: slip.atS, leftA: slip.sizeA ?? 0 }];
    }
    case 'bad-segment':
      return segmentEvidence(presses);
    case 'hard-work':
    case 'hardly-any-load':
      return loadEvidence(presses, isMotor);
    case 'one-way':
      return asymmetryEvidence(asymmetry).slice(0, 1);
    case 'beat': {
      const beat = most(presses.flatMap((press) => press.beat ?? []), ({ depth_a: depthA }) => depthA);
      return beat === undefined ? [] : [{ code: 'beat', periodS: beat.period_s, depthA: beat.depth_a, lowA: beat.low_a, highA: beat.high_a }];
    }
  }
}

/** A standing motor is nothing but resistance: volts over amps, where the lead is at the motor. */
export function windingEvidence(actuations: readonly PressReading[]): MotorEvidence[] {
  for (const { stalls, run, supply } of actuations) {
    const stall = stalls[0];
    if (supply === null || stall === undefined || run !== null || stall.at_least === true) continue;
    return [{ code: 'winding', volts: supply.run_v, levelA: stall.level_a, ohm: standingOhm(supply.run_v, stall.level_a) }];
  }
  return [];
}

export function lockedEvidence(actuation: PressReading): MotorEvidence {
  const stall = actuation.stalls[0];
  return { code: 'locked', atS: actuation.start_s, levelA: stall?.level_a ?? 0, atLeast: stall?.at_least === true, lastedS: lengthS(actuation) };
}

/** A press at the end of the sensor's range from end to end shows neither a fall nor a ripple: running and standing look the same. */
export function hiddenByRange(actuation: PressReading): boolean {
  return actuation.finding === 'unclear' && actuation.run?.at_least === true;
}

export function lostContactEvidence({ start_s: atS, dropouts }: PressReading): MotorEvidence {
  return { code: 'lost-contact', atS, times: dropouts.length, longestS: Math.max(...dropouts.map(lengthS)) };
}

export function segmentEvidence(actuations: readonly PressReading[]): MotorEvidence[] {
  const bad = actuations.flatMap(({ bad_commutation: found }) => found ?? []);
  const worst = most(bad, ({ share }) => share);
  if (worst === undefined) return [];
  return [{ code: 'bad-segment', revolutions: worst.revolutions, depthA: worst.depth_a, lowA: worst.low_a, highA: worst.high_a, share: worst.share, presses: bad.length }];
}
