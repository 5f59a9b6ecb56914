import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import type { ActuationResult } from '../../../src/core/analysis/results.ts';
import type { KnownGoodSet, ManyAnswer, PlaceAnswer } from '../../../src/core/wire/prove.ts';
import { cli } from '../../cli/run.ts';
import { JOB, writeJob, writeTrace } from '../prove-stand.ts';
import { askJson, withStand, type Stand } from '../stand.ts';

const good = [1, 2, 3, 4, 5].map((seed) => ({ jobId: JOB, traceId: `good-${seed}` }));

let dataDir: string;
beforeAll(async () => {
  dataDir = mkdtempSync(join(tmpdir(), 'amptrail-known-good-'));
  await writeJob(dataDir);
  // whether a trace is heavy must come from the set alone
  for (const [i, { traceId }] of good.entries()) await writeTrace(dataDir, traceId, 'side-step-healthy', { title: `Good ${i + 1}`, actuation_options: null }, undefined, 20 + i);
  await writeTrace(dataDir, 'dragging', 'side-step-dragging', { title: 'Slow', actuation_options: null });
  await writeTrace(dataDir, 'dead', 'side-step-dead', { title: 'Nothing happens' });
  await writeTrace(dataDir, 'night', 'van-quick-drain', { title: 'Parked' });
  return () => rmSync(dataDir, { recursive: true, force: true });
});

const held = withStand(() => ({ dataDir }));

const place = (on: Stand, id: string, traceId: string) => askJson<PlaceAnswer>(on, 'GET', `/api/known-good/${id}/place?trace=${JOB}/${traceId}`);

describe('a reference set of known-good traces', () => {
  it('is learnt from chosen traces, kept as one JSON file that the command line reads, and puts a new trace inside or outside', async () => {
    const on = held.stand;
    const { status, answer: one } = await askJson<KnownGoodSet>(on, 'POST', '/api/known-good', { circuit: 'side step motor', traces: good.slice(0, 1) });
    expect(status).toBe(200);
    // one trace never makes limits without saying so
    expect(one.limits.every(({ method }) => method === 'single')).toBe(true);
    expect(one.problems[0]!.text).toContain('single trace');
    const { answer: set } = await askJson<KnownGoodSet>(on, 'PUT', `/api/known-good/${one.id}`, { circuit: 'side step motor', traces: good });
    expect(set).toMatchObject({ id: one.id, created: one.created, problems: [] });
    expect(set.members).toHaveLength(5);
    expect(set.members[0]).toMatchObject({ traceId: 'good-1', vehicle: 'Minibus 4', sha256: expect.stringMatching(/^[0-9a-f]{64}$/) });
    expect(set.limits.every(({ method, traces }) => method === 'normal' && traces === 5)).toBe(true);
    const [lowA, highA] = set.run_limits_a!;
    expect(lowA).toBeLessThan(3.5);
    expect(highA).toBeGreaterThan(3.8);

    const own = await place(on, set.id, 'good-2');
    expect(own.answer).toMatchObject({ member: true, finding: 'normal' });
    expect(own.answer.placements.filter(({ place: where }) => where !== 'inside')).toEqual([]);
    const slow = await place(on, set.id, 'dragging');
    expect(slow.answer).toMatchObject({ member: false, finding: 'heavy' });
    const run = slow.answer.placements.find(({ metric }) => metric === 'run_a');
    expect(run).toMatchObject({ place: 'above', certain: true });
    // by how much: the value less the limit it passed, and as a share of it
    expect(run!.beyond).toBeCloseTo(run!.value - run!.high, 9);
    expect(run!.beyond_share).toBeCloseTo(run!.beyond / run!.high, 9);
    expect(run!.low_value!).toBeLessThan(run!.value);

    const file = join(dataDir, 'known-good', `${set.id}.json`);
    const { out, code } = await cli(['analyse', join(dataDir, 'jobs', JOB, 'dragging'), '--known-good', file, '--json']);
    expect(code).toBe(0);
    const result = JSON.parse(out) as ActuationResult & { known_good: PlaceAnswer['placements'] };
    expect(result.verdict.finding).toBe('heavy');
    expect(result.known_good).toEqual(slow.answer.placements);
    expect(readdirSync(join(dataDir, 'known-good'))).toEqual([`${set.id}.json`]);

    // a damaged file is left out of the list, a removed one is gone
    writeFileSync(join(dataDir, 'known-good', 'cut.json'), readFileSync(file, 'utf8').replace('"low"', '"lo"'));
    writeFileSync(join(dataDir, 'known-good', 'broken.json'), '{');
    expect((await askJson<KnownGoodSet[]>(on, 'GET', '/api/known-good')).answer).toEqual([set]);
    expect((await askJson(on, 'POST', `/api/known-good/${set.id}/remove`, {})).status).toBe(200);
    expect((await askJson<KnownGoodSet[]>(on, 'GET', '/api/known-good')).answer).toEqual([]);
  });

  it('refuses traces that say nothing of limits, by name, and names that are none', async () => {
    const on = held.stand;
    const dead = await askJson(on, 'POST', '/api/known-good', { circuit: 'x', traces: [{ jobId: JOB, traceId: 'dead' }] });
    expect(dead.status).toBe(422);
    expect(dead.text).toContain('"Nothing happens" has no press');
    expect((await askJson(on, 'POST', '/api/known-good', { circuit: '', traces: good })).status).toBe(400);
    expect((await askJson(on, 'POST', '/api/known-good', { circuit: 'x', traces: [] })).status).toBe(400);
    expect((await askJson(on, 'POST', '/api/known-good', { circuit: 'x', traces: [{ jobId: '..', traceId: 'a' }] })).status).toBe(400);
    expect((await askJson(on, 'GET', '/api/known-good/nothing/place?trace=a/b')).status).toBe(404);
    expect((await askJson(on, 'POST', '/api/known-good/..%2Fjobs/remove', {})).status).toBe(400);
  });
});

describe('POST /api/compare-many', () => {
  it('puts the trace that stands out first and gives the line of every actuation', async () => {
    const on = held.stand;
    const { status, answer } = await askJson<ManyAnswer>(on, 'POST', '/api/compare-many', { traces: [good[0], { jobId: JOB, traceId: 'dragging' }, good[1]] });
    expect(status).toBe(200);
    expect(answer.result.traces[0]).toMatchObject({ name: 'Slow', trace: 1, outlier: true });
    expect(answer.result.verdict.finding).toBe('one-stands-out');
    expect(answer.lines.map(({ trace, direction, number }) => `${trace} ${direction} ${number}`)).toEqual(
      answer.result.actuations.map(({ trace, direction, number }) => `${trace} ${direction} ${number}`),
    );
    for (const { timeS, currentA } of answer.lines) {
      expect(timeS.length).toBe(currentA.length);
      expect(timeS[0]!).toBeLessThan(0);
      expect(Math.max(...currentA)).toBeGreaterThan(8);
    }
  });

  it('refuses a mixture of tests by name, and too many', async () => {
    const on = held.stand;
    const mixed = await askJson(on, 'POST', '/api/compare-many', { traces: [good[0], { jobId: JOB, traceId: 'night' }] });
    expect(mixed.status).toBe(422);
    expect(mixed.text).toMatch(/"Good 1" is of a motor test, "Parked" is of a drain test/);
    expect((await askJson(on, 'POST', '/api/compare-many', { traces: Array.from({ length: 9 }, () => good[0]) })).status).toBe(400);
  });
});
