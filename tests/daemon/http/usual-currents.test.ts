import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import type { ActuationResult, DrainResult } from '../../../src/core/analysis/results.ts';
import type { KnownGoodSet, KnownGoodImported, PlaceAnswer, TypedCircuit } from '../../../src/core/wire/prove.ts';
import { cli } from '../../cli/run.ts';
import { JOB, writeJob, writeTrace } from '../prove-stand.ts';
import { askJson, startStand, type Stand } from '../stand.ts';

// what a person types in; the trace is of the depot's minibus, whose dragging step runs far above
const STEP: TypedCircuit = { circuit: 'Side step', vehicle_type: 'minibus', place: 'fuse F7, feed', usual: { run_a: [3, 4.2], stall_a: [12, 16], inrush_peak_a: null, asleep_a: null } };
const PARKED: TypedCircuit = { circuit: 'Whole vehicle', vehicle_type: 'van', place: 'battery minus', usual: { run_a: null, stall_a: null, inrush_peak_a: null, asleep_a: [0.008, 0.021] } };

let dataDir: string;
beforeAll(async () => {
  dataDir = mkdtempSync(join(tmpdir(), 'amptrail-usual-'));
  await writeJob(dataDir);
  await writeTrace(dataDir, 'dragging', 'side-step-dragging', { title: 'Slow', actuation_options: null });
  await writeTrace(dataDir, 'night', 'van-quick-drain', { title: 'Parked' });
  return () => rmSync(dataDir, { recursive: true, force: true });
});

const sendFile = (on: Stand, text: string) => askJson<KnownGoodImported>(on, 'POST', '/api/known-good/import', Buffer.from(text));

