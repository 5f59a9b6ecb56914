import { mock } from 'node:test';
import { ASYMMETRIC_MATCHERS_OBJECT, chai, ChaiStyleAssertions, JestAsymmetricMatchers, JestChaiExpect, JestExtend } from '@vitest/expect';

/**
 * Stands in for vitest where tests are run again and again in one process: it gathers the tests of the files that are loaded. The expectations are vitest's own. What it does not know is not there, so
 * that a test that needs it fails before any slip is made, and is left out by name.
 */
type Step = () => unknown;

export interface GatheredTest {
  readonly name: string;
  readonly run: () => Promise<void>;
}

interface Group {
  readonly name: string;
  readonly above: Group | null;
  readonly beforeAll: Step[];
  readonly afterAll: Step[];
  readonly beforeEach: Step[];
  readonly afterEach: Step[];
}

/** The tests of the files loaded up to now, in their order. */
export const gathered: GatheredTest[] = [];

for (const plugin of [JestExtend, JestChaiExpect, ChaiStyleAssertions, JestAsymmetricMatchers]) chai.use(plugin);
const matchers = (globalThis as unknown as Record<symbol, object>)[ASYMMETRIC_MATCHERS_OBJECT];

/** Asks again until it holds, as long as the tests' own configuration does. */
const POLL = { everyMs: 50, forMs: 20_000 };
const poll = (value: () => unknown): unknown =>
  new Proxy({}, {
    get: (_, matcher) => async (...expected: unknown[]) => {
      for (const untilMs = performance.now() + POLL.forMs; ; ) {
        try {
          return (chai.expect(await value()) as unknown as Record<PropertyKey, (...expected: unknown[]) => unknown>)[matcher]!(...expected);
        } catch (error) {
          if (performance.now() > untilMs) throw error;
          await new Promise((resolve) => setTimeout(resolve, POLL.everyMs));
        }
      }
    },
  });
export const expect = Object.assign((value: unknown, message?: string) => chai.expect(value, message), chai.expect, matchers, { poll });
const FAKED = ['setTimeout', 'setInterval', 'setImmediate', 'Date'] as const;
const turn = setImmediate;
/** Clocks and calls by Node's own stand-ins. */
export const vi = {
  useFakeTimers: ({ toFake = FAKED }: { readonly toFake?: readonly string[] } = {}): void => mock.timers.enable({ apis: FAKED.filter((name) => toFake.includes(name)) }),
  useRealTimers: (): void => mock.timers.reset(),
  advanceTimersByTime: (ms: number): void => mock.timers.tick(ms),
  async advanceTimersByTimeAsync(ms: number): Promise<void> {
    for (let passed = 0; passed < ms; passed++) {
      mock.timers.tick(1);
      await new Promise((resolve) => turn(resolve));
    }
  },
  spyOn: (object: object, name: string) => (mock.method(object, name as never) as unknown as { mock: { calls: unknown[] } }),
  restoreAllMocks: (): void => mock.restoreAll(),
};

const newGroup = (name: string, above: Group | null): Group => ({ name, above, beforeAll: [], afterAll: [], beforeEach: [], afterEach: [] });
let group = newGroup('', null);
/** What a file sets up outside of any group is for its own tests. */
export const beginFile = (): void => void (group = newGroup('', null));
let finished: Step[] = [];

/** Groups from the outermost in. */
function pathOf(inner: Group): Group[] {
  const path: Group[] = [];
  for (let at: Group | null = inner; at !== null; at = at.above) path.unshift(at);
  return path;
}

function gather(title: string, body: Step): void {
  const path = pathOf(group);
  const run = async (): Promise<void> => {
    finished = [];
    const hooks = (which: 'beforeAll' | 'beforeEach' | 'afterEach' | 'afterAll'): Step[] => path.flatMap((at) => at[which]);
    try {
      // a test run alone brings what its whole file had set up
      for (const step of [...hooks('beforeAll'), ...hooks('beforeEach')]) await step();
      await body();
    } finally {
      for (const step of [...finished.toReversed(), ...hooks('afterEach').toReversed(), ...hooks('afterAll').toReversed()]) await step();
    }
  };
  gathered.push({ name: [...path.map(({ name }) => name), title].filter((part) => part !== '').join(' > '), run });
}

type Table = readonly unknown[];
const argumentsOf = (row: unknown): unknown[] => (Array.isArray(row) ? row : [row]);
const functionOf = (...given: unknown[]): ((...words: unknown[]) => unknown) => given.find((word) => typeof word === 'function') as (...words: unknown[]) => unknown;

export function describe(title: string, ...rest: unknown[]): void {
  const outer = group;
  group = newGroup(title, outer);
  functionOf(...rest)();
  group = outer;
}
describe.each = (table: Table) => (title: string, ...rest: unknown[]): void => {
  for (const [at, row] of table.entries()) describe(`${title} [${at}]`, () => functionOf(...rest)(...argumentsOf(row)));
};

export function it(title: string, ...rest: unknown[]): void {
  gather(title, () => functionOf(...rest)());
}
it.each = (table: Table) => (title: string, ...rest: unknown[]): void => {
  for (const [at, row] of table.entries()) gather(`${title} [${at}]`, () => functionOf(...rest)(...argumentsOf(row)));
};
export const test = it;

export const beforeAll = (step: Step): void => void group.beforeAll.push(step);
export const afterAll = (step: Step): void => void group.afterAll.push(step);
export const beforeEach = (step: Step): void => void group.beforeEach.push(step);
export const afterEach = (step: Step): void => void group.afterEach.push(step);
export const onTestFinished = (step: Step): void => void finished.push(step);
