import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { tableFromArrays, tableToIPC } from 'apache-arrow';
import { describe, expect, it } from 'vitest';
import type { SampleBlock } from '../../../src/core/trace.ts';
import { exportTrace } from '../../../src/daemon/store/exchange/export-trace.ts';
import { verifyTrace } from '../../../src/daemon/store/samples/mending/verify.ts';
import { openTrace } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { capture, readAll, recording, sameSamples, scratch, slice } from './kit.ts';

/** A table as another program writes it: in one piece, current and voltage in double precision, with such a wait before some of its rows. */
function table(path: string, rows: number, waits: Readonly<Record<number, number>> = {}): SampleBlock {
  const timeS = new Float64Array(rows);
  let waitedS = 0;
  for (let i = 0; i < rows; i++) {
    waitedS += waits[i] ?? 0;
    timeS[i] = i / 1000 + waitedS;
  }
  // eighths of an ampere and of a volt, which single precision holds
  const block = { timeS, currentA: Float32Array.from(timeS, (_, i) => (i % 801) / 8), voltageV: Float32Array.from(timeS, (_, i) => 12 + (i % 7) / 8) };
  writeFileSync(path, tableToIPC(tableFromArrays({ time_s: timeS, current_a: Float64Array.from(block.currentA), voltage_v: Float64Array.from(block.voltageV) }), 'stream'));
  return block;
}

describe('a table of another program', () => {
  const folder = scratch();

  it('too large to be read whole is read in slices: every row, across their bounds, and those around holes', async () => {
    // 24 bytes a row: 17 MB; a slice has 65,536 rows
    const path = join(folder, 'large.arrows');
    const whole = table(path, 710_000, { 65_536: 5, 100_000: 5 });
    const reader = await openTrace(path);
    expect([reader.samples, reader.firstS, reader.lastS, reader.hasVoltage]).toEqual([710_000, 0, 719.999, true]);
    expect(reader.gaps).toEqual([{ startS: 65.535, endS: 70.536 }, { startS: 104.999, endS: 110 }]);
    expect(sameSamples(await reader.load(), whole)).toBe(true);
    for (const at of [65_536, 100_000, 131_072, 655_360, 709_950]) {
      const to = Math.min(710_000, at + 50);
      expect(sameSamples(await reader.load(whole.timeS[at - 50]!, to === 710_000 ? Infinity : whole.timeS[to]!), slice(whole, at - 50, to)), `row ${at}`).toBe(true);
    }
    const window = await reader.window(0, 720, 10);
    expect([window.reduced, Math.min(...window.currentA), Math.max(...window.currentA)]).toEqual([true, 0, 100]);
    await reader.close();
    expect(await verifyTrace(path)).toMatchObject({ ok: true, samples: 710_000, damaged: [] });
    // cut inside, nothing of it is whole
    writeFileSync(path, readFileSync(path).subarray(0, 16_000_000));
    const cut = await openTrace(path);
    expect([cut.samples, cut.problems.map(({ code }) => code)]).toEqual([0, ['cut-short']]);
    await cut.close();
    expect((await verifyTrace(path)).ok).toBe(false);
  });

  it('is parted at the holes inside it, of which none is a row', async () => {
    const path = join(folder, 'holes.arrows');
    const whole = table(path, 3000, { 1: 1, 1000: 2, 2999: 3 });
    const reader = await openTrace(path);
    expect(reader.gaps.map(({ startS, endS }) => [startS, endS].map((atS) => Math.round(1000 * atS)))).toEqual([[0, 1001], [1999, 4000], [5998, 8999]]);
    expect(sameSamples(await readAll(path), whole)).toBe(true);
    for (const [from, to] of [[0, 1], [1, 1000], [999, 1001], [2998, 3000]] as const) expect(sameSamples(await reader.load(whole.timeS[from], to === 3000 ? Infinity : whole.timeS[to]), slice(whole, from, to)), `from row ${from} on`).toBe(true);
    await reader.close();
  });

  it('whose clock goes back is refused, by the row where it does', async () => {
    const path = join(folder, 'back.arrows');
    table(path, 100, { 50: -0.5 });
    await expect(openTrace(path)).rejects.toThrow(/back\.arrows/);
  });
});

describe('what is checked of a trace', () => {
  const folder = scratch();

  it('names the stretches that are damaged, those that follow each other as one', async () => {
    const path = join(folder, 'damaged');
    const whole = recording(6000, 1000, 3);
    await capture(path, { pieces: [whole] });
    expect(await verifyTrace(path)).toEqual({ ok: true, blocks: 6, samples: 6000, damaged: [], problems: [] });
    const bytes = readFileSync(join(path, 'samples.arrows'));
    for (const batch of [0, 2, 3, 5]) {
      const value = Buffer.alloc(8);
      value.writeDoubleLE(whole.timeS[1000 * batch + 500]!);
      bytes[bytes.indexOf(value)]! ^= 1;
    }
    writeFileSync(join(path, 'samples.arrows'), bytes);
    const { ok, blocks, samples, damaged, problems } = await verifyTrace(path);
    expect([ok, blocks, samples, damaged.map(({ start_s: startS, end_s: endS }) => [startS, endS])]).toEqual([false, 6, 2000, [[0, 0.999], [2, 3.999], [5, 5.999]]]);
    expect(problems.map(({ code }) => code)).toEqual(['damaged-block']);
  });

  it('knows that the end mark has changed, and that rows are gone that trace.json counts', async () => {
    const path = join(folder, 'end');
    await capture(path, { pieces: [recording(2000, 1000, 3)] });
    const samples = join(path, 'samples.arrows');
    const good = readFileSync(samples);
    const bad = Buffer.from(good);
    bad[bad.length - 1]! ^= 1;
    writeFileSync(samples, bad);
    expect(await verifyTrace(path)).toMatchObject({ ok: false, samples: 2000, damaged: [], problems: [{ code: 'damaged-block' }, { code: 'damaged-block' }] });
    writeFileSync(samples, good);
    const record = readFileSync(join(path, 'trace.json'), 'utf8');
    writeFileSync(join(path, 'trace.json'), record.replace('"samples": 2000', '"samples": 2001'));
    expect(await verifyTrace(path)).toMatchObject({ ok: false, problems: [{ code: 'cut-short' }] });
    writeFileSync(join(path, 'trace.json'), record.replace('"samples": 2000', '"samples": 1999'));
    expect(await verifyTrace(path)).toMatchObject({ ok: true, problems: [] });
  });

  it('and exported tells how much is done', async () => {
    const path = join(folder, 'told');
    await capture(path, { pieces: [recording(4000, 1000, 3)] });
    const reader = await openTrace(path);
    const shares: number[] = [];
    await exportTrace(reader, join(folder, 'told.arrows'), 'arrows', { progress: (share) => shares.push(share) });
    await reader.close();
    expect(shares).toEqual([0.25, 0.5, 0.75, 1]);
  });
});
