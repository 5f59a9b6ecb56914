import { Worker } from 'node:worker_threads';
import fc from 'fast-check';
import { threadHits, watchThreads } from './threads.ts';
import type { GatheredTest } from './vitest.ts';

/**
 * Runs in a process of its own, in the copy of the project that holds the slips as switches: loads the tests once, runs them all without a slip to see which of them reach which, then makes one slip
 * after the other and runs the tests that reach it up to the first that fails: those that noticed slips before it first, since neighbours share their tests, then the shortest. Slips that act while files are loaded need a process each: `only` names such a one.
 */
export interface Order {
  readonly files: readonly string[];
  readonly slips: readonly string[];
  /** made before anything is loaded */
  readonly only: string | null;
  /** what a process before this one found out; null: it is to be found out */
  readonly known: Measured | null;
  /** seconds of tests that a slip is tried against, the shortest first; null: all that reach it */
  readonly mostS: number | null;
}

/** The tests as they are without a slip, each by its place in the order they are loaded in. */
export interface Measured {
  /** those that pass, what each takes on the processor, and how long it takes, s */
  readonly tests: readonly { readonly id: string; readonly ownS: number; readonly tookS: number }[];
  /** how often each comes by each slip */
  readonly hits: Record<string, Record<string, number>>;
  /** slips that act while files are loaded */
  readonly loading: readonly string[];
}

export type Word =
  | { readonly kind: 'ready'; readonly measured: Measured; readonly leftOut: readonly string[] }
  | { readonly kind: 'begun'; readonly slip: string }
  | { readonly kind: 'done'; readonly slip: string; readonly by: string | null; readonly reached?: boolean };

/** What Stryker's instrumenter reads and writes. */
export interface Switches {
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
/** A test that waits so many times as long as without a slip, and so much more, s, waits for what will not come: the run of all tests gives it up after 60 s. */
const WAIT_FACTOR = 5;
const WAIT_S = 10;

/** A test that takes longer, s, is never tried before shorter ones, whatever it noticed. */
const QUICK_S = 0.2;

const switches: Switches = ((globalThis as { __stryker__?: Switches }).__stryker__ ??= {});
/** The last word on its way: tests that never wait leave no turn in which words could go, and a process that exits loses those. */
let told: Promise<void> = Promise.resolve();
const say = (word: Word): void => {
  told = new Promise((resolve) => process.send?.(word, () => resolve()));
};
const cpuS = (): number => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};

/**
 * Ends this process from another thread when its processor time passes the first mark, by its own clock, so that a busy machine makes no difference; and when the time of day passes the second, for a
 * test that waits and works at nothing.
 */
const marksS = new Float64Array(new SharedArrayBuffer(16));
function watch(): void {
  marksS.fill(Infinity);
  const source = `const { workerData } = require('node:worker_threads'); const marks = new Float64Array(workerData);
    setInterval(() => { const { user, system } = process.cpuUsage(); if ((user + system) / 1e6 > marks[0] || Date.now() / 1e3 > marks[1]) process.kill(process.pid, 'SIGKILL'); }, 500);`;
  new Worker(source, { eval: true, workerData: marksS.buffer }).unref();
}

async function failureOf(test: GatheredTest, ownS: number, tookS: number): Promise<boolean> {
  marksS[0] = cpuS() + SLOW_FACTOR * ownS + SLOW_S;
  marksS[1] = Date.now() / 1e3 + WAIT_FACTOR * tookS + WAIT_S;
  try {
    await test.run();
    return false;
  } catch {
    return true;
  } finally {
    marksS.fill(Infinity);
  }
}

async function carryOut({ files, slips, only, known, mostS }: Order): Promise<void> {
  // a test may wait for a timer that by itself keeps no process
  setInterval(() => undefined, 60_000);
  watch();
  watchThreads(switches);
  if (only !== null) switches.activeMutant = only;
  fc.configureGlobal({ ...fc.readConfigureGlobal(), seed: Number(process.env['PROPERTY_SEED'] ?? 20_261_125), endOnFailure: true });
  const { gathered, beginFile } = (await import('vitest')) as unknown as { gathered: GatheredTest[]; beginFile: () => void };
  try {
    for (const file of files) {
      beginFile();
      await import(file);
    }
  } catch (error) {
    if (only === null) throw error;
    say({ kind: 'done', slip: only, by: 'loading' });
    return;
  }
  const measured = known ?? (await measure(slips, gathered));
  const runs = measured.tests.map((run) => ({ ...run, test: gathered[Number(run.id)]! })).sort((a, b) => a.tookS - b.tookS);
  if (only === null) return allOf(slips.filter((slip) => !measured.loading.includes(slip)), runs, measured, mostS);
  const first = await firstToFail(runs, mostS);
  say({ kind: 'done', slip: only, by: first?.test.name ?? null });
}

interface Run {
  readonly id: string;
  readonly ownS: number;
  readonly tookS: number;
  readonly test: GatheredTest;
}

async function firstToFail(runs: readonly Run[], mostS: number | null): Promise<Run | null> {
  let spentS = 0;
  for (const run of runs) {
    spentS += run.tookS;
    if (mostS !== null && spentS > mostS) break;
    switches.hitCount = 0;
    if (await failureOf(run.test, run.ownS, run.tookS)) return run;
  }
  return null;
}

/** Runs every test once without a slip. */
async function measure(slips: readonly string[], gathered: readonly GatheredTest[]): Promise<Measured> {
  const tests: Measured['tests'][number][] = [];
  const leftOut: string[] = [];
  const { static: whileLoading, perTest: hits } = (switches.mutantCoverage ??= { static: {}, perTest: {} });
  for (const [at, test] of gathered.entries()) {
    const [fromS, fromMs] = [cpuS(), performance.now()];
    switches.currentTestId = String(at);
    if (await failureOf(test, 60, 60)) leftOut.push(test.name);
    else tests.push({ id: String(at), ownS: cpuS() - fromS, tookS: (performance.now() - fromMs) / 1e3 });
    for (const [slip, times] of threadHits()) (hits[at] ??= {})[slip] = (hits[at]?.[slip] ?? 0) + times;
  }
  switches.currentTestId = undefined;
  const measured: Measured = { tests, hits, loading: slips.filter((slip) => whileLoading[slip] !== undefined) };
  say({ kind: 'ready', measured, leftOut });
  return measured;
}

async function allOf(slips: readonly string[], runs: readonly Run[], { hits }: Measured, mostS: number | null): Promise<void> {
  const latest = new Map<string, number>();
  const hitsOf = (id: string, slip: string): number => hits[id]?.[slip] ?? 0;
  for (const slip of slips) {
    say({ kind: 'begun', slip });
    const reaching = runs.filter(({ id }) => hitsOf(id, slip) > 0).sort((a, b) => (latest.get(b.id) ?? 0) - (latest.get(a.id) ?? 0) || a.tookS - b.tookS);
    switches.hitLimit = ENDLESS_FACTOR * Math.max(...reaching.map(({ id }) => hitsOf(id, slip)));
    switches.activeMutant = slip;
    const first = await firstToFail(reaching, mostS);
    switches.activeMutant = undefined;
    if (first !== null && first.tookS < QUICK_S) latest.set(first.id, Math.max(0, ...latest.values()) + 1);
    say({ kind: 'done', slip, by: first?.test.name ?? null, reached: reaching.length > 0 });
  }
}

process.once('message', (order: Order) => void carryOut(order).then(() => told).then(() => process.exit(0), (error: unknown) => {
  console.error(error);
  process.exit(1);
}));
