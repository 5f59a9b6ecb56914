import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { recoverTrace } from '../../src/daemon/store/samples/mending/recover.ts';
import { openTrace } from '../../src/daemon/store/samples/reading/trace-reader.ts';
import { verifyTrace } from '../../src/daemon/store/samples/mending/verify.ts';
import { scratch, seeded } from '../daemon/store/kit.ts';
import { kill9, startChild } from './kit.ts';

describe('a recording that is killed without warning', () => {
  const folder = scratch();
  const random = seeded(11);

  it.each(Array.from({ length: 5 }, (_, i) => [i, 0.2 + random() * 3]))('opens and has lost at most the last 1.5 s (kill %i, at about %f s)', async (round, killAtS) => {
    const path = join(folder, `killed-${round}`);
    let handedOverS = 0;
    await new Promise<void>((resolve, reject) => {
      const child = startChild('recording', [path], (line) => {
        handedOverS = Math.max(handedOverS, Number(line));
        if (handedOverS >= killAtS && !child.killed) kill9(child).then(resolve, reject);
      });
      child.on('exit', (_, signal) => signal === 'SIGKILL' || reject(new Error('the recording ended by itself')));
    });
    const reader = await openTrace(path);
    const { lastS, samples } = reader;
    const trace = await reader.load();
    await reader.close();
    expect(lastS).toBeGreaterThanOrEqual(handedOverS - 1.5);
    expect(trace.timeS).toHaveLength(samples);
    for (let i = 0; i < samples; i++) if (trace.currentA[i] !== i % 1000) throw new Error(`sample ${i} is ${trace.currentA[i]}`);

    expect(await recoverTrace(path)).toBe(true);
    expect(await recoverTrace(path)).toBe(false);
    const after = await openTrace(path);
    expect(after.problems).toEqual([]);
    expect(after.record).toMatchObject({ end: 'cut', end_cause: 'recovered', samples });
    await after.close();
    expect((await verifyTrace(path)).ok).toBe(true);
  });
});
