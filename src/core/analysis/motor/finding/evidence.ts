import type { Actuation, Asymmetry } from '../../results.ts';
import { median } from '../../../stats.ts';
import { standingOhm } from '../../../reference/motor.ts';
import { asymmetrySentences } from '../quantities/travel-evidence.ts';
import { SUSPECT } from '../settings.ts';
import { loadShare, type Suspicion } from './suspicion.ts';
import type { LeadPlace } from '../wire/feed-voltage.ts';
import { formatCurrent, formatCurrentBounds, formatDuration, significant } from '../../../units.ts';

/** Sentences that carry a finding, each with its figures. Moments are seconds of the trace. */

export function at(timeS: number): string {
  return `${timeS.toFixed(2)} s`;
}

/** "at least" before a figure that the sensor's range cut off. */
export function least(flagged: { readonly at_least?: true } | undefined): string {
  return flagged?.at_least === true ? 'at least ' : '';
}

export function stallSentence(actuation: Actuation): string {
  const stall = actuation.stalls.reduce((longestStall, item) => (item.end_s - item.start_s > longestStall.end_s - longestStall.start_s ? item : longestStall), actuation.stalls[0]);
  const run = actuation.run === null ? '' : `, against ${least(actuation.run)}${formatCurrent(actuation.run.median_a)} while running`;
  const more = actuation.stalls.length > 1 ? ` (${actuation.stalls.length} such stretches in this press)` : '';
  return `From ${at(stall.start_s)} the current stood at ${stall.at_least === true ? 'or above ' : ''}${formatCurrent(stall.level_a)} for ${formatDuration(stall.end_s - stall.start_s)}${run}${more}: power on, no motion.`;
}

/** A cut-out that opened protects the motor; the trace shows it where the lead sits at the motor. */
export function cutOutSentence(actuations: readonly Actuation[]): string | null {
  const opened = actuations.flatMap(({ stalls }) => stalls.filter((stall) => stall.cut_out === true));
  if (opened.length === 0) return null;
  const lengths = opened.map((stall) => stall.end_s - stall.start_s);
  const [short, long] = [Math.min(...lengths), Math.max(...lengths)].map(formatDuration);
  return `At ${at(opened[0].end_s)}${opened.length > 1 ? `, and ${opened.length - 1} more times,` : ''} the current went although volts stayed at the motor: its own cut-out opened, after standing for ${short === long ? short : `${short} to ${long}`}.`;
}

/** of the standstill current by the switch-on; a winding warms by some 50 K in a few stalls (-20 %), a battery recovers by some percent */
const STANDING_BAND = [0.75, 1.15] as const;

/** The switch-on tells what a standing motor would draw: a stall that agrees is a standing rotor, one far off is something else. */
export function standstillSentence(actuations: readonly Actuation[]): string | null {
  for (const actuation of actuations) {
    const fit = actuation.inrush?.fit ?? null;
    const stall = actuation.stalls.find((item) => item.at === 'travel' && item.at_least !== true);
    if (fit === null || stall === undefined) continue;
    const share = stall.level_a / fit.standstill_a;
    const told = `The switch-on at ${at(actuation.start_s)} says that standing it would draw ${significant(fit.standstill_a, 3)} A (${significant(fit.low_standstill_a, 3)} to ${significant(fit.high_standstill_a, 3)})`;
    if (share > STANDING_BAND[1]) return `${told}; the ${formatCurrent(stall.level_a)} are more: look for a second load on this wire, or a damaged winding.`;
    if (share < STANDING_BAND[0]) return `${told}; the ${formatCurrent(stall.level_a)} are less: it may still have crept, or the feed or the winding lost something on the way.`;
    return `${told}: the stall agrees.`;
  }
  return null;
}

/** Without the usual running current the switch-on still tells how hard the motor works, as a share of its stall current. */
export function loadSentence(actuations: readonly Actuation[]): string | null {
  const shares = actuations.flatMap((actuation) => loadShare(actuation)?.share ?? []);
  if (shares.length === 0) return null;
  const share = median(shares);
  const told = `It runs at ${Math.round(share * 100)} % of its estimated stall current`;
  if (share < SUSPECT.freeShare) return `${told}, which is hardly any load: if it should move something, watch whether it does.`;
  return share > SUSPECT.hardShare ? `${told}, which is hard work: a tight mechanism, a dragging brake or a motor that is too small.` : `${told}, a usual load.`;
}

