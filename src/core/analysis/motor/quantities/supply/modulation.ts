import { mean, median, robustSigma } from '../../../../stats.ts';
import type { IndexRange, Motion } from '../../types.ts';
import { CELL_NOISE, wobble, type Line } from './feed-line.ts';
import type { Cells, Pairing } from './supply-cells.ts';

/**
 * What moves the amps and not the volts, as a standard uncertainty of the source's resistance, ohm. A turning commutator moves the clamp's reading by a share of the level
 * that no volts follow, and the run shows how large that share is. While the current of the switch-on flows the rotor makes a turn or less, so its cells are off to one side
 * together, which no scatter about the line shows: the slope is off by that share times what they carry of it. 0 where the run shows no more than the noise of both channels.
 */
export function modulationOhm({ currentA, voltageV }: Cells, { press, starts, step, baseline }: Pairing, { running, stalls }: Motion, { slope, intercept }: Line): number {
  const isIn = (ranges: readonly IndexRange[], start: number): boolean => ranges.some((range) => start + step > range.startIndex && start < range.endIndex);
  const inRun = starts.flatMap((start, c) => (isIn(running, start) ? [c] : []));
  if (inRun.length === 0) return 0;
  const offV = Float64Array.from(inRun, (c) => voltageV[c] - intercept - slope * currentA[c]);
  const noiseV2 = wobble(Float64Array.from(inRun, (c) => voltageV[c])) ** 2 / CELL_NOISE;
  const movedA2 = (robustSigma(offV) ** 2 - noiseV2) / slope ** 2 - baseline.noiseA ** 2 / step;
  const usualA = median(inRun.map((c) => currentA[c]));
  if (!(movedA2 > 0) || !(usualA > 0)) return 0;
  const middleA = mean(currentA);
  let along = 0;
  let carried = 0;
  for (const [c, start] of starts.entries()) {
    const awayA = currentA[c] - middleA;
    along += awayA * awayA;
    if (start >= press.startIndex && start < running[0].startIndex && !isIn(stalls, start)) carried += awayA * currentA[c];
  }
  return along > 0 ? Math.abs((slope * Math.sqrt(movedA2) * carried) / (usualA * along)) : 0;
}
