import type { DrainOptions } from '../../options.ts';
import { ofStep } from '../../uncertainty/budget.ts';
import { normalCdf } from '../../uncertainty/distributions.ts';
import { quantile, robustSigma } from '../../../stats.ts';
import { LEAST_A } from '../settings.ts';
import type { Readings, Recorded } from '../types.ts';
import { makeBlocks } from './blocks.ts';
import { readingStepA } from './noise.ts';
import { noisyLevels } from './noisy-levels.ts';
import { rangeParts } from './range-parts.ts';
import { makeSegments } from './segments.ts';
import type { Voltage } from './voltage-track.ts';

/** The recording as levels: blocks of time, their noise, and the changes between them. `blockS` is the least width of a block. */
export function makeReadings(table: Recorded, voltage: Voltage | null, ranges: NonNullable<DrainOptions['ranges']>, belowZeroA: number, blockS?: number): Readings {
  const pickedA = table.pickedA.subarray(0, table.picked);
  const stepA = readingStepA(pickedA);
  const blocks = makeBlocks(table, stepA, blockS);
  const means = blocks.meanA.subarray(0, blocks.length);
  const samplesPerBlock = Math.max(1, table.samples / Math.max(1, blocks.length));
  const floorA2 = Math.max(ofStep(stepA) ** 2 / samplesPerBlock, LEAST_A ** 2);
  const { levels, varianceA2 } = noisyLevels(means, blocks.widthS, rangeParts(blocks, ranges, floorA2), { stepA, samplesPerBlock });
  const segments = makeSegments(table, blocks, levels, varianceA2, table.firstS, table.lastS);
  const picked = { timeS: table.pickedS.subarray(0, table.picked), valueA: pickedA };
  return { spacingS: blocks.widthS / samplesPerBlock, readingSigmaA: readingSigma(pickedA), bins: table, blocks, varianceA2, stepA, picked, segments, voltage, recordedFromS: table.firstS, firstS: table.firstS, lastS: table.lastS, belowZeroA };
}

/** Scatter of single readings, A, where the vehicle draws least: from one to the next in the lower half, and below the middle of that, where pulses of a busy feed do not reach. */
export function readingSigma(values: Float32Array): number {
  if (values.length < 2) return 0;
  const middle = quantile(values, 0.5);
  const differences: number[] = [];
  for (let i = 1; i < values.length; i++) if (values[i] <= middle || values[i - 1] <= middle) differences.push(values[i] - values[i - 1]);
  const below = middle - quantile(values, normalCdf(-1));
  return Math.min(robustSigma(differences) / Math.SQRT2, below);
}
