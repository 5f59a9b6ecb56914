import { median, robustSigma } from '../../../stats.ts';
import { twoSided95 } from '../../uncertainty/distributions.ts';
import { NORMAL_95 } from '../../uncertainty/normal-95.ts';
import { meanOf } from '../levels/segments.ts';
import { FEW, HAND_BLIP_S, HELD_SIGMAS } from '../settings.ts';
import type { Readings } from '../types.ts';

/**
 * Standard error of the mean of so many blocks, A, as the level itself shows it while nobody touches anything: from how much the means of
 * neighbouring windows of that length differ in `[fromS, toS)`, their common drift taken off, widened for their small number. A wander of
 * the sensor that is slower than a stretch between two fuses shows here and nowhere inside the stretch. Null with too few windows.
 */
export function ownChangeA(readings: Readings, fromS: number, toS: number, blockCount: number): number | null {
  const { segments, blocks } = readings;
  const changes: number[] = [];
  for (const segment of segments) {
    if (segment.startS >= toS || segment.endS <= fromS) continue;
    let i = segment.startBlock + 1;
    while (i < segment.endBlock && blocks.startS[i] < fromS) i++;
    let before = NaN;
    for (; i + blockCount < segment.endBlock && blocks.startS[i + blockCount] <= toS; i += blockCount) {
      // no window across a gap
      const isWhole = blocks.startS[i + blockCount] - blocks.startS[i] < blockCount * blocks.widthS + HAND_BLIP_S;
      const now = isWhole ? meanOf(blocks.meanA, i, i + blockCount) : NaN;
      if (Number.isFinite(now - before)) changes.push(now - before);
      before = now;
    }
  }
  if (changes.length <= FEW) return null;
  const drift = median(changes);
  const reach = HELD_SIGMAS * robustSigma(changes);
  const squares = changes.reduce((sum, change) => sum + Math.min(reach, Math.abs(change - drift)) ** 2, 0);
  const degrees = changes.length - 1;
  return (Math.sqrt(squares / degrees / 2) * twoSided95(degrees)) / NORMAL_95;
}
