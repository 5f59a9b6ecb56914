import { median, robustSigma } from '../../../../stats.ts';
import { STEP } from '../../settings.ts';
import { CLEAR_PART, clearOf, MOST_OF } from '../../signal/decision-levels.ts';
import type { IndexRange } from '../../types.ts';
import { fitRobust } from './feed-line.ts';
import { pairCells, type Pairing } from './supply-cells.ts';

/**
 * A feed whose resistance grows while it carries current: volts lost over amps in the first, middle and last third of the run, from the volts that the
 * switch-on says there are with nothing flowing. Null where those do not tell, where it hardly grows, not all along, or no more
 * than the cells scatter. Only for a lead at the motor: at the battery nothing of joints and wires is seen.
 */
export function warmingOf(pairing: Pairing, run: IndexRange | undefined): { from_ohm: number; to_ohm: number } | null {
  if (pairing.place !== 'motor' || run === undefined) return null;
  const { currentA, voltageV } = pairCells(pairing, 0, null);
  const thirdSamples = (run.endIndex - run.startIndex) / 3;
  // as long again as the switch-on lasted: hardly anything has warmed
  const early = pairing.starts.filter((start) => start < 2 * run.startIndex - pairing.press.startIndex).length;
  const cold = fitRobust({ currentA: currentA.subarray(0, early), voltageV: voltageV.subarray(0, early) });
  if (cold === null || cold.error > -cold.slope) return null;
  const ohmsOf = (part: number): Float64Array => {
    const inPart = (start: number): boolean => start >= run.startIndex + part * thirdSamples && start < run.startIndex + (part + 1) * thirdSamples;
    return Float64Array.from(pairing.starts.flatMap((start, c) => (inPart(start) && currentA[c] > 0 ? [(cold.intercept - voltageV[c]) / currentA[c]] : [])));
  };
  const [first, middle, last] = [ohmsOf(0), ohmsOf(1), ohmsOf(2)];
  if (Math.min(first.length, middle.length, last.length) < STEP.independent) return null;
  const [fromOhm, toOhm] = [median(first), median(last)];
  const grown = toOhm - fromOhm;
  const scatter = Math.hypot(robustSigma(first), robustSigma(last)) / Math.sqrt(STEP.independent);
  if (!(fromOhm > 0) || grown < Math.max(CLEAR_PART * fromOhm, clearOf() * scatter)) return null;
  // copper that warms by 50 K gains a fifth, and a battery tires by less in a press; a joint warms all along, another circuit takes its volts from one moment to the next
  const byMiddle = (median(middle) - fromOhm) / grown;
  return byMiddle > CLEAR_PART && byMiddle < MOST_OF ? { from_ohm: fromOhm, to_ohm: toOhm } : null;
}
