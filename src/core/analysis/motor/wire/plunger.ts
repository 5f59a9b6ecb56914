import type { Baseline } from '../sensor/baseline.ts';
import type { ClampSpeed } from '../presses/clamp-speed.ts';
import type { PressView } from '../motion/press-view.ts';
import type { Sampling } from '../sensor/sampling.ts';
import { LOAD } from '../settings.ts';
import { CONTACT_S, SWITCH_ON_S } from '../time-scales.ts';
import { CAME_UP, CLEAR_PART, FEWEST, LITTLE, clearOf } from '../signal/decision-levels.ts';
import { smoothed } from '../signal/levels.ts';

interface Plunger {
  /** sample at which the dip is lowest: the plunger has arrived */
  readonly index: number;
}


/**
 * The dip of a moving plunger: the current of a coil rises, falls back for some milliseconds as the plunger's motion takes its share of the
 * volts, and rises on to what its resistance lets through (TI SSIY001). A motor's current comes up to its peak first and then falls.
 */
export function findPlunger(view: PressView, baseline: Baseline, { rateHz, periodS }: Sampling, clamp: ClampSpeed): Plunger | null {
  const { press } = view;
  const last = Math.min(press.endIndex, press.startIndex + Math.round(SWITCH_ON_S * rateHz));
  // smooths the noise of a fast logger, not a plunger's dip of some milliseconds
  const width = Math.max(1, Math.round(CLEAR_PART * CONTACT_S * rateHz));
  const curve = smoothed(baseline.deviationA, press.startIndex, last, press.sign, width);
  if (curve.length < FEWEST) return null;
  const endA = curve[curve.length - 1];
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
    for (let k = i; k < curve.length && curve[k] < curve[top]; k++) if (curve[k] < curve[low]) low = k;
    // it must have been on its way up, slowly, and go on above where it had been
    const isOnItsWay = curve[top] < CAME_UP * endA && top * periodS > Math.max(LOAD.slowestWindingS, FEWEST * clamp.followS);
    // a motor that takes up its play before it stalls falls for longer than its winding took to rise
    const isBrief = low - top < top;
    return isOnItsWay && isBrief ? { index: press.startIndex + low } : null;
  }
  return null;
}