describe('usual currents of a circuit, as a person knows them', () => {
  it('lie as one JSON file beside the known-good sets, can be changed, and judge a trace on the page and on the command line alike', async () => {
    const on = await startStand({ dataDir });
    const { status, answer: first } = await askJson<KnownGoodSet>(on, 'POST', '/api/known-good/usual', STEP);
    expect(status).toBe(200);
    const changed = { ...STEP, place: 'fuse F7', usual: { ...STEP.usual, run_a: [3, 4] as const } };
    const { answer: set } = await askJson<KnownGoodSet>(on, 'PUT', `/api/known-good/${first.id}/usual`, changed);
    expect(set).toMatchObject({ id: first.id, created: first.created, circuit: 'Side step', vehicle_type: 'minibus', place: 'fuse F7', members: [], run_limits_a: [3, 4], usual: changed.usual });
    // a typed current says nothing of the way, and no trace is behind it
    expect(set.limits.map(({ direction, metric, low, high, traces, method }) => [direction, metric, low, high, traces, method])).toEqual(
      ['forward', 'reverse'].flatMap((direction) => [[direction, 'run_a', 3, 4, 0, 'typed'], [direction, 'stall_a', 12, 16, 0, 'typed']]),
    );
    const placed = (await askJson<PlaceAnswer>(on, 'GET', `/api/known-good/${set.id}/place?trace=${JOB}/dragging`)).answer;
    expect(placed.finding).toBe('heavy');

    const file = join(dataDir, 'known-good', `${set.id}.json`);
    const { out, code } = await cli(['analyse', join(dataDir, 'jobs', JOB, 'dragging'), '--known-good', file, '--json']);
    expect(code).toBe(0);
    const result = JSON.parse(out) as ActuationResult & { known_good: PlaceAnswer['placements'] };
    expect(result.verdict.finding).toBe('heavy');
    expect(result.known_good).toEqual(placed.placements);
    await askJson(on, 'POST', `/api/known-good/${set.id}/remove`, {});
    expect(readdirSync(join(dataDir, 'known-good'))).toEqual([]);
  });

  it('go to another workshop as one file: nothing is kept twice, and the command line takes the circuit that is named', async () => {
    const on = await startStand({ dataDir });
    for (const one of [STEP, PARKED]) await askJson(on, 'POST', '/api/known-good/usual', one);
    const sets = (await askJson<KnownGoodSet[]>(on, 'GET', '/api/known-good')).answer;
    const library = JSON.stringify({ schema: 'amptrail-known-good-list/1', sets });
    const other = await startStand();
    expect((await sendFile(other, library)).answer).toMatchObject({ taken: [{ circuit: sets[0]!.circuit, usual: sets[0]!.usual }, { circuit: sets[1]!.circuit, usual: sets[1]!.usual }], had: 0 });
    expect((await sendFile(other, library)).answer).toEqual({ taken: [], had: 2 });
    expect((await askJson<KnownGoodSet[]>(other, 'GET', '/api/known-good')).answer).toHaveLength(2);

    const path = join(dataDir, 'library.json');
    writeFileSync(path, library);
    const night = ['analyse', join(dataDir, 'jobs', JOB, 'night'), '--test', 'drain', '--known-good', path, '--json'];
    const unnamed = await cli(night);
    expect(unnamed.code).toBe(2);
    expect(unnamed.err).toContain('"Side step, minibus"');
    expect((await cli([...night, '--circuit', 'Winch'])).code).toBe(2);
    // the upper end of what is usual asleep is the limit; one that is given goes first
    expect((JSON.parse((await cli([...night, '--circuit', 'whole vehicle'])).out) as DrainResult).limit_a).toBe(0.021);
    expect((JSON.parse((await cli([...night, '--circuit', 'whole vehicle', '--limit', '0.03'])).out) as DrainResult).limit_a).toBe(0.03);
    for (const { id } of sets) await askJson(on, 'POST', `/api/known-good/${id}/remove`, {});
  });

  it('are refused with the place of the fault: no current, the larger one first, a stranger\'s file', async () => {
    const on = await startStand({ dataDir });
    const none = { run_a: null, stall_a: null, inrush_peak_a: null, asleep_a: null };
    expect((await askJson(on, 'POST', '/api/known-good/usual', { ...STEP, usual: none })).status).toBe(400);
    expect((await askJson(on, 'POST', '/api/known-good/usual', { ...STEP, circuit: '  ' })).status).toBe(400);
    expect((await askJson(on, 'POST', '/api/known-good/usual', { ...STEP, usual: { ...none, run_a: [5, 3] } })).text).toContain('the lower current comes first');
    const set = (usual: unknown): string => JSON.stringify({ schema: 'amptrail-known-good/1', circuit: 'x', usual });
    for (const [text, why] of [
      ['{', 'not JSON'],
      ['{"schema":"other"}', 'schema is not'],
      ['{"schema":"amptrail-known-good-list/1","sets":[]}', 'empty'],
      [`{"schema":"amptrail-known-good-list/1","sets":[${set({ run_a: [3, 4] })},${set({ run_a: [5, 4] })}]}`, 'circuit number 2: "usual.run_a"'],
      [set({ run_a: [1, 2, 3] }), '"usual.run_a"'],
      // JSON has no infinity, but figures too large for a double become one
      [set({ run_a: [1, 2] }).replace('2]', '1e999]'), '"usual.run_a"'],
      [set(none), 'holds no current'],
    ] as const) {
      const answer = await sendFile(on, text);
      expect(answer.status, text).toBe(422);
      expect(answer.text, text).toContain(why);
    }
    expect((await askJson<KnownGoodSet[]>(on, 'GET', '/api/known-good')).answer).toEqual([]);
    // a learnt set keeps its traces: typed currents do not take its place
    writeFileSync(join(dataDir, 'known-good', 'learnt.json'), JSON.stringify({ schema: 'amptrail-known-good/1', circuit: 'x', limits: [], problems: [], created: '', members: [] }));
    expect((await askJson(on, 'PUT', '/api/known-good/learnt/usual', STEP)).status).toBe(409);
    expect(readFileSync(join(dataDir, 'known-good', 'learnt.json'), 'utf8')).toContain('"limits":[]');
  });
});
