import { emptyTraceRecord } from '../../../src/core/tracefile/trace-json.ts';
import { TraceWriter } from '../../../src/daemon/store/samples/writing/trace-writer.ts';

/** Records 1 kS/s in real time until it is killed; says after every 10 ms up to which time it has handed samples over. */
const [folder] = process.argv.slice(2);
const writer = await TraceWriter.create(folder!, emptyTraceRecord('killed', '2026-03-02T08:00:00Z', 'test'));
const startMs = performance.now();
let sample = 0;
setInterval(() => {
  const until = Math.floor(performance.now() - startMs);
  if (until <= sample) return;
  const count = until - sample;
  writer.append({
    timeS: Float64Array.from({ length: count }, (_, i) => (sample + i) / 1000),
    currentA: Float32Array.from({ length: count }, (_, i) => (sample + i) % 1000),
    voltageV: null,
  });
  sample = until;
  process.stdout.write(`${(sample - 1) / 1000}\n`);
}, 10);
