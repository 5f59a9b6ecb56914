import type { TraceRecord } from '../../../core/tracefile/record.ts';
import type { Progress } from '../files/progress.ts';
import { checkCancelled } from '../files/store-error.ts';
import type { TraceReader } from '../samples/types.ts';
import { checkWritten } from '../samples/writing/capture-end.ts';
import type { TraceWriter } from '../samples/writing/trace-writer.ts';

/** Rows handed to the writer between two waits for the disk. */
const FLUSH_ROWS = 65_536;
/** Faults of the file taken in that are kept with the trace: the first are the telling ones. */
const MAX_PROBLEMS = 20;

/** Copies samples, gaps and marks of a trace into a new capture and ends it. Throws StoreError when not all of it could be written, or read: half a copy must not look whole. */
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
    checkWritten(writer.ended);
    options.progress?.(copied / reader.samples);
  }
  for (const mark of reader.marks) await writer.mark(mark);
  writer.record.import_problems = reader.problems.slice(0, MAX_PROBLEMS).map(({ code, text }) => ({ code, text }));
  const record = await writer.finish('source-ended');
  checkWritten(writer.ended);
  return record;
}
