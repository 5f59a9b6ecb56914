import { joinBlocks, type Gap, type Mark, type SampleBlock } from '../../trace.ts';
import type { ActuationResult } from '../results.ts';
import type { ActuationOptions } from '../options.ts';
import type { LiveAnalysis } from '../live.ts';
import { analyseActuation } from './analyse.ts';

/** The same analysis, fed block by block. */
export function createLiveActuation(options: ActuationOptions): LiveAnalysis<ActuationResult> {
  const blocks: SampleBlock[] = [];
  const gaps: Gap[] = [];
  return {
    push(block: SampleBlock): void {
      blocks.push(block);
    },
    gap(gap: Gap): void {
      gaps.push(gap);
    },
    mark(_mark: Mark): void {},
    result(): ActuationResult {
      return analyseActuation(joinBlocks(blocks, gaps), options);
    },
  };
}
