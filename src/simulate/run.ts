import { joinBlocks, type SampleBlock } from '../core/trace.ts';
import { isInstrumented } from './instrumented.ts';
import type { Scenario, SimulatedTrace } from './scenario.ts';

const BLOCK_SAMPLES = 4096;

/**
 * Runs a scenario from start to end (or for `durationS`) as fast as the machine can, with what truly happened.
 * An actuation still under way at the end is not in the truth.
 */
export function simulateTrace(scenario: Scenario, seed: number, durationS: number = scenario.durationS): SimulatedTrace {
  const vehicle = scenario.start(seed);
  if (!isInstrumented(vehicle)) throw new Error(`scenario ${scenario.name} does not tell what happened in it`);
  const blocks: SampleBlock[] = [];
  for (let left = Math.round(durationS * vehicle.rateHz); left > 0; left -= BLOCK_SAMPLES) blocks.push(vehicle.next(Math.min(BLOCK_SAMPLES, left)));
  return { trace: joinBlocks(blocks, []), marks: vehicle.marks(), truth: vehicle.truth() };
}
