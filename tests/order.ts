import { relative } from 'node:path';
import { BaseSequencer, type TestSpecification } from 'vitest/node';
import { DURATIONS_S } from './durations.ts';

/** Seconds that a file takes which is not in the list. */
const SHORT_S = 1;

interface File {
  readonly spec: TestSpecification;
  readonly inBrowser: boolean;
  readonly durationS: number;
}

/**
 * The order of the files: by project (a process that serves file after file ends where another project's file comes between), the longest first, so that
 * no long one is left over at the end; and one with a browser beside one without, since a browser alone keeps more than a core busy.
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

/** Two workers as the pool will hand the files out: whichever is free first gets the next. */
function sideBySide(longestFirst: readonly File[]): TestSpecification[] {
  const left = [...longestFirst];
  const order: TestSpecification[] = [];
  const workers = [{ untilS: 0, inBrowser: false }, { untilS: 0, inBrowser: false }];
  while (left.length > 0) {
    const [free, other] = workers.toSorted((a, b) => a.untilS - b.untilS) as [(typeof workers)[0], (typeof workers)[0]];
    const busyInBrowser = other.untilS > free.untilS && other.inBrowser;
    const fitting = left.findIndex(({ inBrowser }) => inBrowser !== busyInBrowser);
    const [next] = left.splice(Math.max(0, fitting), 1) as [File];
    order.push(next.spec);
    free.untilS += next.durationS;
    free.inBrowser = next.inBrowser;
  }
  return order;
}
