import { Worker } from 'node:worker_threads';
import fc from 'fast-check';
import type { GatheredTest } from './vitest.ts';

/**
 * Runs in a process of its own, in the copy of the project that holds the slips as switches: loads the tests once, runs them all without a slip to see which of them reach which, then makes one slip
 * after the other and runs the tests that reach it, the shortest first, up to the first that fails. Slips that act while files are loaded need a process each: `only` names such a one.
 */
export interface Order {
  readonly files: readonly string[];
  readonly slips: readonly string[];
  /** made before anything is loaded */
  readonly only: string | null;
}

export type Word =
  | { readonly kind: 'ready'; readonly tests: number; readonly leftOut: readonly string[]; readonly loading: readonly string[] }
  | { readonly kind: 'begun'; readonly slip: string }
  | { readonly kind: 'done'; readonly slip: string; readonly by: string | null };

/** What Stryker's instrumenter reads and writes. */
interface Switches {
  activeMutant?: string | undefined;
  currentTestId?: string | undefined;
  hitCount?: number | undefined;
  hitLimit?: number | undefined;
  mutantCoverage?: { static: Record<string, number>; perTest: Record<string, Record<string, number>> };
}

/** A loop that comes by a slip so many times more often than without it has no end (Stryker's own figure). */
const ENDLESS_FACTOR = 100;
/** A test that takes so many times its own time on the processor, and so much more, s, has no end either. */
const SLOW_FACTOR = 30;
const SLOW_S = 10;

const switches: Switches = ((globalThis as { __stryker__?: Switches }).__stryker__ ??= {});
const say = (word: Word): void => void process.send?.(word);
const cpuS = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};

/** Ends this process from another thread when its processor time passes the mark: by its own clock, so that a busy machine makes no difference. */
const markS = new Float64Array(new SharedArrayBuffer(8));
function watch(): void {
  markS[0] = Infinity;
  const source = `const { workerData } = require('node:worker_threads'); const mark = new Float64Array(workerData);
    setInterval(() => { const { user, system } = process.cpuUsage(); if ((user + system) / 1e6 > mark[0]) process.kill(process.pid, 'SIGKILL'); }, 500);`;
  new Worker(source, { eval: true, workerData: markS.buffer }).unref();
}

async function failureOf(test: GatheredTest, ownS: number): Promise<boolean> {
  markS[0] = cpuS() + SLOW_FACTOR * ownS + SLOW_S;
  try {
    await test.run();
    return false;
  } catch {
    return true;
  } finally {
    markS[0] = Infinity;
  }
}

async function obey({ files, slips, only }: Order): Promise<void> {
  watch();
  if (only !== null) switches.activeMutant = only;
  fc.configureGlobal({ ...fc.readConfigureGlobal(), seed: Number(process.env['PROPERTY_SEED'] ?? 20_261_125), endOnFailure: true });
  try {
    for (const file of files) await import(file);
  } catch (error) {
    if (only === null) throw error;
    say({ kind: 'done', slip: only, by: 'loading' });
    return;
  }
  const { gathered } = (await import('vitest')) as unknown as { gathered: GatheredTest[] };
  if (only !== null) return say({ kind: 'done', slip: only, by: await firstToFail(gathered.map((test) => ({ test, ownS: 1 }))) });
  await allOf(slips, gathered);
}

async function firstToFail(tests: readonly { readonly test: GatheredTest; readonly ownS: number }[]): Promise<string | null> {
  for (const { test, ownS } of tests) if (await failureOf(test, ownS)) return test.name;
  return null;
}

async function allOf(slips: readonly string[], gathered: readonly GatheredTest[]): Promise<void> {
  const runs: { id: string; test: GatheredTest; ownS: number }[] = [];
  const leftOut: string[] = [];
  for (const [at, test] of gathered.entries()) {
    const fromS = cpuS();
    switches.currentTestId = String(at);
    if (await failureOf(test, 60)) leftOut.push(test.name);
    else runs.push({ id: String(at), test, ownS: cpuS() - fromS });
  }
  switches.currentTestId = undefined;
  const reached = switches.mutantCoverage ?? { static: {}, perTest: {} };
  const loading = slips.filter((slip) => reached.static[slip] !== undefined);
  say({ kind: 'ready', tests: runs.length, leftOut, loading });
  const hits = (id: string, slip: string): number => reached.perTest[id]?.[slip] ?? 0;
  for (const slip of slips) {
    if (loading.includes(slip)) continue;
    say({ kind: 'begun', slip });
    const reaching = runs.filter(({ id }) => hits(id, slip) > 0).sort((a, b) => a.ownS - b.ownS);
    switches.hitLimit = ENDLESS_FACTOR * Math.max(...reaching.map(({ id }) => hits(id, slip)));
    switches.activeMutant = slip;
    let by: string | null = null;
    for (const { test, ownS } of reaching) {
      switches.hitCount = 0;
      if (!(await failureOf(test, ownS))) continue;
      by = test.name;
      break;
    }
    switches.activeMutant = undefined;
    say({ kind: 'done', slip, by });
  }
}

process.once('message', (order: Order) => void obey(order).then(() => process.exit(0), (error: unknown) => {
  console.error(error);
  process.exit(1);
}));
