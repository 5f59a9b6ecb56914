import { relative } from 'node:path';
import { BaseSequencer, type TestSpecification } from 'vitest/node';
import { DURATIONS_S } from './durations.ts';

/** Three times as many as the smallest machine has cores: with four, a third of two cores had nothing to do, since a test that waits for something to happen leaves its core to another. */
export const WORKERS = 6;

/** Seconds that a file takes which is not in the list. */
const SHORT_S = 1;

interface File {
  readonly spec: TestSpecification;
  readonly inBrowser: boolean;
  readonly durationS: number;
}

/**
 * The order of the files: by project (a process that serves file after file ends where another project's file comes between), the longest first, so that
 * no long one is left over at the end; and those with a browser beside those without, since a browser alone keeps more than a core busy.
 */
export default class Order extends BaseSequencer {
  override async sort(specs: TestSpecification[]): Promise<TestSpecification[]> {
    const files = specs.map((spec): File => {
      const path = relative(this.ctx.config.root, spec.moduleId);
      return { spec, inBrowser: path.startsWith('tests/browser/'), durationS: DURATIONS_S[path] ?? SHORT_S };
    });
    files.sort((a, b) => b.durationS - a.durationS || (a.spec.moduleId < b.spec.moduleId ? -1 : 1));
    const names = [...new Set(specs.map(({ project }) => project.name))].sort();
    return names.flatMap((name) => sideBySide(files.filter(({ spec }) => spec.project.name === name)));
  }
}

/** The workers as the pool will hand the files out: whichever is free first gets the next. */
function sideBySide(longestFirst: readonly File[]): TestSpecification[] {
  const left = { inBrowser: longestFirst.filter(({ inBrowser }) => inBrowser), without: longestFirst.filter(({ inBrowser }) => !inBrowser) };
  const workers = Array.from({ length: WORKERS }, () => ({ untilS: 0, inBrowser: false }));
  const order: TestSpecification[] = [];
  while (order.length < longestFirst.length) {
    const free = workers.reduce((first, worker) => (worker.untilS < first.untilS ? worker : first));
    const browsers = workers.filter((worker) => worker.inBrowser && worker.untilS > free.untilS).length;
    // as many browsers as end with the rest
    const most = Math.ceil((WORKERS * secondsOf(left.inBrowser)) / (secondsOf(left.inBrowser) + secondsOf(left.without)));
    const wanted = browsers < most ? left.inBrowser : left.without;
    const next = (wanted.shift() ?? left.inBrowser.shift() ?? left.without.shift())!;
    order.push(next.spec);
    free.untilS += next.durationS;
    free.inBrowser = next.inBrowser;
  }
  return order;
}

function secondsOf(files: readonly File[]): number {
  return files.reduce((sum, { durationS }) => sum + durationS, 0);
}
