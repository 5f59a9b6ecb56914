import type { Baseline } from '../sensor/baseline.ts';
import type { ClampSpeed } from '../presses/clamp-speed.ts';
import type { PressView } from '../motion/press-view.ts';
import type { Sampling } from '../sensor/sampling.ts';
import { QUICKEST_ROTOR_S } from '../motor-model.ts';
import { INRUSH, LOAD } from '../settings.ts';
import { CONTACT_S, SWITCH_ON_S } from '../time-scales.ts';
import { CAME_UP, CLEAR_PART, FEWEST, LITTLE, NEARLY_ALL, SMALL_PART, clearOf } from '../signal/decision-levels.ts';
import { smoothed } from '../signal/levels.ts';
import { climbOf } from './load-curve.ts';

/** A current that falls back on its way up to its level. */
interface Dip {
  /** sample at which it is lowest */
  readonly index: number;
  /** a plunger on its way takes its share of the volts and arrives; a rotor gains speed, and loses it at the end of its play */
  readonly by: 'plunger' | 'rotor' | null;
}

/**
 * The dip of a moving plunger: the current of a coil rises, falls back for some milliseconds as the plunger's motion takes its share of the
 * volts, and rises on to what its resistance lets through (TI SSIY001). A motor's current comes up to its peak first and then falls, unless it takes up its play before it stalls:
 * that falls for longer than its winding took to rise, and no rotor is quicker than QUICKEST_ROTOR_S.
 */
export function findDip(view: PressView, baseline: Baseline, { rateHz, periodS }: Sampling, clamp: ClampSpeed): Dip | null {
  const { press } = view;
  const last = Math.min(press.endIndex, press.startIndex + Math.round(SWITCH_ON_S * rateHz));
  // smooths the noise of a fast logger, not a plunger's dip of some milliseconds
  const width = Math.max(1, Math.round(CLEAR_PART * CONTACT_S * rateHz));
  const curve = smoothed(baseline.deviationA, press.startIndex, last, press.sign, width);
  if (curve.length < FEWEST) return null;
  const endA = curve[curve.length - 1];
  let from = 0;
  let top = 0;
  for (let i = 1; i < curve.length; i++) {
    if (curve[i] >= curve[top]) {
      top = i;
      continue;
    }
    // TI SSIY001 shows dips of a tenth and more
    const depth = curve[top] - curve[i];
    if (depth < Math.max(LITTLE * curve[top], (clearOf(curve.length) * baseline.noiseA) / Math.sqrt(width))) continue;
    let low = i;
    let back = i;
    for (; back < curve.length && curve[back] < curve[top]; back++) if (curve[back] < curve[low]) low = back;
    // it must go on above where it had been, and a coil have been on its way up, slowly
    const isBelow = curve[top] < CAME_UP * endA;
    const isRotor = isBelow && (back - top) * periodS > QUICKEST_ROTOR_S && low - top >= top - from;
    if (!isRotor && !(isBelow && (top - from) * periodS > Math.max(LOAD.slowestWindingS, FEWEST * clamp.followS))) {
      // a contact that bounced: the current comes up once more, from where it was lowest
      from = low;
      top = back;
      i = back;
      continue;
    }
    return { index: press.startIndex + low, by: low - top < top - from ? 'plunger' : isRotor ? 'rotor' : null };
  }
  return null;
}

/** The dip of a plunger that arrived; null where none moved. */
export function findPlunger(view: PressView, baseline: Baseline, sampling: Sampling, clamp: ClampSpeed): Dip | null {
  const dip = findDip(view, baseline, sampling, clamp);
  return dip?.by === 'plunger' ? dip : null;
}

/**
 * Whether a plunger that has arrived closes a contact which takes a part of the coil off the wire, as that of a starter does with its pull-in winding: the current comes up
 * slower than through any motor's winding, then the most of what it loses goes at once, and no rotor gains speed so soon.
 */
export function switchesOver({ press, peak }: PressView, { deviationA }: Baseline, { rateHz, periodS }: Sampling, clamp: ClampSpeed, endA: number): boolean {
  if (clamp.followS > 0 || peak.peakA < INRUSH.overRun * endA) return false;
  const at = (i: number): number => deviationA[i] * press.sign;
  const lostA = peak.peakA - endA;
  const last = Math.min(press.endIndex, press.startIndex + Math.round(SWITCH_ON_S * rateHz));
  let open = last;
  while (open > press.startIndex && at(open - 1) < endA + lostA / 2) open--;
  const contact = Math.ceil((CONTACT_S / 2) * rateHz);
  if (open + contact >= last || at(open + contact) > endA + SMALL_PART * lostA || at(Math.max(press.startIndex, open - contact)) < endA + NEARLY_ALL * lostA) return false;
  let risen = press.startIndex;
  while (risen < open && at(risen) < NEARLY_ALL * peak.peakA) risen++;
  let from = risen;
  while (from > press.startIndex && at(from - 1) > SMALL_PART * peak.peakA) from--;
  return (risen - from) * periodS > climbOf(LOAD.slowestWindingS);
}
