import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { emptyTraceRecord } from '../../../src/core/tracefile/trace-json.ts';
import type { AnalysisResult } from '../../../src/core/analysis/results.ts';
import { KnownResults, type ResultRequest } from '../../../src/daemon/threads/known-results.ts';
import { openTrace } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { TraceWriter } from '../../../src/daemon/store/samples/writing/trace-writer.ts';
import { simulateTrace } from '../../simulate/simulate-trace.ts';
import { findScenario } from '../../../src/simulate/scenarios.ts';
import { scratch } from '../store/kit.ts';

const MOTOR: ResultRequest = { test: 'actuation' };

describe('a result that is known', () => {
  const path = join(scratch(), 'pressed');
  const known = new KnownResults();
  let timesRead = 0;

  /** Opens the trace anew, as each piece of work does, asks for its result, and counts how often its samples were read. */
  async function ask(request = MOTOR, about: { mark?: string } = {}): Promise<AnalysisResult> {
    const reader = await openTrace(path);
    const counting = new Proxy(reader, {
      get(whole, name) {
        if (name === 'blocks') timesRead++;
        if (name === 'marks' && about.mark !== undefined) return [{ timeS: 1, kind: 'note', label: about.mark }];
        const value: unknown = Reflect.get(whole, name, whole);
        return typeof value === 'function' ? (value.bind(whole) as unknown) : value;
      },
    });
    try {
      return await known.of(path, counting, request);
    } finally {
      await reader.close();
    }
  }

  beforeAll(async () => {
    const writer = await TraceWriter.create(path, { ...emptyTraceRecord('pressed', '2026-03-02T08:00:00Z', 'test'), test: 'actuation' }, { durable: false });
    writer.append(simulateTrace(findScenario('side-step-healthy')!, 5).trace);
    await writer.finish('stopped');
  });

  it('is not reckoned again, and is no other for what was done with the one handed out', async () => {
    const first = await ask();
    const asItCame = structuredClone(first);
    first.problems.push({ code: 'gaps', text: 'written into it' });
    expect(await ask()).toEqual(asItCame);
    expect(timesRead).toBe(1);
  });

  it('is reckoned again for another test, another limit or another mark', async () => {
    expect((await ask()).verdict.finding).toBe('normal');
    const before = timesRead;
    expect((await ask({ test: 'drain' })).test).toBe('drain');
    expect((await ask({ ...MOTOR, actuation: { runLimitsA: [0.1, 0.2] } })).verdict.finding).toBe('heavy');
    expect((await ask()).verdict.finding).toBe('normal');
    await ask(MOTOR, { mark: 'here' });
    expect(timesRead - before).toBe(3);
  });

  it('is reckoned again as soon as the samples are others, and damage is found at every reading', async () => {
    const before = timesRead;
    const file = join(path, 'samples.arrows');
    const bytes = readFileSync(file);
    bytes[bytes.length >> 1]! ^= 0x10;
    writeFileSync(file, bytes);
    for (let time = 0; time < 2; time++) expect((await ask()).problems.map(({ code }) => code)).toContain('damaged-block');
    expect(timesRead - before).toBeGreaterThan(0);
  });
});
