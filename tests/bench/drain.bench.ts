import { analyseDrain } from '../analyse.ts';
import { createLiveDrain } from '../../src/core/present/documents/document-night.ts';
import { Dice } from '../score/drain/dice.ts';
import { heldBytes } from './held-memory.ts';
import { nightBlocks } from './night-blocks.ts';
import type { BenchRow } from './row.ts';
import { bestTimeS } from './row.ts';

/** A night of 12 h at 1 kS/s, asleep after 20 min, a wake-up every 10 min. */
export async function bench(quick: boolean): Promise<BenchRow[]> {
  const count = 43_200_000;
  const rateHz = 1000;
  const noise = Float32Array.from({ length: 65_537 }, noiseOf(new Dice(7)));
  const timeS = new Float64Array(count);
  const currentA = new Float32Array(count);
  for (let i = 0; i < count; i++) {
    const atS = i / rateHz;
    timeS[i] = atS;
    currentA[i] = (atS < 1200 ? 0.13 : 0.025) + (atS % 600 < 45 ? 0.135 : 0) + noise[i % 65_537];
  }
  const trace = { timeS, currentA, voltageV: null, gaps: [] };
  let kept = 0;
  const passS = bestTimeS(quick ? 2 : 3, () => {
    kept += onePass(timeS, currentA);
  });
  const analysisS = bestTimeS(quick ? 2 : 3, () => {
    kept += analyseDrain(trace, [], {}).wakeups.length;
  });
  if (!Number.isFinite(kept)) throw new Error('the pass over the columns gave no number');
  const ratio = analysisS / passS;
  const heldMB = streamedMB(count);
  return [
    {
      name: `drain analysis of ${count / 1e6} M samples`,
      value: ratio,
      unit: 'times one pass',
      anchor: 'smallest, largest and sum of the time and current columns in one plain loop',
      goal: '<= 3',
      met: ratio <= 3,
    },
    {
      name: `memory held while ${count / 1e6} M samples stream into the drain analysis`,
      value: heldMB,
      unit: 'MB',
      anchor: 'heap and array buffers after collecting garbage, looked at every million samples, less those before the first',
      goal: '<= 16',
      met: heldMB <= 16,
    },
  ];
}

/** Most memory held while a night streams in as blocks, MB. */
function streamedMB(count: number): number {
  const live = createLiveDrain({});
  const before = heldBytes();
  let most = 0;
  let samples = 0;
  for (const block of nightBlocks(count, 1000)) {
    live.push(block);
    samples += block.timeS.length;
    if (samples % 1_000_000 === 0) most = Math.max(most, heldBytes() - before);
  }
  if (live.result().trace.samples !== count) throw new Error('the streamed night is not whole');
  return most / 1e6;
}

function noiseOf(dice: Dice): () => number {
  return () => 0.004 * dice.normal();
}

function onePass(timeS: Float64Array, currentA: Float32Array): number {
  let sum = 0;
  let low = Infinity;
  let high = -Infinity;
  let lastS = 0;
  for (let i = 0; i < timeS.length; i++) {
    const value = currentA[i];
    sum += value;
    if (value < low) low = value;
    if (value > high) high = value;
    lastS += timeS[i];
  }
  return sum + low + high + lastS;
}
