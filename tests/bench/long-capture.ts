import { emptyTraceRecord } from '../../src/core/tracefile/trace-json.ts';
import type { SampleBlock } from '../../src/core/trace.ts';
import { TraceWriter } from '../../src/daemon/store/samples/writing/trace-writer.ts';

export const RATE_HZ = 1000;
/** Samples of one flush: 0.7 s at 1 kS/s. */
export const FLUSH_SAMPLES = 700;

/** Noise about a level that steps now and then, from a generator so cheap that it does not count. */
export function fill(block: SampleBlock, from: number): void {
  let state = (from * 2654435761) >>> 0;
  const levelA = (from / 600_000) % 2 < 1 ? 0.9 : 0.03;
  for (let i = 0; i < block.timeS.length; i++) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    block.timeS[i] = (from + i) / RATE_HZ;
    block.currentA[i] = levelA + (state >>> 8) / 2 ** 26;
    block.voltageV![i] = 12.6 - (state & 1023) / 1e4;
  }
}

export function emptyBlock(rows: number): SampleBlock {
  return { timeS: new Float64Array(rows), currentA: new Float32Array(rows), voltageV: new Float32Array(rows) };
}

/** Blocks of a long recording, one flush each, in the same memory. */
export function* recording(samples: number): Generator<SampleBlock> {
  const block = emptyBlock(FLUSH_SAMPLES);
  for (let from = 0; from < samples; from += FLUSH_SAMPLES) {
    fill(block, from);
    yield block;
  }
}

/** Writes them as a capture, as fast as it goes. `after` is called when a block is written. */
export async function capture(path: string, blocks: Iterable<SampleBlock>, after: (flushes: number) => void = () => undefined): Promise<void> {
  const writer = await TraceWriter.create(path, { ...emptyTraceRecord('long', '2026-03-02T08:00:00Z', 'bench'), test: 'drain' }, { durable: false });
  let flushes = 0;
  for (const block of blocks) {
    writer.append(block);
    await writer.flush();
    after(++flushes);
  }
  await writer.finish();
}
