import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { emptyTraceRecord } from '../../../src/core/tracefile/trace-json.ts';
import type { TraceRecord } from '../../../src/core/tracefile/record.ts';
import { compareAnalysed } from '../../../src/daemon/prove/compare-analysed.ts';
import { nameOf, namesOf } from '../../../src/daemon/prove/gather.ts';
import { readJobTraces } from '../../../src/daemon/prove/job-traces.ts';
import { sensorFacts } from '../../../src/daemon/prove/sensor-facts.ts';
import { actuationResult, drainResult } from '../../core/report/examples.ts';

const record = (id: string, more: Partial<TraceRecord> = {}): TraceRecord => ({ ...emptyTraceRecord(id, '2026-11-25T07:05:00.000Z', 'test'), ...more });

it('traces are called by title, by the moment they began where they have none, and by both where two share a title', () => {
  expect(nameOf(record('t1', { title: 'Step' }))).toBe('Step');
  expect(nameOf(record('t1', { title: '', start: '' }))).toBe('t1');
  expect(nameOf(record('t1', { title: '' }))).toMatch(/^2[45] November 2026, \d\d:\d5$/);
  expect(namesOf([record('a', { title: 'Step' }), record('b', { title: 'Winch' }), record('c', { title: 'Step', start: '2026-11-26T09:10:00.000Z' })])).toEqual(['Step (2026-11-25 07:05 UTC)', 'Winch', 'Step (2026-11-26 09:10 UTC)']);
});

it('a sensor is known by the serial number of its logger, else by its name at a port', () => {
  const idOf = (name: string, serial: string | null, source: string, simulated = false): string | null => sensorFacts(record('t', { simulated, logger: { name, serial, firmware: null, source } })).id;
  expect(idOf('bench', 'B7', 'serial:/dev/a')).toBe(idOf('other', 'B7', 'file'));
  expect(idOf('bench', 'B7', 'serial:/dev/a')).toContain('B7');
  expect(idOf('bench', null, 'serial:/dev/a')).toContain('/dev/a');
  expect(idOf('bench', '', 'auto')).toContain('bench');
  expect([idOf('bench', null, 'file.csv'), idOf('', null, 'serial:/dev/a'), idOf('bench', null, 'automatic'), idOf('bench', '', 'xserial:')]).toEqual([null, null, null, null]);
  expect(idOf('bench', 'B7', 'sim:x', true)).toBe('virtual vehicle');
  expect(sensorFacts(record('t')).gainUncertaintyPercent).toBeNull();
});

it('tests of two kinds are not compared', () => {
  expect(compareAnalysed(actuationResult([]), actuationResult([])).verdict).toBeDefined();
  expect(compareAnalysed(drainResult(), drainResult()).verdict).toBeDefined();
  for (const [one, other] of [[actuationResult([]), drainResult()], [drainResult(), actuationResult([])]] as const) expect(() => compareAnalysed(one, other)).toThrow(expect.objectContaining({ code: 'wrong-format' }));
});

it('of a job the traces that can be read come oldest first, the others with the reason', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'amptrail-job-traces-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const at = (id: string, start: string, more: Partial<TraceRecord> = {}) => ({ path: join(folder, id), record: record(id, { title: id, start, test: 'actuation', end: 'ended', ...more }) });
  const folders = [at('late', '2026-11-25T09:00:00Z'), at('now', '2026-11-25T10:00:00Z', { end: 'running' }), at('early', '2026-11-25T07:00:00Z'), at('untested', '2026-11-25T08:00:00Z', { test: null }), at('broken', '2026-11-25T08:30:00Z')];
  const asked: string[] = [];
  const { traces, unread } = await readJobTraces(folders, async ({ record: { id } }) => {
    asked.push(id);
    if (id === 'broken') throw new Error('The samples are damaged.');
    return actuationResult([]);
  });
  expect(asked).toEqual(['early', 'broken', 'late']);
  expect(traces.map(({ id, name }) => [id, name])).toEqual([['early', 'early'], ['late', 'late']]);
  expect(unread.map(({ name, why }) => [name, why])).toEqual([['untested', expect.stringMatching(/test/)], ['broken', 'The samples are damaged.']]);
  const cancelled = Object.assign(new Error('stopped'), { code: 'cancelled' });
  await expect(readJobTraces(folders, () => Promise.reject(cancelled))).rejects.toBe(cancelled);
});
