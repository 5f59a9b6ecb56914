import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import type { KnownGood } from '../../../src/core/analysis/compare/known-good/known-good.ts';
import { KnownGoodStore } from '../../../src/daemon/prove/known-good-store.ts';

const AT = new Date('2026-11-25T07:00:00.000Z');
const known = (circuit: string, high = 6): KnownGood => ({ schema: 'amptrail-known-good/1', circuit, limits: [{ direction: 'forward', metric: 'run_a', low: 4, high, traces: 5, coverage: 0.95, confidence: 0.95, method: 'normal' }], problems: [] });

function library(): { folder: string; store: KnownGoodStore } {
  const dataDir = mkdtempSync(join(tmpdir(), 'amptrail-known-good-'));
  onTestFinished(() => rmSync(dataDir, { recursive: true, force: true }));
  return { folder: join(dataDir, 'known-good'), store: new KnownGoodStore(dataDir) };
}

it('a set is kept under its time and circuit, one of the same moment beside it, the newest listed first', async () => {
  const { folder, store } = library();
  expect(await store.list()).toEqual([]);
  const first = await store.create(known('Side step'), [{ jobId: 'j', traceId: 't' } as never], AT);
  expect(first).toMatchObject({ id: '2026-11-25T07-00-00Z-side-step', created: AT.toISOString(), run_limits_a: [4, 6], members: [{ jobId: 'j', traceId: 't' }] });
  expect((await store.create(known('Side step', 7), [], AT)).id).toBe('2026-11-25T07-00-00Z-side-step-2');
  await store.create(known('Winch'), [], new Date('2026-11-26T07:00:00.000Z'));
  expect((await store.list()).map(({ circuit, run_limits_a }) => [circuit, run_limits_a])).toEqual([['Winch', [4, 6]], ['Side step', [4, 7]], ['Side step', [4, 6]]]);
  expect(await store.get(first.id)).toEqual(first);
  expect(readdirSync(folder)).toHaveLength(3);
});

it('a set that is replaced keeps its name and the day it was made, one that is removed is gone', async () => {
  const { store } = library();
  const { id } = await store.create(known('Side step'), [], AT);
  await store.replace(id, known('Side step', 9), []);
  expect(await store.get(id)).toMatchObject({ created: AT.toISOString(), run_limits_a: [4, 9] });
  await store.remove(id);
  expect(await store.list()).toEqual([]);
  // asked all at once: a refusal that nobody waits for yet would end the run
  await Promise.all([store.get(id), store.remove(id), store.replace(id, known('x'), [])].map((gone) => expect(gone).rejects.toMatchObject({ code: 'not-found' })));
  await expect(store.get('../trace')).rejects.toThrow();
});

it('files that are no sets are left out, and what is wrong in one is left out of it', async () => {
  const { folder, store } = library();
  mkdirSync(folder, { recursive: true });
  for (const [name, text] of [['a.json', '{'], ['b.json', 'null'], ['c.json', '{"schema":"other"}'], ['.d.json', JSON.stringify(known('hidden'))], ['e.txt', JSON.stringify(known('text'))], ['f.json', JSON.stringify({ ...known('good'), created: 5, problems: [{ text: 'few' }, { text: 7 }, null], members: [{ jobId: 'j', traceId: 't' }, { jobId: 'j' }, { traceId: 't' }, null] })], ['g.json', JSON.stringify({ ...known('bare'), problems: 'x', members: 'y' })]] as const) writeFileSync(join(folder, name), text);
  expect(await store.list()).toMatchObject([{ id: 'g', circuit: 'bare', problems: [], members: [] }, { id: 'f', circuit: 'good', created: '', problems: [{ text: 'few' }], members: [{ jobId: 'j', traceId: 't' }] }]);
});

it('of a file only what is new is taken', async () => {
  const { store } = library();
  await store.create(known('Side step'), [], AT);
  const { taken, had } = await store.importSets([known('Side step'), known('Side step', 7), known('Winch'), known('Winch'), { ...known('Winch'), place: 'at the fuse' }, { ...known('Winch'), vehicle_type: 'van' }], AT);
  expect([taken.map(({ circuit }) => circuit), had]).toEqual([['Side step', 'Winch', 'Winch', 'Winch'], 2]);
});

it('a full library takes back a file of what it holds, and refuses one that would make it more', async () => {
  const { folder, store } = library();
  mkdirSync(folder, { recursive: true });
  for (let i = 0; i < 499; i++) writeFileSync(join(folder, `s${i}.json`), JSON.stringify(known(`circuit ${i}`)));
  const held = Array.from({ length: 400 }, (_, i) => known(`circuit ${i}`));
  expect(await store.importSets(held, AT)).toEqual({ taken: [], had: 400 });
  await expect(store.importSets([known('one'), known('two')], AT)).rejects.toMatchObject({ code: 'too-large' });
  expect((await store.importSets([...held, known('one')], AT)).taken).toHaveLength(1);
  await expect(store.importSets([known('two')], AT)).rejects.toMatchObject({ code: 'too-large' });
});
