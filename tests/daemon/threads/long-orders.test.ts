import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { language } from '../../../src/core/present/language.ts';
import { emptyTraceRecord } from '../../../src/core/tracefile/trace-json.ts';
import { placeAgainst } from '../../../src/core/analysis/compare/known-good/known-good.ts';
import type { ActuationResult } from '../../../src/core/analysis/results.ts';
import type { KnownGood } from '../../../src/core/analysis/compare/known-good/known-good.ts';
import { compareActuation, compareMany, learnKnownGood } from '../../../src/core/present/documents/document-compare.ts';
import { sensorsOf } from '../../../src/daemon/prove/sensor-facts.ts';
import { openTrace, type TraceReader } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { TraceWriter } from '../../../src/daemon/store/samples/writing/trace-writer.ts';
import { analyseTrace } from '../../../src/daemon/threads/analyse-trace.ts';
import { LongWork } from '../../../src/daemon/threads/long-work.ts';
import { findScenario } from '../../../src/simulate/scenarios.ts';
import { simulateTrace } from '../../simulate/simulate-trace.ts';
import { recording, scratch } from '../store/kit.ts';

describe('a piece of long work', () => {
  const folder = scratch();
  const at = (name: string): string => join(folder, name);
  let work = new LongWork();
  const readers: TraceReader[] = [];
  const results: ActuationResult[] = [];
  afterAll(async () => {
    work.close();
    for (const reader of readers.splice(0)) await reader.close();
    results.length = 0;
  });

  beforeAll(async () => {
    work = new LongWork();
    for (const [name, seed] of [['before', 5], ['after', 6]] as const) {
      const writer = await TraceWriter.create(at(name), { ...emptyTraceRecord(name, '2026-03-02T08:00:00Z', 'test'), title: name, test: 'actuation', simulated: true }, { durable: false });
      writer.append(simulateTrace(findScenario('side-step-healthy')!, seed).trace);
      await writer.finish('stopped');
      const reader = await openTrace(at(name));
      readers.push(reader);
      results.push((await analyseTrace(reader, { test: 'actuation' })) as ActuationResult);
    }
    // nobody has said of this one which test it is, and nothing in it is a press
    const writer = await TraceWriter.create(at('flat'), { ...emptyTraceRecord('flat', '2026-03-02T08:00:00Z', 'test'), title: 'flat one' }, { durable: false });
    writer.append({ ...recording(3000, 1000, 3), currentA: new Float32Array(3000).fill(0.01), voltageV: null });
    await writer.finish('stopped');
  });

  it('gives what the same functions give here: analysis, charge and export', async () => {
    const heard: number[] = [];
    expect(await work.run({ do: 'analyse', path: at('before'), test: 'actuation' }, { progress: (fraction) => heard.push(fraction) })).toEqual(results[0]);
    expect(heard.at(-1)).toBe(1);
    expect(await work.run({ do: 'analyse', path: at('before'), test: 'drain' })).toMatchObject({ test: 'drain' });
    expect(await work.run({ do: 'charge', path: at('flat'), fromS: 1, toS: 2 })).toMatchObject({ charge_c: expect.closeTo(0.01, 6), duration_s: 1 });
    await work.run({ do: 'convert', from: at('flat'), to: at('flat.csv') });
    expect(readFileSync(at('flat.csv'), 'utf8').split('\n').filter((line) => /^\d/.test(line))).toHaveLength(3000);
  });

  it('compares with the sensors of both sides, by the tolerance that was asked for', async () => {
    const order = { do: 'compare', before: at('before'), after: at('after'), test: 'actuation' } as const;
    const sensors = sensorsOf({ reader: readers[0]!, result: results[0]! }, { reader: readers[1]!, result: results[1]! });
    const usual = await work.run<{ result: unknown; overlays: unknown[]; nights: unknown }>(order);
    expect(usual.result).toEqual(compareActuation(results[0]!, results[1]!, { sensors }));
    expect(usual.overlays.length).toBeGreaterThan(0);
    expect(usual.nights).toBeNull();
    const strict = await work.run<{ result: unknown }>({ ...order, tolerance: 0.001 });
    expect(strict.result).toEqual(compareActuation(results[0]!, results[1]!, { sensors, tolerance: 0.001 }));
    expect(strict.result).not.toEqual(usual.result);
  });

  it('sets many side by side under their names, with a line for each', async () => {
    const heard: number[] = [];
    const many = await work.run<{ result: unknown; lines: unknown[] }>({ do: 'compare-many', paths: [at('before'), at('after')], names: ['left', 'right'], test: 'actuation' }, { progress: (fraction) => heard.push(fraction) });
    expect(many.result).toEqual(compareMany([{ name: 'left', result: results[0]! }, { name: 'right', result: results[1]! }]));
    expect(many.lines.length).toBeGreaterThan(0);
    // each of two traces is a third, the comparison the last
    expect(heard.map((fraction) => Math.round(fraction * 100))).toEqual([33, 67]);
  });

  it('learns limits of good ones, and places another against them', async () => {
    const known = await work.run<KnownGood>({ do: 'learn', paths: [at('before'), at('after')], circuit: 'side step' });
    expect(known).toEqual(learnKnownGood('side step', results));
    const place = { do: 'place', path: at('after'), known } as const;
    expect(await work.run({ ...place, runLimitsA: null })).toEqual({ finding: 'normal', placements: placeAgainst(known, results[1]!) });
    expect(await work.run({ ...place, runLimitsA: [0.1, 0.2] })).toMatchObject({ finding: 'heavy' });
    await expect(work.run({ do: 'learn', paths: [at('before'), at('flat')], circuit: 'side step' })).rejects.toThrow('"flat one"');
  });

  it('reports as a page and as data, of traces whose test is known', async () => {
    const report = { do: 'report', paths: [at('before'), at('after')], audience: 'file', madeAt: '2026-03-02T09:00:00Z' } as const;
    expect(await work.run<string>({ ...report, asJson: false })).toMatch(/^<!doctype html>/i);
    const data = await work.run<string>({ ...report, asJson: true });
    expect(JSON.parse(data)).toMatchObject({ audience: 'file' });
    expect(await work.run<string>({ ...report, asJson: true, tolerance: 0.001 })).not.toBe(data);
    await expect(work.run({ ...report, paths: [at('flat')], asJson: true })).rejects.toThrow(language.daemon.running.longWorker.itIsNotKnown('flat one'));
    await expect(work.run({ ...report, paths: [at('nowhere')], asJson: true })).rejects.toMatchObject({ code: 'not-found' });
  });
});
