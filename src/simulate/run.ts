import { joinBlocks, type SampleBlock } from '../core/trace.ts';
import { isInstrumented } from './instrumented.ts';
import type { Scenario, SimulatedTrace } from './scenario.ts';

/**
 * So long a part of the story at a time, s: a vehicle is calculated at its own pace however seldom it is read, so a part is soon made and whoever wants
 * to stop is heard. Never more samples than this, so that a fast reading is not one large piece.
 */
const BLOCK_S = 4;
const MOST_SAMPLES = 4096;

/**
 * Runs a scenario from start to end (or for `durationS`) as fast as the machine can, with what truly happened, in short steps: each tells
 * which share is done, so that a caller can show it and stop in between. An actuation still under way at the end is not in the truth.
 */
export function* simulateSteps(scenario: Scenario, seed: number, durationS: number = scenario.durationS): Generator<number, SimulatedTrace> {
  const vehicle = scenario.start(seed);
  if (!isInstrumented(vehicle)) throw new Error(`scenario ${scenario.name} does not tell what happened in it`);
  const blocks: SampleBlock[] = [];
  const all = Math.round(durationS * vehicle.rateHz);
  const step = Math.min(MOST_SAMPLES, Math.max(1, Math.round(BLOCK_S * vehicle.rateHz)));
  for (let left = all; left > 0; left -= step) {
    blocks.push(vehicle.next(Math.min(step, left)));
    yield 1 - Math.max(0, left - step) / all;
  }
  return { trace: joinBlocks(blocks, []), marks: vehicle.marks(), truth: vehicle.truth() };
}
