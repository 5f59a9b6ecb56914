import type { TraceRecord } from '../../core/tracefile/record.ts';
import { checkCancelled, type Progress } from './store-error.ts';
import type { TraceReader } from './trace-reader.ts';
import type { TraceWriter } from './trace-writer.ts';

/** Rows handed to the writer between two waits for the disk. */
const FLUSH_ROWS = 65_536;

/** Copies samples, gaps and marks of a trace into a new capture and ends it. */
export async function copyTrace(reader: TraceReader, writer: TraceWriter, options: { readonly progress?: Progress; readonly signal?: AbortSignal }): Promise<TraceRecord> {
  let gap = 0;
  let copied = 0;
  let waiting = 0;
  for await (const block of reader.blocks()) {
    checkCancelled(options.signal);
    const next = reader.gaps[gap];
    if (next !== undefined && next.endS <= block.timeS[0]!) {
      writer.gap(next);
      while (reader.gaps[gap] !== undefined && reader.gaps[gap]!.endS <= block.timeS[0]!) gap++;
    }
    writer.append(block);
    copied += block.timeS.length;
    waiting += block.timeS.length;
    if (waiting < FLUSH_ROWS) continue;
    waiting = 0;
    await writer.flush();
    options.progress?.(copied / reader.samples);
  }
  for (const mark of reader.marks) await writer.mark(mark);
  return writer.finish('source-ended');
}
