import { ptyStand } from './pty-stand.ts';
import { judged, quantile, type BenchRow } from './row.ts';

/** Blocks of 5 ms. */
const BLOCKS_A_SECOND = 200;

/** From the write to the pseudo-terminal to the message of the socket whose newest sample was in it, while a recording runs. */
export async function bench(quick: boolean): Promise<BenchRow[]> {
  const rows: BenchRow[] = [];
  const seconds = quick ? 5 : 20;
  for (const rateHz of [10_000, 50_000]) {
    const stand = await ptyStand();
    try {
      await stand.pages(1);
      await stand.send(rateHz, rateHz / BLOCKS_A_SECOND, 2);
      await stand.say({ type: 'record', do: 'start' });
      await stand.send(rateHz, rateHz / BLOCKS_A_SECOND, seconds);
      const ms = await stand.latencies();
      if (ms.length === 0) throw new Error('no frame showed a block that was sent');
      rows.push(judged({ name: `latency: write to the pty to WebSocket message at ${rateHz / 1000} kS/s, p99 (p50 ${quantile(ms, 0.5).toFixed(1)} ms, ${ms.length} frames)`, value: quantile(ms, 0.99), unit: 'ms', anchor: 'the clock of the far end' }, '<=', 20));
    } finally {
      await stand.close();
    }
  }
  return rows;
}
