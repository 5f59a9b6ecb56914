import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import type { ActuationResult } from '../../../src/core/analysis/results.ts';
import { overlaysOf } from '../../../src/daemon/prove/overlays.ts';
import { openTrace } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { analyseTrace } from '../../../src/daemon/threads/analyse-trace.ts';
import { JOB, writeJob, writeTrace } from '../prove-stand.ts';

it('presses that the recording cuts are laid over no whole one', async () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'amptrail-overlays-'));
  onTestFinished(() => rmSync(dataDir, { recursive: true, force: true }));
  await writeJob(dataDir);
  await writeTrace(dataDir, 'step', 'side-step-healthy', { title: 'Step' });
  const reader = await openTrace(join(dataDir, 'jobs', JOB, 'step'));
  onTestFinished(() => reader.close());
  const result = (await analyseTrace(reader, { test: 'actuation' })) as ActuationResult;
  const forward = result.actuations.filter(({ direction }) => direction === 'forward');
  expect(forward.length).toBeGreaterThanOrEqual(2);
  const whole = { reader, result };
  const cut = { reader, result: { ...result, actuations: result.actuations.map((one) => (one === forward[0] ? { ...one, cut: 'start' as const } : one)) } };
  const overlays = (await overlaysOf(whole, cut)).filter(({ direction }) => direction === 'forward');
  expect(overlays).toHaveLength(forward.length - 1);
  // the first whole press of the second trace is its second one: laid on the first of the first trace, whose time it then has
  const own = (await overlaysOf(whole, whole)).filter(({ direction }) => direction === 'forward');
  const spanS = ({ timeS }: { readonly timeS: ArrayLike<number> }): number => timeS[timeS.length - 1]! - timeS[0]!;
  expect(spanS(overlays[0]!.after)).toBeCloseTo(spanS(own[1]!.after), 2);
  expect(overlays[0]!.before).toEqual(own[0]!.before);
  // where every press is cut there is nothing else to show
  const allCut = { reader, result: { ...result, actuations: result.actuations.map((one) => ({ ...one, cut: 'both' as const })) } };
  expect((await overlaysOf(whole, allCut)).length).toBeGreaterThan(0);
});