/** What speaks against a motor that ran and stopped, one sentence each. */
export function suspicionSentence({ code, presses }: Suspicion, asymmetry: Asymmetry | null): string | null {
  switch (code) {
    case 'jam': {
      const step = presses[0]?.steps?.reduce((best, next) => (next.change_a > best.change_a ? next : best));
      return step === undefined ? null : `At ${at(step.at_s)} the current rose by ${formatCurrent(step.change_a)} and stayed there to the end: as if one of several motors on this wire stood still.`;
    }
    case 'bad-segment':
      return commutationSentence(presses);
    case 'hard-work':
    case 'hardly-any-load':
      return loadSentence(presses);
    case 'one-way':
      return asymmetrySentences(asymmetry)[0] ?? null;
    case 'beat': {
      const worst = presses.reduce((best, next) => ((next.beat?.depth_a ?? 0) > (best.beat?.depth_a ?? 0) ? next : best));
      if (worst.beat === undefined) return null;
      const { period_s: periodS, depth_a: depthA, low_a: lowA, high_a: highA } = worst.beat;
      return `Every ${formatDuration(periodS)} the current rises and falls by ${formatCurrentBounds(depthA, lowA, highA)}: a tight spot once a turn of the shaft or a gear.`;
    }
  }
}

/** A standing motor is nothing but resistance: volts over amps, where the lead sits at the motor. */
export function windingSentence(actuations: readonly Actuation[]): string | null {
  for (const { stalls, run, supply } of actuations) {
    const stall = stalls[0];
    if (supply === null || stall === undefined || run !== null || stall.at_least === true) continue;
    return `${significant(supply.run_v, 3)} V at the motor drove ${formatCurrent(stall.level_a)}: ${significant(standingOhm(supply.run_v, stall.level_a), 2)} ohm of winding and brushes. Compare with the maker's figure or the same motor on the other side.`;
  }
  return null;
}

export function lockedSentence(actuation: Actuation): string {
  const stall = actuation.stalls[0];
  return `At ${at(actuation.start_s)} the current went straight to ${stall?.at_least === true ? 'or beyond ' : ''}${formatCurrent(stall?.level_a ?? 0)} and stayed flat for ${formatDuration(actuation.end_s - actuation.start_s)}: no fall to a running level, so the motor never turned.`;
}

/** A press that stands at the end of the range from end to end shows neither a fall nor a ripple: running and standing look the same. */
export function hiddenByRange(actuation: Actuation): boolean {
  return actuation.finding === 'unclear' && actuation.run?.at_least === true;
}

/** Volts lost where they tell most: while running, or at the switch-on where the run itself draws little. */
export function starvedSentence(actuation: Actuation, place: LeadPlace): string {
  const { supply, inrush, feed_v: feedV, run } = actuation;
  const where = place === 'battery' ? 'at the battery' : 'at the motor\'s feed';
  if (supply === null) return feedV === undefined ? '' : `At ${at(actuation.start_s)} only ${significant(feedV, 3)} V were left ${where} ${run === null ? 'under load' : 'while it ran'}: less than a motor needs to be judged.`;
  const band = `${significant(supply.source_ohm, 2)} ohm (${significant(supply.low_ohm, 2)} to ${significant(supply.high_ohm, 2)})`;
  const what = place === 'battery' ? 'battery and posts have' : 'the feed has';
  const peakV = inrush === null ? supply.run_v : supply.open_v - supply.source_ohm * inrush.peak_a;
  const ran = `to ${significant(supply.run_v, 3)} V under load`;
  const started = supply.run_v - peakV > 0.1 * supply.open_v ? `, to ${significant(peakV, 3)} V at the switch-on` : '';
  return `At ${at(actuation.start_s)} the voltage fell from ${significant(supply.open_v, 3)} V ${ran}${started}: ${what} ${band}.`;
}

export function brokenSentence(actuation: Actuation): string {
  const count = actuation.dropouts.length;
  const longestS = Math.max(...actuation.dropouts.map((range) => range.end_s - range.start_s));
  return count === 1
    ? `In the press at ${at(actuation.start_s)} the current broke off once, for ${formatDuration(longestS)}, with the switch held.`
    : `In the press at ${at(actuation.start_s)} the current broke off ${count} times with the switch held, at the longest for ${formatDuration(longestS)}.`;
}

export function commutationSentence(actuations: readonly Actuation[]): string | null {
  const bad = actuations.flatMap(({ bad_commutation: told }) => (told === undefined ? [] : [told]));
  if (bad.length === 0) return null;
  const worst = bad.reduce((best, next) => (next.share > best.share ? next : best));
  return `Laid over each other, ${worst.revolutions} revolutions show one commutation ${formatCurrentBounds(worst.depth_a, worst.low_a, worst.high_a)} lower than its neighbours, ${significant(worst.share * 100, 2)} % of the running current, each time round${bad.length > 1 ? ` (in ${bad.length} presses)` : ''}: a burnt or high segment, or a coil that has come off it.`;
}
